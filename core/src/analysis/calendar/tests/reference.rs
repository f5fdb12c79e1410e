//! The legal holidays of every state, day by day, against a reference outside the project.
//!
//! `us-holidays.tsv` is made with a package for Python that is maintained by others; it is compared with, never read by
//! the program. Every difference has a row in [`DIFFERENCES`] with its reason, and a row without a difference fails.

use super::*;
use std::collections::BTreeMap;

const REFERENCE: &str = include_str!("../../../../tests/fixtures/calendar/us-holidays.tsv");
const YEARS: std::ops::RangeInclusive<i16> = 2024..=2030;

/// Who has the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Only {
    /// The tables here.
    Here,
    /// The package.
    Reference,
}

/// Region, who has it, its name there without `(observed)`, and why.
const DIFFERENCES: &[(&str, Only, &str, &str)] = &[
    ("US-CA", Only::Reference, "Susan B. Anthony Day", "a day of remembrance, not in Government Code 6700 or 19853"),
    ("US-NY", Only::Reference, "Susan B. Anthony Day", "a day of commemoration; public offices are open"),
    ("US-WI", Only::Reference, "Susan B. Anthony Day", "a day of observance, not in Wisconsin Statutes 995.20"),
    ("US-HI", Only::Here, "Good Friday", "Hawaii Revised Statutes 8-1 names it"),
    ("US-MA", Only::Here, "Evacuation Day in Suffolk County", "General Laws chapter 4 section 7, in one county"),
    ("US-MA", Only::Here, "Bunker Hill Day in Suffolk County", "General Laws chapter 4 section 7, in one county"),
    ("US-MD", Only::Here, "Lincoln's Birthday", "Maryland General Provisions 1-111(a)(3)"),
    ("US-MD", Only::Here, "Maryland Day", "Maryland General Provisions 1-111(a)(5)"),
    ("US-MD", Only::Here, "Good Friday", "Maryland General Provisions 1-111(a)(6)"),
    ("US-MD", Only::Here, "Defenders' Day", "Maryland General Provisions 1-111(a)(11)"),
    ("US-MD", Only::Here, "General Election Day", "Maryland General Provisions 1-111(a)(17)"),
    ("US-MI", Only::Here, "Lincoln's Birthday", "Michigan Compiled Laws 435.101(1)(c)"),
    ("US-MI", Only::Here, "Columbus Day", "Michigan Compiled Laws 435.101(1)(i)"),
    ("US-MN", Only::Here, "Indigenous Peoples' Day", "Minnesota Statutes 645.44 subdivision 5"),
    ("US-MO", Only::Here, "Lincoln's Birthday", "Revised Statutes of Missouri 9.010, the twelfth day of February"),
    ("US-ND", Only::Here, "Good Friday", "North Dakota's one-call center publishes it as a holiday of the state"),
    ("US-NJ", Only::Here, "Juneteenth", "N.J.S.A. 11A:6-24.1: the third Friday of June"),
    ("US-NJ", Only::Reference, "Juneteenth National Independence Day", "N.J.S.A. 11A:6-24.1: the third Friday of June"),
    ("US-NJ", Only::Here, "Election Day", "general elections of the state are held in odd years too"),
    ("US-PA", Only::Here, "Good Friday", "44 P.S. 11"),
    ("US-PA", Only::Here, "Flag Day", "44 P.S. 11"),
    ("US-PA", Only::Here, "Election Day", "44 P.S. 11"),
    ("US-TN", Only::Here, "Columbus Day", "Tennessee Code 15-1-101"),
    ("US-TX", Only::Reference, "Good Friday", "Government Code 662.003(c) makes it optional"),
    ("US-TX", Only::Reference, "Cesar Chavez Day", "Government Code 662.013 makes it optional"),
    ("US-TX", Only::Reference, "New Year's Day", "Texas moves no holiday off a weekend"),
    ("US-TX", Only::Reference, "Juneteenth National Independence Day", "Texas moves no holiday off a weekend"),
    ("US-TX", Only::Reference, "Independence Day", "Texas moves no holiday off a weekend"),
    ("US-TX", Only::Reference, "Veterans Day", "Texas moves no holiday off a weekend"),
    ("US-TX", Only::Reference, "Christmas Eve", "Texas moves no holiday off a weekend"),
    ("US-WI", Only::Here, "Columbus Day", "Wisconsin Statutes 995.20"),
    ("US-WI", Only::Here, "General Election Day", "Wisconsin Statutes 995.20"),
    ("US-WI", Only::Here, "Partisan Primary Election Day", "Wisconsin Statutes 995.20"),
];

/// The rows of the reference for a block, by date.
fn reference(block: &str) -> BTreeMap<Date, &'static str> {
    let rows = REFERENCE.lines().filter(|line| !line.starts_with('#'));
    let fields = rows.map(|line| line.split('\t').collect::<Vec<_>>());
    fields.filter(|fields| fields[0] == block).map(|fields| (fields[1].parse().unwrap(), fields[2])).collect()
}

fn ours(groups: &[Group]) -> BTreeMap<Date, String> {
    let mut days: BTreeMap<Date, String> = BTreeMap::new();
    let years = YEARS.start() - 1..=YEARS.end() + 1;
    for (date, name) in years.flat_map(|year| groups.iter().flat_map(move |group| group.dates(year))) {
        if YEARS.contains(&date.year()) {
            let names = days.entry(date).or_default();
            if !names.is_empty() {
                names.push_str("; ");
            }
            names.push_str(name);
        }
    }
    days
}

/// Whether a row explains a day with these names: one of them is the row's name.
fn explains(names: &str, row: &str) -> bool {
    names.split("; ").any(|name| name.trim_end_matches(" (observed)") == row)
}

#[test]
fn the_reference_is_whole() {
    for state in rows::STATES {
        let rows = reference(&state.region["US-".len()..]);
        for year in YEARS {
            let of_year = rows.keys().filter(|date| date.year() == year).count();
            assert!(of_year >= 10, "{} {year} has {of_year} rows", state.region);
        }
    }
    assert_eq!(
        REFERENCE.lines().filter(|line| line.starts_with("# Made with the package `holidays` 0.109")).count(),
        1
    );
}

#[test]
fn legal_holidays_of_every_state_day_by_day() {
    let mut unused: Vec<_> = DIFFERENCES.iter().collect();
    let mut unexplained = Vec::new();
    let mut compared = 0;
    for state in rows::STATES {
        let (ours, theirs) = (ours(state.legal), reference(&state.region["US-".len()..]));
        let days = date(*YEARS.start(), 1, 1).series(jiff::Span::new().days(1));
        for day in days.take_while(|day| day.year() <= *YEARS.end()) {
            compared += 1;
            let (side, names) = match (ours.get(&day), theirs.get(&day)) {
                (Some(names), None) => (Only::Here, names.as_str()),
                (None, Some(names)) => (Only::Reference, *names),
                _ => continue,
            };
            let explained =
                |row: &(&str, Only, &str, &str)| row.0 == state.region && row.1 == side && explains(names, row.2);
            if !DIFFERENCES.iter().any(explained) {
                unexplained.push(format!("{} {day} {side:?}: {names}", state.region));
            }
            unused.retain(|row| !explained(row));
        }
    }
    assert_eq!(compared, 51 * 2_557, "every state and every day of seven years");
    assert!(unexplained.is_empty(), "{}\n{unexplained:#?}", unexplained.len());
    assert!(unused.is_empty(), "rows without a difference: {unused:#?}");
    assert!(DIFFERENCES.iter().all(|row| !row.3.is_empty()));
}

/// Days on which federal offices were closed once, by executive order: no holidays of 5 U.S.C. 6103.
const CLOSED_ONCE: [Date; 4] = [date(2024, 12, 24), date(2025, 1, 9), date(2025, 12, 24), date(2025, 12, 26)];

/// The federal list against the package's days off of federal offices.
#[test]
fn federal_holidays_day_by_day() {
    let mut theirs = reference("US");
    for day in CLOSED_ONCE {
        assert!(theirs.remove(&day).is_some(), "{day} is in the reference");
    }
    let ours = ours(states::FEDERAL);
    assert_eq!(ours.keys().collect::<Vec<_>>(), theirs.keys().collect::<Vec<_>>());
}
