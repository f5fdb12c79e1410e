//! The excavation, which the plan has no record of: only later records show that it took place.

use super::facts::{Facts, step};
use super::{State, Step};
use crate::plan::model::DigMethod;

const EXCAVATION: (&str, &str, &str) = ("excavation", "Excavation", "dig.starts");

/// The excavation, after the steps that come before it.
pub(super) fn excavation(facts: &Facts<'_>, before: &[Step]) -> Step {
    if facts.opens_no_ground {
        let detail = "every run and luminaire is stated to be above the ground";
        return step(EXCAVATION, State::NotNeeded, None, detail);
    }
    let Some(starts) = facts.dig.starts else {
        return match facts.shows_dug() {
            Some((what, day)) => {
                let detail = format!("shown by {what} of {day}; the plan does not state when the ground was opened");
                step(EXCAVATION, State::Done, None, detail)
            }
            None => step(EXCAVATION, State::NotRecorded, None, "the plan does not state when the ground is opened"),
        };
    };
    if let Some(wrong) = contradiction(facts, starts) {
        return step(EXCAVATION, State::Doubtful, Some(starts), wrong);
    }
    if let Some((what, day)) = facts.shows_dug() {
        let detail = format!("started on {starts} by the plan, and shown by {what} of {day}");
        return step(EXCAVATION, State::Done, Some(starts), detail);
    }
    let waits: Vec<&str> = before.iter().filter(|step| !step.state.is_settled()).map(|step| step.id).collect();
    let how = method(facts.dig.method);
    if !waits.is_empty() {
        let detail = format!("set for {starts}, {how}; waits for: {}", waits.join(", "));
        return step(EXCAVATION, State::Waiting, Some(starts), detail);
    }
    if !facts.is_started() {
        return step(EXCAVATION, State::Open, Some(starts), format!("set for {starts}, {how}; {}", first_day(facts)));
    }
    let detail =
        format!("set for {starts}, {how}; nothing records yet that the ground was opened; {}", first_day(facts));
    step(EXCAVATION, State::Due, Some(starts), detail)
}

/// A start that the notice or the ticket speaks against.
fn contradiction(facts: &Facts<'_>, starts: crate::plan::scalar::Date) -> Option<String> {
    if let Some(called) = facts.dig.called.filter(|called| starts < *called) {
        return Some(format!("set for {starts}, before the locate request of {called}"));
    }
    if let Ok(first) = &facts.earliest
        && starts < *first
    {
        return Some(format!(
            "set for {starts}; by the strictest count the notice is over on {first}, and only the one-call center can tell of an earlier day"
        ));
    }
    let expires = facts.dig.expires.filter(|expires| *expires < starts)?;
    Some(format!("set for {starts}, after the ticket expires on {expires}"))
}

/// When the notice is over.
fn first_day(facts: &Facts<'_>) -> String {
    match &facts.earliest {
        Ok(first) => format!("by the strictest count the notice is over on {first}"),
        Err(why) => format!("when the notice is over is not known: {why}"),
    }
}

fn method(method: Option<DigMethod>) -> &'static str {
    match method {
        Some(DigMethod::Hand) => "by hand",
        Some(DigMethod::Vacuum) => "by vacuum",
        Some(DigMethod::Machine) => "by machine",
        None => "in a way that the plan does not state",
    }
}
