//! One topology for all groups: split, wired, conductors chosen.

use super::build::Ground;
use super::catalogue::CableChoice;
use super::group::Group;
use super::limits::Limits;
use super::search::{self, Budget, Miss};
use super::split::{Circuit, Split, Wish, split};
use super::wiring::{Topology, Wiring, wire};
use crate::plan::model::Grid;

/// One group in a draft.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Part {
    pub(super) split: Split,
    /// For each circuit of the split.
    pub(super) wirings: Vec<Wiring>,
    /// For each circuit and run the index of its cable.
    pub(super) sizes: Vec<Vec<usize>>,
}

/// For each group, circuit and run the smallest cable that may be chosen.
pub(super) type Floors = Vec<Vec<Vec<usize>>>;

/// Everything that a draft is made from.
pub(super) struct Board<'a> {
    pub(super) ground: &'a Ground<'a>,
    pub(super) grid: Grid,
    pub(super) groups: &'a [Group],
    pub(super) cables: &'a [CableChoice],
    pub(super) limits: Limits,
}

impl Board<'_> {
    /// Splits and wires each group, with the smallest conductors everywhere.
    pub(super) fn wired(&self, topology: Topology, allowances: &[f64], more: usize) -> Result<Vec<Part>, String> {
        let start = self.ground.start.at;
        let part = |(group, &allowance): (&Group, &f64)| {
            let split = split(group, start, Wish { limits: self.limits, allowance, more_circuits: more })?;
            let wired = |circuit: &Circuit| wire(topology, group, &circuit.lamps, start, self.grid);
            let wirings: Vec<Wiring> = split.circuits.iter().map(wired).collect();
            let sizes = wirings.iter().map(|wiring| vec![0; wiring.runs.len()]).collect();
            Ok(Part { split, wirings, sizes })
        };
        self.groups.iter().zip(allowances).map(part).collect()
    }

    /// Chooses the conductors of each part, none below its floor.
    pub(super) fn choose(&self, parts: &mut [Part], floors: &Floors, budget: &mut Budget) -> Result<(), Miss> {
        for (g, part) in parts.iter_mut().enumerate() {
            let group = &self.groups[g];
            for unit in units(part, group) {
                let kind = &group.supplies[part.split.supplies[part.split.circuits[unit[0]].supply]].kind;
                let circuits: Vec<_> = unit.iter().map(|&c| (&part.split.circuits[c], &part.wirings[c])).collect();
                let mut built = self.ground.unit(group, kind, &circuits, &self.cables[0]);
                let floor: Vec<usize> = unit.iter().flat_map(|&c| floors[g][c].iter().copied()).collect();
                let sizes = search::choose(&mut built, &floor, self.cables, self.limits, budget)?;
                let mut sizes = sizes.into_iter();
                for &c in &unit {
                    part.sizes[c] = sizes.by_ref().take(part.wirings[c].runs.len()).collect();
                }
            }
        }
        Ok(())
    }
}

/// Circuits that move each other's volts and so are solved together: those of a supply whose outputs share a resistance;
/// else each alone.
fn units(part: &Part, group: &Group) -> Vec<Vec<usize>> {
    let shares = |supply: usize| {
        let kind = &group.supplies[part.split.supplies[supply]].kind;
        kind.common_resistance.is_some_and(|ohms| ohms.si() > 0.0)
    };
    let mut units: Vec<Vec<usize>> = Vec::new();
    for (index, circuit) in part.split.circuits.iter().enumerate() {
        match units.last_mut() {
            Some(last) if shares(circuit.supply) && part.split.circuits[last[0]].supply == circuit.supply => {
                last.push(index);
            }
            _ => units.push(vec![index]),
        }
    }
    units
}

/// No floor above the smallest cable.
pub(super) fn no_floors(parts: &[Part]) -> Floors {
    parts.iter().map(|part| part.sizes.iter().map(|runs| vec![0; runs.len()]).collect()).collect()
}
