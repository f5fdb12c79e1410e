//! The cost of a proposal by the user's weights.

use super::measure::work;
use super::report::CableLength;
use super::request::Weights;
use crate::finding::WorkLine;

/// The sum, and its arithmetic added to the lines.
pub(super) fn cost(
    weights: &Weights,
    by_type: &[CableLength],
    trench_m: f64,
    splices: usize,
    rated_va: f64,
    lines: &mut Vec<WorkLine>,
) -> f64 {
    let mut parts = Vec::new();
    for cable in by_type {
        let weight = weights.of_cable(&cable.cable);
        parts.push((
            format!("cost of {}", cable.cable),
            weight * cable.length_m,
            format!("{weight} a m x {} m", cable.length_m),
        ));
    }
    let trench = weights.trench_per_m;
    parts.push(("cost of trench".to_owned(), trench * trench_m, format!("{trench} a m x {trench_m} m")));
    let splice = weights.splice_each;
    parts.push(("cost of splices".to_owned(), splice * splices as f64, format!("{splice} each x {splices}")));
    let supply = weights.supply_per_va;
    parts.push(("cost of supplies".to_owned(), supply * rated_va, format!("{supply} a VA x {rated_va} VA")));
    let total = parts.iter().map(|(_, cost, _)| cost).sum();
    lines.extend(parts.into_iter().map(|(name, cost, from)| work(name, cost, "", from)));
    lines.push(work("cost", total, "", "the sum"));
    total
}
