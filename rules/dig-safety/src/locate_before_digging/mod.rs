//! The general reminder, where the tool does not know the law of the place for sure.

use crate::opening::opens_ground;
use crate::states::{Place, State, strictest_notice, strictest_zone_in};
use lintern_rule::compare::plain;
use lintern_rule::outcome::BasisKind;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/locate-before-digging",
    title: "The law on locating buried lines is to be asked for at the place",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// United Kingdom: the guidance of the Health and Safety Executive on buried services.
const HSG47: Basis = Basis {
    kind: BasisKind::Practice,
    document: Some("HSE HSG47"),
    edition: Some("third edition, 2014"),
    section: None,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if !opens_ground(input, report) {
        return;
    }
    match Place::of(input) {
        Place::Unknown => report.undetermined("", ["`project.country`"]),
        Place::Elsewhere => elsewhere(input, report),
        Place::UnitedStates => {
            let message = format!(
                "the plan opens the ground in the United States and names no state whose one-call law is known here{}",
                strictest(true, true)
            );
            reminder(report, message, "state `project.region`, and ask the one-call center (811)");
        }
        Place::State(state) => match unconfirmed(input, state) {
            None => report.checked(""),
            Some(values) => {
                let strictest = strictest(!state.notice.is_confirmed(), !state.zone_in.is_confirmed());
                let message = format!("not confirmed here for {}: {values}{strictest}", state.name);
                reminder(
                    report,
                    message,
                    "ask the one-call center (811) for these, and go by its answer and the ticket",
                );
            }
        },
    }
}

fn elsewhere(input: &Input, report: &mut Report) {
    let basis = if input.project().country.as_deref() == Some("GB") { HSG47 } else { Basis::PRACTICE };
    report
        .finding("")
        .field("project.country")
        .basis(basis)
        .message("the plan opens the ground in a country whose rules on buried lines are not known here")
        .help("ask the operators or the enquiry service of the country for their lines, have them located, and expose them by hand before machines come near; a drawing is no proof of where a line lies")
        .add();
}

fn reminder(report: &mut Report, message: String, help: &str) {
    report.finding("").field("project.region").basis(Basis::PRACTICE).message(message).help(help).add();
}

/// The strictest notice and zone that are confirmed for any state, as far as they are wanted.
fn strictest(notice: bool, zone: bool) -> String {
    let (working_days, notice_state) = strictest_notice();
    let (zone_in, zone_state) = strictest_zone_in();
    let notice = notice.then(|| format!("{working_days} working days of notice ({notice_state})"));
    let zone = zone.then(|| format!("a tolerance zone of {} in ({zone_state})", plain(zone_in)));
    let known: Vec<String> = [notice, zone].into_iter().flatten().collect();
    if known.is_empty() {
        return String::new();
    }
    let verb = if known.len() == 1 { "is" } else { "are" };
    format!("; the strictest of the states known here {verb} {}", known.join(" and "))
}

/// The values that are not confirmed and that the plan needs: with the day of expiry from the ticket, the life of a
/// ticket is not needed.
fn unconfirmed(input: &Input, state: &State) -> Option<String> {
    let ticket_says = input.dig().is_some_and(|dig| dig.expires.is_some());
    let values = [
        ("the notice", state.notice.is_confirmed()),
        ("the life of a ticket", ticket_says || state.life.is_confirmed()),
        ("the tolerance zone", state.zone_in.is_confirmed()),
        ("the duty to dig by hand near lines", state.hand_dig.is_confirmed()),
    ];
    let names: Vec<&str> = values.iter().filter(|(_, confirmed)| !confirmed).map(|(name, _)| *name).collect();
    if names.is_empty() { None } else { Some(names.join(", ")) }
}
