//! Working days for the notice that a one-call law asks for: which days of a state are free, and how sure that is.
//!
//! One-call laws count working days, and each leaves out its own list of holidays. Where that list is confirmed, a day
//! is a holiday or it is not. Elsewhere only the six days that nearly every list has count as holidays, and every other
//! legal holiday is [`DayKind::Unsure`]: a rule then looks at the answer with and without it.

mod count;
mod holiday;
mod lists;
mod names;
mod rows;
mod states;

use crate::layout::Layout;
use holiday::{Group, plus};
use jiff::civil::{Date, Weekday};
use states::{Rest, State};
use std::collections::BTreeMap;

/// Days before the earliest date that the calendar starts.
const DAYS_BEFORE: i32 = 14;
/// Days after the latest date that the calendar ends.
const DAYS_AFTER: i32 = 120;
/// More days than this make no calendar: the plan's dates are then a slip of the pen.
const MOST_DAYS: i32 = 3_660;

/// The days around the dates of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WorkCalendar {
    /// The day that the plan is checked as of.
    pub as_of: Date,
    /// The first of the days.
    pub first: Date,
    /// The days, one after another.
    pub days: Vec<Day>,
    /// What the holidays rest on.
    pub source: &'static str,
}

/// One day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day {
    /// Its date.
    pub date: Date,
    /// Whether it is a working day.
    pub kind: DayKind,
}

/// Whether a day is a working day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayKind {
    /// It is.
    Working,
    /// Saturday or Sunday, a holiday or not.
    Weekend,
    /// A holiday of the state's one-call law, with its name.
    Holiday(&'static str),
    /// A legal holiday by some list, with its name; that the state's one-call law leaves it out is not confirmed.
    Unsure(&'static str),
}

/// The working days around the dates of the plan's locate request and `as_of`, where the plan names a state of the
/// United States or the District of Columbia.
pub fn work_calendar(layout: &Layout, as_of: Date) -> Option<WorkCalendar> {
    if layout.project.country.as_deref().is_some_and(|country| country != "US") {
        return None;
    }
    let state = states::find(layout.project.region.as_deref()?)?;
    let dig = layout.dig.iter().flat_map(|dig| [dig.called, dig.expires, dig.starts]).flatten().map(|date| date.0);
    let (earliest, latest) = dig.fold((as_of, as_of), |(low, high), date| (low.min(date), high.max(date)));
    let first = plus(earliest, -DAYS_BEFORE).unwrap_or(Date::MIN);
    let last = plus(latest, DAYS_AFTER).unwrap_or(Date::MAX);
    if (last - first).get_days() >= MOST_DAYS {
        return None;
    }
    Some(WorkCalendar { as_of, first, days: days(state, first, last), source: state.one_call.source })
}

/// The days from `first` to `last`.
fn days(state: &State, first: Date, last: Date) -> Vec<Day> {
    let free = free_days(state, first.year(), last.year());
    first
        .series(jiff::Span::new().days(1))
        .take_while(|date| *date <= last)
        .map(|date| {
            let kind = match date.weekday() {
                Weekday::Saturday | Weekday::Sunday => DayKind::Weekend,
                _ => free.get(&date).copied().unwrap_or(DayKind::Working),
            };
            Day { date, kind }
        })
        .collect()
}

/// The days of these years that are or may be free, weekend or not. A holiday may move into the year beside its own.
fn free_days(state: &State, first_year: i16, last_year: i16) -> BTreeMap<Date, DayKind> {
    let mut free = BTreeMap::new();
    let mut add = |groups: &[Group], kind: fn(&'static str) -> DayKind| {
        let years = first_year.saturating_sub(1)..=last_year.saturating_add(1);
        for (date, name) in years.flat_map(|year| groups.iter().flat_map(move |group| group.dates(year))) {
            free.entry(date).or_insert(kind(name));
        }
    };
    add(state.one_call.holidays, DayKind::Holiday);
    match state.one_call.rest {
        Rest::Working => {}
        Rest::Unsure(groups) => add(groups, DayKind::Unsure),
        Rest::LegalUnsure => {
            add(state.legal, DayKind::Unsure);
            add(states::FEDERAL, DayKind::Unsure);
            add(states::OFTEN_FREE, DayKind::Unsure);
        }
    }
    free
}

#[cfg(test)]
mod tests;
