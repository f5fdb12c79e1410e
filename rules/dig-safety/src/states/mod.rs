//! The one-call law of the states and the District of Columbia: one row each, one source for each value.
//!
//! State law changes yearly. A value carries where it was read and the year of that text, and only a value that was
//! read in the law, or on a page of the state's one-call center or agency, is [`Confidence::Confirmed`]. Nothing else
//! may stand behind a violation.

mod midwest;
mod northeast;
mod south;
#[cfg(test)]
mod tests;
mod west;

use lintern_rule::outcome::BasisKind;
use lintern_rule::{Basis, Input};
use std::sync::LazyLock;

/// How sure a value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Confidence {
    /// Read in the law, or on a page of the state's one-call center or agency.
    Confirmed,
    /// Read in trade press or on a page of a utility or a city.
    Secondary,
    /// Not looked up.
    Memory,
}

/// Where a value was read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// The law or the one-call center.
    pub document: &'static str,
    /// The section of the law.
    pub section: Option<&'static str>,
    /// The year of the text that was read.
    pub as_of: &'static str,
}

/// A value of a state's law; none where it was not found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value<T> {
    value: Option<T>,
    confidence: Confidence,
    source: Source,
}

/// How a stated notice is counted in whole days of the calendar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Count {
    /// So many full working days lie between the day of the request and the day of the start: the day of the request
    /// does not count.
    Full,
    /// The start may be on the so-many-th working day after the day of the request.
    Nth,
    /// So many working days before the start; whether the day of the request counts was not found.
    Unsaid,
    /// So many hours of working days from the call: what falls on the last day turns on the time of day.
    Hours,
}

/// What happens to a request on a day that is no working day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weekend {
    /// It counts as made on the next working day.
    Rolls,
    /// Counting begins with the next working day.
    Counts,
    /// Not found.
    Unsaid,
}

/// The least time between the request and the digging.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Notice {
    /// Working days; hours as the working days that they fill.
    pub working_days: u32,
    pub count: Count,
    pub weekend: Weekend,
    /// Whether the center works out a start on a day off.
    pub starts_on_day_off: bool,
}

/// Days of the calendar or working days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Span {
    CalendarDays(u32),
    WorkingDays(u32),
}

/// The day from which the life of a ticket is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum From {
    Request,
    Start,
    /// The end of the time that the operators have for marking.
    MarkBy,
}

/// How long a ticket is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Life {
    pub span: Span,
    pub from: From,
    /// Whether it goes on to the next working day where it ends on a day off.
    pub rolls: bool,
}

/// The duty in the tolerance zone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HandDig {
    /// No machine until the line is exposed by hand or another non-invasive way.
    Required,
    /// The same, for lines of fuel or hazardous liquids only.
    FuelLines,
    /// Care, or a spotter; hand digging is advised.
    Care,
}

/// The duty to mark the place of the digging before the request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhiteLining {
    Required,
    /// Only where words do not describe the place, or on request.
    WhereUnclear,
}

/// Whether digging with hand tools alone takes a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HandTools {
    Covered,
    /// Not, at least on private land outside easements.
    Exempt,
    /// Not to this depth in inches, on private land outside easements.
    ExemptAbove(u32),
}

/// The law of one state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// ISO 3166-2.
    pub region: &'static str,
    pub name: &'static str,
    pub notice: Value<Notice>,
    /// The most time between the request and the start.
    pub earliest: Value<Span>,
    pub life: Value<Life>,
    /// Inches on each side of a line, from its outside edge.
    pub zone_in: Value<f64>,
    pub hand_dig: Value<HandDig>,
    /// Whether digging has to wait until every operator has answered.
    pub response: Value<bool>,
    pub white_lining: Value<WhiteLining>,
    pub hand_tools: Value<HandTools>,
}

impl<T: Copy> Value<T> {
    const UNKNOWN: Self = Self {
        value: None,
        confidence: Confidence::Memory,
        source: Source { document: "not found", section: None, as_of: "" },
    };

    /// The value, however sure.
    pub fn get(&self) -> Option<T> {
        self.value
    }

    /// The value, when it is confirmed.
    pub fn confirmed(&self) -> Option<T> {
        self.value.filter(|_| self.confidence == Confidence::Confirmed)
    }

    pub fn is_confirmed(&self) -> bool {
        self.confirmed().is_some()
    }

    /// The authority that findings name: what was read, when the value is confirmed, else common practice.
    pub fn basis(&self) -> Basis {
        if self.is_confirmed() {
            let Source { document, section, .. } = self.source;
            Basis { kind: BasisKind::Code, document: Some(document), edition: None, section }
        } else {
            Basis::PRACTICE
        }
    }

    /// The source in words, with its year or its doubt.
    pub fn cited(&self) -> String {
        let Source { document, section, as_of } = self.source;
        match (self.confidence, section) {
            (Confidence::Confirmed, Some(section)) => format!("{document} {section}, as of {as_of}"),
            (Confidence::Confirmed, None) => format!("{document}, as of {as_of}"),
            (Confidence::Secondary, _) => "not confirmed: secondary source".to_owned(),
            (Confidence::Memory, _) if self.value.is_some() => "not confirmed: from memory".to_owned(),
            (Confidence::Memory, _) => "not found".to_owned(),
        }
    }
}

const fn law<T>(document: &'static str, section: &'static str, as_of: &'static str, value: T) -> Value<T> {
    let source = Source { document, section: Some(section), as_of };
    Value { value: Some(value), confidence: Confidence::Confirmed, source }
}

/// A page of the state's one-call center or of its agency.
const fn center<T>(document: &'static str, as_of: &'static str, value: T) -> Value<T> {
    let source = Source { document, section: None, as_of };
    Value { value: Some(value), confidence: Confidence::Confirmed, source }
}

const fn secondary<T>(value: T) -> Value<T> {
    let source = Source { document: "secondary source", section: None, as_of: "" };
    Value { value: Some(value), confidence: Confidence::Secondary, source }
}

const fn memory<T>(value: T) -> Value<T> {
    let source = Source { document: "memory", section: None, as_of: "" };
    Value { value: Some(value), confidence: Confidence::Memory, source }
}

const fn notice(working_days: u32, count: Count) -> Notice {
    Notice { working_days, count, weekend: Weekend::Unsaid, starts_on_day_off: false }
}

const fn life(span: Span, from: From) -> Life {
    Life { span, from, rolls: false }
}

impl Life {
    const fn to_a_working_day(self) -> Self {
        Self { rolls: true, ..self }
    }
}

impl Notice {
    const fn weekend(self, weekend: Weekend) -> Self {
        Self { weekend, ..self }
    }

    const fn also_on_a_day_off(self) -> Self {
        Self { starts_on_day_off: true, ..self }
    }

    /// Full working days between the day of the request and the day of the start that meet every reading of it.
    pub fn full_days_strict(&self) -> u32 {
        match self.count {
            Count::Nth => self.working_days.saturating_sub(1),
            Count::Full | Count::Unsaid | Count::Hours => self.working_days,
        }
    }

    /// The fewest that any reading of it allows.
    pub fn full_days_lenient(&self) -> u32 {
        match self.count {
            Count::Full => self.working_days,
            Count::Nth | Count::Unsaid | Count::Hours => self.working_days.saturating_sub(1),
        }
    }

    /// The notice as the law puts it.
    pub fn words(&self) -> String {
        let days = self.working_days;
        match self.count {
            Count::Full => format!("{days} full working days, the day of the request not counted"),
            Count::Nth => format!("a start on working day {days} after the request or later"),
            Count::Unsaid => format!("{days} working days"),
            Count::Hours => format!("{} hours of working days", days * 24),
        }
    }
}

impl Span {
    pub fn amount(self) -> u32 {
        match self {
            Self::CalendarDays(days) | Self::WorkingDays(days) => days,
        }
    }

    /// The unit in which findings measure it.
    pub fn unit(self) -> &'static str {
        match self {
            Self::CalendarDays(_) => "calendar days",
            Self::WorkingDays(_) => "working days",
        }
    }
}

/// All rows, by region.
pub static STATES: LazyLock<Vec<State>> = LazyLock::new(|| {
    let mut states = [northeast::ROWS, midwest::ROWS, south::ROWS, west::ROWS].concat();
    states.sort_by_key(|state| state.region);
    states
});

/// Where the job is, as far as one-call law goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Place {
    State(&'static State),
    /// In the United States; the plan does not say where, or names a region without a row.
    UnitedStates,
    Elsewhere,
    /// The plan names no country.
    Unknown,
}

impl Place {
    pub fn of(input: &Input) -> Self {
        let job = input.project();
        let region = job.region.as_deref().unwrap_or_default();
        match (STATES.iter().find(|state| state.region == region), job.country.as_deref()) {
            (Some(state), None | Some("US")) => Self::State(state),
            (None, Some("US")) => Self::UnitedStates,
            (None, None) if region.is_empty() => Self::Unknown,
            (None, None) if region.starts_with("US-") => Self::UnitedStates,
            _ => Self::Elsewhere,
        }
    }
}

/// The longest notice that is confirmed for any state, in working days, and where.
pub fn strictest_notice() -> (u32, &'static str) {
    let known = STATES.iter().filter_map(|state| Some((state.notice.confirmed()?.working_days, state.name)));
    known.max_by_key(|(days, _)| *days).unwrap_or((0, ""))
}

/// The widest tolerance zone that is confirmed for any state, in inches, and where.
pub fn strictest_zone_in() -> (f64, &'static str) {
    let known = STATES.iter().filter_map(|state| Some((state.zone_in.confirmed()?, state.name)));
    known.max_by(|one, other| one.0.total_cmp(&other.0)).unwrap_or((0.0, ""))
}
