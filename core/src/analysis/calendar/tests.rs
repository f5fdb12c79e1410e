//! The tables against the statutes and a reference outside the project, and the window of the calendar.

mod counting;
mod reference;

use super::*;
use crate::layout::{Dig, Project};
use crate::plan::scalar;
use jiff::civil::date;
use proptest::prelude::*;

fn layout(region: Option<&str>, dig: &[Date]) -> Layout {
    let day = |index: usize| dig.get(index).copied().map(scalar::Date);
    Layout {
        project: Project { region: region.map(str::to_owned), ..Project::default() },
        dig: Some(Dig { called: day(0), starts: day(1), expires: day(2), ..Dig::default() }),
        ..Layout::default()
    }
}

/// The calendar of a state around one day.
fn calendar(region: &str, as_of: Date) -> WorkCalendar {
    work_calendar(&layout(Some(region), &[]), as_of).unwrap()
}

#[track_caller]
fn kind(region: &str, on: Date) -> DayKind {
    calendar(region, on).kind(on).unwrap()
}

/// The dates on which the groups are free in a year, weekends included.
fn dates_in(groups: &[Group], year: i16) -> Vec<Date> {
    let years = year - 1..=year + 1;
    let mut dates: Vec<Date> = years
        .flat_map(|near| groups.iter().flat_map(move |group| group.dates(near)))
        .map(|(date, _)| date)
        .filter(|date| date.year() == year)
        .collect();
    dates.sort();
    dates
}

/// 5 U.S.C. 6103(a), the days of 2026 by the calendar of that year; 4 July is a Saturday and 6103(b) makes Friday the
/// holiday.
#[test]
fn the_federal_list_is_that_of_5_usc_6103() {
    let of_2026 = [
        date(2026, 1, 1),
        date(2026, 1, 19),
        date(2026, 2, 16),
        date(2026, 5, 25),
        date(2026, 6, 19),
        date(2026, 7, 3),
        date(2026, 7, 4),
        date(2026, 9, 7),
        date(2026, 10, 12),
        date(2026, 11, 11),
        date(2026, 11, 26),
        date(2026, 12, 25),
    ];
    assert_eq!(dates_in(states::FEDERAL, 2026), of_2026);
    // New Year's Day of 2028 is a Saturday: its Friday lies in 2027.
    assert_eq!(dates_in(states::FEDERAL, 2027).last(), Some(&date(2027, 12, 31)));
    // New Year's Day of 2023 was a Sunday.
    assert!(dates_in(states::FEDERAL, 2023).contains(&date(2023, 1, 2)));
}

/// Easter Sundays as astronomical and church tables print them, the earliest and the latest possible among them.
#[test]
fn easter_is_where_the_tables_have_it() {
    let sundays = [
        date(1818, 3, 22),
        date(1943, 4, 25),
        date(1954, 4, 18),
        date(1961, 4, 2),
        date(2000, 4, 23),
        date(2024, 3, 31),
        date(2025, 4, 20),
        date(2026, 4, 5),
        date(2027, 3, 28),
        date(2038, 4, 25),
        date(2285, 3, 22),
    ];
    const EASTER: &[holiday::Holiday] =
        &[holiday::Holiday { name: "Easter", observed: "", rule: holiday::Rule::Easter { days_later: 0 } }];
    for sunday in sundays {
        let group = Group { days: EASTER, shift: holiday::Shift::Stays };
        assert_eq!(group.dates(sunday.year()).map(|(date, _)| date).collect::<Vec<_>>(), [sunday]);
    }
}

/// Florida Statutes 556.102(1) and Official Code of Georgia 25-9-3(3) name nine days; no other legal holiday counts.
#[test]
fn florida_and_georgia_leave_out_nine_days() {
    for region in ["US-FL", "US-GA"] {
        let year: Vec<Date> = calendar(region, date(2025, 6, 1))
            .days
            .iter()
            .chain(&calendar(region, date(2025, 10, 20)).days)
            .chain(&calendar(region, date(2025, 1, 15)).days)
            .filter(|day| day.date.year() == 2025 && day.kind != DayKind::Working && day.kind != DayKind::Weekend)
            .map(|day| day.date)
            .collect::<std::collections::BTreeSet<_>>()
            .into_iter()
            .collect();
        let nine = [
            date(2025, 1, 1),
            date(2025, 1, 20),
            date(2025, 5, 26),
            date(2025, 7, 4),
            date(2025, 9, 1),
            date(2025, 11, 27),
            date(2025, 11, 28),
            date(2025, 12, 24),
            date(2025, 12, 25),
        ];
        assert_eq!(year, nine, "{region}");
        assert_eq!(kind(region, date(2025, 11, 11)), DayKind::Working, "Veterans Day is worked in {region}");
        assert_eq!(kind(region, date(2026, 7, 3)), DayKind::Holiday("Independence Day (observed)"));
    }
}

/// Days of the confirmed lists, one row for each, with the days beside them that the list does not have.
#[test]
fn confirmed_lists_day_by_day() {
    use DayKind::{Holiday, Unsure, Working};
    let rows = [
        // Code of Alabama title 37 chapter 15: Veterans Day is in, Washington's Birthday is not.
        ("US-AL", date(2026, 11, 11), Holiday("Veterans Day")),
        ("US-AL", date(2026, 12, 24), Holiday("Christmas Eve")),
        ("US-AL", date(2026, 2, 16), Working),
        // Montana Code 69-4-501(2): six days, moved both ways.
        ("US-MT", date(2026, 7, 3), Holiday("Independence Day (observed)")),
        ("US-MT", date(2026, 10, 12), Working),
        ("US-MT", date(2026, 11, 27), Working),
        // The days of 2023 and 2024 that a California one-call center published.
        ("US-CA", date(2023, 10, 9), Holiday("Columbus Day")),
        ("US-CA", date(2023, 11, 10), Holiday("Veterans Day (observed)")),
        ("US-CA", date(2024, 4, 1), Holiday("Cesar Chavez Day (observed)")),
        ("US-CA", date(2024, 6, 19), Holiday("Juneteenth")),
        ("US-CA", date(2024, 11, 29), Holiday("Friday after Thanksgiving")),
        ("US-CA", date(2024, 12, 24), Unsure("Christmas Eve")),
        ("US-CA", date(2026, 7, 3), Unsure("Independence Day (observed)")),
        // The one-call center of Tennessee counts these as working days in so many words, but for 24 December 2021.
        ("US-TN", date(2026, 11, 27), Working),
        ("US-TN", date(2026, 12, 24), Working),
        ("US-TN", date(2021, 12, 24), Holiday("Christmas Day (observed)")),
        ("US-TN", date(2026, 4, 3), Holiday("Good Friday")),
        ("US-TN", date(2026, 10, 12), Holiday("Columbus Day")),
        // Oregon Administrative Rules 952-001-0010(2), Revised Code of Washington 19.122.020: federal and state days.
        ("US-OR", date(2026, 10, 12), Holiday("Columbus Day")),
        ("US-OR", date(2026, 11, 27), Unsure("Friday after Thanksgiving")),
        ("US-WA", date(2026, 11, 27), Holiday("Native American Heritage Day")),
        // New Jersey: the third Friday of June, not the 19th (N.J.S.A. 11A:6-24.1).
        ("US-NJ", date(2025, 6, 20), Holiday("Juneteenth")),
        ("US-NJ", date(2025, 6, 19), Unsure("Juneteenth")),
        ("US-NJ", date(2025, 11, 4), Holiday("Election Day")),
        ("US-NJ", date(2026, 2, 12), Unsure("Lincoln's Birthday")),
        // Maryland General Provisions 1-111(b), Ohio Revised Code 1.14, Wisconsin Statutes 995.20: Sunday moves only.
        ("US-MD", date(2027, 7, 5), Holiday("Independence Day (observed)")),
        ("US-MD", date(2026, 7, 3), Unsure("Independence Day (observed)")),
        ("US-MD", date(2025, 9, 12), Unsure("Defenders' Day")),
        ("US-MD", date(2025, 11, 28), Holiday("American Indian Heritage Day")),
        ("US-OH", date(2026, 7, 3), Unsure("Independence Day (observed)")),
        // 8 and 11 November 2022: the one-call center of Wisconsin announced both as legal holidays that do not count.
        ("US-WI", date(2022, 11, 8), Holiday("General Election Day")),
        ("US-WI", date(2022, 11, 11), Holiday("Veterans Day")),
        ("US-WI", date(2026, 11, 3), Holiday("General Election Day")),
        ("US-WI", date(2027, 11, 2), Working),
        // Hawaii Revised Statutes 8-1 and Revised Statutes of Missouri 9.010.
        ("US-HI", date(2026, 4, 3), Holiday("Good Friday")),
        ("US-MO", date(2026, 2, 12), Holiday("Lincoln's Birthday")),
        ("US-MO", date(2026, 7, 3), Holiday("Independence Day (observed)")),
        // Minnesota Statutes 645.44 subdivision 5.
        ("US-MN", date(2026, 6, 19), Holiday("Juneteenth")),
        ("US-MN", date(2026, 10, 12), Unsure("Indigenous Peoples' Day")),
        // The one-call center of North Dakota.
        ("US-ND", date(2026, 4, 3), Holiday("Good Friday")),
        ("US-ND", date(2026, 6, 19), Unsure("Juneteenth")),
        // Massachusetts General Laws chapter 4 section 7: a holiday on Saturday frees no Friday.
        ("US-MA", date(2026, 7, 3), Working),
        ("US-MA", date(2027, 7, 5), Holiday("Independence Day (observed)")),
        ("US-MA", date(2026, 4, 20), Holiday("Patriots' Day")),
        ("US-MA", date(2026, 3, 17), Unsure("Evacuation Day in Suffolk County")),
        // Code of Virginia 2.2-3300 and the national holidays.
        ("US-VA", date(2025, 11, 4), Holiday("Election Day")),
        ("US-VA", date(2025, 11, 28), Holiday("Friday after Thanksgiving")),
        ("US-VA", date(2026, 7, 3), Holiday("Independence Day (observed)")),
        ("US-VA", date(2025, 12, 24), Unsure("Christmas Eve")),
        // Arizona Administrative Code R2-5A-B601(A) does not have Juneteenth.
        ("US-AZ", date(2026, 10, 12), Holiday("Columbus Day")),
        ("US-AZ", date(2026, 6, 19), Unsure("Juneteenth")),
        // Pennsylvania: 44 P.S. 11 has Flag Day, on which offices are open.
        ("US-PA", date(2026, 2, 16), Holiday("Washington's Birthday")),
        ("US-PA", date(2027, 6, 14), Unsure("Flag Day")),
        ("US-PA", date(2026, 4, 3), Unsure("Good Friday")),
        ("US-PA", date(2026, 7, 3), Unsure("Independence Day (observed)")),
        // Kentucky leaves out state and federal holidays.
        ("US-KY", date(2026, 2, 16), Holiday("Washington's Birthday")),
        ("US-KY", date(2026, 4, 3), Unsure("Good Friday")),
    ];
    for (region, on, expected) in rows {
        assert_eq!(kind(region, on), expected, "{region} {on}");
    }
    let tested: std::collections::BTreeSet<_> = rows.iter().map(|(region, ..)| *region).collect();
    for state in rows::STATES.iter().filter(|state| state.one_call.confirmed) {
        assert!(tested.contains(state.region) || ["US-FL", "US-GA"].contains(&state.region), "{}", state.region);
    }
}

/// Where the list is not confirmed, six days are holidays; any other legal holiday is unsure, and says its name.
#[test]
fn an_unconfirmed_list_has_six_days_for_sure() {
    use DayKind::{Holiday, Unsure, Weekend, Working};
    let rows = [
        ("US-NY", date(2026, 5, 25), Holiday("Memorial Day")),
        ("US-NY", date(2027, 7, 5), Holiday("Independence Day (observed)")),
        ("US-NY", date(2026, 7, 3), Unsure("Independence Day (observed)")),
        ("US-NY", date(2026, 7, 4), Weekend),
        ("US-NY", date(2026, 2, 12), Unsure("Lincoln's Birthday")),
        ("US-NY", date(2026, 6, 19), Unsure("Juneteenth")),
        ("US-NY", date(2026, 11, 27), Unsure("Friday after Thanksgiving")),
        ("US-NY", date(2026, 12, 24), Unsure("Christmas Eve")),
        ("US-NY", date(2026, 12, 23), Working),
        // No day moves in Texas; federal offices are closed all the same.
        ("US-TX", date(2027, 7, 5), Unsure("Independence Day (observed)")),
        ("US-TX", date(2026, 3, 2), Unsure("Texas Independence Day")),
        // A federal holiday that is none in the state.
        ("US-DE", date(2026, 2, 16), Unsure("Washington's Birthday")),
        // New Year's Day of 2028 moves into 2027.
        ("US-NC", date(2027, 12, 31), Unsure("New Year's Day (observed)")),
        ("US-VA", date(2027, 12, 31), Holiday("New Year's Day (observed)")),
    ];
    for (region, on, expected) in rows {
        assert_eq!(kind(region, on), expected, "{region} {on}");
    }
}

#[test]
fn every_state_and_the_district_has_one_row_with_a_source() {
    let regions: Vec<_> = rows::STATES.iter().map(|state| state.region).collect();
    assert_eq!(regions.len(), 51);
    assert!(regions.is_sorted_by(|a, b| a < b), "{regions:?}");
    for state in rows::STATES {
        assert_eq!(
            state.one_call.confirmed,
            !state.one_call.source.ends_with("not confirmed") || state.region == "US-KY"
        );
        let six = Group { days: states::SIX, shift: holiday::Shift::Stays };
        let held = dates_in(state.one_call.holidays, 2026);
        assert!(dates_in(&[six], 2026).iter().all(|day| held.contains(day)), "{} has the six days", state.region);
    }
}

#[test]
fn the_window_covers_the_dig_and_the_day_of_the_check() {
    let dig = [date(2026, 3, 2), date(2026, 3, 9), date(2026, 3, 30)];
    let made = work_calendar(&layout(Some("US-OR"), &dig), date(2026, 2, 20)).unwrap();
    assert_eq!((made.as_of, made.first), (date(2026, 2, 20), date(2026, 2, 6)));
    assert_eq!(made.days.last().unwrap().date, date(2026, 7, 28));
    assert!(made.days.iter().zip(made.first.series(jiff::Span::new().days(1))).all(|(day, date)| day.date == date));
    assert_eq!(made.source, "federal and state legal holidays by Oregon Administrative Rules 952-001-0010(2)");
}

#[test]
fn the_window_is_at_most_3660_days_wide() {
    let from = date(2026, 1, 1);
    let width = |days: i32| {
        work_calendar(&layout(Some("US-OR"), &[plus(from, days).unwrap()]), from).map(|made| made.days.len())
    };
    assert_eq!(width(3_660 - 1 - 14 - 120), Some(3_660));
    assert_eq!(width(3_660 - 14 - 120), None);
}

#[test]
fn there_is_no_calendar_without_a_state_of_the_united_states() {
    let as_of = date(2026, 3, 2);
    for region in [None, Some("US-PR"), Some("GB-ENG"), Some("US"), Some("OR"), Some("")] {
        assert_eq!(work_calendar(&layout(region, &[]), as_of), None, "{region:?}");
    }
    let mut abroad = layout(Some("US-OR"), &[]);
    abroad.project.country = Some("CA".to_owned());
    assert_eq!(work_calendar(&abroad, as_of), None);
    abroad.project.country = Some("US".to_owned());
    assert!(work_calendar(&abroad, as_of).is_some());
}

#[test]
fn the_ends_of_the_calendar_are_no_trouble() {
    for as_of in [Date::MIN, date(0, 1, 1), date(1, 1, 1), date(9999, 12, 31), Date::MAX] {
        for state in rows::STATES {
            let made = calendar(state.region, as_of);
            assert!(made.kind(as_of).is_some());
        }
    }
    assert_eq!(work_calendar(&layout(Some("US-OR"), &[date(1, 1, 1), date(9999, 12, 31)]), date(2026, 1, 1)), None);
    assert_eq!(work_calendar(&layout(Some("US-OR"), &[Date::MIN, Date::MAX]), date(2026, 1, 1)), None);
}

prop_compose! {
    /// A state and a day of the years 1 to 9999.
    fn state_and_day()(row in 0..rows::STATES.len(), days in 0..3_651_000i32) -> (&'static str, Date) {
        (rows::STATES[row].region, plus(date(1, 1, 1), days).unwrap())
    }
}

proptest! {
    #[test]
    fn a_weekend_is_a_weekend_whatever_falls_on_it((region, as_of) in state_and_day()) {
        for day in calendar(region, as_of).days {
            let weekend = matches!(day.date.weekday(), Weekday::Saturday | Weekday::Sunday);
            prop_assert_eq!(day.kind == DayKind::Weekend, weekend);
        }
    }

    /// The kind of a day does not hang on the window that it is seen in.
    #[test]
    fn the_window_changes_no_day((region, as_of) in state_and_day(), moved in -14..=120i32) {
        let Some(other) = plus(as_of, moved) else { return Ok(()) };
        let (here, there) = (calendar(region, as_of), calendar(region, other));
        for day in here.days {
            if let Some(kind) = there.kind(day.date) {
                prop_assert_eq!(kind, day.kind);
            }
        }
    }
}
