//! A critical length as it is shown: rounded in the unit of the plan so that the rule passes at one number and fails one
//! step of the last decimal further, both solved.

use super::Critical;
use super::carriers::Place;
use super::search::{Budget, Trial, UsedUp, Way};
use crate::finding::WorkLine;
use crate::layout::Layout;
use crate::plan::model::Grid;
use crate::plan::quantity::METRES_PER_FOOT;
use crate::plan::scalar::Conductor;

/// Most decimals of a length.
const MOST_DECIMALS: usize = 9;

/// The unit of a segment's length with its metres: that of the plan's coordinates, else feet for AWG and metres for mm².
pub fn unit(layout: &Layout, run: usize) -> (&'static str, f64) {
    let conductor = layout.runs.get(run).and_then(|run| run.cable.conductor);
    match (layout.grid, conductor) {
        (Some(Grid::Ft), _) | (None, Some(Conductor::Awg(_))) => ("ft", METRES_PER_FOOT),
        (Some(Grid::M), _) | (None, _) => ("m", 1.0),
    }
}

/// The turn between two lengths, rounded and solved again at both rounded lengths; `None` where no number of decimals
/// shows it truly.
pub fn rounded(
    trial: &Trial,
    place: Place,
    way: Way,
    [near_m, far_m]: [f64; 2],
    onward: bool,
    budget: &mut Budget,
) -> Result<Option<Critical>, UsedUp> {
    let (unit, metres) = unit(trial.layout(), place.0);
    let now = trial.length_m(place) / metres;
    let passes_shorter = trial.passes_now() == (way == Way::Longer);
    let passing = if trial.passes_now() { near_m } else { far_m } / metres;
    let outward = if passes_shorter { 1.0 } else { -1.0 };
    for decimals in least_decimals(passing)..=MOST_DECIMALS {
        let scale = scale(decimals);
        let inward = if passes_shorter { (passing * scale).floor() } else { (passing * scale).ceil() };
        // The number just beyond may still pass: it can be the limit itself but for rounding.
        for steps in [inward + outward, inward, inward - outward] {
            let (passes_at, fails_at) = (steps / scale, (steps + outward) / scale);
            if passes_at < 0.0 || fails_at < 0.0 || !is_beyond_now(trial, way, now, passes_at, fails_at) {
                continue;
            }
            let passing = trial.at(place, passes_at * metres, budget)?;
            let (true, Some(measured_where_it_passes)) = (passing.passes, passing.value) else { continue };
            let failing = trial.at(place, fails_at * metres, budget)?;
            if failing.passes {
                continue;
            }
            let (run, segment) = place;
            let own = trial.layout().runs.get(run).and_then(|run| Some((run, run.segments.get(segment)?)));
            return Ok(own.map(|(run, own)| Critical {
                run: run.id.0.clone(),
                segment,
                from: trial.layout().node_name(own.from),
                to: trial.layout().node_name(own.to),
                unit,
                length: now,
                passes_at,
                fails_at,
                decimals,
                measured_where_it_passes,
                measured_where_it_fails: failing.value,
                onward,
            }));
        }
    }
    Ok(None)
}

/// What the last decimal of a length of a run stands for, m.
pub fn last_decimal_m(layout: &Layout, run: usize, length_m: f64) -> f64 {
    let (_, metres) = unit(layout, run);
    metres / scale(least_decimals(length_m / metres))
}

/// 10 to a number of decimals.
fn scale(decimals: usize) -> f64 {
    (0..decimals).fold(1.0, |scale, _| scale * 10.0)
}

/// A tenth, or for short lengths three significant digits.
fn least_decimals(length: f64) -> usize {
    (1..MOST_DECIMALS).find(|decimals| length * scale(*decimals) >= 100.0).unwrap_or(MOST_DECIMALS - 1)
}

/// Whether both lengths are on the side of the present one that its verdict allows.
fn is_beyond_now(trial: &Trial, way: Way, now: f64, passes_at: f64, fails_at: f64) -> bool {
    let nearer = if trial.passes_now() { passes_at } else { fails_at };
    match way {
        Way::Longer => nearer >= now,
        Way::Shorter => nearer <= now,
    }
}

/// The arithmetic behind a critical length.
pub fn work(critical: &Critical, unit: &str) -> Vec<WorkLine> {
    let Critical { run, from, to, unit: length_unit, decimals, .. } = critical;
    let segment = format!("{run} from {from} to {to}");
    let line = |name: String, value, unit: &str, from: &str| WorkLine {
        name,
        value,
        unit: unit.to_owned(),
        from: from.to_owned(),
    };
    let at = |length: f64| format!("the same with {length:.decimals$} {length_unit} of {segment}");
    let mut work = vec![
        line(format!("present length of {segment}"), critical.length, length_unit, "plan, slack included"),
        line(at(critical.passes_at), critical.measured_where_it_passes, unit, "network solved again: passes"),
    ];
    if let Some(value) = critical.measured_where_it_fails {
        work.push(line(at(critical.fails_at), value, unit, "network solved again: fails"));
    }
    work
}
