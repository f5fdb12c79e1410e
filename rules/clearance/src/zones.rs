//! The zones around basins in IEC 60364-7-702 and BS 7671 Section 702, as one table.

use crate::water::Near;
use lintern_rule::compare::above;
use lintern_rule::plan::ZoneKind;

/// A zone around a basin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PoolZone {
    /// Inside the basin.
    Zero,
    /// Above the basin and around it.
    One,
    /// Around zone 1.
    Two,
}

/// What holds in a zone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    pub zone: PoolZone,
    /// Where it ends, horizontally from the edge of the basin, m; `None` at the edge itself.
    pub outer_m: Option<f64>,
    /// Highest nominal SELV voltage of AC and of ripple-free DC, V; `None` where only the general limits of SELV hold.
    pub selv_v: Option<(f64, f64)>,
    /// Least second digit of the IP code outdoors.
    pub water_digit: u8,
    /// The same where the surround is cleaned with water jets.
    pub jets_digit: u8,
}

/// BS 7671:2018 702.32 (extent), 702.410.3.4.1 (voltages) and 702.512.2 (IP code).
pub const TABLE: [Row; 3] = [
    Row { zone: PoolZone::Zero, outer_m: None, selv_v: Some((12.0, 30.0)), water_digit: 8, jets_digit: 8 },
    Row { zone: PoolZone::One, outer_m: Some(2.0), selv_v: Some((25.0, 60.0)), water_digit: 4, jets_digit: 5 },
    Row { zone: PoolZone::Two, outer_m: Some(3.5), selv_v: None, water_digit: 4, jets_digit: 5 },
];

/// Zones 1 and 2 end at this height above the ground or the water, m.
pub const HEIGHT_M: f64 = 2.5;

impl PoolZone {
    /// Its row.
    pub fn row(self) -> &'static Row {
        &TABLE[self as usize]
    }

    /// `zone 0`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Zero => "zone 0",
            Self::One => "zone 1",
            Self::Two => "zone 2",
        }
    }
}

/// The zone of a water that an element is in; the boundary belongs to the stricter zone. `height_m` is its height
/// above the ground or the water, where the plan says.
pub fn zone_of(near: &Near, height_m: Option<f64>) -> Option<PoolZone> {
    if height_m.is_some_and(|height_m| above(height_m, HEIGHT_M)) {
        return None;
    }
    let above_water = height_m.is_some_and(|height_m| height_m > 0.0);
    let zone = TABLE.iter().find(|row| match row.outer_m {
        None => near.distance_m <= 0.0 && !above_water,
        Some(outer_m) => !above(near.distance_m, outer_m),
    });
    let zone = zone.map(|row| row.zone)?;
    // A fountain has no zone 2.
    (zone != PoolZone::Two || near.zone.kind != ZoneKind::Fountain).then_some(zone)
}

/// Whether the second digit of one IP code meets a required one. Up to 6 a digit includes the ones below it; 7 and 8
/// include neither 5 nor 6, and 9 none of 5 to 8 (IEC 60529).
pub fn meets_water_digit(marked: u8, required: u8) -> bool {
    match marked {
        0..=6 => marked >= required,
        7 | 8 => required <= 4 || (required >= 7 && marked >= required),
        _ => required <= 4,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::blank;

    #[test]
    fn the_rows_are_those_of_section_702() {
        let rows = TABLE.map(|row| (row.outer_m, row.selv_v, row.water_digit, row.jets_digit));
        // 702.32: zone 1 to 2 m from the rim, zone 2 a further 1.5 m. 702.410.3.4.1: 12 V AC or 30 V DC in zone 0,
        // 25 V AC or 60 V DC in zone 1. 702.512.2: IPX8; IPX4, jets IPX5; outdoors IPX4, jets IPX5.
        assert_eq!(rows[0], (None, Some((12.0, 30.0)), 8, 8));
        assert_eq!(rows[1], (Some(2.0), Some((25.0, 60.0)), 4, 5));
        assert_eq!(rows[2], (Some(2.0 + 1.5), None, 4, 5));
        for zone in [PoolZone::Zero, PoolZone::One, PoolZone::Two] {
            assert_eq!(zone.row().zone, zone);
        }
    }

    #[test]
    fn a_boundary_belongs_to_the_stricter_zone() {
        let pool = blank::zone("P", ZoneKind::Pool);
        let fountain = blank::zone("F", ZoneKind::Fountain);
        let zone = |zone, distance_m, height_m| zone_of(&Near { index: 0, zone, distance_m }, height_m);
        assert_eq!(zone(&pool, 0.0, None), Some(PoolZone::Zero));
        assert_eq!(zone(&pool, 0.0, Some(1.0)), Some(PoolZone::One));
        assert_eq!(zone(&pool, 0.001, None), Some(PoolZone::One));
        assert_eq!(zone(&pool, 2.0, None), Some(PoolZone::One));
        assert_eq!(zone(&pool, 2.001, None), Some(PoolZone::Two));
        assert_eq!(zone(&pool, 3.5, Some(2.5)), Some(PoolZone::Two));
        assert_eq!(zone(&pool, 3.5, Some(2.51)), None);
        assert_eq!(zone(&pool, 3.501, None), None);
        assert_eq!(zone(&fountain, 2.0, None), Some(PoolZone::One));
        assert_eq!(zone(&fountain, 2.001, None), None);
    }

    #[test]
    fn immersion_digits_do_not_include_jets() {
        assert!(meets_water_digit(6, 5) && meets_water_digit(5, 5) && !meets_water_digit(4, 5));
        assert!(!meets_water_digit(7, 5) && !meets_water_digit(8, 5) && meets_water_digit(7, 4));
        assert!(meets_water_digit(8, 8) && !meets_water_digit(7, 8) && !meets_water_digit(6, 8));
        assert!(!meets_water_digit(9, 8) && meets_water_digit(9, 4) && !meets_water_digit(3, 4));
    }
}
