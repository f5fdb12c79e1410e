//! The working days of the plan's region around the days of the plan.

use crate::layout::Layout;
use crate::plan::scalar::Date;

/// Consecutive days and what they are.
#[derive(Debug, Clone, PartialEq)]
pub struct WorkCalendar {
    /// The day against which tickets are judged.
    pub as_of: Date,
    /// The first day.
    pub first: Date,
    /// The days, consecutive from `first`.
    pub days: Vec<Day>,
    /// What the holidays rest on.
    pub source: &'static str,
}

/// A day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// The day.
    pub date: Date,
    /// What it is.
    pub kind: DayKind,
}

/// What a day is for one-call work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayKind {
    /// A working day.
    Working,
    /// Saturday or Sunday.
    Weekend,
    /// A legal holiday.
    Holiday(&'static str),
    /// A legal holiday by some list that is not confirmed for one-call work in the region.
    Unsure(&'static str),
}

/// The calendar of a plan; `None` where the region's holidays are not known.
pub fn work_calendar(_layout: &Layout, _as_of: jiff::civil::Date) -> Option<WorkCalendar> {
    None
}
