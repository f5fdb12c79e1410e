//! Counting working days, with the days that may or may not be holidays counted either way.

use super::{DayKind, WorkCalendar};
use jiff::civil::Date;

impl WorkCalendar {
    /// The kind of a day; `None` outside the calendar.
    pub fn kind(&self, date: Date) -> Option<DayKind> {
        self.position(date).and_then(|position| self.days.get(position)).map(|day| day.kind)
    }

    /// The nth working day after `day`, which itself does not count: the earliest it can be (every unsure day is worked)
    /// and the latest (none is). `None` where the calendar ends before. The 0th is `day` itself.
    pub fn working_days_after(&self, day: Date, n: usize) -> Option<(Date, Date)> {
        let position = self.position(day)?;
        let nth = |worked: fn(DayKind) -> bool| {
            let Some(skipped) = n.checked_sub(1) else { return Some(day) };
            let after = self.days.get(position + 1..)?;
            after.iter().filter(|day| worked(day.kind)).nth(skipped).map(|day| day.date)
        };
        let earliest = nth(|kind| matches!(kind, DayKind::Working | DayKind::Unsure(_)))?;
        let latest = nth(|kind| kind == DayKind::Working)?;
        Some((earliest, latest))
    }

    fn position(&self, date: Date) -> Option<usize> {
        self.days.binary_search_by_key(&date, |day| day.date).ok()
    }
}
