//! What is known of a state's holidays, and the lists that all states share.

use super::holiday::{Group, Holiday, Shift};
use super::names::*;
use super::rows::STATES;

/// A state or the District of Columbia.
#[derive(Debug)]
pub(super) struct State {
    /// ISO 3166-2.
    pub region: &'static str,
    /// The legal holidays of the state.
    pub legal: &'static [Group],
    /// What its one-call law leaves out.
    pub one_call: OneCall,
}

/// What a one-call law leaves out of the working days beside Saturdays and Sundays.
#[derive(Debug)]
pub(super) struct OneCall {
    /// Holidays for sure.
    pub holidays: &'static [Group],
    /// What the others are.
    pub rest: Rest,
    /// What that rests on.
    pub source: &'static str,
    /// Whether the list of the law itself is confirmed.
    #[cfg_attr(not(test), expect(dead_code, reason = "`source` says it in words; the tests hold the two together"))]
    pub confirmed: bool,
}

/// What the days are that are not holidays for sure.
#[derive(Debug)]
pub(super) enum Rest {
    /// Working days: the list is complete.
    Working,
    /// Working days but for these, which are unsure.
    Unsure(&'static [Group]),
    /// Legal holidays of the state or of the United States, and the days of [`OFTEN_FREE`], are unsure.
    LegalUnsure,
}

pub(super) const fn stays(days: &'static [Holiday]) -> Group {
    Group { days, shift: Shift::Stays }
}

pub(super) const fn sunday(days: &'static [Holiday]) -> Group {
    Group { days, shift: Shift::SundayOnly }
}

pub(super) const fn near(days: &'static [Holiday]) -> Group {
    Group { days, shift: Shift::Nearest }
}

/// Christmas Eve where it makes room for Christmas.
pub(super) const CHRISTMAS_EVE_MOVED: Group = Group { days: &[CHRISTMAS_EVE], shift: Shift::BeforeChristmas };
/// The day after Christmas where it makes room for it.
pub(super) const DAY_AFTER_CHRISTMAS_MOVED: Group =
    Group { days: &[DAY_AFTER_CHRISTMAS], shift: Shift::AfterChristmas };

/// The holidays of the United States, 5 U.S.C. 6103(a); Saturday moves to Friday by 6103(b), Sunday to Monday by
/// Executive Order 11582.
pub(super) const FEDERAL: &[Group] = &[near(FEDERAL_DAYS)];
pub(super) const FEDERAL_DAYS: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    WASHINGTON,
    MEMORIAL_DAY,
    JUNETEENTH,
    INDEPENDENCE_DAY,
    LABOR_DAY,
    COLUMBUS_DAY,
    VETERANS_DAY,
    THANKSGIVING,
    CHRISTMAS,
];

/// Days that some one-call laws leave out although few states have them as legal holidays.
pub(super) const OFTEN_FREE: &[Group] = &[stays(&[DAY_AFTER_THANKSGIVING, CHRISTMAS_EVE])];

/// The days that nearly every one-call law leaves out.
pub(super) const SIX: &[Holiday] = &[NEW_YEARS_DAY, MEMORIAL_DAY, INDEPENDENCE_DAY, LABOR_DAY, THANKSGIVING, CHRISTMAS];

/// What all states have as legal holidays, or take from the federal list.
pub(super) const ALL_STATES: &[Holiday] = &[
    NEW_YEARS_DAY,
    MARTIN_LUTHER_KING,
    MEMORIAL_DAY,
    JUNETEENTH,
    INDEPENDENCE_DAY,
    LABOR_DAY,
    VETERANS_DAY,
    THANKSGIVING,
    CHRISTMAS,
];

pub(super) const NOT_CONFIRMED: &str = "legal holidays of the state; the one-call law's own list is not confirmed";

/// The holidays of a state whose one-call law's list is not confirmed. Sunday moves to Monday nearly everywhere; the
/// Friday before a Saturday is worked in many states by law, so that it is unsure.
pub(super) const UNCONFIRMED: OneCall = unconfirmed(&[sunday(SIX)], NOT_CONFIRMED);

pub(super) const fn unconfirmed(six: &'static [Group], source: &'static str) -> OneCall {
    OneCall { holidays: six, rest: Rest::LegalUnsure, source, confirmed: false }
}

pub(super) const fn confirmed(holidays: &'static [Group], rest: Rest, source: &'static str) -> OneCall {
    OneCall { holidays, rest, source, confirmed: true }
}

/// The row of a region code, `US-OR`.
pub(super) fn find(region: &str) -> Option<&'static State> {
    STATES.iter().find(|state| state.region == region)
}
