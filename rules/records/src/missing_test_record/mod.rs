//! Work that is to be closed or switched on without a test that somebody writes down.

use crate::support::{Kind, dig_has_started};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "records/missing-test-record",
    title: "A test of the work is neither planned nor recorded",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "641.1")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-6", "2016", "6.4.1.1")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if input.runs().is_empty() {
        return;
    }
    report.checked("");
    let level = if dig_has_started(input) { Level::Advice } else { Level::Reminder };
    for (kind, message, help) in [
        (
            Kind::Test,
            "no test of the cables before backfill is planned or recorded",
            "test continuity and insulation of each run in the open trench, and state `test-before-backfill: planned`",
        ),
        (
            Kind::Commissioning,
            "no readings at commissioning are planned or recorded",
            "measure volts and amps at full load and trip the ground-fault protection before hand-over, and state `commissioning: planned`",
        ),
    ] {
        if kind.of(input.records()).is_none() {
            report.finding("").level(level).field(kind.field()).message(message).help(help).add();
        }
    }
}
