//! Counting working days: worked examples that states and one-call centers publish, and properties.

use super::*;

/// Some(earliest) where both counts agree.
#[track_caller]
fn sure(region: &str, from: Date, n: usize) -> Date {
    let (earliest, latest) = calendar(region, from).working_days_after(from, n).unwrap();
    assert_eq!(earliest, latest, "{region} {from} {n}");
    earliest
}

/// The day after the last of n full working days of notice.
#[track_caller]
fn dig_day(region: &str, called: Date, full_days: usize) -> Date {
    plus(sure(region, called, full_days), 1).unwrap()
}

/// Published examples by weekday; the week of 1 June 2026 and the one after have no holiday anywhere. Monday is the 1st.
#[test]
fn examples_that_the_states_publish() {
    let june = |day| date(2026, 6, day);
    let rows = [
        // Minnesota, 48 hours from the start of the next business day: Tuesday to Friday, Friday to Wednesday.
        ("US-MN", june(2), 2, june(5)),
        ("US-MN", june(5), 2, june(10)),
        // Idaho, two full business days: Monday to Thursday, Wednesday to Saturday, Friday to Wednesday.
        ("US-ID", june(1), 2, june(4)),
        ("US-ID", june(3), 2, june(6)),
        ("US-ID", june(5), 2, june(10)),
        // South Carolina, three full working days: Monday to Friday.
        ("US-SC", june(1), 3, june(5)),
        // Missouri, two working days: Monday to Thursday.
        ("US-MO", june(1), 2, june(4)),
        // Kansas, two full working days: Monday to Thursday.
        ("US-KS", june(1), 2, june(4)),
    ];
    for (region, called, full_days, dig) in rows {
        assert_eq!(dig_day(region, called, full_days), dig, "{region} {called}");
    }
    // Kansas takes a call of Saturday or Sunday as one of Monday, the next working day: Thursday as well.
    for weekend in [june(6), june(7)] {
        let taken = sure("US-KS", weekend, 1);
        assert_eq!(dig_day("US-KS", taken, 2), june(11));
    }
    // Virginia: 7 am of the third working day.
    assert_eq!(sure("US-VA", june(1), 3), june(4));
}

/// Texas Utilities Code 251.157(a)(2) and (3): notice of Saturday, marked by Tuesday; by Wednesday where Monday is a
/// holiday.
#[test]
fn a_saturday_in_texas() {
    assert_eq!(sure("US-TX", date(2026, 6, 6), 2), date(2026, 6, 9));
    // Memorial Day 2026.
    assert_eq!(sure("US-TX", date(2026, 5, 23), 2), date(2026, 5, 27));
}

/// The example that the one-call center of North Dakota gives for Labor Day: asked on the Friday before, dig on
/// Thursday; to dig on the Saturday of that weekend, ask on Wednesday.
#[test]
fn labor_day_in_north_dakota() {
    assert_eq!(dig_day("US-ND", date(2018, 8, 31), 2), date(2018, 9, 6));
    assert_eq!(dig_day("US-ND", date(2018, 8, 29), 2), date(2018, 9, 1));
}

/// Friday 9 October 2026 in New York: Monday is Columbus Day, a legal holiday that the one-call rule may leave out.
#[test]
fn an_unsure_day_makes_a_range() {
    let made = calendar("US-NY", date(2026, 10, 9));
    let after = |n| made.working_days_after(date(2026, 10, 9), n);
    assert_eq!(after(0), Some((date(2026, 10, 9), date(2026, 10, 9))));
    assert_eq!(after(1), Some((date(2026, 10, 12), date(2026, 10, 13))));
    assert_eq!(after(2), Some((date(2026, 10, 13), date(2026, 10, 14))));
}

#[test]
fn past_the_end_of_the_calendar_is_no_answer() {
    let made = calendar("US-NY", date(2026, 10, 9));
    assert_eq!(made.working_days_after(date(2026, 10, 9), 86), None);
    assert_eq!(made.working_days_after(date(2026, 10, 9), usize::MAX), None);
    assert_eq!(made.working_days_after(date(2020, 1, 1), 0), None, "a day outside the calendar");
    assert_eq!(made.kind(date(2020, 1, 1)), None);
    let last = made.days.last().unwrap().date;
    assert_eq!(made.working_days_after(last, 0), Some((last, last)));
    assert_eq!(made.working_days_after(last, 1), None);
}

proptest! {
    /// More days are never an earlier date; the range holds its order; and n days in one count are n single steps where
    /// every day is sure.
    #[test]
    fn counting_is_monotone((region, from) in state_and_day(), n in 0..70usize) {
        let made = calendar(region, from);
        let Some((earliest, latest)) = made.working_days_after(from, n) else {
            // Only the end of the calendar can be the reason.
            prop_assert!(made.working_days_after(from, n + 1).is_none());
            return Ok(());
        };
        prop_assert!(earliest <= latest);
        prop_assert!(from <= earliest);
        if let Some((next_earliest, next_latest)) = made.working_days_after(from, n + 1) {
            prop_assert!(earliest < next_earliest);
            prop_assert!(latest < next_latest);
            prop_assert_eq!(made.working_days_after(earliest, 1).map(|(first, _)| first), Some(next_earliest));
            prop_assert_eq!(made.working_days_after(latest, 1).map(|(_, last)| last), Some(next_latest));
        }
    }
}
