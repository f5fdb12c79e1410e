//! Every fault at every place, then pairs of them: which explain the readings.

use super::bench::Bench;
use super::fault::{Fault, behind, meeting};
use super::fit::{Fit, Readings, fit};
use super::observe::Observed;
use super::{Diagnosis, Outcome, further, verdict, words};
use crate::layout::{Layout, Measured, NodeRef};
use crate::plan::model::OutputCurrent;

/// Suspects that are kept; the rest are counted.
const MOST_SUSPECTS: usize = 400;
/// Faults that come closest alone, one for each effect on the readings, of which pairs are tried.
const PAIRED: usize = 14;

/// Explains what is outside its tolerance.
pub(super) fn diagnose(
    layout: &Layout,
    taken: &crate::layout::Readings,
    observed: &Observed,
    bench: &mut Bench,
) -> Diagnosis {
    let mut diagnosis = Diagnosis {
        outcome: Outcome::WithinTolerance,
        statement: String::new(),
        suspects: Vec::new(),
        further: None,
        notes: notes(layout, observed),
        tried: 0,
    };
    let outside = |seen: bool| {
        observed.comparisons.iter().any(|c| {
            c.outside && c.quantity != super::Quantity::InputVolts && (c.quantity == super::Quantity::Lit) == seen
        })
    };
    if !outside(false) && !outside(true) {
        verdict::without_fault(layout, observed, &mut diagnosis);
        return diagnosis;
    }
    let readings = Readings { observed, further: None, alone: true };
    let (fits, tried, complete) = singles(layout, observed, &readings, bench);
    diagnosis.tried = tried;
    let mut found: Vec<Fit> = fits.iter().filter(|fit| fit.explains).cloned().collect();
    let single = !found.is_empty();
    if !single && complete {
        let readings = Readings { alone: false, ..readings };
        let (fits, _, _) = singles(layout, observed, &readings, bench);
        let (pairs, tried) = pairs(layout, &fits, &readings, bench);
        diagnosis.tried += tried;
        diagnosis.notes.push(format!(
            "No single fault explains all readings; {tried} pairs of the faults that come closest were tried, and not all pairs."
        ));
        found = pairs;
    }
    if !complete || bench.is_exhausted() {
        diagnosis.notes.push(format!(
            "Not every fault could be tried on a plan of this size: {} were; what is not named is not ruled out.",
            diagnosis.tried
        ));
    }
    rank(&mut found);
    if found.len() > MOST_SUSPECTS {
        diagnosis.notes.push(format!("{} more explain the readings and are not listed.", found.len() - MOST_SUSPECTS));
        found.truncate(MOST_SUSPECTS);
    }
    diagnosis.suspects = found.iter().map(|fit| words::suspect(layout, observed, &readings, bench, fit)).collect();
    // Where a current may turn round, the search looks on the side of the planned direction alone.
    let clamped = observed
        .observations
        .iter()
        .any(|o| matches!(o.measured, Measured::RunAmps { run, .. } if behind(layout, run, 0).is_none()));
    if clamped {
        let note =
            "A clamp shows no direction, and the current in a loop may turn round: no place is named for certain.";
        diagnosis.notes.push(note.to_owned());
    }
    diagnosis.outcome = match found.as_slice() {
        [] if complete => Outcome::Unexplained,
        [] => Outcome::Undetermined,
        _ if single && complete && !clamped && verdict::is_one_place(layout, observed, &found) => Outcome::Located,
        _ => Outcome::Undetermined,
    };
    if !found.is_empty() {
        further::look(layout, taken, observed, bench, &found, &mut diagnosis);
    }
    verdict::state(&mut diagnosis);
    diagnosis
}

/// What has to be known of the mains that were read.
fn notes(layout: &Layout, observed: &Observed) -> Vec<String> {
    let note = |mains: &super::observe::Mains| {
        format!(
            "The mains at {} were read as {} V, {} % of their nominal {} V; the computed volts and amps take that into account.",
            layout.supplies[mains.supply].id,
            words::digits(mains.read_volts),
            words::digits(mains.share() * 100.0),
            words::digits(mains.nominal_volts)
        )
    };
    observed.mains.iter().map(note).collect()
}

/// Fits each fault alone; also how many were tried and whether all were.
fn singles(
    layout: &Layout,
    observed: &Observed,
    readings: &Readings<'_>,
    bench: &mut Bench,
) -> (Vec<Fit>, usize, bool) {
    let mut fits: Vec<Fit> = Vec::new();
    let all = faults(layout, observed);
    for (tried, fault) in all.iter().enumerate() {
        if bench.is_exhausted() {
            return (fits, tried, false);
        }
        if let Some(fit) = fit(bench, readings, &[*fault]) {
            fits.push(fit);
        }
    }
    let complete = !bench.is_exhausted();
    without_repeats(&mut fits);
    (fits, all.len(), complete)
}

/// A dead luminaire is one that draws none of its power, and a swapped joint is one whether or not what is behind it
/// draws: of those that explain the readings at one place the simpler stands.
fn without_repeats(fits: &mut Vec<Fit>) {
    let explains = |wanted: Fault, fits: &[Fit]| fits.iter().any(|fit| fit.explains && fit.faults == [wanted]);
    let repeats: Vec<bool> = fits
        .iter()
        .map(|fit| match fit.faults.as_slice() {
            [Fault::Power { luminaire }] => explains(Fault::Dead { luminaire: *luminaire }, fits),
            [Fault::Reversed { run, segment, blocked: true }] => {
                explains(Fault::Reversed { run: *run, segment: *segment, blocked: false }, fits)
            }
            [Fault::ReversedLeads { luminaire, blocked: true }] => {
                explains(Fault::ReversedLeads { luminaire: *luminaire, blocked: false }, fits)
            }
            _ => false,
        })
        .collect();
    let mut repeats = repeats.into_iter();
    fits.retain(|_| !repeats.next().unwrap_or(false));
}

/// Every fault at every place, those first that leave no number open.
fn faults(layout: &Layout, observed: &Observed) -> Vec<Fault> {
    // A reading of next to nothing has no sign.
    if observed.observations.iter().any(|o| o.read < -o.tolerance) {
        return polarity(layout);
    }
    let mut all = wrong_outputs(layout);
    // Swapped poles before luminaires that block the reverse current read as an open conductor or a dead lamp does,
    // unless volts are read behind them.
    if layout.supplies.iter().any(|supply| supply.kind.output_current == OutputCurrent::Dc) {
        let blocks = |fault: &Fault| {
            matches!(fault, Fault::Reversed { blocked: true, .. } | Fault::ReversedLeads { blocked: true, .. })
        };
        all.extend(polarity(layout).into_iter().filter(blocks));
    }
    let luminaires = 0..layout.luminaires.len();
    let segments = || {
        let of_run = |(run, cable): (usize, &crate::layout::Run)| (0..cable.segments.len()).map(move |s| (run, s));
        layout.runs.iter().enumerate().flat_map(of_run)
    };
    all.extend(luminaires.clone().map(|luminaire| Fault::Dead { luminaire }));
    all.extend(segments().map(|(run, segment)| Fault::Open { run, segment }));
    all.extend((0..layout.supplies.len()).map(|supply| Fault::SupplyVolts { supply }));
    all.extend(segments().map(|(run, segment)| Fault::AddedOhms { run, segment }));
    let nodes = (0..layout.junctions.len()).map(NodeRef::Junction).chain(luminaires.clone().map(NodeRef::Luminaire));
    // Where one segment ends, its own resistance is the same thing.
    let splices: Vec<Fault> =
        nodes.filter(|n| meeting(layout, *n).len() > 1).map(|node| Fault::Splice { node }).collect();
    all.extend(splices);
    all.extend((0..layout.runs.len()).map(|run| Fault::Conductor { run }));
    all.extend(luminaires.clone().map(|luminaire| Fault::Power { luminaire }));
    all.extend(luminaires.map(|luminaire| Fault::Shorted { luminaire }));
    all
}

/// Runs moved to each other output of the supply that they hang on.
fn wrong_outputs(layout: &Layout) -> Vec<Fault> {
    let mut all = Vec::new();
    for (run, cable) in layout.runs.iter().enumerate() {
        let ends = [(true, cable.segments.first().map(|s| s.from)), (false, cable.segments.last().map(|s| s.to))];
        for (at_start, end) in ends {
            let Some(NodeRef::Output { supply, output: own }) = end else { continue };
            let others = (0..layout.supplies[supply].kind.outputs.len()).filter(|output| *output != own);
            all.extend(others.map(|output| Fault::WrongOutput { run, at_start, output }));
        }
    }
    all
}

/// Swapped poles: nothing else turns a reading round.
fn polarity(layout: &Layout) -> Vec<Fault> {
    let mut all = Vec::new();
    for blocked in [false, true] {
        for (run, cable) in layout.runs.iter().enumerate() {
            let cuts = (0..cable.segments.len()).filter(|segment| behind(layout, run, *segment).is_some());
            all.extend(cuts.map(|segment| Fault::Reversed { run, segment, blocked }));
        }
        all.extend((0..layout.luminaires.len()).map(|luminaire| Fault::ReversedLeads { luminaire, blocked }));
    }
    all
}

/// Pairs of the faults that come closest alone, one of each kind of effect: among equals the kind that is tried first, then
/// by name, so that the same pairs are tried whatever the order of the plan.
fn pairs(layout: &Layout, fits: &[Fit], readings: &Readings<'_>, bench: &mut Bench) -> (Vec<Fit>, usize) {
    let mut kinds = Vec::new();
    let mut named = |fault: &Fault| {
        let kind = std::mem::discriminant(fault);
        let place = kinds.iter().position(|known| *known == kind).unwrap_or(kinds.len());
        if place == kinds.len() {
            kinds.push(kind);
        }
        (place, fault.named(layout))
    };
    let mut order: Vec<(Vec<_>, &Fit)> =
        fits.iter().map(|fit| (fit.faults.iter().map(&mut named).collect(), fit)).collect();
    order.sort_by(|a, b| closeness(a.1).total_cmp(&closeness(b.1)).then_with(|| a.0.cmp(&b.0)));
    let mut chosen: Vec<&Fit> = Vec::new();
    for (_, fit) in order {
        if chosen.len() < PAIRED && !chosen.iter().any(|known| is_alike(known, fit, readings.observed)) {
            chosen.push(fit);
        }
    }
    let (mut found, mut tried) = (Vec::new(), 0);
    for (index, one) in chosen.iter().enumerate() {
        for other in &chosen[index + 1..] {
            if one.faults == other.faults || bench.is_exhausted() {
                continue;
            }
            tried += 1;
            let both: Vec<Fault> = one.faults.iter().chain(&other.faults).copied().collect();
            found.extend(fit(bench, readings, &both).filter(|fit| fit.explains));
        }
    }
    (found, tried)
}

/// Whether two faults do the same to all readings, as far as instruments tell.
fn is_alike(a: &Fit, b: &Fit, observed: &Observed) -> bool {
    let close = |((a, b), o): ((&f64, &f64), &super::observe::Observation)| (a - b).abs() <= 0.02 * o.tolerance;
    a.predictions.iter().zip(&b.predictions).zip(&observed.observations).all(close)
}

/// The fewest numbers first, then the best fit, then the order of the plan.
fn rank(found: &mut [Fit]) {
    let numbers = |fit: &Fit| fit.uncertainties.iter().flatten().count();
    found.sort_by(|a, b| {
        (a.faults.len(), numbers(a))
            .cmp(&(b.faults.len(), numbers(b)))
            .then(closeness(a).total_cmp(&closeness(b)))
            .then(a.faults.cmp(&b.faults))
    });
}

/// How well it fits. Faults that fit alike differ in the last digits only, which are no reason to put one first.
fn closeness(fit: &Fit) -> f64 {
    (fit.chi_square * 1e4).round()
}
