//! The steps from the open trench to the hand-over.

use super::before::still_to_come;
use super::facts::{Facts, step};
use super::{State, Step};
use crate::plan::scalar::{Date, WorkRecord};

type Names = (&'static str, &'static str, &'static str);
const TEST: Names = ("test-before-backfill", "Test before backfill", "records.test-before-backfill");
const COMMISSIONING: Names = ("as-built-readings", "As-built readings (commissioning)", "records.commissioning");
const AS_BUILT: Names = ("as-built-record", "As-built record", "records.as-built");
const LABELS: Names = ("labels", "Labels at supplies and circuits", "records.labels");
const CUT_SHEETS: Names = ("cut-sheets", "Data sheets handed over", "records.cut-sheets");
const MAINTENANCE: Names = ("maintenance", "Next maintenance", "records.maintenance");

pub(super) fn steps(facts: &Facts<'_>) -> Vec<Step> {
    let records = &facts.records;
    vec![
        test(facts),
        readings(facts),
        closing(facts, AS_BUILT, records.as_built, true),
        closing(facts, LABELS, records.labels, false),
        closing(facts, CUT_SHEETS, records.cut_sheets, false),
        maintenance(facts),
    ]
}

fn test(facts: &Facts<'_>) -> Step {
    let record = facts.records.test_before_backfill;
    if let Some(WorkRecord::On(day)) = record {
        if day > facts.as_of {
            return step(TEST, State::Open, Some(day), still_to_come(day));
        }
        if let Some(starts) = facts.dig.starts.filter(|starts| day < *starts) {
            let detail = format!("recorded for {day}, before the dig starts on {starts}");
            return step(TEST, State::Doubtful, Some(day), detail);
        }
        if let Some((what, finished)) = facts.shows_finished().filter(|(_, finished)| *finished < day) {
            let detail = format!("recorded for {day}, after {what} of {finished}: by then the trench should be closed");
            return step(TEST, State::Doubtful, Some(day), detail);
        }
        let held =
            if facts.dig.starts.is_some() { "" } else { "; the start of the dig is not stated to hold it against" };
        return step(TEST, State::Done, Some(day), format!("recorded for {day}{held}"));
    }
    if let Some((what, finished)) = facts.shows_finished() {
        let said = if record.is_some() { "still planned" } else { "not recorded" };
        let detail =
            format!("{said}, although {what} is recorded for {finished}; what was closed untested is to be tested");
        return step(TEST, State::Late, Some(finished), detail);
    }
    match record {
        None if facts.opens_no_ground => {
            step(TEST, State::NotNeeded, None, "every run and luminaire is stated to be above the ground")
        }
        None => step(TEST, State::NotRecorded, None, "the plan says nothing of it"),
        Some(_) => planned(facts, TEST, "to be done while the trench is open"),
    }
}

/// The record of the commissioning, and the readings themselves.
fn readings(facts: &Facts<'_>) -> Step {
    let readings = facts.job.layout.readings.as_ref();
    let count = readings.map_or(0, |readings| readings.taken.len());
    let on = readings.and_then(|readings| readings.on);
    let taken = match (count, on) {
        (0, _) => "the plan has no readings".to_owned(),
        (count, Some(on)) => format!("the plan has {} of {on}", number(count)),
        (count, None) => format!("the plan has {} without a day", number(count)),
    };
    match (facts.records.commissioning, on) {
        (Some(WorkRecord::On(_)), _) => {
            let mut step = closing(facts, COMMISSIONING, facts.records.commissioning, true);
            step.detail = format!("{}; {taken}", step.detail);
            step
        }
        (Some(WorkRecord::Planned), _) if count > 0 => {
            step(COMMISSIONING, State::Doubtful, on, format!("still planned, although {taken}"))
        }
        (Some(WorkRecord::Planned), _) => closing(facts, COMMISSIONING, facts.records.commissioning, true),
        (None, Some(day)) if count > 0 && day > facts.as_of => {
            step(COMMISSIONING, State::Doubtful, on, format!("{taken}, a day that is still to come"))
        }
        (None, _) if count > 0 => {
            let (state, wrong) = match on.and_then(|day| too_early(facts, day)) {
                Some(wrong) => (State::Doubtful, format!(", {wrong}")),
                None => (State::Done, String::new()),
            };
            step(COMMISSIONING, state, on, format!("{taken}{wrong}; `records.commissioning` is not stated"))
        }
        (None, _) => step(COMMISSIONING, State::NotRecorded, None, format!("the plan says nothing of it; {taken}")),
    }
}

/// A record that closes the work; one of finished work can't be older than the dig or the test.
fn closing(facts: &Facts<'_>, names: Names, record: Option<WorkRecord>, of_finished_work: bool) -> Step {
    match record {
        None => step(names, State::NotRecorded, None, "the plan says nothing of it"),
        Some(WorkRecord::Planned) if facts.records.test_before_backfill == Some(WorkRecord::Planned) => {
            let detail = "planned; to be done when the work is finished; waits for the test before backfill";
            step(names, State::Waiting, None, detail)
        }
        Some(WorkRecord::Planned) => planned(facts, names, "to be done when the work is finished"),
        Some(WorkRecord::On(day)) if day > facts.as_of => step(names, State::Open, Some(day), still_to_come(day)),
        Some(WorkRecord::On(day)) => match too_early(facts, day).filter(|_| of_finished_work) {
            Some(wrong) => step(names, State::Doubtful, Some(day), format!("recorded for {day}, {wrong}")),
            None => step(names, State::Done, Some(day), format!("recorded for {day}")),
        },
    }
}

/// Why a record of finished work can't be of this day.
fn too_early(facts: &Facts<'_>, day: Date) -> Option<String> {
    if let Some(starts) = facts.dig.starts.filter(|starts| day < *starts) {
        return Some(format!("before the dig starts on {starts}"));
    }
    let tested = facts.made(facts.records.test_before_backfill).filter(|tested| day < *tested)?;
    Some(format!("before the test before backfill of {tested}"))
}

/// A step after the start that the plan has as planned.
fn planned(facts: &Facts<'_>, names: Names, when: &str) -> Step {
    if facts.opens_no_ground {
        return step(names, State::Open, None, format!("planned; {when}"));
    }
    if let Some((what, day)) = facts.shows_dug() {
        return step(names, State::Due, None, format!("planned; {when}; {what} is recorded for {day}"));
    }
    match facts.dig.starts {
        Some(starts) if facts.is_started() => {
            step(names, State::Due, None, format!("planned; {when}; the dig has started on {starts} by the plan"))
        }
        Some(starts) => {
            step(names, State::Waiting, None, format!("planned; {when}; waits for the dig, which starts on {starts}"))
        }
        None => step(names, State::Open, None, format!("planned; {when}; the start of the dig is not stated")),
    }
}

/// The next maintenance is never done: after it comes another one.
fn maintenance(facts: &Facts<'_>) -> Step {
    match facts.records.maintenance {
        None => step(MAINTENANCE, State::NotRecorded, None, "the plan says nothing of it"),
        Some(WorkRecord::Planned) => step(MAINTENANCE, State::Open, None, "planned; no day is set"),
        Some(WorkRecord::On(day)) if day > facts.as_of => {
            step(MAINTENANCE, State::Open, Some(day), format!("set for {day}"))
        }
        Some(WorkRecord::On(day)) if day == facts.as_of => step(MAINTENANCE, State::Due, Some(day), "set for today"),
        Some(WorkRecord::On(day)) => {
            let detail = format!("was set for {day}, which has passed; put in the next one");
            step(MAINTENANCE, State::Late, Some(day), detail)
        }
    }
}

fn number(readings: usize) -> String {
    if readings == 1 { "1 reading".to_owned() } else { format!("{readings} readings") }
}
