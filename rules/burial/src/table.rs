//! NFPA 70 Table 300.5 (2017, 2020), Table 300.5(A) (2023): least cover for circuits up to 1000 V, by location and by
//! wiring method, in the inch and in the millimetre column.
//!
//! Left out, because no run of a plan can be such a circuit or lie there: column 4 (branch circuits of 120 V), airport
//! runways. Footnote b (pool, spa and fountain lighting of a listed system in nonmetallic raceway: 6 in) asks for no
//! less than column 5 does for every raceway, so it needs no cell of its own.

use lintern_rule::Length;
use lintern_rule::plan::Method;

/// A length in both columns of the table, which do not convert into one another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Both {
    pub inches: f64,
    pub millimetres: f64,
}

/// The system that a plan is written in, and so the column it is compared with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    Inch,
    Metric,
}

/// A location of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Location {
    /// All locations that have no row of their own.
    General,
    /// In a trench below 2 in of concrete.
    BelowTrenchConcrete,
    /// Under a building.
    Building,
    /// Under an exterior slab of 4 in, without vehicles, that reaches 6 in past the run.
    Slab,
    /// Streets, roads, alleys, driveways and parking lots.
    Vehicles,
    /// Driveways and parking areas of one- and two-family dwellings, for their own use.
    DwellingVehicles,
}

/// A column of the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Column {
    /// 1: cables and conductors laid in the ground.
    DirectBurial,
    /// 2: rigid and intermediate metal conduit.
    MetalConduit,
    /// 3: nonmetallic raceway listed for burial.
    NonmetallicRaceway,
    /// 5: landscape lighting of at most 30 V, UF or other identified cable laid in the ground.
    LandscapeCable,
    /// 5: the same in an identified raceway.
    LandscapeRaceway,
}

/// Concrete in the trench that has a row of its own, and that covers a raceway on rock (note 5).
pub const TRENCH_CONCRETE: Both = Both { inches: 2.0, millimetres: 50.0 };
/// Thickness of an exterior slab that has a row of its own.
pub const SLAB_THICKNESS: Both = Both { inches: 4.0, millimetres: 102.0 };
/// How far it reaches past the run on each side.
pub const SLAB_BEYOND: Both = Both { inches: 6.0, millimetres: 152.0 };
/// Highest voltage of column 5, V.
pub const LANDSCAPE_VOLTS: f64 = 30.0;

impl System {
    /// The system in which a length is written.
    pub fn of(length: &Length) -> Self {
        if length.is_metric() { Self::Metric } else { Self::Inch }
    }

    /// Its unit of cover.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Metric => "mm",
        }
    }

    /// A length in its unit.
    pub fn read(self, length: &Length) -> f64 {
        match self {
            Self::Inch => length.inches(),
            Self::Metric => length.millimetres(),
        }
    }
}

impl Both {
    /// The column of a system.
    pub fn in_system(self, system: System) -> f64 {
        match system {
            System::Inch => self.inches,
            System::Metric => self.millimetres,
        }
    }

    /// Whether a length is at least this, in its own system.
    pub fn is_reached_by(self, length: &Length) -> bool {
        let system = System::of(length);
        !lintern_rule::compare::below(system.read(length), self.in_system(system))
    }
}

impl Location {
    /// Its row, for the reader.
    pub fn row(self) -> &'static str {
        match self {
            Self::General => "all locations not named",
            Self::BelowTrenchConcrete => "below 2 in of concrete in the trench",
            Self::Building => "under a building",
            Self::Slab => "under a 4 in exterior slab",
            Self::Vehicles => "streets, driveways and parking lots",
            Self::DwellingVehicles => "driveways of one- and two-family dwellings",
        }
    }
}

impl Column {
    /// Its number.
    pub fn number(self) -> u8 {
        match self {
            Self::DirectBurial => 1,
            Self::MetalConduit => 2,
            Self::NonmetallicRaceway => 3,
            Self::LandscapeCable | Self::LandscapeRaceway => 5,
        }
    }
}

/// A cell of the table; none where the table has no cover because the method is not allowed there.
pub fn cell(location: Location, column: Column) -> Option<Both> {
    use Column::{DirectBurial, LandscapeCable, LandscapeRaceway, MetalConduit, NonmetallicRaceway};
    let (inches, millimetres) = match (location, column) {
        (Location::General, DirectBurial) => (24.0, 600.0),
        (Location::General, MetalConduit) => (6.0, 150.0),
        (Location::General, NonmetallicRaceway) => (18.0, 450.0),
        (Location::General, LandscapeCable | LandscapeRaceway) => (6.0, 150.0),

        (Location::BelowTrenchConcrete, DirectBurial) => (18.0, 450.0),
        (Location::BelowTrenchConcrete, MetalConduit) => (6.0, 150.0),
        (Location::BelowTrenchConcrete, NonmetallicRaceway) => (12.0, 300.0),
        (Location::BelowTrenchConcrete, LandscapeCable | LandscapeRaceway) => (6.0, 150.0),

        // Cables under a building lie in a raceway, or are of a metal-clad type made for it: 300.5(C).
        (Location::Building, DirectBurial | LandscapeCable) => return None,
        (Location::Building, MetalConduit | NonmetallicRaceway | LandscapeRaceway) => (0.0, 0.0),

        (Location::Slab, DirectBurial) => (18.0, 450.0),
        (Location::Slab, MetalConduit | NonmetallicRaceway | LandscapeRaceway) => (4.0, 100.0),
        (Location::Slab, LandscapeCable) => (6.0, 150.0),

        (Location::Vehicles, _) => (24.0, 600.0),
        (Location::DwellingVehicles, _) => (18.0, 450.0),
    };
    Some(Both { inches, millimetres })
}

/// The least cover of a method and the column that it is from; `landscape` says whether the circuit is one of column 5.
/// A method of columns 1 to 3 in such a circuit may take the shallower of the two (note 4). None where the method is
/// not allowed, or does not lie in the ground.
pub fn least_cover(location: Location, method: Method, landscape: bool) -> Option<(Both, Column)> {
    let (own, column_5) = match method {
        Method::DirectBurial => (Column::DirectBurial, Column::LandscapeCable),
        Method::PvcConduit => (Column::NonmetallicRaceway, Column::LandscapeRaceway),
        Method::RigidMetalConduit => (Column::MetalConduit, Column::LandscapeRaceway),
        Method::Surface | Method::Aerial => return None,
    };
    let by_method = cell(location, own).map(|cover| (cover, own));
    if !landscape {
        return by_method;
    }
    let by_circuit = cell(location, column_5).map(|cover| (cover, column_5));
    match (by_circuit, by_method) {
        (Some(circuit), Some(method)) if method.0.inches < circuit.0.inches => Some(method),
        (Some(circuit), _) => Some(circuit),
        (None, method) => method,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A row in columns 1, 2, 3 and the two of 5: inches and millimetres.
    type Row = (Location, [Option<(f64, f64)>; 5]);

    /// NFPA 70-2017 and -2020 Table 300.5, -2023 Table 300.5(A), columns 1, 2, 3 and 5 row by row: inches, millimetres.
    /// Column 5 of the slab row has two values, laid directly and in raceway.
    #[test]
    fn every_cell_is_the_published_one() {
        let rows: [Row; 6] = [
            (
                Location::General,
                [Some((24., 600.)), Some((6., 150.)), Some((18., 450.)), Some((6., 150.)), Some((6., 150.))],
            ),
            (
                Location::BelowTrenchConcrete,
                [Some((18., 450.)), Some((6., 150.)), Some((12., 300.)), Some((6., 150.)), Some((6., 150.))],
            ),
            (Location::Building, [None, Some((0., 0.)), Some((0., 0.)), None, Some((0., 0.))]),
            (
                Location::Slab,
                [Some((18., 450.)), Some((4., 100.)), Some((4., 100.)), Some((6., 150.)), Some((4., 100.))],
            ),
            (
                Location::Vehicles,
                [Some((24., 600.)), Some((24., 600.)), Some((24., 600.)), Some((24., 600.)), Some((24., 600.))],
            ),
            (
                Location::DwellingVehicles,
                [Some((18., 450.)), Some((18., 450.)), Some((18., 450.)), Some((18., 450.)), Some((18., 450.))],
            ),
        ];
        let columns = [
            Column::DirectBurial,
            Column::MetalConduit,
            Column::NonmetallicRaceway,
            Column::LandscapeCable,
            Column::LandscapeRaceway,
        ];
        for (location, covers) in rows {
            for (column, cover) in columns.into_iter().zip(covers) {
                let cell = cell(location, column).map(|both| (both.inches, both.millimetres));
                assert_eq!(cell, cover, "{location:?}, column {}", column.number());
            }
        }
    }

    /// Conditions of the rows for concrete and slabs: 2 in (50 mm), 4 in (102 mm), 6 in (152 mm).
    #[test]
    fn the_conditions_of_rows_are_the_published_ones() {
        let pairs = [TRENCH_CONCRETE, SLAB_THICKNESS, SLAB_BEYOND].map(|both| (both.inches, both.millimetres));
        assert_eq!(pairs, [(2.0, 50.0), (4.0, 102.0), (6.0, 152.0)]);
        assert_eq!(LANDSCAPE_VOLTS, 30.0);
        let length = |value, unit: &str, metres| Length { value, unit: unit.to_owned(), metres };
        assert!(SLAB_THICKNESS.is_reached_by(&length(4.0, "in", 0.1016)));
        // 4 in is 101.6 mm, which a metric plan may not round down to.
        assert!(!SLAB_THICKNESS.is_reached_by(&length(101.6, "mm", 0.1016)));
    }

    /// Note 4: rigid metal conduit and PVC of a 12 V circuit take the shallower of their own column and column 5.
    #[test]
    fn a_landscape_circuit_takes_the_shallower_column() {
        let inches = |location, method, landscape| least_cover(location, method, landscape).map(|c| c.0.inches);
        assert_eq!(inches(Location::General, Method::PvcConduit, true), Some(6.0));
        assert_eq!(inches(Location::General, Method::PvcConduit, false), Some(18.0));
        assert_eq!(inches(Location::BelowTrenchConcrete, Method::PvcConduit, true), Some(6.0));
        assert_eq!(inches(Location::General, Method::DirectBurial, true), Some(6.0));
        assert_eq!(inches(Location::General, Method::DirectBurial, false), Some(24.0));
        assert_eq!(inches(Location::Building, Method::DirectBurial, true), None);
        assert_eq!(inches(Location::General, Method::Aerial, true), None);
    }
}
