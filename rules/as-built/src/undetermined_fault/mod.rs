//! Readings outside their tolerance that faults at several places explain, or none does.

use crate::support::{CAUTION, NO_ANSWER, subjects, work};
use lintern_rule::facts::AsBuiltOutcome;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "as-built/undetermined-fault",
    title: "The readings show a fault and do not tell where it is",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(readings) = input.readings() else { return };
    match readings.outcome {
        AsBuiltOutcome::NotCompared => report.undetermined("", [NO_ANSWER]),
        AsBuiltOutcome::WithinTolerance | AsBuiltOutcome::Located => report.checked(""),
        AsBuiltOutcome::Undetermined | AsBuiltOutcome::Unexplained => {
            let help = match &readings.further {
                Some(further) => format!("{}; {CAUTION}", further.phrase),
                None => format!("check the plan against what was built, and read at more places; {CAUTION}"),
            };
            let outside = readings.comparisons.iter().find(|reading| reading.outside);
            let draft = report
                .finding("")
                .field(outside.map_or("readings", |reading| reading.field.as_str()))
                .message(readings.statement.clone())
                .related(subjects(readings))
                .help(help);
            match readings.suspects.first() {
                Some(suspect) => work(draft, suspect).add(),
                None => draft.add(),
            }
        }
    }
}
