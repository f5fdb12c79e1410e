//! How far everything is from pools, spas, fountains and ponds.

use super::super::words::{self, word};
use super::super::{Section, Source, Table};
use super::part;
use crate::drawing::site::View;
use lintern_core::analysis::site::{PlaceFacts, SegmentPlaces, WaterDistance};
use std::collections::BTreeMap;

/// Elements nearer to water than this are listed, m: 20 ft, within which rules about receptacles still ask.
const NEAR_M: f64 = 6.096;

pub fn section(source: &Source<'_>) -> Section {
    let layout = source.layout;
    let mut table = Table::new(
        "Elements within 20 ft of water, drawn distances to its edge",
        &["Element", "What", "Water", "Kind", "#Distance", "Findings"],
    );
    let places = &source.places;
    let mut row = |id: &str, what: &str, water: &WaterDistance| {
        let Some(zone) = layout.zones.get(water.zone).filter(|_| water.distance_m <= NEAR_M) else { return };
        let distance = words::length(layout, water.distance_m);
        let fails = source.fails(id, &["clearance"]);
        let cells = [id, what, &zone.id.0, &word(Some(zone.kind)), &distance, &source.numbers(id)];
        table.row(cells.map(str::to_owned), fails);
    };
    let at = |place: &Option<PlaceFacts>| place.iter().flat_map(|place| place.water.clone()).collect::<Vec<_>>();
    for (supply, place) in layout.supplies.iter().zip(&places.supplies) {
        at(place).iter().for_each(|water| row(&supply.id.0, "supply", water));
    }
    for (junction, place) in layout.junctions.iter().zip(&places.junctions) {
        at(place).iter().for_each(|water| row(&junction.id.0, "junction", water));
    }
    for (luminaire, place) in layout.luminaires.iter().zip(&places.luminaires) {
        at(place).iter().for_each(|water| row(&luminaire.id.0, "luminaire", water));
    }
    for (run, segments) in layout.runs.iter().zip(&places.runs) {
        let mut nearest: BTreeMap<usize, f64> = BTreeMap::new();
        for segment in segments {
            let SegmentPlaces::Pieces(pieces) = segment else { continue };
            for water in pieces.iter().flat_map(|piece| &piece.water) {
                let least = nearest.entry(water.zone).or_insert(f64::INFINITY);
                *least = least.min(water.distance_m);
            }
        }
        for (zone, distance_m) in nearest {
            row(&run.id.0, "run", &WaterDistance { zone, distance_m });
        }
    }
    let is_water = layout.zones.iter().any(|zone| View::is_water(zone.kind));
    let blocks = if is_water { vec![table.or("Nothing with a place is within 20 ft of water.")] } else { Vec::new() };
    part("water", "Distances to water", blocks)
}
