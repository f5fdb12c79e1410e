//! The segments that a compared number hangs on: those that carry its current.

use crate::analysis::Solution;
use crate::engine::Quantity;
use crate::layout::{Layout, NodeRef};
use std::collections::{BTreeMap, BTreeSet};

/// A segment by run and index.
pub type Place = (usize, usize);

/// The segments that carry the current of a number, each with what a metre of it counts for, the most first; empty where
/// no length of cable changes it.
pub fn carriers(layout: &Layout, solution: &Solution, quantity: Quantity) -> Vec<(f64, Place)> {
    let (places, loss) = match quantity {
        Quantity::Other | Quantity::LuminaireNoLoadVolts(_) => return Vec::new(),
        Quantity::LuminaireVolts(luminaire) | Quantity::LuminaireDropPercent(luminaire) => {
            (upstream(layout, solution, [NodeRef::Luminaire(luminaire)]), false)
        }
        Quantity::RunAmps { run, .. } => (to_run(layout, solution, run), true),
        Quantity::SupplyLoad(supply) | Quantity::SupplyLoadingPercent(supply) => {
            (fed_by(layout, solution, |own, _| own == supply), true)
        }
        Quantity::OutputAmps { supply, output } => (fed_by(layout, solution, |s, o| (s, o) == (supply, output)), true),
    };
    let mut ranked: Vec<(f64, Place)> =
        places.into_iter().map(|place| (weight(layout, solution, place, loss), place)).collect();
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    ranked
}

/// What a metre more of a segment counts for, in volts or in watts a metre: the resistance of the cable times amps, or
/// times their square. It only decides which segments are tried first.
fn weight(layout: &Layout, solution: &Solution, (run, segment): Place, loss: bool) -> f64 {
    let state = solution.segments.get(run).and_then(|segments| segments.get(segment));
    let length_m = layout.runs.get(run).and_then(|run| run.segments.get(segment)).map_or(0.0, |own| own.length_m);
    let Some((state, amps)) = state.and_then(|state| Some((state, state.amps?.abs()))) else { return 0.0 };
    let ohms_per_m = if length_m > 0.0 { state.ohms / length_m } else { 0.0 };
    ohms_per_m * if loss { amps * amps } else { amps }
}

/// Amps of a segment from its start to its end; `None` where it carries none.
fn amps(solution: &Solution, (run, segment): Place) -> Option<f64> {
    solution.segments.get(run)?.get(segment)?.amps.filter(|amps| *amps != 0.0)
}

/// Every segment with its place.
fn all(layout: &Layout) -> impl Iterator<Item = (Place, NodeRef, NodeRef)> {
    layout.runs.iter().enumerate().flat_map(|(r, run)| {
        run.segments.iter().enumerate().map(move |(s, segment)| ((r, s), segment.from, segment.to))
    })
}

/// The segments along which current comes to nodes, on all ways from the supplies.
fn upstream(layout: &Layout, solution: &Solution, nodes: impl IntoIterator<Item = NodeRef>) -> BTreeSet<Place> {
    let mut into: BTreeMap<NodeRef, Vec<(Place, NodeRef)>> = BTreeMap::new();
    for (place, from, to) in all(layout) {
        match amps(solution, place) {
            Some(amps) if amps > 0.0 => into.entry(to).or_default().push((place, from)),
            Some(_) => into.entry(from).or_default().push((place, to)),
            None => {}
        }
    }
    let mut places = BTreeSet::new();
    let mut open: Vec<NodeRef> = nodes.into_iter().collect();
    let mut seen: BTreeSet<NodeRef> = open.iter().copied().collect();
    while let Some(node) = open.pop() {
        for (place, source) in into.get(&node).into_iter().flatten() {
            places.insert(*place);
            if seen.insert(*source) {
                open.push(*source);
            }
        }
    }
    places
}

/// The segment of a run with the largest current, and what brings it there.
fn to_run(layout: &Layout, solution: &Solution, run: usize) -> BTreeSet<Place> {
    let count = layout.runs.get(run).map_or(0, |run| run.segments.len());
    let carrying = (0..count).filter_map(|segment| Some(((run, segment), amps(solution, (run, segment))?)));
    let Some((place, _)) = carrying.max_by(|a, b| a.1.abs().total_cmp(&b.1.abs())) else { return BTreeSet::new() };
    let ends = layout.runs.get(run).and_then(|run| run.segments.get(place.1)).map(|own| [own.from, own.to]);
    let mut places = upstream(layout, solution, ends.into_iter().flatten());
    places.insert(place);
    places
}

/// The segments that carry current in the parts that outputs feed.
fn fed_by(layout: &Layout, solution: &Solution, output: impl Fn(usize, usize) -> bool) -> BTreeSet<Place> {
    let is_own = |node: NodeRef| matches!(node, NodeRef::Output { supply, output: own } if output(supply, own));
    let feeds = |node: NodeRef| match node {
        NodeRef::Output { .. } => is_own(node),
        NodeRef::Junction(index) => {
            solution.junctions.get(index).is_some_and(|state| state.fed_by.iter().any(|feed| is_own(*feed)))
        }
        NodeRef::Luminaire(index) => {
            solution.luminaires.get(index).is_some_and(|state| state.node.fed_by.iter().any(|feed| is_own(*feed)))
        }
    };
    let carrying = all(layout).filter(|(place, _, _)| amps(solution, *place).is_some());
    carrying.filter(|(_, from, to)| feeds(*from) || feeds(*to)).map(|(place, _, _)| place).collect()
}
