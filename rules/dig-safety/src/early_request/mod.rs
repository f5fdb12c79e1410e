//! The digging starts later after the locate request than the state's law allows.

use crate::days::Days;
use crate::states::{Place, Span};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/early-request",
    title: "The locate request is made too long before the digging",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(dig) = input.dig().filter(|dig| dig.called.is_some()) else { return };
    let state = match Place::of(input) {
        Place::State(state) => state,
        Place::UnitedStates => return report.undetermined("", ["`project.region`"]),
        Place::Elsewhere => return,
        Place::Unknown => return report.undetermined("", ["`project.country`"]),
    };
    let Some(most) = state.earliest.get() else { return };
    let (Some(called), Some(starts)) = (dig.called.as_deref(), dig.starts.as_deref()) else {
        return report.undetermined("", ["`dig.starts`"]);
    };
    let Some(days) = Days::of(input) else {
        return report.undetermined("", ["a calendar that covers the days of `dig`"]);
    };
    let Some((fewest, greatest)) = days.apart(most, called, starts) else {
        return report.undetermined("", ["a calendar that covers the days of `dig`"]);
    };
    // Of working days the day of the start may be left out of the count.
    let fewest_counted = if matches!(most, Span::WorkingDays(_)) { fewest.saturating_sub(1) } else { fewest };
    let confirmed = state.earliest.is_confirmed();
    let limit = Limit::new(
        "most before digging",
        f64::from(most.amount()),
        most.unit(),
        Tighter::Lower,
        state.earliest.cited(),
    );
    let compare = |days: u32| limit.compare(f64::from(days)).field("dig.ticket.called");
    if fewest_counted <= most.amount() {
        let unsure = format!("a confirmed longest time before digging of {}", state.name);
        return match (greatest <= most.amount(), confirmed) {
            (true, true) => report.passes("", &compare(greatest)),
            (true, false) => report.undetermined("", [unsure]),
            (false, _) => {
                let mut missing = days.unsure_between(called, starts, state);
                missing.push(format!("whether the day of the start counts in {}", state.name));
                report.undetermined("", missing);
            }
        };
    }
    let unsure = if confirmed { "" } else { ", which is not confirmed" };
    report
        .finding("")
        .level(if confirmed { Level::Violation } else { Level::Reminder })
        .basis(state.earliest.basis())
        .message(format!(
            "the locate request of {called} is {fewest} {unit} before the start on {starts}; the most in {} is {}{unsure}",
            state.name,
            most.amount(),
            unit = most.unit()
        ))
        .breaks(&compare(fewest))
        .help("make the request, or a new one, nearer to the start: marks fade and lines change; ask the one-call center (811)")
        .add();
}
