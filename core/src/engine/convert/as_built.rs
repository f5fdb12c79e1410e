//! What was read on the finished work, as the interface has it.

use super::wit;
use crate::analysis::as_built::{AsBuilt, Comparison, Estimate, FaultKind, Further, Outcome, Quantity, Suspect};
use crate::finding::WorkLine;

same_names! {
    quantity: Quantity => ReadingQuantity { Volts, Amps, InputVolts, Lit }
    outcome: Outcome => AsBuiltOutcome { WithinTolerance, Located, Undetermined, Unexplained, NotCompared }
    kind: FaultKind => FaultKind {
        Mains, SupplyVolts, WrongOutput, DeadLuminaire, LuminairePower, ShortedLuminaire, AddedResistance, Splice,
        WrongConductor, OpenConductor, ReversedPolarity, ReversedLeads
    }
}

/// Suspects that modules are told of; a finding names far fewer.
const SUSPECTS: usize = 50;

pub(super) fn as_built(result: &AsBuilt) -> wit::AsBuiltReadings {
    let diagnosis = &result.diagnosis;
    wit::AsBuiltReadings {
        comparisons: result.comparisons.iter().map(comparison).collect(),
        outcome: outcome(diagnosis.outcome),
        statement: diagnosis.statement.clone(),
        suspects: diagnosis.suspects.iter().take(SUSPECTS).map(suspect).collect(),
        further: diagnosis.further.as_ref().map(further),
        notes: diagnosis.notes.clone(),
    }
}

fn comparison(comparison: &Comparison) -> wit::ReadingComparison {
    wit::ReadingComparison {
        place: comparison.place.clone(),
        subject: comparison.subject.clone(),
        field: comparison.field.clone(),
        quantity: quantity(comparison.quantity),
        read: comparison.read,
        computed: comparison.computed,
        allowed: comparison.allowed,
        tolerance: comparison.tolerance,
        outside: comparison.outside,
    }
}

fn suspect(suspect: &Suspect) -> wit::FaultSuspect {
    let estimate = |estimate: &Estimate| wit::FaultEstimate {
        name: estimate.name.to_owned(),
        value: estimate.value,
        uncertainty: estimate.uncertainty,
        unit: estimate.unit.to_owned(),
    };
    let line = |line: &WorkLine| wit::Arithmetic {
        name: line.name.clone(),
        value: line.value,
        unit: line.unit.clone(),
        source: line.from.clone(),
    };
    wit::FaultSuspect {
        kinds: suspect.kinds.iter().copied().map(kind).collect(),
        subjects: suspect.subjects.clone(),
        place: suspect.place.clone(),
        phrase: suspect.phrase.clone(),
        estimates: suspect.estimates.iter().map(estimate).collect(),
        chi_square: suspect.chi_square,
        degrees: u32::try_from(suspect.degrees).unwrap_or(u32::MAX),
        chi_square_limit: suspect.chi_square_limit,
        work: suspect.work.iter().map(line).collect(),
    }
}

fn further(further: &Further) -> wit::FurtherReading {
    wit::FurtherReading {
        place: further.place.clone(),
        subject: further.subject.clone(),
        quantity: quantity(further.quantity),
        phrase: further.phrase.clone(),
        expected: further.expected.iter().take(SUSPECTS).copied().collect(),
    }
}
