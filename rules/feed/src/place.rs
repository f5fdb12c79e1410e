//! Where a supply hangs as far as weather goes. Every rule of the outdoors starts here, so that they agree.

use lintern_rule::Input;
use lintern_rule::plan::{Exposure, ZoneKind};

/// Where a supply hangs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Inside, out of the weather.
    Indoors,
    /// Damp: under a roof, which may be that of a building on the plan.
    UnderRoof { in_building: bool },
    /// Wet: where rain reaches it, as stated, or for want of a statement.
    Open { stated: bool },
    /// In a building zone without a stated exposure: on its wall or behind it.
    Unsure,
}

impl Place {
    /// Where the supply with this index hangs.
    pub fn of(input: &Input, supply: usize) -> Self {
        let zones = input.supply_places()[supply].as_ref().map_or(&[][..], |place| &place.zones);
        let in_building = input.zones_of(zones).any(|zone| zone.kind == ZoneKind::Building);
        match input.supplies()[supply].exposure {
            Some(Exposure::Dry) => Self::Indoors,
            Some(Exposure::Damp) => Self::UnderRoof { in_building },
            Some(Exposure::Wet) => Self::Open { stated: true },
            None if in_building => Self::Unsure,
            None => Self::Open { stated: false },
        }
    }

    /// How a message names it.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Indoors => "indoors",
            Self::UnderRoof { .. } => "in a damp place",
            Self::Open { stated: true } => "in the open",
            Self::Open { stated: false } => "in the open (its exposure is not stated)",
            Self::Unsure => "inside or outside a wall",
        }
    }
}

/// What is missing where the place is unsure.
pub fn missing_exposure(id: &str) -> [String; 1] {
    [format!("`exposure` of {id}")]
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::{Given, blank};

    fn place(exposure: Option<Exposure>, zones: Option<Vec<u32>>) -> Place {
        let input = Input::from(Given {
            supplies: vec![lintern_rule::plan::Supply { exposure, ..blank::supply("S1", 0) }],
            zones: vec![blank::zone("house", ZoneKind::Building), blank::zone("lawn", ZoneKind::Lawn)],
            supply_places: vec![zones.map(|zones| lintern_rule::facts::Place { zones, ..blank::place() })],
            ..Given::default()
        });
        Place::of(&input, 0)
    }

    #[test]
    fn what_is_stated_goes_before_where_it_stands() {
        for zones in [None, Some(vec![]), Some(vec![0]), Some(vec![1])] {
            assert_eq!(place(Some(Exposure::Dry), zones.clone()), Place::Indoors);
            assert_eq!(place(Some(Exposure::Wet), zones), Place::Open { stated: true });
        }
        assert_eq!(place(Some(Exposure::Damp), Some(vec![1])), Place::UnderRoof { in_building: false });
        assert_eq!(place(Some(Exposure::Damp), Some(vec![1, 0])), Place::UnderRoof { in_building: true });
    }

    #[test]
    fn without_a_statement_only_a_building_zone_leaves_it_open() {
        assert_eq!(place(None, None), Place::Open { stated: false });
        assert_eq!(place(None, Some(vec![1])), Place::Open { stated: false });
        assert_eq!(place(None, Some(vec![1, 0])), Place::Unsure);
    }
}
