//! Readings that only a fault at one place explains.

use crate::support::{CAUTION, NO_ANSWER, subjects, work};
use lintern_rule::facts::AsBuiltOutcome;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "as-built/located-fault",
    title: "Only a fault at one place explains the readings on the finished work",
    level: Level::Advice,
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
        AsBuiltOutcome::WithinTolerance | AsBuiltOutcome::Undetermined | AsBuiltOutcome::Unexplained => {
            report.checked("");
        }
        AsBuiltOutcome::Located => {
            let subjects = subjects(readings);
            let (Some(first), Some(suspect)) = (subjects.first(), readings.suspects.first()) else {
                report.checked("");
                return;
            };
            let further = readings.further.as_ref().map(|further| format!("; to be surer, {}", further.phrase));
            let draft = report
                .finding(first)
                .message(readings.statement.clone())
                .related(subjects[1..].to_vec())
                .help(format!("look at {} first{}; {CAUTION}", suspect.place, further.unwrap_or_default()));
            work(draft, suspect).add();
        }
    }
}
