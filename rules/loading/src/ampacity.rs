//! Ampacity and overcurrent caps of copper conductors, NFPA 70.

use lintern_rule::plan::{CableKind, CableType, Conductor};

/// A row of the table.
pub struct Row {
    /// Number of ASTM B258: 12 for 12 AWG, 0 for 1/0.
    awg: i8,
    /// What a conductor may carry, A: Table 310.16 (2017: Table 310.15(B)(16)), copper, 60 °C column, 30 °C ambient.
    /// The column has no 18 and 16 AWG; there 240.4(D) stands in, which bars more than 80 % of it for continuous loads.
    pub ampacity_a: f64,
    /// Largest overcurrent device by 240.4(D), A; `None` for the sizes that it does not name.
    pub small_conductor_device_a: Option<f64>,
}

const fn row(awg: i8, ampacity_a: f64, small_conductor_device_a: Option<f64>) -> Row {
    Row { awg, ampacity_a, small_conductor_device_a }
}

/// Table 310.16, copper, 60 °C column, of the 2020 and 2023 editions, which is Table 310.15(B)(16) of 2017, and
/// 240.4(D) of 2017, 2020 and 2023. The 75 °C and 90 °C columns are not used: terminals of circuits up to 100 A go by
/// the 60 °C column unless they are marked otherwise (110.14(C)(1)(a)), and the plan doesn't tell how they are marked.
const COPPER: &[Row] = &[
    row(18, 7.0, Some(7.0)),
    row(16, 10.0, Some(10.0)),
    row(14, 15.0, Some(15.0)),
    row(12, 20.0, Some(20.0)),
    row(10, 30.0, Some(30.0)),
    row(8, 40.0, None),
    row(6, 55.0, None),
    row(4, 70.0, None),
    row(3, 85.0, None),
    row(2, 95.0, None),
    row(1, 110.0, None),
    row(0, 125.0, None),
    row(-1, 145.0, None),
    row(-2, 165.0, None),
    row(-3, 195.0, None),
];

/// Standard ratings of overcurrent devices, A, as far as low-voltage lighting needs them: NFPA 70 240.6(A), with the
/// additional ratings of fuses.
const STANDARD_DEVICES_A: &[f64] = &[
    1.0, 3.0, 6.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0, 110.0, 125.0,
    150.0, 175.0, 200.0,
];

impl Row {
    /// Whether the column of Table 310.16 has the size; else 240.4(D) stands in.
    pub fn is_in_table(&self) -> bool {
        self.awg <= 14
    }
}

/// The largest device that protects a conductor of this ampacity where 240.4(D) names none: the ampacity, or the next
/// standard rating above it (NFPA 70 240.4(B)).
pub fn next_standard_device_a(ampacity_a: f64) -> f64 {
    STANDARD_DEVICES_A.iter().copied().find(|device| *device >= ampacity_a).unwrap_or(ampacity_a)
}

/// The row of a cable's conductor; `None` for a metric or unknown size, and for cords and bare conductors, which the
/// table and 240.4(D) are not for.
pub fn of(cable: &CableType) -> Option<&'static Row> {
    if is_other_than_wire(cable) {
        return None;
    }
    match cable.conductor {
        Some(Conductor::Awg(gauge)) => COPPER.iter().find(|row| row.awg == gauge),
        Some(Conductor::SquareMm(_)) | None => None,
    }
}

/// Whether a cable is a cord or a bare conductor, of which Table 310.16 and 240.4 don't speak.
pub fn is_other_than_wire(cable: &CableType) -> bool {
    matches!(cable.kind, Some(CableKind::LampCord | CableKind::H07rnF | CableKind::Bare))
}

/// A conductor's size as plans write it.
pub fn size(cable: &CableType) -> String {
    match cable.conductor {
        Some(Conductor::Awg(gauge)) if gauge < 1 => format!("{}/0 AWG", 1 - i32::from(gauge)),
        Some(Conductor::Awg(gauge)) => format!("{gauge} AWG"),
        Some(Conductor::SquareMm(area)) => format!("{area} mm2"),
        None => "a conductor of unstated size".to_owned(),
    }
}

/// The conductors of a pole, with how many are in parallel.
pub fn conductors(cable: &CableType) -> String {
    let size = size(cable);
    if cable.parallel > 1 { format!("{} x {size}", cable.parallel) } else { size }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_written_as_the_trade_does() {
        let of = |conductor| size(&CableType { conductor, ..lintern_rule::blank::cable_type("c") });
        let awg = |gauge| of(Some(Conductor::Awg(gauge)));
        assert_eq!([awg(12), awg(1), awg(0), awg(-3)], ["12 AWG", "1 AWG", "1/0 AWG", "4/0 AWG"]);
        assert_eq!(of(Some(Conductor::SquareMm(2.5))), "2.5 mm2");
    }

    /// NFPA 70 2017 Table 310.15(B)(16), 2020 and 2023 Table 310.16: copper, 60 °C column, row by row; the table has
    /// no smaller size there. 240.4(D)(1), (2), (3), (5) and (7) of the same editions.
    #[test]
    fn rows_agree_with_the_published_tables() {
        let published = [
            (14, 15.0),
            (12, 20.0),
            (10, 30.0),
            (8, 40.0),
            (6, 55.0),
            (4, 70.0),
            (3, 85.0),
            (2, 95.0),
            (1, 110.0),
            (0, 125.0),
            (-1, 145.0),
            (-2, 165.0),
            (-3, 195.0),
        ];
        let devices = [(18, 7.0), (16, 10.0), (14, 15.0), (12, 20.0), (10, 30.0)];
        let table: Vec<_> = COPPER.iter().filter(|row| row.is_in_table()).map(|r| (r.awg, r.ampacity_a)).collect();
        assert_eq!(table, published);
        let small: Vec<_> =
            COPPER.iter().filter_map(|r| r.small_conductor_device_a.map(|amps| (r.awg, amps))).collect();
        assert_eq!(small, devices);
        // Where the table has no row the device stands in.
        for row in COPPER.iter().filter(|row| !row.is_in_table()) {
            assert_eq!(Some(row.ampacity_a), row.small_conductor_device_a, "{} AWG", row.awg);
        }
    }

    /// NFPA 70 2017 Table 240.6(A) up to 200 A, and the additional ratings of fuses, 1, 3, 6 and 10 A; the same in the
    /// text of 2023.
    #[test]
    fn devices_agree_with_the_published_ratings() {
        let published = [
            [1.0, 3.0, 6.0, 10.0, 15.0, 20.0],
            [25.0, 30.0, 35.0, 40.0, 45.0, 50.0],
            [60.0, 70.0, 80.0, 90.0, 100.0, 110.0],
        ];
        let large = [125.0, 150.0, 175.0, 200.0];
        assert_eq!(STANDARD_DEVICES_A, [published.as_flattened(), &large].concat());
    }

    /// NFPA 70 2017 240.4(B).
    #[test]
    fn the_next_standard_device_is_at_or_above_the_ampacity() {
        for (ampacity, device) in [(15.0, 15.0), (17.0, 20.0), (40.0, 40.0), (55.0, 60.0), (85.0, 90.0), (195.0, 200.0)]
        {
            assert_eq!(next_standard_device_a(ampacity), device, "{ampacity} A");
        }
    }
}
