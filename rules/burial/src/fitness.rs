//! Whether a cable is made to lie in the earth, and whether it may get wet in a raceway underground.

use lintern_rule::Code;
use lintern_rule::plan::{CableKind, CableType, Location};

/// Whether a cable suits a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Fitness {
    Suits,
    /// Why not, as the end of `a cable that …`.
    Unfit(&'static str),
    /// The input that would tell.
    Unknown(String),
}

/// Whether a cable is identified for direct burial. What the plan states goes before what its kind suggests.
pub fn for_earth(cable: &CableType, code: Option<Code>) -> Fitness {
    let nec = !matches!(code, Some(Code::Iec60364 | Code::Bs7671));
    match (cable.kind, cable.direct_burial) {
        (Some(CableKind::Bare), _) => Fitness::Unfit("has no insulation"),
        (_, Some(true)) => Fitness::Suits,
        (_, Some(false)) => Fitness::Unfit("is stated as not made for direct burial"),
        (Some(CableKind::LampCord), None) => Fitness::Unfit("is lamp cord, which is not made for the ground"),
        (Some(CableKind::Thwn2), None) => Fitness::Unfit("is building wire (THWN-2), which is made for a raceway"),
        (Some(CableKind::UfB | CableKind::Use2), None) => Fitness::Suits,
        (Some(CableKind::Nyy | CableKind::Armoured), None) if !nec => Fitness::Suits,
        _ => Fitness::Unknown(format!("`direct-burial` of cable type `{}`", cable.name)),
    }
}

/// Whether a cable may lie in a raceway underground, which is a wet location.
pub fn for_wet_raceway(cable: &CableType) -> Fitness {
    match (cable.kind, cable.location) {
        (_, Some(Location::Wet | Location::Submersible)) => Fitness::Suits,
        (_, Some(Location::Dry | Location::Damp)) => Fitness::Unfit("is not listed for wet locations"),
        (Some(CableKind::Thwn2 | CableKind::UfB | CableKind::Use2), None) => Fitness::Suits,
        // What is made for the ground is made for its wetness.
        (_, None) if cable.direct_burial == Some(true) => Fitness::Suits,
        (_, None) => Fitness::Unknown(format!("`location` of cable type `{}`", cable.name)),
    }
}

/// Whether a cable has a metal armour.
pub fn is_armoured(cable: &CableType) -> bool {
    cable.kind == Some(CableKind::Armoured)
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::blank;

    fn cable(kind: Option<CableKind>, direct_burial: Option<bool>, location: Option<Location>) -> CableType {
        CableType { kind, direct_burial, location, ..blank::cable_type("c") }
    }

    #[test]
    fn a_statement_goes_before_the_kind() {
        let fit = |kind, burial, code| for_earth(&cable(kind, burial, None), code);
        let nec = Some(Code::Nec2023);
        assert_eq!(fit(Some(CableKind::UfB), None, nec), Fitness::Suits);
        assert!(matches!(fit(Some(CableKind::UfB), Some(false), nec), Fitness::Unfit(_)));
        assert!(matches!(fit(Some(CableKind::LampCord), None, nec), Fitness::Unfit(_)));
        assert_eq!(fit(Some(CableKind::LampCord), Some(true), nec), Fitness::Suits);
        assert!(matches!(fit(Some(CableKind::Bare), Some(true), nec), Fitness::Unfit(_)));
        assert!(matches!(fit(Some(CableKind::LowVoltageLandscape), None, nec), Fitness::Unknown(_)));
        assert!(matches!(fit(None, None, nec), Fitness::Unknown(_)));
        assert!(matches!(fit(Some(CableKind::Nyy), None, nec), Fitness::Unknown(_)));
        assert_eq!(fit(Some(CableKind::Nyy), None, Some(Code::Iec60364)), Fitness::Suits);
    }

    #[test]
    fn a_raceway_underground_is_wet() {
        let fit = |kind, burial, location| for_wet_raceway(&cable(kind, burial, location));
        assert_eq!(fit(Some(CableKind::Thwn2), None, None), Fitness::Suits);
        assert!(matches!(fit(Some(CableKind::Other), None, Some(Location::Damp)), Fitness::Unfit(_)));
        assert_eq!(fit(Some(CableKind::Other), None, Some(Location::Wet)), Fitness::Suits);
        assert_eq!(fit(Some(CableKind::LowVoltageLandscape), Some(true), None), Fitness::Suits);
        assert!(matches!(fit(Some(CableKind::Other), None, None), Fitness::Unknown(_)));
    }
}
