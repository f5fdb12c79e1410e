//! A design that nobody is to see at night before it is dug in.

use crate::support::{Kind, first_done};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "records/missing-mock-up",
    title: "No night mock-up is planned or recorded",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let in_place = first_done(input, &[Kind::AsBuilt, Kind::Commissioning]).is_some();
    if input.luminaires().is_empty() || in_place {
        return;
    }
    if Kind::MockUp.of(input.records()).is_some() {
        report.checked("");
        return;
    }
    report
        .finding("")
        .field(Kind::MockUp.field())
        .message("no night mock-up is planned or recorded")
        .help("agree an evening with loose luminaires before the trenches are marked out, and state `mock-up: planned`")
        .add();
}
