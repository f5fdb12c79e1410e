//! The ticket is no longer good when the digging starts, or before the work is done.

use crate::days::Days;
use crate::states::{From, Place, State};
use lintern_rule::FindingDraft;
use lintern_rule::date::days_between;
use lintern_rule::plan::{DigPlan, WorkRecord};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/expired-ticket",
    title: "The locate ticket does not last until the digging is done",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

const HELP: &str = "renew the ticket before it expires and wait out the notice again; ask the one-call center (811)";

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(dig) = input.dig().filter(|dig| dig.called.is_some() || dig.expires.is_some()) else { return };
    let state = match Place::of(input) {
        Place::State(state) => Some(state),
        Place::UnitedStates => None,
        Place::Elsewhere => return,
        Place::Unknown => return report.undetermined("", ["`project.country`"]),
    };
    match (dig.expires.as_deref(), state) {
        (Some(expires), state) => stated(input, dig, expires, state, report),
        (None, Some(state)) => computed(input, dig, state, report),
        (None, None) => report.undetermined("", ["`dig.ticket.expires`", "`project.region`"]),
    }
}

/// The life of the ticket in calendar days from the request, as a limit; `None` where the plan leaves the request out.
struct Lasts<'a> {
    called: &'a str,
    limit: Limit,
}

impl<'a> Lasts<'a> {
    fn to(dig: &'a DigPlan, expires: &str, source: String) -> Option<Self> {
        let called = dig.called.as_deref()?;
        let days = days_between(called, expires)? as f64;
        let limit = Limit::stated("life of the ticket from the request", days, "calendar days", Tighter::Lower, source);
        Some(Self { called, limit })
    }

    /// A day held against it.
    fn at(&self, day: &str, field: &'static str) -> Option<Comparison<'_>> {
        Some(self.limit.compare(days_between(self.called, day)? as f64).field(field))
    }
}

/// A finding with what it breaks, where that is a number.
fn breaking<'a>(draft: FindingDraft<'a>, compared: Option<&Comparison>) -> FindingDraft<'a> {
    match compared {
        Some(compared) => draft.breaks(compared),
        None => draft,
    }
}

/// The ticket lasts to the start and, where the work is not done, to the day of the check.
fn lasts(input: &Input, lasts: Option<&Lasts>, starts: &str, field: &'static str, report: &mut Report) {
    report.checked("");
    let today = (!done(input)).then(|| input.as_of());
    let days = [Some(starts), today].into_iter().flatten();
    for compared in days.filter_map(|day| lasts?.at(day, field)).filter(Comparison::passes) {
        report.passes("", &compared);
    }
}

/// The plan states the day of expiry.
fn stated(input: &Input, dig: &DigPlan, expires: &str, state: Option<&'static State>, report: &mut Report) {
    let law = state.and_then(|state| law(input, dig, state));
    let mut found = too_long(dig, expires, state, law, report);
    let (level, basis) = authority(state);
    let field = "dig.ticket.expires";
    let life = Lasts::to(dig, expires, "`dig.ticket.expires`".to_owned());
    let at = |day| life.as_ref().and_then(|life| life.at(day, field));
    if let Some(starts) = dig.starts.as_deref().filter(|starts| *starts > expires) {
        let draft = report
            .finding("")
            .field(field)
            .level(level)
            .basis(basis)
            .message(format!("the ticket expires on {expires}, before the digging starts on {starts}"))
            .help(HELP);
        breaking(draft, at(starts).as_ref()).add();
        found = true;
    } else if input.as_of() > expires && !done(input) {
        let how = format!("the ticket expired on {expires}");
        unfinished(input, &how, field, at(input.as_of()).as_ref(), report);
        found = true;
    }
    if found {
        return;
    }
    match (dig.starts.as_deref(), state) {
        (None, _) => report.undetermined("", ["`dig.starts`"]),
        (_, None) => report.undetermined("", ["`project.region`"]),
        (Some(starts), Some(_)) => lasts(input, life.as_ref(), starts, field, report),
    }
}

/// The plan states a later day of expiry than the law gives.
fn too_long(
    dig: &DigPlan,
    expires: &str,
    state: Option<&'static State>,
    law: Option<Expiry>,
    report: &mut Report,
) -> bool {
    let (Some(state), Some(law), Some(called)) = (state, law, dig.called.as_deref()) else { return false };
    let Some(life) = state.life.get() else { return false };
    let confirmed = state.life.is_confirmed();
    let amount = f64::from(life.span.amount());
    let limit = Limit::new("life of a ticket", amount, life.span.unit(), Tighter::Lower, state.life.cited());
    let stated = law.stated_days.map(|days| limit.compare(f64::from(days)).field("dig.ticket.expires"));
    if expires <= law.latest.as_str() {
        // Where the last day rolls on to a working day, more days than the law names are within it.
        if let Some(stated) = stated.filter(|stated| confirmed && stated.passes()) {
            report.passes("", &stated);
        }
        return false;
    }
    let draft = report
        .finding("")
        .field("dig.ticket.expires")
        .level(if confirmed { Level::Violation } else { Level::Reminder })
        .basis(state.life.basis())
        .message(format!(
            "the plan has the ticket of {called} expire on {expires}; by the law of {}{} it lasts {} {} {}, to {} at the latest",
            state.name,
            if confirmed { "" } else { ", which is not confirmed," },
            life.span.amount(),
            life.span.unit(),
            from_words(life.from),
            law.latest
        ));
    let draft = match &stated {
        Some(stated) => draft.breaks(stated),
        None => draft.work("life of a ticket", amount, life.span.unit(), state.life.cited()),
    };
    draft.help("take the day of expiry from the ticket itself").add();
    true
}

/// The plan leaves the day of expiry out: it is computed from the law.
fn computed(input: &Input, dig: &DigPlan, state: &'static State, report: &mut Report) {
    let missing = ["`dig.ticket.expires`"];
    let Some(Expiry { earliest, latest, .. }) = law(input, dig, state) else {
        return report.undetermined("", missing);
    };
    let (level, basis) = authority(Some(state));
    let how = if state.life.is_confirmed() { "at the latest" } else { "at the latest, which is not confirmed" };
    let life = |expires: &str| Lasts::to(dig, expires, state.life.cited().to_owned());
    let longest = life(&latest);
    let at = |day, field| longest.as_ref().and_then(|life| life.at(day, field));
    match dig.starts.as_deref() {
        Some(starts) if starts > latest.as_str() => {
            let draft = report
                .finding("")
                .field("dig.starts")
                .level(if state.life.is_confirmed() { level } else { Level::Reminder })
                .basis(if state.life.is_confirmed() { basis } else { Basis::PRACTICE })
                .message(format!(
                    "by the law of {} the ticket expires on {latest} {how}, before the digging starts on {starts}",
                    state.name
                ))
                .help(HELP);
            breaking(draft, at(starts, "dig.starts").as_ref()).add();
        }
        _ if input.as_of() > latest.as_str() && !done(input) => {
            let how = format!("by the law of {} the ticket expired on {latest} {how}", state.name);
            unfinished(input, &how, "dig.ticket", at(input.as_of(), "dig.ticket").as_ref(), report);
        }
        None => report.undetermined("", ["`dig.starts`"]),
        Some(starts) if state.life.is_confirmed() && starts <= earliest.as_str() => {
            lasts(input, life(&earliest).as_ref(), starts, "dig.starts", report);
        }
        Some(_) => report.undetermined("", missing),
    }
}

fn unfinished(input: &Input, how: &str, field: &str, compared: Option<&Comparison>, report: &mut Report) {
    let draft = report
        .finding("")
        .field(field)
        .level(Level::Reminder)
        .basis(Basis::PRACTICE)
        .message(format!("{how}, and on {} the work is not recorded as done", input.as_of()))
        .help(
            "renew the ticket before any more digging, or record `records.as-built` with the day on which it was done",
        );
    breaking(draft, compared).add();
}

/// The day of expiry by the law: the earliest and the latest that it can be.
struct Expiry {
    earliest: String,
    latest: String,
    /// From the request to the stated day of expiry in the unit of the law, where the law counts from the request.
    stated_days: Option<u32>,
}

fn law(input: &Input, dig: &DigPlan, state: &State) -> Option<Expiry> {
    let life = state.life.get()?;
    let days = Days::of(input)?;
    let (called, starts) = (dig.called.as_deref(), dig.starts.as_deref());
    let (earliest, latest) = days.expiry(&life, state.notice.get().as_ref(), called, starts)?;
    let stated_days = match (life.from, called, dig.expires.as_deref()) {
        (From::Request, Some(called), Some(expires)) => days.apart(life.span, called, expires).map(|days| days.0),
        _ => None,
    };
    Some(Expiry { earliest: earliest.to_owned(), latest: latest.to_owned(), stated_days })
}

fn from_words(from: From) -> &'static str {
    match from {
        From::Request => "from the request",
        From::Start => "from the start",
        From::MarkBy => "from the day by which the lines are to be marked",
    }
}

/// A ticket that is over is no request.
fn authority(state: Option<&State>) -> (Level, Basis) {
    match state {
        Some(state) if state.life.is_confirmed() => (Level::Violation, state.life.basis()),
        Some(state) if state.notice.is_confirmed() => (Level::Violation, state.notice.basis()),
        _ => (Level::Reminder, Basis::PRACTICE),
    }
}

fn done(input: &Input) -> bool {
    let records = input.records();
    let done =
        |record: &Option<WorkRecord>| matches!(record, Some(WorkRecord::On(day)) if day.as_str() <= input.as_of());
    [&records.as_built, &records.test_before_backfill].into_iter().any(done)
}

#[cfg(test)]
mod tests;
