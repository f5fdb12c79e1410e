//! The conductor of each run: the smallest with which every luminaire gets its volts.

use super::build::Unit;
use super::catalogue::CableChoice;
use super::limits::{Limits, above, below};
use crate::analysis::{Case, LuminaireState, Solution, network};
use crate::layout::Luminaire;

/// Work that one proposal may take: networks solved, times their nodes.
const MOST_WORK: usize = 30_000_000;

/// What is left of the work that may be done. It is counted, so that the result does not depend on the machine.
#[derive(Debug, Clone, Copy)]
pub(super) struct Budget {
    left: usize,
}

impl Budget {
    pub(super) fn new() -> Self {
        Self { left: MOST_WORK }
    }

    /// Whether nothing is left, so that smaller conductors were not all tried.
    pub(super) fn is_spent(self) -> bool {
        self.left == 0
    }

    fn solve(&mut self, unit: &Unit) -> Solution {
        self.left = self.left.saturating_sub(unit.layout.luminaires.len() + unit.layout.junctions.len() + 1);
        network::solve(&unit.layout, Case::Judged)
    }
}

/// A luminaire that does not get its volts with the largest conductors.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Miss {
    /// Index in the plan's layout.
    pub(super) luminaire: usize,
    /// What it gets, V; `None` where the network has no operating point.
    pub(super) volts: Option<f64>,
    /// Its drop, %.
    pub(super) drop_percent: Option<f64>,
    /// Whether it gets too much, which no conductor cures.
    pub(super) too_much: bool,
}

/// Chooses a cable for each run of a unit, none below its floor: first the floors, then a size more for the run that loses
/// most on the way to each luminaire that lacks volts, until none does; then a size less wherever that still does.
pub(super) fn choose(
    unit: &mut Unit,
    floors: &[usize],
    cables: &[CableChoice],
    limits: Limits,
    budget: &mut Budget,
) -> Result<Vec<usize>, Miss> {
    let mut sizes = floors.to_vec();
    set_all(unit, &sizes, cables);
    // Each round makes one run larger at least.
    loop {
        let solution = budget.solve(unit);
        let misses = misses(unit, &solution, limits);
        let Some((_, worst)) = misses.first() else { break };
        if worst.too_much {
            return Err(worst.clone());
        }
        let mut grown = vec![false; sizes.len()];
        let mut stuck = None;
        for (lamp, miss) in misses.iter().map(|(lamp, miss)| (*lamp, miss)) {
            let way = &unit.ways[lamp];
            if way.iter().any(|run| grown[*run]) {
                continue;
            }
            let growable = way.iter().copied().filter(|run| sizes[*run] + 1 < cables.len());
            let most = growable
                .max_by(|&a, &b| lost_v(unit, &solution, a).total_cmp(&lost_v(unit, &solution, b)).then(b.cmp(&a)));
            match most {
                Some(run) => {
                    sizes[run] += 1;
                    grown[run] = true;
                }
                // Without an operating point another way may be at fault.
                None if miss.volts.is_none() => {
                    stuck.get_or_insert_with(|| miss.clone());
                }
                None => return Err(miss.clone()),
            }
        }
        if let Some(miss) = stuck.filter(|_| !grown.contains(&true)) {
            return Err(miss);
        }
        set_all(unit, &sizes, cables);
    }
    shrink(unit, &mut sizes, floors, cables, limits, budget);
    Ok(sizes)
}

/// Makes runs smaller, the longest first, until no single one can be.
fn shrink(
    unit: &mut Unit,
    sizes: &mut [usize],
    floors: &[usize],
    cables: &[CableChoice],
    limits: Limits,
    budget: &mut Budget,
) {
    let length_m = |run: usize| unit.layout.runs[run].segments.iter().map(|segment| segment.length_m).sum::<f64>();
    let mut order: Vec<(f64, usize)> = (0..sizes.len()).map(|run| (length_m(run), run)).collect();
    order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut shrunk = true;
    while shrunk {
        shrunk = false;
        for &(_, run) in &order {
            while sizes[run] > floors[run] && !budget.is_spent() {
                unit.layout.runs[run].cable = cables[sizes[run] - 1].kind.clone();
                let solution = budget.solve(unit);
                if !misses(unit, &solution, limits).is_empty() {
                    unit.layout.runs[run].cable = cables[sizes[run]].kind.clone();
                    break;
                }
                sizes[run] -= 1;
                shrunk = true;
            }
        }
    }
}

fn set_all(unit: &mut Unit, sizes: &[usize], cables: &[CableChoice]) {
    for (run, size) in unit.layout.runs.iter_mut().zip(sizes) {
        run.cable = cables[*size].kind.clone();
    }
}

/// Volts lost in a run.
fn lost_v(unit: &Unit, solution: &Solution, run: usize) -> f64 {
    let states = solution.segments.get(run).map_or(&[][..], Vec::as_slice);
    match states.iter().map(|state| Some(state.amps?.abs() * state.ohms)).sum::<Option<f64>>() {
        Some(volts) => volts,
        // Without an operating point the resistance tells which run is in the way.
        None => unit.layout.runs.get(run).map_or(0.0, |_| ohms(solution, run)),
    }
}

/// Resistance of a run, ohm.
fn ohms(solution: &Solution, run: usize) -> f64 {
    solution.segments.get(run).map_or(0.0, |states| states.iter().map(|state| state.ohms).sum())
}

/// Luminaires of the unit that do not get their volts, the worst first.
fn misses(unit: &Unit, solution: &Solution, limits: Limits) -> Vec<(usize, Miss)> {
    let mut misses: Vec<(f64, usize, Miss)> = Vec::new();
    for (lamp, state) in solution.luminaires.iter().enumerate() {
        let Some((severity, too_much)) = fault(&unit.layout.luminaires[lamp], state, limits) else { continue };
        let miss = Miss {
            luminaire: unit.luminaires[lamp],
            volts: state.node.volts,
            drop_percent: state.node.drop_percent,
            too_much,
        };
        misses.push((severity, lamp, miss));
    }
    // Of luminaires without an operating point the one behind the most resistance and power is the likely fault.
    let strain = |lamp: usize| {
        let ohms: f64 = unit.ways[lamp].iter().map(|run| ohms(solution, *run)).sum();
        ohms * unit.layout.luminaires[lamp].kind.power.si()
    };
    let strain = |(_, lamp, miss): &(f64, usize, Miss)| if miss.volts.is_none() { strain(*lamp) } else { 0.0 };
    misses.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| strain(b).total_cmp(&strain(a))).then(a.1.cmp(&b.1)));
    misses.into_iter().map(|(_, lamp, miss)| (lamp, miss)).collect()
}

/// How far a luminaire is from its volts, as a share of its nominal voltage, and whether it gets too much. The same
/// comparisons as in the rules `voltage/undervoltage`, `overvoltage`, `no-load-overvoltage` and `excess-drop`.
fn fault(luminaire: &Luminaire, state: &LuminaireState, limits: Limits) -> Option<(f64, bool)> {
    let kind = &luminaire.kind;
    let nominal_v = kind.nominal.si();
    let (Some(volts), Some(no_load_v), Some(drop)) =
        (state.node.volts, state.node.no_load_volts, state.node.drop_percent)
    else {
        return Some((f64::INFINITY, false));
    };
    let (practice_min_v, practice_max_v) = practice_window_v(nominal_v);
    let max_v = kind.input_max.map_or(practice_max_v, |max| max.si());
    let min_v = kind.input_min.map_or(practice_min_v, |min| min.si());
    // Without a stated highest voltage the rule about no load has no answer.
    if above(volts, max_v) || (kind.input_max.is_some() && above(no_load_v, max_v)) {
        return Some((f64::INFINITY, true));
    }
    let too_little = below(volts, min_v) || state.lit == Some(false);
    let short = if too_little { ((min_v - volts) / nominal_v).max(f64::MIN_POSITIVE) } else { 0.0 };
    let lost = if above(drop, limits.drop_percent) { (drop - limits.drop_percent) / 100.0 } else { 0.0 };
    (short > 0.0 || lost > 0.0).then_some((short.max(lost), false))
}

/// The window for a luminaire without a stated range, as the rules have it. Common practice, no source.
fn practice_window_v(nominal_v: f64) -> (f64, f64) {
    match nominal_v {
        12.0 => (10.8, 12.6),
        24.0 => (21.6, 26.4),
        nominal => (0.9 * nominal, 1.05 * nominal),
    }
}
