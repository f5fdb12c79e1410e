//! Records that are still planned after their time.

use crate::support::{Kind, dig_start, first_done};
use lintern_rule::date::days_between;
use lintern_rule::plan::WorkRecord;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "records/overdue-record",
    title: "A record is still planned although its time has passed",
    level: Level::Reminder,
    waivable: true,
    settings: &[Setting::number(
        "days",
        60.0,
        "days",
        Tighter::Lower,
        "how long after the start of the dig a record may stay planned",
    )],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let start = dig_start(input);
    let as_of = input.as_of();
    let days_since = start.and_then(|start| days_between(start, as_of));
    // Common practice, no source.
    let limit = Limit::new("days after the start of the dig", 60.0, "days", Tighter::Lower, "common practice")
        .given(settings, "days");
    for kind in Kind::ALL.into_iter().filter(|kind| *kind != Kind::Maintenance) {
        if !matches!(kind.of(input.records()), Some(WorkRecord::Planned)) {
            continue;
        }
        let closed = if kind == Kind::Test { first_done(input, &[Kind::AsBuilt, Kind::Commissioning]) } else { None };
        if let Some((later, date)) = closed {
            report
                .finding("")
                .level(Level::Advice)
                .field(kind.field())
                .message(format!(
                    "the test before backfill is still planned although {} is recorded for {date}",
                    later.phrase()
                ))
                .help("put in the day of the test; where there was none, test now and dig up a sample of splices")
                .add();
            continue;
        }
        let (Some(start), Some(days)) = (start, days_since) else {
            report.undetermined("", ["`dig.starts`"]);
            continue;
        };
        report.checked("");
        if kind == Kind::MockUp {
            if days > 0 {
                report
                    .finding("")
                    .field(kind.field())
                    .message(format!("the night mock-up is still planned although the dig started on {start}"))
                    .help("hold it before more is dug in, and put in its day")
                    .add();
            }
            continue;
        }
        let compared = limit.compare(days as f64).field(kind.field());
        if compared.passes() {
            report.passes("", &compared);
        } else {
            report
                .finding("")
                .message(format!(
                    "{} is still planned {days} days after the dig started on {start}; good practice is {} at most",
                    kind.phrase(),
                    limit.value()
                ))
                .breaks(&compared)
                .help("put in its day, or do it now")
                .add();
        }
    }
}
