//! The digging starts sooner after the locate request than the state's law allows.

use crate::days::{Days, Judged, Reading};
use crate::states::{Count, Notice, Place, State, Weekend};
use lintern_rule::compare::plain;
use lintern_rule::outcome::Layer;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/short-notice",
    title: "The digging starts too soon after the locate request",
    level: Level::Violation,
    waivable: true,
    settings: &[Setting::table(
        "notice",
        "working days",
        Tighter::Higher,
        "full working days between the day of the locate request and the day of the start, neither counted",
    )],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// What is asked for nearly everywhere. Common practice, no source.
const PRACTICE_WORKING_DAYS: f64 = 2.0;

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let Some(dig) = input.dig().filter(|dig| dig.called.is_some() || dig.ticket_number.is_some()) else { return };
    let state = match Place::of(input) {
        Place::State(state) => state,
        Place::UnitedStates => return report.undetermined("", ["`project.region`"]),
        Place::Elsewhere => return,
        Place::Unknown => return report.undetermined("", ["`project.country`"]),
    };
    let (Some(called), Some(starts)) = (dig.called.as_deref(), dig.starts.as_deref()) else {
        let missing = [(&dig.called, "`dig.ticket.called`"), (&dig.starts, "`dig.starts`")];
        return report.undetermined("", missing.iter().filter(|(date, _)| date.is_none()).map(|(_, name)| *name));
    };
    let limit = limit(state, settings);
    report.limit("", &limit);
    let Some(stated) = state.notice.get() else {
        return report.undetermined("", [format!("the notice of {}", state.name)]);
    };
    let company = matches!(limit.layer(), Layer::Local | Layer::House);
    let notice = if company { of_company(limit.value(), stated.weekend) } else { stated };
    let judge = |notice: &Notice| Days::of(input).and_then(|days| days.judge(notice, called, starts, state));
    let Some(judged) = judge(&notice) else {
        return report.undetermined("", ["a calendar that covers the days of `dig`"]);
    };
    let confirmed = company || state.notice.is_confirmed();
    match judged {
        Judged::Met if confirmed => match Days::of(input).and_then(|days| days.counted(&notice, called, starts)) {
            Some(full_days) => report.passes("", &limit.compare(f64::from(full_days)).field("dig.starts")),
            None => report.checked(""),
        },
        Judged::Met => report.undetermined("", [unconfirmed(state)]),
        Judged::Turns(doubts) if confirmed => report.undetermined("", doubts),
        Judged::Turns(doubts) => report.undetermined("", doubts.into_iter().chain([unconfirmed(state)])),
        Judged::Short(full_days) => {
            let breaks_law = limit.layer() == Layer::Local
                || state.notice.is_confirmed() && matches!(judge(&stated), Some(Judged::Short(_)));
            let level = match (breaks_law, limit.layer()) {
                (true, _) => Level::Violation,
                (false, Layer::House) => Level::Advice,
                (false, _) => Level::Reminder,
            };
            let wanted = match (company, confirmed) {
                (true, _) => format!("the notice set for this plan is {} full working days", plain(limit.value())),
                (false, true) => format!("the notice in {} is {}", state.name, stated.words()),
                (false, false) => format!("the notice in {}, not confirmed, is {}", state.name, stated.words()),
            };
            let between = match full_days {
                0 => "no full working day lies".to_owned(),
                1 => "1 full working day lies".to_owned(),
                _ => format!("{full_days} full working days lie"),
            };
            let draft = report.finding("").level(level).message(format!(
                "the digging starts on {starts}, and {between} between that and the locate request of {called}; {wanted}"
            ));
            let unconfirmed = Limit::new(
                "full working days between",
                f64::from(stated.full_days_strict()),
                "working days",
                Tighter::Higher,
                state.notice.cited(),
            );
            let limit = if confirmed { &limit } else { &unconfirmed };
            let draft = draft.breaks(&limit.compare(f64::from(full_days)).field("dig.starts"));
            let over = Days::of(input)
                .and_then(|days| days.earliest_start(&notice, called, Reading::Strict))
                .map_or_else(String::new, |first| format!(": by the strictest count the notice is over on {first}"));
            draft
                .help(format!(
                    "move the start{over}; the ticket and every operator's answer decide, not the date alone"
                ))
                .add();
        }
    }
}

fn limit(state: &State, settings: &Settings) -> Limit {
    let name = "notice before digging";
    let limit = Limit::new(name, PRACTICE_WORKING_DAYS, "working days", Tighter::Higher, "common practice, no source");
    let limit = match state.notice.confirmed() {
        Some(notice) => limit.region(f64::from(notice.full_days_strict()), state.notice.cited(), state.notice.basis()),
        None => limit,
    };
    limit.given(settings, "notice")
}

/// A notice that an amendment or the company sets, in full working days.
fn of_company(working_days: f64, weekend: Weekend) -> Notice {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to days of a year")]
    let working_days = working_days.ceil().clamp(0.0, 366.0) as u32;
    Notice { working_days, count: Count::Full, weekend, starts_on_day_off: true }
}

fn unconfirmed(state: &State) -> String {
    format!("a confirmed notice of {}", state.name)
}

#[cfg(test)]
mod tests;
