//! Luminaires under water and the water that they are in.

use crate::water::{Near, is_drawn, near_place};
use lintern_rule::facts::Place;
use lintern_rule::plan::{Luminaire, Placement, ZoneKind};
use lintern_rule::prelude::*;

/// A luminaire under water, with its index and the waters that it is in.
pub struct Submerged<'a> {
    pub index: u32,
    pub luminaire: &'a Luminaire,
    pub waters: Vec<Near<'a>>,
}

impl Submerged<'_> {
    /// It as a node of the network.
    pub fn node(&self) -> NodeRef {
        NodeRef::Luminaire(self.index)
    }
}

const WATERS: &[ZoneKind] = &[ZoneKind::Pool, ZoneKind::Spa, ZoneKind::Fountain, ZoneKind::Pond];

/// The luminaires under water that are in waters of these kinds. One without a place is undetermined where such a water
/// is drawn.
pub fn submerged<'a>(input: &'a Input, kinds: &[ZoneKind], report: &mut Report) -> Vec<Submerged<'a>> {
    let mut found = Vec::new();
    if !is_drawn(input, kinds) {
        return found;
    }
    for (index, luminaire) in input.luminaires().iter().enumerate() {
        if luminaire.placement != Some(Placement::Underwater) {
            continue;
        }
        let Some(place) = &input.luminaire_places()[index] else {
            report.undetermined(&luminaire.id, [format!("`at` of {}", luminaire.id)]);
            continue;
        };
        let around: Vec<Near> =
            near_place(input, place, WATERS).into_iter().filter(|near| near.distance_m <= 0.0).collect();
        let waters: Vec<Near> = around.into_iter().filter(|near| kinds.contains(&near.zone.kind)).collect();
        if !waters.is_empty() {
            found.push(Submerged { index: u32::try_from(index).unwrap_or(u32::MAX), luminaire, waters });
        }
    }
    found
}

/// The ids of luminaires under water of which the plan draws no water: without a place where none is drawn at all, or
/// in the dry.
pub fn without_water(input: &Input) -> Vec<&str> {
    let drawn = is_drawn(input, WATERS);
    let places = input.luminaires().iter().zip(input.luminaire_places());
    let dry = places.filter(|(luminaire, place)| {
        let wet = |place: &Place| place.water.iter().any(|near| near.distance_m <= 0.0);
        luminaire.placement == Some(Placement::Underwater) && place.as_ref().map_or(!drawn, |place| !wet(place))
    });
    dry.map(|(luminaire, _)| luminaire.id.as_str()).collect()
}
