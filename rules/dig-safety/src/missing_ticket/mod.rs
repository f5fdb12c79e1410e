//! The plan opens the ground and records no locate request.

use crate::days::{Days, Judged};
use crate::opening::opens_ground;
use crate::states::{HandTools, Place, State};
use lintern_rule::plan::{DigMethod, DigPlan, WorkRecord};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/missing-ticket",
    title: "The plan opens the ground without a locate request",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// The help of every finding: it says what to do and never that digging may begin.
const HELP: &str = "contact the one-call center (811) for every excavator, record `dig.ticket`, and wait for every operator's answer; the center and the law of the state decide";

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let place = Place::of(input);
    if place == Place::Elsewhere || !opens_ground(input, report) {
        return;
    }
    let state = match place {
        Place::State(state) => state,
        Place::UnitedStates => return report.undetermined("", ["`project.region`"]),
        Place::Elsewhere | Place::Unknown => return report.undetermined("", ["`project.country`"]),
    };
    let dig = input.dig();
    if dig.is_some_and(|dig| dig.ticket_number.is_some() || dig.called.is_some()) {
        report.checked("");
        return;
    }
    let starts = dig.and_then(|dig| dig.starts.as_deref());
    let due = starts.and_then(|starts| due(input, state, starts));
    let too_late = starts.zip(due.as_ref()).filter(|(_, due)| due.too_late);
    let done = matches!(&input.records().as_built, Some(WorkRecord::On(day)) if day.as_str() <= input.as_of());
    let forbidden = too_late.is_some() && !done && takes_request(state, dig);
    let (level, basis) = match state.notice.is_confirmed() && forbidden {
        true => (Level::Violation, state.notice.basis()),
        false => (Level::Reminder, Basis::PRACTICE),
    };
    let when = match (starts, due) {
        _ if done => "; the work is recorded as built".to_owned(),
        (Some(starts), Some(Due { too_late: true, .. })) => {
            format!("; a request on {} is too late for a start on {starts}", input.as_of())
        }
        (Some(starts), Some(Due { last: Some(last), .. })) => {
            format!("; for a start on {starts} the request is due on {last} at the latest")
        }
        (Some(starts), _) => format!("; the start is planned for {starts}"),
        (None, _) => String::new(),
    };
    report
        .finding("")
        .field("dig")
        .level(level)
        .basis(basis)
        .message(format!("the plan opens the ground and records no locate request{when}; {}", duty(state, dig)))
        .help(HELP)
        .add();
}

/// When a request is due for a start.
struct Due {
    too_late: bool,
    last: Option<String>,
}

fn due(input: &Input, state: &State, starts: &str) -> Option<Due> {
    let notice = state.notice.get()?;
    let days = Days::of(input)?;
    let too_late = matches!(days.judge(&notice, input.as_of(), starts, state)?, Judged::Short(_));
    Some(Due { too_late, last: days.last_request(&notice, starts).map(str::to_owned) })
}

/// Whether the law certainly asks for a request, by how the ground is opened.
fn takes_request(state: &State, dig: Option<&DigPlan>) -> bool {
    match state.hand_tools.confirmed() {
        Some(HandTools::Covered) => true,
        Some(HandTools::ExemptAbove(_)) => false,
        Some(HandTools::Exempt) | None => dig.and_then(|dig| dig.method) == Some(DigMethod::Machine),
    }
}

fn duty(state: &State, dig: Option<&DigPlan>) -> String {
    let notice = state.notice.get().map_or_else(String::new, |notice| notice.words());
    let unsure = if state.notice.is_confirmed() { "" } else { " (not confirmed)" };
    let by_hand = dig.and_then(|dig| dig.method) == Some(DigMethod::Hand);
    let exempt = match state.hand_tools.confirmed() {
        Some(HandTools::Exempt) if by_hand => {
            "; its law exempts some digging with hand tools, and a line under a spade is a line all the same".to_owned()
        }
        Some(HandTools::ExemptAbove(depth_in)) => {
            format!("; its law exempts some digging to less than {depth_in} in, and shallow lines exist")
        }
        _ => String::new(),
    };
    format!("notice in {} is {notice}{unsure}{exempt}", state.name)
}
