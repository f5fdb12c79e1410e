//! The place of the digging is not marked in white although the state's law asks for it.

use crate::opening::opens_ground;
use crate::states::{HandTools, Place, WhiteLining};
use lintern_rule::plan::DigMethod;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/no-white-lining",
    title: "The place of the digging is not marked in white",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Place::State(state) = Place::of(input) else { return };
    if state.white_lining.confirmed() != Some(WhiteLining::Required) || !opens_ground(input, report) {
        return;
    }
    let dig = input.dig();
    match dig.and_then(|dig| dig.white_lined) {
        Some(true) => return report.checked(""),
        None => return report.undetermined("", ["`dig.white-lined`"]),
        Some(false) => {}
    }
    // The marks come before the request.
    let called = dig.and_then(|dig| dig.called.as_deref()).filter(|called| *called <= input.as_of());
    let exempt = !matches!(state.hand_tools.confirmed(), Some(HandTools::Covered))
        && dig.and_then(|dig| dig.method) != Some(DigMethod::Machine);
    let level = if called.is_some() && !exempt { Level::Violation } else { Level::Reminder };
    let when = called.map_or_else(String::new, |called| format!("; the locate request was made on {called}"));
    report
        .finding("")
        .field("dig.white-lined")
        .level(level)
        .basis(state.white_lining.basis())
        .message(format!(
            "the place of the digging is not marked in white; {} asks for that before the locate request{when}",
            state.name
        ))
        .help("mark the trenches and holes with white paint, flags or stakes before the request, or as the one-call center (811) accepts it")
        .add();
}
