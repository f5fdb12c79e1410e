//! Worked examples of the states, and doubtful days counted both ways.

use super::*;
use crate::states::STATES;

/// The days from Thursday, 1 January 2026 on, with these holidays and doubtful days.
pub(crate) fn days(holidays: &[&str], unsure: &[&str]) -> Vec<Day> {
    const LENGTHS: [u32; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let dates = (1_u32..)
        .zip(LENGTHS)
        .flat_map(|(month, length)| (1..=length).map(move |day| format!("2026-{month:02}-{day:02}")));
    dates
        .enumerate()
        .map(|(index, date)| {
            let kind = match (index + 4) % 7 {
                _ if holidays.contains(&date.as_str()) => DayKind::Holiday("a holiday".to_owned()),
                _ if unsure.contains(&date.as_str()) => DayKind::Unsure("a doubtful day".to_owned()),
                // Thursday is 4 of a week that begins with Sunday.
                0 | 6 => DayKind::Weekend,
                _ => DayKind::Working,
            };
            Day { date, kind }
        })
        .collect()
}

fn state(region: &str) -> &'static State {
    STATES.iter().find(|state| state.region == region).expect("there is a row")
}

fn judged(days: &[Day], region: &str, called: &str, starts: &str) -> Judged {
    let state = state(region);
    let notice = state.notice.get().expect("the row has a notice");
    Days::new(days).judge(&notice, called, starts, state).expect("the days are in the calendar")
}

/// The first day that meets every reading, and the first that no reading forbids.
fn first(days: &[Day], region: &str, called: &str) -> (String, String) {
    let notice = state(region).notice.get().expect("the row has a notice");
    let first = |reading| Days::new(days).earliest_start(&notice, called, reading).expect("a day").to_owned();
    (first(Strict), first(Lenient))
}

// The week of Monday, 2 March 2026 and the next one have no holiday.
const SAT: &str = "2026-02-28";
const SUN: &str = "2026-03-01";
const MON: &str = "2026-03-02";
const TUE: &str = "2026-03-03";
const WED: &str = "2026-03-04";
const THU: &str = "2026-03-05";
const FRI: &str = "2026-03-06";
const NEXT_SAT: &str = "2026-03-07";
const NEXT_TUE: &str = "2026-03-10";
const NEXT_WED: &str = "2026-03-11";

#[test]
fn the_worked_dates_of_the_centers_come_out() {
    let calendar = days(&[], &[]);
    // Region, day of the request, first day of digging as the center or the law works it out.
    let worked = [
        ("US-MN", TUE, FRI),
        ("US-MN", FRI, NEXT_WED),
        ("US-ID", MON, THU),
        ("US-ID", WED, NEXT_SAT),
        ("US-ID", FRI, NEXT_WED),
        ("US-SC", MON, FRI),
        ("US-MO", MON, THU),
        ("US-KS", SAT, THU),
        ("US-KS", SUN, THU),
        ("US-KS", MON, THU),
        // Day 0 is the request; 7 a.m. of the third working day.
        ("US-VA", MON, THU),
        // A notice of Wednesday is worked out to Monday.
        ("US-IN", WED, "2026-03-09"),
        ("US-ND", WED, NEXT_SAT),
        ("US-AL", MON, THU),
    ];
    for (region, called, start) in worked {
        assert_eq!(first(&calendar, region, called).0, start, "{region} {called}");
        assert_eq!(judged(&calendar, region, called, start), Judged::Met, "{region} {called}");
    }
}

#[test]
fn a_holiday_puts_the_start_off() {
    // North Dakota: a request on the Friday before Labor Day leads to Thursday.
    let calendar = days(&["2026-03-09"], &[]);
    assert_eq!(first(&calendar, "US-ND", FRI), ("2026-03-12".to_owned(), "2026-03-12".to_owned()));
    assert_eq!(judged(&calendar, "US-ND", FRI, NEXT_WED), Judged::Short(1));
}

#[test]
fn a_saturday_notice_in_texas_counts_from_monday() {
    // 251.157: marked by 11:59 a.m. of Tuesday; so Tuesday turns on the hour and Monday is too soon.
    let calendar = days(&[], &[]);
    assert_eq!(judged(&calendar, "US-TX", SAT, MON), Judged::Short(0));
    assert!(matches!(judged(&calendar, "US-TX", SAT, TUE), Judged::Turns(_)));
    assert_eq!(judged(&calendar, "US-TX", SAT, WED), Judged::Met);
    // With a holiday on Monday it is Wednesday.
    let calendar = days(&[MON], &[]);
    assert_eq!(judged(&calendar, "US-TX", SAT, TUE), Judged::Short(0));
    assert!(matches!(judged(&calendar, "US-TX", SAT, WED), Judged::Turns(_)));
    assert_eq!(judged(&calendar, "US-TX", SAT, THU), Judged::Met);
}

#[test]
fn a_doubtful_day_neither_passes_nor_fails_a_plan() {
    // California, Monday to Thursday, with a doubtful Wednesday.
    let calendar = days(&[], &[WED]);
    let Judged::Turns(doubts) = judged(&calendar, "US-CA", MON, THU) else { panic!("it turns on Wednesday") };
    assert_eq!(doubts, ["whether 2026-03-04 (a doubtful day) is a holiday of the one-call law of California"]);
    assert_eq!(judged(&calendar, "US-CA", MON, FRI), Judged::Met);
    assert_eq!(judged(&calendar, "US-CA", MON, WED), Judged::Short(1));
    assert_eq!(first(&calendar, "US-CA", MON), (FRI.to_owned(), THU.to_owned()));
}

#[test]
fn what_the_law_leaves_unsaid_is_named() {
    let calendar = days(&[], &[]);
    let doubts = |region, called, starts| match judged(&calendar, region, called, starts) {
        Judged::Turns(doubts) => doubts,
        other => panic!("{region}: {other:?}"),
    };
    assert_eq!(doubts("US-WA", MON, WED), ["whether the day of the request counts in Washington"]);
    assert_eq!(doubts("US-OH", MON, WED), ["the time of day of `dig.ticket.called` and of `dig.starts`"]);
    assert_eq!(doubts("US-IN", WED, NEXT_SAT), ["whether the day after the notice may be a day off in Indiana"]);
    assert_eq!(doubts("US-CA", SAT, WED), ["from when a request on a day off counts in California"]);
    assert_eq!(judged(&calendar, "US-OH", MON, TUE), Judged::Short(0));
    assert_eq!(judged(&calendar, "US-OH", MON, THU), Judged::Met);
}

#[test]
fn a_request_is_due_early_enough_for_every_reading() {
    let calendar = days(&[], &[WED]);
    let notice = state("US-CA").notice.get().expect("California has a notice");
    assert_eq!(Days::new(&calendar).last_request(&notice, FRI), Some(MON));
    assert_eq!(Days::new(&calendar).last_request(&notice, "2026-01-01"), None);
}

#[test]
fn days_apart_count_both_ways() {
    let calendar = days(&["2026-03-09"], &[WED]);
    let apart = |span| Days::new(&calendar).apart(span, MON, NEXT_WED);
    assert_eq!(apart(Span::CalendarDays(1)), Some((9, 9)));
    // Tuesday, Thursday, Friday, Tuesday, Wednesday, and the doubtful Wednesday.
    assert_eq!(apart(Span::WorkingDays(1)), Some((5, 6)));
    assert_eq!(Days::new(&calendar).apart(Span::CalendarDays(1), MON, "2027-01-01"), None);
}

#[test]
fn a_ticket_lasts_by_its_law() {
    let calendar = days(&[], &["2026-03-09"]);
    let expiry = |region: &str, called, starts| {
        let state = state(region);
        let life = state.life.get().expect("the row has a life");
        Days::new(&calendar).expiry(&life, state.notice.get().as_ref(), called, starts)
    };
    // 28 calendar days from the request.
    assert_eq!(expiry("US-CA", Some(MON), None), Some(("2026-03-30", "2026-03-30")));
    // 15 calendar days from the start.
    assert_eq!(expiry("US-TN", Some(MON), Some(NEXT_TUE)), Some(("2026-03-25", "2026-03-25")));
    assert_eq!(expiry("US-TN", Some(MON), None), None);
    // 30 days from the due date: Wednesday ends the two days, Thursday is the first of digging.
    assert_eq!(expiry("US-CO", Some(MON), None), Some(("2026-04-03", "2026-04-04")));
    // 15 working days from the request, with a doubtful Monday: 23 or 24 March.
    assert_eq!(expiry("US-VA", Some(MON), None), Some(("2026-03-23", "2026-03-24")));
}

/// Ten working days of Illinois from Monday: the doubtful Wednesday is named, and one after the start is not.
#[test]
fn doubtful_days_between_request_and_start_are_named() {
    let calendar = days(&[], &[WED, NEXT_WED]);
    let named = |starts| Days::new(&calendar).unsure_between(MON, starts, state("US-IL"));
    let wednesday = "whether 2026-03-04 (a doubtful day) is a holiday of the one-call law of Illinois";
    assert_eq!(named(NEXT_TUE), [wednesday]);
    assert_eq!(named(NEXT_WED).len(), 2);
    assert!(named(TUE).is_empty() && named("2027-01-01").is_empty());
    let on_doubtful = days(&[], &[MON]);
    let named = Days::new(&on_doubtful).unsure_between(MON, NEXT_TUE, state("US-IL"));
    assert!(named.is_empty(), "the day of the request does not count, so it needs no answer: {named:?}");
}
