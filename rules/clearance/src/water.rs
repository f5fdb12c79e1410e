//! Which waters are near an element, and how far.

use lintern_rule::facts::{Place, WaterDistance};
use lintern_rule::plan::{Zone, ZoneKind};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

/// Waters that people bathe in.
pub const BATHING: &[ZoneKind] = &[ZoneKind::Pool, ZoneKind::Spa];
/// Waters that both families of codes name.
pub const POOLS: &[ZoneKind] = &[ZoneKind::Pool, ZoneKind::Spa, ZoneKind::Fountain];
/// Waters that no pool rule names.
pub const PONDS: &[ZoneKind] = &[ZoneKind::Pond];

/// A water near an element.
#[derive(Debug, Clone, Copy)]
pub struct Near<'a> {
    /// Its index in the list of zones.
    pub index: u32,
    /// The water.
    pub zone: &'a Zone,
    /// Horizontal distance to its edge; 0 inside.
    pub distance_m: f64,
}

impl Near<'_> {
    /// The water as a sentence names it: `pool P1`.
    pub fn phrase(&self) -> String {
        format!("{} {}", kind_name(self.zone.kind), self.zone.id)
    }
}

/// Whether the plan draws such a water.
pub fn is_drawn(input: &Input, kinds: &[ZoneKind]) -> bool {
    input.zones().iter().any(|zone| kinds.contains(&zone.kind))
}

/// The waters of these kinds near a place, in the order of the plan.
pub fn near_place<'a>(input: &'a Input, place: &Place, kinds: &[ZoneKind]) -> Vec<Near<'a>> {
    let distances = place.water.iter().map(|water| (water.zone, water.distance_m)).collect();
    of_kinds(input, distances, kinds)
}

/// What is known of a run's distances to water.
pub struct RunWaters<'a> {
    /// The waters that its drawn pieces are near, each once with the shortest distance.
    pub near: Vec<Near<'a>>,
    /// Whether every segment is drawn.
    pub complete: bool,
}

/// The waters of these kinds near a run.
pub fn near_run<'a>(input: &'a Input, run: usize, kinds: &[ZoneKind]) -> RunWaters<'a> {
    let segments = &input.run_pieces()[run];
    let mut distances: BTreeMap<u32, f64> = BTreeMap::new();
    for WaterDistance { zone, distance_m } in segments.iter().flatten().flatten().flat_map(|piece| &piece.water) {
        let shortest = distances.entry(*zone).or_insert(*distance_m);
        *shortest = shortest.min(*distance_m);
    }
    RunWaters { near: of_kinds(input, distances, kinds), complete: segments.iter().all(Option::is_some) }
}

fn of_kinds<'a>(input: &'a Input, distances: BTreeMap<u32, f64>, kinds: &[ZoneKind]) -> Vec<Near<'a>> {
    let near = distances.into_iter().map(|(index, distance_m)| {
        let zone = &input.zones()[index as usize];
        Near { index, zone, distance_m }
    });
    near.filter(|near| kinds.contains(&near.zone.kind)).collect()
}

fn kind_name(kind: ZoneKind) -> &'static str {
    match kind {
        ZoneKind::Pool => "pool",
        ZoneKind::Spa => "spa",
        ZoneKind::Fountain => "fountain",
        ZoneKind::Pond => "pond",
        _ => "zone",
    }
}
