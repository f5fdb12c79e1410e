//! The least degree of protection by IEC 60529 for the place of a luminaire, and what asks for it.

use lintern_rule::plan::Placement;
use lintern_rule::{Basis, Code};

/// Below this height above grade mud, mower and sprinkler reach a luminaire, m. Common practice, no source: 0.3 m.
pub const NEAR_GRADE_M: f64 = 0.3;
/// The same in inch plans: 12 in.
pub const NEAR_GRADE_IN: f64 = 12.0;
/// Outer edge of zone 2 of a pool: 2.0 m (zone 1) and a further 1.5 m, IEC 60364-7-702.
pub const POOL_SURROUND_M: f64 = 3.5;
/// Outer edge of zone 1 of a fountain, which has no zone 2: 2.0 m, IEC 60364-7-702.
pub const FOUNTAIN_SURROUND_M: f64 = 2.0;
/// Height of the zones above the floor: 2.5 m, IEC 60364-7-702.
pub const ZONE_HEIGHT_M: f64 = 2.5;

/// A kind of place as the table knows it. One luminaire can stand in several.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Sheltered from rain: under an eave, or stated to be damp.
    Sheltered,
    /// In the open, away from a building.
    Open,
    /// Rained on, wherever.
    RainedOn,
    /// Rained on and near grade.
    NearGrade,
    /// Let into the ground.
    InGround,
    /// Under water for good.
    Underwater,
    /// In zone 1 or 2 of a pool, or zone 1 of a fountain, outdoors.
    PoolSurround,
    /// Where a hose or jet cleaner is used.
    Hosed,
}

/// What asks for a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Outdoor lighting installations: IEC 60364-7-714, BS 7671 section 714.
    OutdoorLighting,
    /// External influences: the row of IEC 60364-5-51 Table 51A.
    Influence(&'static str),
    /// Swimming pools and other basins: IEC 60364-7-702, BS 7671 section 702.
    Pool,
    /// Common practice.
    Practice,
}

/// One row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// Where.
    pub place: Spot,
    /// Least first digit.
    pub solids: Option<u8>,
    /// Least second digit; 5 and 7 are different things, not degrees of one.
    pub water: Option<u8>,
    /// What asks for it.
    pub origin: Origin,
}

const fn row(place: Spot, solids: Option<u8>, water: Option<u8>, origin: Origin) -> Row {
    Row { place, solids, water, origin }
}

/// The table.
pub const ROWS: &[Row] = &[
    row(Spot::Sheltered, Some(2), Some(3), Origin::Practice),
    row(Spot::Open, Some(3), Some(3), Origin::OutdoorLighting),
    row(Spot::RainedOn, Some(4), Some(4), Origin::Practice),
    row(Spot::NearGrade, Some(6), Some(5), Origin::Practice),
    row(Spot::InGround, None, Some(7), Origin::Influence("AD7")),
    row(Spot::InGround, Some(6), None, Origin::Practice),
    row(Spot::Underwater, None, Some(8), Origin::Influence("AD8")),
    row(Spot::PoolSurround, None, Some(4), Origin::Pool),
    row(Spot::Hosed, None, Some(5), Origin::Influence("AD5")),
];

/// The rows of a place.
pub fn rows(place: Spot) -> impl Iterator<Item = &'static Row> {
    ROWS.iter().filter(move |row| row.place == place)
}

/// Whether a placement is at the ground, so that its height decides between the rows.
pub fn stands_at_the_ground(placement: Placement) -> bool {
    matches!(placement, Placement::Stake | Placement::Surface | Placement::Step)
}

impl Origin {
    /// The authority under a code of the IEC family; `None` where it is practice.
    pub fn basis(self, code: Code) -> Option<Basis> {
        let bs = |section| Some(Basis::code("BS 7671", "2018", section));
        match (self, code) {
            (Self::OutdoorLighting, Code::Bs7671) => bs("714.512.2.105"),
            (Self::Influence(_), Code::Bs7671) => bs("512.2.1"),
            (Self::Pool, Code::Bs7671) => bs("702.512.2"),
            // The number of the clause in the IEC edition itself is not confirmed.
            (Self::OutdoorLighting, Code::Iec60364) => {
                Some(Basis { section: None, ..Basis::code("IEC 60364-7-714", "2011", "") })
            }
            (Self::Influence(_), Code::Iec60364) => Some(Basis::code("IEC 60364-5-51", "2005", "Table 51A")),
            (Self::Pool, Code::Iec60364) => Some(Basis::code("IEC 60364-7-702", "2010", "702.512.2")),
            _ => None,
        }
    }

    /// Where a reader finds it.
    pub fn source(self) -> String {
        match self {
            Self::OutdoorLighting => "IEC 60364-7-714; BS 7671 714.512.2.105".to_owned(),
            Self::Influence(class) => format!("IEC 60364-5-51 Table 51A, {class}"),
            Self::Pool => "IEC 60364-7-702 and BS 7671, 702.512.2".to_owned(),
            Self::Practice => "common practice".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The least digits of a place and what asks for them: (place, first, second, origin).
    fn published() -> Vec<(Spot, Option<u8>, Option<u8>, Origin)> {
        vec![
            // Common practice: IP23 under a roof, IP44 in the rain, IP65 near grade.
            (Spot::Sheltered, Some(2), Some(3), Origin::Practice),
            // BS 7671:2018 714.512.2.105: IP33. IEC 60364-7-714: sprays (AD3: IPX3) and small objects (AE2: IP3X).
            (Spot::Open, Some(3), Some(3), Origin::OutdoorLighting),
            (Spot::RainedOn, Some(4), Some(4), Origin::Practice),
            (Spot::NearGrade, Some(6), Some(5), Origin::Practice),
            // IEC 60364-5-51 Table 51A: AD7, intermittent covering by water: IPX7.
            (Spot::InGround, None, Some(7), Origin::Influence("AD7")),
            // Common practice: dust-tight in soil (IEC 60598-2-13 luminaires are made to IP67).
            (Spot::InGround, Some(6), None, Origin::Practice),
            // IEC 60364-5-51 Table 51A: AD8, permanently and totally covered: IPX8.
            (Spot::Underwater, None, Some(8), Origin::Influence("AD8")),
            // BS 7671:2018 702.512.2: zone 1 IPX4, zone 2 outdoors IPX4.
            (Spot::PoolSurround, None, Some(4), Origin::Pool),
            // IEC 60364-5-51 Table 51A: AD5, hose water is used regularly: IPX5.
            (Spot::Hosed, None, Some(5), Origin::Influence("AD5")),
        ]
    }

    #[test]
    fn the_table_is_as_published() {
        let ours: Vec<_> = ROWS.iter().map(|row| (row.place, row.solids, row.water, row.origin)).collect();
        assert_eq!(ours, published());
    }

    #[test]
    fn practice_has_no_section_and_a_code_row_has_an_authority_in_both_codes() {
        for row in ROWS {
            for code in [Code::Iec60364, Code::Bs7671] {
                assert_eq!(row.origin.basis(code).is_none(), row.origin == Origin::Practice, "{row:?}");
            }
            assert_eq!(row.origin.basis(Code::Nec2023), None, "no IP code in NFPA 70: {row:?}");
        }
    }
}
