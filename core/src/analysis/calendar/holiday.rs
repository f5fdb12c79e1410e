//! How a holiday finds its date in a year, and how it moves off a weekend.

use jiff::Span;
use jiff::civil::{Date, Weekday};

/// A holiday by its definition. Definitions are those in force, for every year: a plan is not about the past.
#[derive(Debug, Clone, Copy)]
pub(super) struct Holiday {
    /// What it is called.
    pub name: &'static str,
    /// What the day is called that it moves to from a weekend.
    pub observed: &'static str,
    /// When it is.
    pub rule: Rule,
}

/// When a holiday is.
#[derive(Debug, Clone, Copy)]
pub(super) enum Rule {
    /// A day of a month.
    Fixed { month: i8, day: i8 },
    /// The nth weekday of a month, from its end where `nth` is negative, and so many days later.
    Nth { month: i8, weekday: Weekday, nth: i8, days_later: i32 },
    /// The same in years that are divisible by two, as elections are.
    NthInEvenYears { month: i8, weekday: Weekday, nth: i8, days_later: i32 },
    /// So many days after Easter Sunday of the western churches; negative is before.
    Easter { days_later: i32 },
    /// 20 January of the year after a presidential election.
    Inauguration,
    /// A working day beside Christmas: days from 25 December by the weekday that this falls on, Monday first.
    BesideChristmas { days_later: [i32; 7] },
    /// Dates of a calendar of the moon, which no rule here computes: these years only.
    Listed(&'static [(i16, i8, i8)]),
}

/// What becomes of a holiday on a weekend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shift {
    /// It stays; no other day is free.
    Stays,
    /// Sunday to Monday; Saturday stays.
    SundayOnly,
    /// Sunday to Monday, Saturday to Friday.
    Nearest,
    /// The day before Christmas makes room for Christmas: Friday to Thursday, Saturday and Sunday to Friday.
    BeforeChristmas,
    /// The day after Christmas makes room for it: Monday to Tuesday, Saturday and Sunday to Monday.
    AfterChristmas,
}

/// Holidays that move off a weekend in the same way.
#[derive(Debug, Clone, Copy)]
pub(super) struct Group {
    /// The holidays.
    pub days: &'static [Holiday],
    /// How they move.
    pub shift: Shift,
}

impl Group {
    /// The free days that the holidays of one year make, with the name of each. The day that one moves to may lie in
    /// the year before or after.
    pub fn dates(&self, year: i16) -> impl Iterator<Item = (Date, &'static str)> {
        self.days.iter().filter_map(move |holiday| Some((holiday, holiday.rule.date(year)?))).flat_map(
            move |(holiday, date)| {
                let moved = self.shift.days_later(date.weekday()).and_then(|days| plus(date, days));
                [Some((date, holiday.name)), moved.map(|moved| (moved, holiday.observed))].into_iter().flatten()
            },
        )
    }
}

impl Rule {
    /// The date in a year; `None` where the rule has none, or the calendar ends.
    fn date(self, year: i16) -> Option<Date> {
        match self {
            Self::Fixed { month, day } => Date::new(year, month, day).ok(),
            Self::Nth { month, weekday, nth, days_later } => {
                let day = Date::new(year, month, 1).ok()?.nth_weekday_of_month(nth, weekday).ok()?;
                plus(day, days_later)
            }
            Self::NthInEvenYears { month, weekday, nth, days_later } => {
                let rule = Self::Nth { month, weekday, nth, days_later };
                if year % 2 == 0 { rule.date(year) } else { None }
            }
            Self::Easter { days_later } => plus(easter(year)?, days_later),
            Self::Inauguration if year.rem_euclid(4) == 1 => Date::new(year, 1, 20).ok(),
            Self::Inauguration => None,
            Self::BesideChristmas { days_later } => {
                let christmas = Date::new(year, 12, 25).ok()?;
                let weekday = usize::try_from(christmas.weekday().to_monday_zero_offset()).ok()?;
                plus(christmas, *days_later.get(weekday)?)
            }
            Self::Listed(dates) => {
                let &(year, month, day) = dates.iter().find(|(listed, ..)| *listed == year)?;
                Date::new(year, month, day).ok()
            }
        }
    }
}

impl Shift {
    /// How far a holiday on this weekday moves; `None` where it stays.
    fn days_later(self, weekday: Weekday) -> Option<i32> {
        match (self, weekday) {
            (Self::SundayOnly | Self::Nearest, Weekday::Sunday) => Some(1),
            (Self::Nearest, Weekday::Saturday) => Some(-1),
            (Self::BeforeChristmas, Weekday::Friday | Weekday::Saturday) => Some(-1),
            (Self::BeforeChristmas, Weekday::Sunday) => Some(-2),
            (Self::AfterChristmas, Weekday::Monday | Weekday::Sunday) => Some(1),
            (Self::AfterChristmas, Weekday::Saturday) => Some(2),
            _ => None,
        }
    }
}

/// A date so many days later; `None` past the ends of the calendar.
pub(super) fn plus(date: Date, days: i32) -> Option<Date> {
    date.checked_add(Span::new().try_days(days).ok()?).ok()
}

/// Easter Sunday of the Gregorian calendar: the first Sunday after the ecclesiastical full moon on or after 21 March,
/// by the rule with a correction for centuries and for the moon (Meeus, Astronomical Algorithms, chapter 8).
fn easter(year: i16) -> Option<Date> {
    let year_number = i32::from(year);
    let golden = year_number.rem_euclid(19);
    let (century, in_century) = (year_number.div_euclid(100), year_number.rem_euclid(100));
    let leap_centuries = century.div_euclid(4);
    let moon_correction = (century - (century + 8).div_euclid(25) + 1).div_euclid(3);
    let epact = (19 * golden + century - leap_centuries - moon_correction + 15).rem_euclid(30);
    let to_sunday = (32 + 2 * century.rem_euclid(4) + 2 * in_century.div_euclid(4) - epact - in_century.rem_euclid(4))
        .rem_euclid(7);
    let late = (golden + 11 * epact + 22 * to_sunday).div_euclid(451);
    let days_after_22_march = epact + to_sunday - 7 * late;
    plus(Date::new(year, 3, 22).ok()?, days_after_22_march)
}
