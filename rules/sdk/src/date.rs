//! Days between two dates.

/// A day of the Gregorian calendar, counted from 1970-01-01.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Day(i64);

impl Day {
    /// The day that an ISO 8601 date names; `None` when the text is no such date.
    pub fn parse(text: &str) -> Option<Self> {
        let mut parts = text.splitn(3, '-').map(|part| part.parse::<i64>().ok());
        let (Some(Some(year)), Some(Some(month)), Some(Some(day))) = (parts.next(), parts.next(), parts.next()) else {
            return None;
        };
        if !(1..=12).contains(&month) || !(1..=31).contains(&day) {
            return None;
        }
        // Years that start in March end with the leap day.
        let year = if month <= 2 { year - 1 } else { year };
        let days_of_months = (153 * ((month + 9) % 12) + 2) / 5;
        let leap_days = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
        // 719,468 days lie between 0000-03-01 and 1970-01-01.
        Some(Self(365 * year + leap_days + days_of_months + day - 1 - 719_468))
    }

    /// How many days this one is after an earlier one; negative when it is before.
    pub fn days_after(self, earlier: Self) -> i64 {
        self.0 - earlier.0
    }
}

/// The calendar days from one ISO 8601 date to another; `None` when one of them is no such date.
pub fn days_between(from: &str, to: &str) -> Option<i64> {
    Some(Day::parse(to)?.days_after(Day::parse(from)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn days(from: &str, to: &str) -> i64 {
        Day::parse(to).expect("a date").days_after(Day::parse(from).expect("a date"))
    }

    #[test]
    fn days_are_counted_over_months_and_leap_years() {
        assert_eq!(Day::parse("1970-01-01"), Some(Day(0)));
        assert_eq!(days("2026-02-28", "2026-03-01"), 1);
        assert_eq!(days("2024-02-28", "2024-03-01"), 2, "2024 is a leap year");
        assert_eq!(days("2000-02-28", "2000-03-01"), 2, "2000 is one");
        assert_eq!(days("2100-02-28", "2100-03-01"), 1, "2100 is none");
        assert_eq!(days("2025-12-31", "2026-03-01"), 60, "31 of January, 28 of February and the first of March");
        assert_eq!(days("2026-03-01", "2025-12-31"), -60);
        // 400 Gregorian years are 146,097 days.
        assert_eq!(days("1600-01-01", "2000-01-01"), 146_097);
    }

    #[test]
    fn other_texts_are_no_days() {
        for text in ["", "2026-03", "2026-13-01", "2026-00-10", "2026-01-32", "soon"] {
            assert_eq!(Day::parse(text), None, "{text}");
        }
    }
}
