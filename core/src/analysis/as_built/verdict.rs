//! Whether what explains the readings is one place, and the result in a sentence.

use super::fault::Fault;
use super::fit::Fit;
use super::observe::{Observed, usual_share};
use super::{Diagnosis, Estimate, FaultKind, Outcome, Quantity, Suspect, words};
use crate::finding::WorkLine;
use crate::layout::{Layout, Measured, NodeRef};
use std::collections::{BTreeMap, BTreeSet};

/// Where a fault is.
#[derive(Debug, Clone, PartialEq)]
enum Locus {
    Supply(usize),
    /// The end of a run at an output.
    End(usize, bool),
    Luminaire(usize),
    /// Along cable: the segments, and the joints where they end.
    Cable {
        family: Family,
        segments: Vec<(usize, usize)>,
        joints: Vec<NodeRef>,
    },
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Family {
    Resistance,
    Polarity,
}

impl Locus {
    fn of(layout: &Layout, fault: Fault) -> Self {
        let cable = |family, segments: Vec<(usize, usize)>| {
            let ends = |&(run, segment): &(usize, usize)| {
                let ends = &layout.runs[run].segments[segment];
                [ends.from, ends.to]
            };
            let joints = segments.iter().flat_map(ends).collect();
            Self::Cable { family, segments, joints }
        };
        match fault {
            Fault::SupplyVolts { supply } => Self::Supply(supply),
            Fault::WrongOutput { run, at_start, .. } => Self::End(run, at_start),
            Fault::Dead { luminaire } | Fault::Power { luminaire } | Fault::Shorted { luminaire } => {
                Self::Luminaire(luminaire)
            }
            Fault::AddedOhms { run, segment } | Fault::Open { run, segment } => {
                cable(Family::Resistance, vec![(run, segment)])
            }
            Fault::Conductor { run } => {
                cable(Family::Resistance, (0..layout.runs[run].segments.len()).map(|segment| (run, segment)).collect())
            }
            Fault::Splice { node } => {
                Self::Cable { family: Family::Resistance, segments: Vec::new(), joints: vec![node] }
            }
            Fault::Reversed { run, segment, .. } => cable(Family::Polarity, vec![(run, segment)]),
            Fault::ReversedLeads { luminaire, .. } => Self::Cable {
                family: Family::Polarity,
                segments: Vec::new(),
                joints: vec![NodeRef::Luminaire(luminaire)],
            },
        }
    }
}

/// Whether single faults that explain the readings are all at one place: one supply, one end of a run, one luminaire,
/// or one stretch of cable with its joints on which no volts were read.
pub(super) fn is_one_place(layout: &Layout, observed: &Observed, found: &[Fit]) -> bool {
    let loci: Vec<Locus> = found.iter().flat_map(|fit| &fit.faults).map(|fault| Locus::of(layout, *fault)).collect();
    let Some((first, rest)) = loci.split_first() else { return false };
    if rest.iter().all(|locus| locus == first) {
        return true;
    }
    let Locus::Cable { family, .. } = first else { return false };
    let mut stretches: Vec<Stretch<'_>> = Vec::new();
    for locus in &loci {
        match locus {
            Locus::Cable { family: other, segments, joints } if other == family => stretches.push((segments, joints)),
            _ => return false,
        }
    }
    is_connected(&stretches) && !has_read_joint(observed, &stretches)
}

/// Segments, as (run, segment), and the joints where they end.
type Stretch<'a> = (&'a [(usize, usize)], &'a [NodeRef]);

/// Whether the stretches hang together at their joints.
fn is_connected(stretches: &[Stretch<'_>]) -> bool {
    let mut reached: BTreeSet<NodeRef> = stretches.first().map(|s| s.1.iter().copied().collect()).unwrap_or_default();
    let mut left: Vec<&[NodeRef]> = stretches.iter().skip(1).map(|s| s.1).collect();
    loop {
        let before = left.len();
        left.retain(|joints| {
            let touches = joints.iter().any(|joint| reached.contains(joint));
            if touches {
                reached.extend(joints.iter().copied());
            }
            !touches
        });
        if left.is_empty() {
            return true;
        }
        if left.len() == before {
            return false;
        }
    }
}

/// Whether volts were read where two of the segments meet: then the readings see both sides, and the two are not one
/// place.
fn has_read_joint(observed: &Observed, stretches: &[Stretch<'_>]) -> bool {
    let mut ends: BTreeMap<(usize, usize), Vec<NodeRef>> = BTreeMap::new();
    for (segments, joints) in stretches {
        for (segment, pair) in segments.iter().zip(joints.chunks(2)) {
            ends.insert(*segment, pair.to_vec());
        }
    }
    let mut meeting: BTreeMap<NodeRef, usize> = BTreeMap::new();
    for node in ends.values().flatten() {
        *meeting.entry(*node).or_default() += 1;
    }
    let read = |node: &NodeRef| {
        observed.observations.iter().any(|o| matches!(o.measured, Measured::Volts { node: at, .. } if at == *node))
    };
    meeting.iter().any(|(node, count)| *count > 1 && read(node))
}

/// Nothing but perhaps the mains is outside.
pub(super) fn without_fault(layout: &Layout, observed: &Observed, diagnosis: &mut Diagnosis) {
    let low = observed.comparisons.iter().zip(layout.readings.iter().flat_map(|readings| &readings.taken));
    for (comparison, reading) in low.filter(|(c, _)| c.outside && c.quantity == Quantity::InputVolts) {
        let (Measured::InputVolts { supply, .. }, Some(nominal)) = (reading.measured, comparison.computed) else {
            continue;
        };
        diagnosis.suspects.push(mains(layout, supply, nominal, comparison.read, comparison.tolerance));
    }
    // The mains have their nominal volts whatever the plan is.
    let of_work = || observed.comparisons.iter().filter(|comparison| comparison.quantity != Quantity::InputVolts);
    let without = of_work().filter(|comparison| comparison.computed.is_none()).count();
    diagnosis.outcome = if !diagnosis.suspects.is_empty() {
        Outcome::Located
    } else if without > 0 && without == of_work().count() {
        Outcome::NotCompared
    } else {
        Outcome::WithinTolerance
    };
    if without > 0 {
        let note = format!("The plan has no computed value for {without} of the readings: they are not compared.");
        diagnosis.notes.push(note);
    }
    state(diagnosis);
}

/// Mains that are far from nominal, as they were read.
fn mains(layout: &Layout, supply: usize, nominal_volts: f64, read_volts: f64, tolerance_volts: f64) -> Suspect {
    let id = &layout.supplies[supply].id;
    let line = |name: &str, value: f64, unit: &str, from: &str| WorkLine {
        name: name.to_owned(),
        value,
        unit: unit.to_owned(),
        from: from.to_owned(),
    };
    Suspect {
        faults: vec![Fault::SupplyVolts { supply }],
        kinds: vec![FaultKind::Mains],
        subjects: vec![id.0.clone()],
        place: format!("the branch circuit of {id}"),
        phrase: format!(
            "the mains at {id} are {} V, {} % of their nominal {} V",
            words::digits(read_volts),
            words::digits(read_volts / nominal_volts * 100.0),
            words::digits(nominal_volts)
        ),
        estimates: vec![Estimate {
            name: "mains over nominal",
            value: read_volts / nominal_volts,
            uncertainty: Some(2.0 * tolerance_volts / 3.0_f64.sqrt() / nominal_volts),
            unit: "",
        }],
        chi_square: 0.0,
        degrees: 0,
        chi_square_limit: 0.0,
        work: vec![
            line("mains as read", read_volts, "V", "reading"),
            line("nominal mains", nominal_volts, "V", "plan"),
            line("usual deviation", usual_share(nominal_volts) * 100.0, "%", "common practice, from memory"),
            line("mains over nominal", read_volts / nominal_volts * 100.0, "%", "as read / nominal"),
        ],
    }
}

/// Says the result.
pub(super) fn state(diagnosis: &mut Diagnosis) {
    let phrases = |most: usize| {
        let all: Vec<&str> = diagnosis.suspects.iter().take(most).map(|s| s.phrase.as_str()).collect();
        let rest = diagnosis.suspects.len().saturating_sub(all.len());
        let more = if rest > 0 { format!("; or one of {rest} more") } else { String::new() };
        format!("{}{more}", all.join("; or "))
    };
    /// A sentence with more is a list, which stands below it anyway.
    const NAMED: usize = 4;
    diagnosis.statement = match diagnosis.outcome {
        Outcome::WithinTolerance => "every reading is within its tolerance of what the plan gives".to_owned(),
        Outcome::NotCompared => "the plan has no computed value to compare a reading with".to_owned(),
        Outcome::Located if diagnosis.suspects.len() == 1 => phrases(1),
        Outcome::Located => format!("one place, and the readings do not tell more closely which: {}", phrases(NAMED)),
        Outcome::Undetermined if diagnosis.suspects.is_empty() => {
            "no fault that could be tried explains the readings".to_owned()
        }
        Outcome::Undetermined if diagnosis.suspects.len() == 1 => {
            format!("this explains the readings, and it is not certain that nothing else does: {}", phrases(1))
        }
        Outcome::Undetermined => format!("the readings do not tell apart: {}", phrases(NAMED)),
        Outcome::Unexplained => "no single fault, and no pair that was tried, explains all readings".to_owned(),
    };
}
