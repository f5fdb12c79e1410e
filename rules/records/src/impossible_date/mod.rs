//! Records whose days contradict the day of the check, the dig or one another.

use crate::support::{Kind, dig_start};
use lintern_rule::plan::WorkRecords;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "records/impossible-date",
    title: "A record bears a day on which it cannot have been made, or was made too late to serve",
    level: Level::Advice,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// Records that are made in the trench or after it, and so not before the dig starts.
const AFTER_DIG_START: [Kind; 3] = [Kind::Test, Kind::AsBuilt, Kind::Commissioning];
/// Records that are made on work that has been tested.
const AFTER_TEST: [Kind; 2] = [Kind::AsBuilt, Kind::Commissioning];

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let records = input.records();
    let as_of = input.as_of();
    for kind in Kind::ALL.into_iter().filter(|kind| *kind != Kind::Maintenance) {
        let Some(date) = kind.date(records) else { continue };
        report.checked("");
        if date > as_of {
            report
                .finding("")
                .field(kind.field())
                .message(format!(
                    "{} is recorded for {date}, after {as_of}, the day of this check; a record says what was done",
                    kind.phrase()
                ))
                .help("state `planned` until it is done")
                .add();
        }
    }
    if let Some(start) = dig_start(input) {
        if let Some(date) = Kind::MockUp.date(records)
            && date > start
        {
            report
                .finding("")
                .field(Kind::MockUp.field())
                .message(format!(
                    "the night mock-up of {date} comes after the dig, which starts on {start}; it is to settle places before they are dug"
                ))
                .help("hold the mock-up before the dig, or correct the day")
                .add();
        }
        for (kind, date) in dates(records, &AFTER_DIG_START).filter(|(_, date)| *date < start) {
            report
                .finding("")
                .field(kind.field())
                .message(format!("{} is recorded for {date}, before the dig starts on {start}", kind.phrase()))
                .help("correct the day of the record, or the start of the dig")
                .add();
        }
    }
    if let Some(tested) = Kind::Test.date(records) {
        for (kind, date) in dates(records, &AFTER_TEST).filter(|(_, date)| *date < tested) {
            report
                .finding("")
                .field(kind.field())
                .message(format!(
                    "{} is recorded for {date}, before the test before backfill of {tested}",
                    kind.phrase()
                ))
                .help("correct the day that is wrong; what was closed untested is to be tested again")
                .add();
        }
    }
}

/// The dated ones among some records.
fn dates<'a>(records: &'a WorkRecords, kinds: &'a [Kind]) -> impl Iterator<Item = (Kind, &'a str)> + 'a {
    kinds.iter().filter_map(|kind| Some((*kind, kind.date(records)?)))
}
