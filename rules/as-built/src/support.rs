//! What several rules of this topic need: the words of a quantity, what is missing, and the cautions.

use lintern_rule::FindingDraft;
use lintern_rule::facts::{AsBuiltReadings, FaultSuspect, ReadingQuantity};

/// What a reading has nothing to be compared with for.
pub const NO_ANSWER: &str = "an operating point of its circuit";

/// Before a hand is laid on a joint.
pub const CAUTION: &str = "readings are taken live: switch the supply off and test before a splice is opened; the line-voltage side belongs to licensed people";

/// The unit of a quantity; empty for what is seen.
pub fn unit(quantity: ReadingQuantity) -> &'static str {
    match quantity {
        ReadingQuantity::Volts | ReadingQuantity::InputVolts => "V",
        ReadingQuantity::Amps => "A",
        ReadingQuantity::Lit | ReadingQuantity::Other => "",
    }
}

/// The elements at the places of all suspects, each once, the one to look at first in front.
pub fn subjects(readings: &AsBuiltReadings) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for subject in readings.suspects.iter().flat_map(|suspect| &suspect.subjects) {
        if !all.contains(subject) {
            all.push(subject.clone());
        }
    }
    all
}

/// Adds the arithmetic of a suspect.
pub fn work<'a>(draft: FindingDraft<'a>, suspect: &FaultSuspect) -> FindingDraft<'a> {
    suspect
        .work
        .iter()
        .fold(draft, |draft, line| draft.work(line.name.clone(), line.value, line.unit.clone(), line.source.clone()))
}
