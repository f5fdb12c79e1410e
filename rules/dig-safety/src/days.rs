//! Counting the days of a locate request, the strict and the lenient way: a day that may or may not be a holiday of
//! the one-call law, and what the law leaves unsaid, counts against the plan in one and for it in the other.

use crate::states::{Count, From, Life, Notice, Span, State, Weekend};
use lintern_rule::Input;
use lintern_rule::facts::{Day, DayKind};

/// The way in which doubtful days count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// A doubtful day is no working day, and a request on a day off counts from the next working day on.
    Strict,
    /// A doubtful day is a working day, and counting begins with it.
    Lenient,
}

use Reading::{Lenient, Strict};

/// How the time between two days stands to a notice.
#[derive(Debug, Clone, PartialEq)]
pub enum Judged {
    /// Kept in every reading.
    Met,
    /// Broken in every reading; the full working days between, counted leniently.
    Short(u32),
    /// It turns on these.
    Turns(Vec<String>),
}

/// Consecutive days with their kinds.
#[derive(Debug, Clone, Copy)]
pub struct Days<'a> {
    days: &'a [Day],
}

impl<'a> Days<'a> {
    /// The calendar of the plan's region, when it is known.
    pub fn of(input: &'a Input) -> Option<Self> {
        input.calendar().map(|calendar| Self::new(&calendar.days))
    }

    pub fn new(days: &'a [Day]) -> Self {
        Self { days }
    }

    fn index(&self, date: &str) -> Option<usize> {
        self.days.iter().position(|day| day.date == date)
    }

    fn date(&self, index: usize) -> Option<&'a str> {
        self.days.get(index).map(|day| day.date.as_str())
    }

    fn works(&self, index: usize, reading: Reading) -> bool {
        self.days.get(index).is_some_and(|day| match day.kind {
            DayKind::Working => true,
            DayKind::Weekend | DayKind::Holiday(_) => false,
            DayKind::Unsure(_) => reading == Lenient,
        })
    }

    /// The day on which a request counts as made.
    fn made(&self, called: usize, weekend: Weekend, reading: Reading) -> usize {
        let rolls = match weekend {
            Weekend::Rolls => true,
            Weekend::Counts => false,
            Weekend::Unsaid => reading == Strict,
        };
        if !rolls {
            return called;
        }
        (called..self.days.len()).find(|&index| self.works(index, reading)).unwrap_or(called)
    }

    fn full_days(&self, called: usize, starts: usize, weekend: Weekend, reading: Reading) -> u32 {
        let made = self.made(called, weekend, reading);
        let full = (made + 1..starts).filter(|&index| self.works(index, reading)).count();
        u32::try_from(full).unwrap_or(u32::MAX)
    }

    /// Whether the time keeps the notice in one reading. In the strict one a start on a day off is kept only by the
    /// working day after it, unless the center works it out otherwise.
    fn keeps(&self, notice: &Notice, from: usize, to: usize, reading: Reading) -> bool {
        let full_days = self.full_days(from, to, notice.weekend, reading);
        match reading {
            Lenient => full_days >= notice.full_days_lenient(),
            Strict => {
                let day_off = !notice.starts_on_day_off && !self.works(to, Strict);
                full_days >= notice.full_days_strict() + u32::from(day_off)
            }
        }
    }

    /// Whether the time from the request to the start keeps the notice; `None` when a day is outside the calendar.
    pub fn judge(&self, notice: &Notice, called: &str, starts: &str, state: &State) -> Option<Judged> {
        let (from, to) = (self.index(called)?, self.index(starts)?);
        if self.keeps(notice, from, to, Strict) {
            return Some(Judged::Met);
        }
        if !self.keeps(notice, from, to, Lenient) {
            return Some(Judged::Short(self.full_days(from, to, notice.weekend, Lenient)));
        }
        Some(Judged::Turns(self.doubts(notice, from, to, state)))
    }

    /// The full working days that count towards a notice in the strict reading: one fewer where the start is on a day
    /// off that only the working day after it keeps. `None` when a day is outside the calendar.
    pub fn counted(&self, notice: &Notice, called: &str, starts: &str) -> Option<u32> {
        let (from, to) = (self.index(called)?, self.index(starts)?);
        let day_off = !notice.starts_on_day_off && !self.works(to, Strict);
        Some(self.full_days(from, to, notice.weekend, Strict).saturating_sub(u32::from(day_off)))
    }

    fn doubts(&self, notice: &Notice, from: usize, to: usize, state: &State) -> Vec<String> {
        let mut doubts = self.unsure(from, to, state);
        match notice.count {
            Count::Hours => doubts.push("the time of day of `dig.ticket.called` and of `dig.starts`".to_owned()),
            Count::Unsaid => doubts.push(format!("whether the day of the request counts in {}", state.name)),
            Count::Full | Count::Nth => {}
        }
        if notice.weekend == Weekend::Unsaid && !self.works(from, Strict) {
            doubts.push(format!("from when a request on a day off counts in {}", state.name));
        }
        if !notice.starts_on_day_off && !self.works(to, Strict) {
            doubts.push(format!("whether the day after the notice may be a day off in {}", state.name));
        }
        doubts
    }

    /// The doubtful days from one day to another, both counted.
    fn unsure(&self, from: usize, to: usize, state: &State) -> Vec<String> {
        let days = self.days.get(from..=to).unwrap_or_default();
        let doubtful = days.iter().filter_map(|day| match &day.kind {
            DayKind::Unsure(name) => {
                Some(format!("whether {} ({name}) is a holiday of the one-call law of {}", day.date, state.name))
            }
            _ => None,
        });
        doubtful.collect()
    }

    /// The first day on which a start keeps the notice.
    pub fn earliest_start(&self, notice: &Notice, called: &str, reading: Reading) -> Option<&'a str> {
        let from = self.index(called)?;
        let kept = |&to: &usize| self.keeps(notice, from, to, reading);
        self.date((from + 1..self.days.len()).find(kept)?)
    }

    /// The last day on which a request keeps the notice in every reading.
    pub fn last_request(&self, notice: &Notice, starts: &str) -> Option<&'a str> {
        let to = self.index(starts)?;
        let kept = |&from: &usize| self.keeps(notice, from, to, Strict);
        self.date((0..to).rev().find(kept)?)
    }

    /// Days after the first one to the second one, counted in the unit of the span: the fewest and the most.
    pub fn apart(&self, span: Span, one: &str, other: &str) -> Option<(u32, u32)> {
        let (from, to) = (self.index(one)?, self.index(other)?);
        let count = |reading| match span {
            Span::CalendarDays(_) => to.saturating_sub(from),
            Span::WorkingDays(_) => (from + 1..=to).filter(|&index| self.works(index, reading)).count(),
        };
        let days = |count| u32::try_from(count).unwrap_or(u32::MAX);
        Some((days(count(Strict)), days(count(Lenient))))
    }

    /// The doubtful days after the first one to the second one.
    pub fn unsure_between(&self, one: &str, other: &str, state: &State) -> Vec<String> {
        match (self.index(one), self.index(other)) {
            (Some(from), Some(to)) => self.unsure(from + 1, to, state),
            _ => Vec::new(),
        }
    }

    fn after(&self, from: usize, span: Span, reading: Reading) -> Option<usize> {
        match span {
            Span::CalendarDays(days) => Some(from + days as usize),
            Span::WorkingDays(days) => (from + 1..self.days.len())
                .filter(|&index| self.works(index, reading))
                .nth((days as usize).checked_sub(1)?),
        }
    }

    /// The last day of a ticket: the earliest and the latest that it can be.
    pub fn expiry(
        &self,
        life: &Life,
        notice: Option<&Notice>,
        called: Option<&str>,
        starts: Option<&str>,
    ) -> Option<(&'a str, &'a str)> {
        let (first, last) = match life.from {
            From::Request => (self.index(called?)?, self.index(called?)?),
            From::Start => (self.index(starts?)?, self.index(starts?)?),
            From::MarkBy => {
                let start = |reading| self.earliest_start(notice?, called?, reading).and_then(|date| self.index(date));
                (start(Lenient)?.saturating_sub(1), start(Strict)?)
            }
        };
        let end = |from, reading| {
            let end = self.after(from, life.span, reading)?;
            let worked = (end..self.days.len()).find(|&index| self.works(index, reading));
            self.date(if life.rolls { worked? } else { end })
        };
        Some((end(first, Lenient)?, end(last, Strict)?))
    }
}

#[cfg(test)]
pub(crate) mod tests;
