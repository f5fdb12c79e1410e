//! Not every operator has answered the locate request.

use crate::states::Place;
use lintern_rule::plan::Responses;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/unanswered-request",
    title: "Not every operator has answered the locate request",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(dig) = input.dig().filter(|dig| dig.called.is_some() || dig.ticket_number.is_some()) else { return };
    let place = Place::of(input);
    let answered = match (dig.responses, place) {
        (_, Place::Elsewhere) => return,
        (None, _) => return report.undetermined("", ["`dig.ticket.responses`"]),
        (Some(Responses::All), _) => return report.checked(""),
        (Some(Responses::Some), _) => "only some operators have answered",
        (Some(Responses::None), _) => "no operator has answered",
    };
    let waits = match place {
        Place::State(state) => state.response.confirmed().filter(|waits| *waits).map(|_| state),
        Place::UnitedStates | Place::Elsewhere | Place::Unknown => None,
    };
    // Before the start there is time for the answers to come.
    let begun = dig.starts.as_deref().is_some_and(|starts| starts <= input.as_of());
    let (level, basis) = match waits {
        Some(state) if begun => (Level::Violation, state.response.basis()),
        Some(state) => (Level::Reminder, state.response.basis()),
        None => (Level::Reminder, Basis::PRACTICE),
    };
    let start = match dig.starts.as_deref() {
        Some(starts) if begun => format!(", and the digging starts on {starts}"),
        Some(starts) => format!("; the digging starts on {starts}"),
        None => String::new(),
    };
    let law = waits.map_or_else(String::new, |state| {
        format!("; in {} the end of the notice does not replace the answers", state.name)
    });
    report
        .finding("")
        .field("dig.ticket.responses")
        .level(level)
        .basis(basis)
        .message(format!("{answered} the locate request by {}{start}{law}", input.as_of()))
        .help("wait for every operator to mark its lines or to say that it has none; ask the one-call center (811) for a second notice to those who are silent")
        .add();
}
