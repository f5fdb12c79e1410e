//! The reading that was not taken and would tell the suspects apart.

use super::bench::{self, Bench, predicted, volts};
use super::fault::Fault;
use super::fit::{Fit, Readings, fit, input_volts};
use super::observe::{Observed, Tolerances, imagined, imagined_mains, imagined_output_amps, imagined_run_amps};
use super::{Diagnosis, Further, Quantity, words};
use crate::analysis::Solution;
use crate::layout::{Layout, Measured, NodeRef};

/// Suspects that are looked at.
const LOOKED_AT: usize = 40;
/// Readings that are tried out.
const TRIED_OUT: usize = 3;
/// Suspects that are taken to be the true one in turn when a reading is tried out.
const TAKEN_AS_TRUE: usize = 3;

/// A suspect with what would be read everywhere.
struct Prospect {
    fit: Fit,
    solution: Solution,
    reversed: Vec<NodeRef>,
}

/// A reading that could be taken.
struct Candidate {
    measured: Measured,
    quantity: Quantity,
    values: Vec<f64>,
    tolerances: Vec<f64>,
    /// Pairs of suspects that can't both be right whatever is read.
    apart: usize,
    /// Largest difference in tolerances.
    widest: f64,
}

/// Looks for the reading that rules out most, tries it out, and says what it would show.
pub(super) fn look(
    layout: &Layout,
    taken: &crate::layout::Readings,
    observed: &Observed,
    bench: &mut Bench,
    found: &[Fit],
    diagnosis: &mut Diagnosis,
) {
    if found.len() < 2 {
        return;
    }
    let prospects: Vec<Prospect> = found
        .iter()
        .take(LOOKED_AT)
        .map(|fit| {
            let shares: Vec<(usize, f64)> =
                observed.mains.iter().zip(&fit.mains).map(|(mains, share)| (mains.supply, *share)).collect();
            let reversed = fit.faults.iter().flat_map(|fault| fault.reversed_nodes(layout)).collect();
            Prospect { solution: bench.solve(&fit.put(), &shares), reversed, fit: fit.clone() }
        })
        .collect();
    if let Some(look) = dark_luminaires(layout, observed, &prospects, diagnosis) {
        diagnosis.further = Some(look);
        return;
    }
    let tolerances = Tolerances::quiet(layout, taken);
    let mut candidates: Vec<Candidate> = places(layout, taken)
        .into_iter()
        .filter_map(|(measured, quantity)| candidate(layout, &tolerances, &prospects, measured, quantity))
        .filter(|candidate| candidate.apart > 0)
        .collect();
    // Stable: among equals the order of the plan.
    candidates.sort_by(|a, b| b.apart.cmp(&a.apart).then(b.widest.total_cmp(&a.widest)));
    let best = candidates.iter().take(TRIED_OUT).find(|candidate| separates(observed, bench, &prospects, candidate));
    match best {
        Some(best) => diagnosis.further = Some(say(layout, diagnosis, best)),
        None => diagnosis.notes.push(
            "No one further reading of volts or amps would tell the suspects apart within these tolerances: use finer instruments, or open the joints and look."
                .to_owned(),
        ),
    }
}

/// Looking costs nothing: where several luminaires may be dead, which of them is dark tells.
fn dark_luminaires(
    layout: &Layout,
    observed: &Observed,
    prospects: &[Prospect],
    diagnosis: &Diagnosis,
) -> Option<Further> {
    let dark = |prospect: &Prospect| match prospect.fit.faults.as_slice() {
        [Fault::Dead { luminaire } | Fault::Shorted { luminaire }] => Some(*luminaire),
        _ => None,
    };
    let mut dead: Vec<usize> = prospects.iter().filter_map(dark).collect();
    dead.sort_unstable();
    dead.dedup();
    dead.retain(|luminaire| observed.seen.iter().all(|(seen, _)| seen != luminaire));
    let first = *dead.first()?;
    let lit = |prospect: &Prospect| match dark(prospect) {
        Some(luminaire) => Some(luminaire != first),
        None => bench::lit(layout, &prospect.solution, first),
    };
    let expected: Vec<Option<f64>> =
        prospects.iter().map(|prospect| lit(prospect).map(|lit| if lit { 1.0 } else { 0.0 })).collect();
    // It must rule somebody out, whichever way it turns out.
    if !(expected.contains(&Some(0.0)) && expected.contains(&Some(1.0))) {
        return None;
    }
    /// More names than this hide the point.
    const NAMED: usize = 8;
    let names: Vec<&str> = dead.iter().take(NAMED).map(|l| layout.luminaires[*l].id.0.as_str()).collect();
    let more = if dead.len() > NAMED { format!(" and {} more", dead.len() - NAMED) } else { String::new() };
    let id = layout.luminaires[first].id.0.clone();
    Some(Further {
        place: id.clone(),
        subject: id,
        quantity: Quantity::Lit,
        expected: (0..diagnosis.suspects.len()).map(|index| expected.get(index).copied().flatten()).collect(),
        phrase: match names.as_slice() {
            [only] => format!("look whether {only} is dark, and note it as `lit`"),
            names => format!("look which of {}{more} is dark, and note it as `lit`", names.join(", ")),
        },
    })
}

/// Every place and quantity that was not read, in the order of the plan.
fn places(layout: &Layout, taken: &crate::layout::Readings) -> Vec<(Measured, Quantity)> {
    let outputs = || {
        let of = |(supply, s): (usize, &crate::layout::Supply)| (0..s.kind.outputs.len()).map(move |o| (supply, o));
        layout.supplies.iter().enumerate().flat_map(of)
    };
    let mut all: Vec<(Measured, Quantity)> = Vec::new();
    all.extend((0..layout.supplies.len()).map(|supply| (imagined_mains(supply), Quantity::InputVolts)));
    all.extend(outputs().map(|(supply, output)| (imagined(NodeRef::Output { supply, output }), Quantity::Volts)));
    all.extend(outputs().map(|(supply, output)| (imagined_output_amps(supply, output), Quantity::Amps)));
    all.extend((0..layout.junctions.len()).map(|junction| (imagined(NodeRef::Junction(junction)), Quantity::Volts)));
    all.extend((0..layout.luminaires.len()).map(|l| (imagined(NodeRef::Luminaire(l)), Quantity::Volts)));
    all.extend((0..layout.runs.len()).map(|run| (imagined_run_amps(run), Quantity::Amps)));
    let known: std::collections::BTreeSet<(String, &str)> =
        taken.taken.iter().map(|reading| (reading.measured.place(layout), reading.measured.key())).collect();
    all.retain(|(measured, _)| !known.contains(&(measured.place(layout), measured.key())));
    all
}

/// What each suspect says of a place; `None` where one of them has no number, or the mains are not used.
fn candidate(
    layout: &Layout,
    tolerances: &Tolerances,
    prospects: &[Prospect],
    measured: Measured,
    quantity: Quantity,
) -> Option<Candidate> {
    let mut values = Vec::with_capacity(prospects.len());
    for prospect in prospects {
        values.push(match measured {
            Measured::InputVolts { supply, .. } => {
                let follows = layout.supplies[supply].kind.regulated != Some(true);
                follows.then(|| input_volts(layout, &prospect.fit.put(), supply)).flatten()?
            }
            Measured::Volts { node, .. } => {
                let value = volts(&prospect.solution, node)?;
                if prospect.reversed.contains(&node) { -value } else { value }
            }
            _ => predicted(layout, &prospect.solution, &measured)?,
        });
    }
    let of = |value: &f64| match (measured, quantity) {
        (Measured::Volts { node, .. }, _) => tolerances.volts(layout, node, *value),
        (_, Quantity::InputVolts) => tolerances.mains(*value),
        _ => tolerances.amps(*value),
    };
    let tolerance: Vec<f64> = values.iter().map(of).collect();
    let (mut apart, mut widest) = (0, 0.0_f64);
    let all = || values.iter().zip(&tolerance);
    for (index, (one, its)) in all().enumerate() {
        for (other, others) in all().take(index) {
            let difference = (one - other).abs() / (its + others).max(1e-9);
            apart += usize::from(difference > 1.0);
            widest = widest.max(difference);
        }
    }
    Some(Candidate { measured, quantity, values, tolerances: tolerance, apart, widest })
}

/// Takes some suspects to be the true one in turn and fits the others to what would then be read: the reading serves
/// when some suspect is ruled out.
fn separates(observed: &Observed, bench: &mut Bench, prospects: &[Prospect], candidate: &Candidate) -> bool {
    let mut order: Vec<usize> = (0..prospects.len()).collect();
    order.sort_by(|a, b| candidate.values[*a].total_cmp(&candidate.values[*b]));
    let (lowest, highest) = (order.first().copied(), order.last().copied());
    let middle = order.get(order.len() / 2).copied();
    let truths: Vec<usize> = [lowest, highest, middle].into_iter().flatten().take(TAKEN_AS_TRUE).collect();
    truths.iter().any(|&truth| {
        let read = candidate.values[truth];
        let mut others: Vec<usize> = order.iter().copied().filter(|other| *other != truth).collect();
        others.sort_by(|a, b| (candidate.values[*b] - read).abs().total_cmp(&(candidate.values[*a] - read).abs()));
        others.iter().take(TAKEN_AS_TRUE).any(|&other| {
            let readings = Readings {
                observed,
                further: Some((candidate.measured, read, candidate.tolerances[truth])),
                alone: true,
            };
            !fit(bench, &readings, &prospects[other].fit.faults).is_some_and(|fit| fit.explains)
                && !bench.is_exhausted()
        })
    })
}

/// The reading with what it would show.
fn say(layout: &Layout, diagnosis: &Diagnosis, best: &Candidate) -> Further {
    /// More expectations than this hide the point.
    const SHOWN: usize = 6;
    let place = best.measured.place(layout);
    let unit = best.quantity.unit();
    let what = match best.quantity {
        Quantity::Volts => format!("the volts at {place} under load"),
        Quantity::Amps => format!("the amps of {place}"),
        Quantity::InputVolts => {
            format!("the volts of the branch circuit at the input of {place}, which belongs to licensed people")
        }
        Quantity::Lit => format!("whether {place} is lit"),
    };
    let mut shown: Vec<(f64, &str)> =
        best.values.iter().zip(&diagnosis.suspects).map(|(value, suspect)| (*value, suspect.place.as_str())).collect();
    shown.sort_by(|a, b| b.0.total_cmp(&a.0));
    let more = if shown.len() > SHOWN { ", and so on" } else { "" };
    let expected: Vec<String> = spread(&shown, SHOWN)
        .iter()
        .map(|(value, place)| format!("{} {unit} if it is {place}", words::digits(*value)))
        .collect();
    Further {
        subject: best.measured.subject(layout).to_owned(),
        quantity: best.quantity,
        expected: (0..diagnosis.suspects.len()).map(|index| best.values.get(index).copied()).collect(),
        phrase: format!("read {what}: {}{more}", expected.join(", ")),
        place,
    }
}

/// Some of a list, spread over it, the ends included.
fn spread<T: Copy>(all: &[T], most: usize) -> Vec<T> {
    if all.len() <= most {
        return all.to_vec();
    }
    (0..most).map(|i| all[i * (all.len() - 1) / (most - 1)]).collect()
}
