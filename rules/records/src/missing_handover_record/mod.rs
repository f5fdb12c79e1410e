//! Finished work without the papers that the next person who digs there needs.

use crate::support::{Kind, dig_has_started};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "records/missing-handover-record",
    title: "Papers that go with the finished work are neither planned nor recorded",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "514.9.1")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-5-51", "2005", "514.5")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// The records of hand-over, with what a message calls them.
const RECORDS: [(Kind, &str); 4] = [
    (Kind::AsBuilt, "an as-built drawing"),
    (Kind::Labels, "labels"),
    (Kind::CutSheets, "cut-sheets"),
    (Kind::Maintenance, "a first maintenance"),
];

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if input.luminaires().is_empty() {
        return;
    }
    let missing: Vec<(Kind, &str)> =
        RECORDS.into_iter().filter(|(kind, _)| kind.of(input.records()).is_none()).collect();
    let Some((first, _)) = missing.first() else {
        report.checked("");
        return;
    };
    let names: Vec<&str> = missing.iter().map(|(_, name)| *name).collect();
    let keys: Vec<String> = missing.iter().map(|(kind, _)| format!("`{}`", kind.key())).collect();
    let is_late = *first == Kind::AsBuilt && dig_has_started(input);
    let finding = report
        .finding("")
        .level(if is_late { Level::Advice } else { Level::Reminder })
        .field(first.field())
        .message(format!("the plan neither plans nor records {}", in_words(&names, "or")))
        .help(format!("state {} as `planned`, and put in the day when it is done", in_words(&keys, "and")));
    // The codes ask for drawings and marking; the rest is practice.
    if missing.iter().any(|(kind, _)| matches!(kind, Kind::AsBuilt | Kind::Labels)) {
        finding.add();
    } else {
        finding.basis(Basis::PRACTICE).add();
    }
}

/// `a`, `a or b`, `a, b or c`.
fn in_words<S: AsRef<str>>(words: &[S], last_word: &str) -> String {
    match words {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [first @ .., last] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} {last_word} {}", first.join(", "), last.as_ref())
        }
    }
}
