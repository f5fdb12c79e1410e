//! Names for what a draft adds to a plan, and the additions as text.

use super::build::Ground;
use super::catalogue::SupplyChoice;
use super::draft::{Board, Part};
use super::place::Place;
use super::text::Additions;
use super::wiring::Stop;
use crate::layout::{CableType, Layout, SupplyType};
use std::collections::{BTreeMap, BTreeSet};

/// Where a run of a draft belongs: group, circuit, run.
pub(super) type RunIndex = (usize, usize, usize);

/// A draft with names.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Named {
    pub(super) additions: Additions,
    /// For each group the ids of its supplies.
    pub(super) supplies: Vec<Vec<String>>,
    /// Each run by its id.
    pub(super) runs: BTreeMap<String, RunIndex>,
}

/// Ids that a plan has not yet, counted up from 1 behind a letter.
struct Ids<'a> {
    taken: &'a BTreeSet<&'a str>,
    letter: char,
    number: usize,
}

impl Ids<'_> {
    fn next(&mut self) -> String {
        loop {
            self.number += 1;
            let id = format!("{}{}", self.letter, self.number);
            if !self.taken.contains(id.as_str()) {
                return id;
            }
        }
    }
}

/// Names everything in a draft.
pub(super) fn name(board: &Board, parts: &[Part]) -> Named {
    let taken = ids(board.ground.layout);
    let ids = |letter| Ids { taken: &taken, letter, number: 0 };
    let mut named = Named { additions: Additions::default(), supplies: Vec::new(), runs: BTreeMap::new() };
    named.add_supplies(board, parts, ids('S'));
    named.add_runs(board, parts, (ids('J'), ids('R')));
    let mut cables: BTreeMap<usize, ()> = BTreeMap::new();
    cables.extend(parts.iter().flat_map(|part| part.sizes.iter().flatten()).map(|size| (*size, ())));
    let built_in = cables.into_keys().map(|size| &board.cables[size]).filter(|choice| choice.built_in);
    named.additions.cables = built_in.map(|choice| (choice.kind.name.0.clone(), cable_text(&choice.kind))).collect();
    named
}

fn ids(layout: &Layout) -> BTreeSet<&str> {
    let supplies = layout.supplies.iter().map(|e| &e.id);
    let luminaires = layout.luminaires.iter().map(|e| &e.id);
    let zones = layout.zones.iter().map(|e| &e.id);
    let utilities = layout.utilities.iter().map(|e| &e.id);
    supplies.chain(luminaires).chain(zones).chain(utilities).map(|id| id.0.as_str()).collect()
}

impl Named {
    fn add_supplies(&mut self, board: &Board, parts: &[Part], mut ids: Ids) {
        let own = board.ground.layout.supplies.first();
        let at = point(board.ground.start);
        // Outputs that a built-in type needs: as many as the supply of it with the most circuits.
        let mut types: BTreeMap<&str, (&SupplyChoice, usize)> = BTreeMap::new();
        for (group, part) in board.groups.iter().zip(parts) {
            let mut names = Vec::new();
            for (index, &choice) in part.split.supplies.iter().enumerate() {
                let choice = &group.supplies[choice];
                let circuits = part.split.circuits.iter().filter(|circuit| circuit.supply == index).count();
                let kind = &choice.kind.name.0;
                let outputs = types.entry(kind).or_insert((choice, 0));
                outputs.1 = outputs.1.max(circuits);
                match own {
                    Some(own) if self.additions.own_supply.is_none() => {
                        self.additions.own_supply = Some((kind.clone(), own.at.is_none().then(|| at.clone())));
                        names.push(own.id.0.clone());
                    }
                    _ => {
                        let id = ids.next();
                        self.additions.supplies.push(format!("{{ id: {id}, type: {kind}, at: {at} }}"));
                        names.push(id);
                    }
                }
            }
            self.supplies.push(names);
        }
        let built_in = types.into_iter().filter(|(_, (choice, _))| choice.built_in);
        self.additions.supply_types =
            built_in.map(|(name, (choice, outputs))| (name.to_owned(), supply_text(&choice.kind, outputs))).collect();
    }

    fn add_runs(&mut self, board: &Board, parts: &[Part], (mut junctions, mut runs): (Ids, Ids)) {
        let Ground { layout, slack, splice, .. } = board.ground;
        let slack = match slack {
            crate::plan::scalar::Slack::Share(share) => share.to_string(),
            crate::plan::scalar::Slack::Length(length) => length.to_string(),
        };
        for (g, (group, part)) in board.groups.iter().zip(parts).enumerate() {
            for (c, (circuit, wiring)) in part.split.circuits.iter().zip(&part.wirings).enumerate() {
                let junction = wiring.junction.map(|place| {
                    let id = junctions.next();
                    let splice =
                        splice.as_ref().map_or_else(String::new, |splice| format!(", splice: {}", splice.name));
                    self.additions.junctions.push(format!("{{ id: {id}, at: {}{splice} }}", point(place)));
                    id
                });
                let choice = &group.supplies[part.split.supplies[circuit.supply]];
                let output = &choice.kind.outputs[circuit.output].name;
                let stop = |stop: &Stop| match stop {
                    Stop::Output => format!("{}/{output}", self.supplies[g][circuit.supply]),
                    Stop::Junction => junction.clone().unwrap_or_default(),
                    Stop::Lamp(lamp) => layout.luminaires[group.lamps[circuit.lamps[*lamp]].luminaire].id.0.clone(),
                };
                for (r, stops) in wiring.runs.iter().enumerate() {
                    let id = runs.next();
                    let route = stops.iter().map(stop).collect::<Vec<_>>().join(", ");
                    let cable = &board.cables[part.sizes[c][r]].kind.name;
                    self.additions.runs.push(format!(
                        "{{ id: {id}, cable: {cable}, route: [{route}], slack: {slack}, method: direct-burial }}"
                    ));
                    self.runs.insert(id, (g, c, r));
                }
            }
        }
    }
}

fn point(place: Place) -> String {
    format!("[{}, {}]", place.grid.x, place.grid.y)
}

/// A built-in cable type as a plan writes it.
fn cable_text(kind: &CableType) -> String {
    let mut fields = Vec::new();
    fields.extend(kind.conductor.map(|size| format!("conductor: {size}")));
    fields.push(format!("stranding: {}", kind.stranding));
    fields.push(format!("material: {}", kind.material));
    fields.extend(kind.kind.map(|kind| format!("kind: {kind}")));
    fields.extend(kind.direct_burial.map(|burial| format!("direct-burial: {burial}")));
    fields.extend(kind.insulation.map(|insulation| format!("insulation: {insulation}")));
    format!("{{ {} }}", fields.join(", "))
}

/// A built-in supply type with its first outputs as a plan writes it.
fn supply_text(kind: &SupplyType, outputs: usize) -> String {
    let output = |output: &crate::layout::Output| {
        let mut fields = vec![format!("name: {}", output.name), format!("volts: {}", output.volts)];
        fields.extend(output.limit.map(|amps| format!("limit: {amps}")));
        fields.extend(output.protection.map(|amps| format!("protection: {amps}")));
        format!("{{ {} }}", fields.join(", "))
    };
    let outputs: Vec<String> = kind.outputs.iter().take(outputs).map(output).collect();
    let rating = kind.rating.map_or_else(String::new, |rating| format!("rating: {rating}, "));
    format!("{{ {rating}output-current: {}, outputs: [{}] }}", kind.output_current, outputs.join(", "))
}
