//! The steps before the ground is opened.

use super::facts::{Facts, step};
use super::notice::last_request;
use super::{Notice, State, Step};
use crate::plan::model::{PrivateLines, Responses};
use crate::plan::scalar::{Date, WorkRecord};

const MOCK_UP: (&str, &str, &str) = ("mock-up", "Night mock-up", "records.mock-up");
const TICKET: (&str, &str, &str) = ("ticket", "Locate request (one-call ticket)", "dig.ticket");
const WHITE_LINING: (&str, &str, &str) = ("white-lining", "White-lining of the excavation", "dig.white-lined");
const RESPONSES: (&str, &str, &str) = ("responses", "Answers of the operators", "dig.ticket.responses");
const PRIVATE_LINES: (&str, &str, &str) = ("private-lines", "Private lines located", "dig.private-lines");

pub(super) fn steps(facts: &Facts<'_>) -> Vec<Step> {
    let mut steps = vec![mock_up(facts)];
    if facts.opens_no_ground {
        let detail = "every run and luminaire is stated to be above the ground";
        let all = [TICKET, WHITE_LINING, RESPONSES, PRIVATE_LINES];
        steps.extend(all.map(|names| step(names, State::NotNeeded, None, detail)));
    } else {
        let ticket = ticket(facts);
        let requested = ticket.state == State::Done;
        steps.extend([ticket, white_lining(facts), responses(facts, requested), private_lines(facts)]);
    }
    steps
}

fn mock_up(facts: &Facts<'_>) -> Step {
    let starts = facts.dig.starts;
    match (facts.records.mock_up, starts) {
        (Some(WorkRecord::On(day)), _) if day > facts.as_of => {
            step(MOCK_UP, State::Open, Some(day), still_to_come(day))
        }
        (Some(WorkRecord::On(day)), Some(starts)) if day > starts => {
            let detail = format!("recorded for {day}, after the dig starts on {starts}; it is to settle places before");
            step(MOCK_UP, State::Doubtful, Some(day), detail)
        }
        (Some(WorkRecord::On(day)), _) => step(MOCK_UP, State::Done, Some(day), format!("held on {day}")),
        (record, Some(starts)) if facts.is_past_start() => {
            let detail = format!("{}, and the dig has started on {starts}", said(record));
            step(MOCK_UP, State::Late, Some(starts), detail)
        }
        (Some(WorkRecord::Planned), starts) => {
            step(MOCK_UP, State::Due, starts, format!("planned; {}", before_the_dig(starts)))
        }
        (None, starts) => step(MOCK_UP, State::NotRecorded, starts, before_the_dig(starts)),
    }
}

fn ticket(facts: &Facts<'_>) -> Step {
    let dig = &facts.dig;
    let number = dig.ticket_number.as_ref().map_or_else(String::new, |number| format!(", ticket {number}"));
    let Some(called) = dig.called else {
        if dig.ticket_number.is_none() {
            return no_ticket(facts);
        }
        let detail =
            format!("recorded{number}; the day of the request is not stated, so that no notice can be counted");
        return expiry(facts).unwrap_or_else(|| step(TICKET, State::Done, None, detail));
    };
    if called > facts.as_of {
        return step(TICKET, State::Open, Some(called), still_to_come(called));
    }
    if let Some(starts) = dig.starts.filter(|starts| *starts < called) {
        let detail = format!("requested on {called}, after the dig starts on {starts}");
        return step(TICKET, State::Doubtful, Some(called), detail);
    }
    if let Some(expired) = expiry(facts) {
        return expired;
    }
    let expires = match dig.expires {
        Some(expires) => format!("it expires on {expires}"),
        None => "the plan does not say when it expires".to_owned(),
    };
    step(TICKET, State::Done, Some(called), format!("requested on {called}{number}; {expires}"))
}

/// What is wrong with the day on which the ticket expires.
fn expiry(facts: &Facts<'_>) -> Option<Step> {
    let expires = facts.dig.expires?;
    if let Some(called) = facts.dig.called.filter(|called| *called > expires) {
        let detail = format!("requested on {called}, after the day on which it expires, {expires}");
        return Some(step(TICKET, State::Doubtful, Some(called), detail));
    }
    if let Some(starts) = facts.dig.starts.filter(|starts| *starts > expires) {
        let detail = format!("it expires on {expires}, before the dig starts on {starts}; renew it in time");
        return Some(step(TICKET, State::Doubtful, Some(expires), detail));
    }
    if expires < facts.as_of && facts.shows_dug().is_none() {
        let detail = format!("it expired on {expires}, and nothing records that the digging is done; renew it first");
        return Some(step(TICKET, State::Late, Some(expires), detail));
    }
    None
}

/// Nothing is said of a request: when one is wanted.
fn no_ticket(facts: &Facts<'_>) -> Step {
    let Some(starts) = facts.dig.starts else {
        let detail =
            format!("the plan has no locate request, and no day of the start to count from; {}", notice(facts));
        return step(TICKET, State::NotRecorded, None, detail);
    };
    match last_request(facts.job, starts) {
        Some(last) if last < facts.as_of => {
            let detail = format!(
                "the plan has no locate request; for the start on {starts} it was wanted by {last} ({}): move the start",
                notice(facts)
            );
            step(TICKET, State::Late, Some(last), detail)
        }
        Some(last) => {
            let detail = format!(
                "the plan has no locate request; for the start on {starts} it is wanted by {last} ({})",
                notice(facts)
            );
            step(TICKET, State::NotRecorded, Some(last), detail)
        }
        None => {
            let state = if facts.is_started() { State::Late } else { State::NotRecorded };
            let detail = format!("the plan has no locate request; the dig starts on {starts}; {}", notice(facts));
            step(TICKET, state, Some(starts), detail)
        }
    }
}

/// The notice in words.
fn notice(facts: &Facts<'_>) -> String {
    match facts.job.notice {
        Notice::Known { working_days, source } => {
            format!("notice of {working_days} full working days by the strictest count, {source}")
        }
        Notice::Unknown(why) => format!("the notice is not known: {why}; ask the one-call center"),
    }
}

fn white_lining(facts: &Facts<'_>) -> Step {
    let starts = facts.dig.starts;
    match facts.dig.white_lined {
        Some(true) => {
            step(WHITE_LINING, State::Done, None, "the place of the excavation is stated to be marked in white")
        }
        Some(false) if facts.is_past_start() => {
            step(WHITE_LINING, State::Late, starts, "not marked in white, and the day of the start has passed")
        }
        Some(false) => {
            let detail = "not marked in white yet; many states ask for it before the locate request";
            step(WHITE_LINING, State::Due, starts, detail)
        }
        None => silent(facts, WHITE_LINING, "many states ask for it before the locate request"),
    }
}

fn responses(facts: &Facts<'_>, requested: bool) -> Step {
    let notice = match &facts.earliest {
        Ok(first) => format!("by the strictest count the notice is over on {first}"),
        Err(why) => format!("when the notice is over is not known: {why}"),
    };
    let earliest = facts.earliest.as_ref().ok().copied();
    let late = |words: &str| {
        let detail =
            format!("{words}, and the day of the start has come; do not dig before every operator has answered");
        step(RESPONSES, State::Late, facts.dig.starts, detail)
    };
    match facts.dig.responses {
        Some(Responses::All) if !requested => {
            let detail = "all are recorded, but no request that holds stands behind them";
            step(RESPONSES, State::Doubtful, None, detail)
        }
        Some(Responses::All) => step(RESPONSES, State::Done, None, "all operators have answered"),
        Some(Responses::Some) if facts.is_started() => late("some operators have answered"),
        Some(Responses::None) if facts.is_started() => late("no operator has answered"),
        Some(Responses::Some) => {
            step(RESPONSES, State::Waiting, earliest, format!("some operators have answered; {notice}"))
        }
        Some(Responses::None) => {
            step(RESPONSES, State::Waiting, earliest, format!("no operator has answered; {notice}"))
        }
        None if requested => silent(facts, RESPONSES, &notice),
        None => step(RESPONSES, State::Waiting, None, "waits for a locate request"),
    }
}

fn private_lines(facts: &Facts<'_>) -> Step {
    let starts = facts.dig.starts;
    match facts.dig.private_lines {
        Some(PrivateLines::Located) => step(PRIVATE_LINES, State::Done, None, "stated to be located"),
        Some(PrivateLines::None) => step(PRIVATE_LINES, State::Done, None, "the plan states that there are none"),
        Some(PrivateLines::Unknown) if facts.is_past_start() => {
            let detail = "not looked for, and the day of the start has passed; one-call services don't mark them";
            step(PRIVATE_LINES, State::Late, starts, detail)
        }
        Some(PrivateLines::Unknown) => {
            step(PRIVATE_LINES, State::Due, starts, "not looked for yet; one-call services don't mark them")
        }
        None => silent(facts, PRIVATE_LINES, "one-call services don't mark them"),
    }
}

/// A step before the dig that the plan says nothing of: late once the day of the start has passed.
fn silent(facts: &Facts<'_>, names: (&'static str, &'static str, &'static str), why: &str) -> Step {
    match facts.dig.starts {
        Some(starts) if facts.is_past_start() => {
            let detail = format!("the plan says nothing of it, and the dig has started on {starts}; {why}");
            step(names, State::Late, Some(starts), detail)
        }
        starts => step(names, State::NotRecorded, starts, format!("the plan says nothing of it; {why}")),
    }
}

/// A record for a day that has not come.
pub(super) fn still_to_come(day: Date) -> String {
    format!("the plan has it on {day}, which is still to come; state `planned` until it is done")
}

fn said(record: Option<WorkRecord>) -> &'static str {
    if record.is_some() { "still planned" } else { "not recorded" }
}

fn before_the_dig(starts: Option<Date>) -> String {
    match starts {
        Some(starts) => format!("to be held before the dig starts on {starts}"),
        None => "to be held before the dig, whose start the plan does not state".to_owned(),
    }
}
