//! Every row against the published values, restated with the source beside them, and what holds for all rows.

use super::*;
use std::collections::BTreeSet;

/// The values of a row in short. A value ends in `!` when confirmed, `~` from a secondary source, `?` from memory.
fn short(state: &State) -> String {
    fn value<T: Copy>(value: &Value<T>, words: impl Fn(T) -> String) -> String {
        let mark = match value.confidence {
            Confidence::Confirmed => "!",
            Confidence::Secondary => "~",
            Confidence::Memory => "?",
        };
        value.value.map_or_else(|| "-".to_owned(), |known| words(known) + mark)
    }
    let span = |span: Span| match span {
        Span::CalendarDays(days) => format!("{days}cal"),
        Span::WorkingDays(days) => format!("{days}wd"),
    };
    let notice = |notice: Notice| {
        let count = match notice.count {
            Count::Full => "full",
            Count::Nth => "nth",
            Count::Unsaid => "unsaid",
            Count::Hours => "x24h",
        };
        let weekend = match notice.weekend {
            Weekend::Rolls => ",rolls",
            Weekend::Counts => ",counts",
            Weekend::Unsaid => "",
        };
        let day_off = if notice.starts_on_day_off { ",dayoff" } else { "" };
        format!("{}{count}{weekend}{day_off}", notice.working_days)
    };
    let life = |life: Life| {
        let rolls = if life.rolls { ",rolls" } else { "" };
        format!("{}/{}{rolls}", span(life.span), format!("{:?}", life.from).to_lowercase())
    };
    let words = |word: &dyn std::fmt::Debug| format!("{word:?}").to_lowercase();
    [
        value(&state.notice, notice),
        value(&state.earliest, span),
        value(&state.life, life),
        value(&state.zone_in, |inches| inches.to_string()),
        value(&state.hand_dig, |duty| words(&duty)),
        value(&state.response, |waits| words(&waits)),
        value(&state.white_lining, |duty| words(&duty)),
        value(&state.hand_tools, |tools| words(&tools)),
    ]
    .join(" ")
}

/// Region, then notice, most before digging, life of a ticket, zone in inches, duty in the zone, whether every answer
/// is waited for, white lining, hand tools.
#[rustfmt::skip]
const PUBLISHED: [(&str, &str); 51] = [
    // 42.30.400(b): at least 2 and not more than 15 working days; 42.30.490(3): displaced by any means.
    ("US-AK", "2unsaid! 15wd! 15wd/request~ 24? care~ - - covered!"),
    // 37-15-4: 2 to 10 working days, the center: Monday to Thursday, 20 working days; 37-15-8: 18 in clear of machines.
    ("US-AL", "2full! 10wd! 20wd/start! 18! required! - whereunclear! -"),
    // Arkansas 811: 2 to 10 working days, 20 working days, hand dig within 18 in; 14-271-102: 1.5 ft; -111(b) white; -109 hand tools.
    ("US-AR", "2unsaid! 10wd! 20wd/request! 18! required! true! required! exempt!"),
    // Corporation Commission: two working days; 40-360.21: exposed with hand tools at 24 in or less.
    ("US-AZ", "2full! - 15wd/request~ 24! required! - - covered!"),
    // 4216.2: two working days without the day of notice, 14 calendar days, 28 days, delineate; 4216: 24 in; 4216.4 hand tools.
    ("US-CA", "2full! 14cal! 28cal/request! 24! required! true? required! covered!"),
    // 9-1.5-103: two business days; Colorado 811: 30 days from the due date, 18 in, no digging until complete.
    ("US-CO", "2full! - 30cal/markby! 18! required! true! - -"),
    // 16-345-4(a)(1): two full days, not more than thirty; 16-354: hand digging at combustible or hazardous contents.
    ("US-CT", "2full! 30cal! 30cal/request! 18? fuellines! - - exempt!"),
    // Miss Utility: 96 business hours, days off as the next business morning, 15 business days from the call, no machines within 18 in; 34-2701: any tool.
    ("US-DC", "4x24h,rolls! - 15wd/request! 18! required! - - covered!"),
    // Miss Utility: two full working days without the day of the call, days off as the next business morning, start within 10 working days, 24 in.
    ("US-DE", "2full,rolls! 10wd! - 24! required! - - covered!"),
    // 556.105(1): 2 full business days, off hours count as the next business day, 30 calendar days and on to a day that is
    // no day off; 24 in, increased care.
    ("US-FL", "2full,rolls! - 30cal/request,rolls! 24! care! true! whereunclear! -"),
    // 25-9-7: 48 hours beginning the next business day; Georgia 811: 30 days since July 2016, before that 21; 25-9-9: 18 in; the
    // law speaks of mechanized digging.
    ("US-GA", "2full! - 30cal/request! 18! required! - - exempt!"),
    // 269E-7: five working days, 28 calendar days, number valid 28 days; 269E-12: hand tools before power.
    ("US-HI", "5unsaid! 28cal! 28cal/request! - required! - - covered!"),
    // 480.4: 48 hours without Saturdays, Sundays, legal holidays.
    ("US-IA", "2x24h! - 20cal/request~ 18? - - - covered!"),
    // 55-2205: 2 to 10 business days; Digline: Monday to Thursday, Wednesday to Saturday, 28 days, 24 in by hand; 55-2210: less than 15 in.
    ("US-ID", "2full,dayoff! 10wd! 28cal/request! 24! required! true! whereunclear! exemptabove(15)!"),
    // 220 ILCS 50/4 of 2025: 2 to 10 days, pre-mark; JULIE: 25 days without weekends and holidays, answers from 2026.
    ("US-IL", "2full! 10wd! 25wd/request! 18? required! true! required! -"),
    // 8-1-26-16 of 2025: two full working days, ten calendar days; 8-1-26-20: two feet, hand, air or vacuum.
    ("US-IN", "2full! 10cal! 20cal/request~ 24! required! - whereunclear! covered!"),
    // 66-1804: two full working days, 20 calendar days, valid 20 calendar days after the start; Saturday, Sunday and Monday
    // all lead to Thursday.
    ("US-KS", "2full,rolls! 20cal! 20cal/start! 24~ required~ true! - -"),
    // 367.4911: 2 to 10 full working days, 21 calendar days from the request; 367.4915(4): nonmechanized on private land.
    ("US-KY", "2full! 10wd! 21cal/request! 18? - - - exempt!"),
    // 40:1749.13: 48 hours without weekends and holidays; the center: 20 days from mark-by, 18 in, hand digging advised.
    ("US-LA", "2x24h! - 20cal/markby! 18! care! - - covered!"),
    // Chapter 82: 40A 72 hours, 30 days, premark; 40C non-mechanical means; 40 hand tools exempt for gardening alone.
    ("US-MA", "3x24h! 30cal! - 18! required! - required! covered!"),
    // 12-124: not sooner than 3, not later than 12 business days after; Miss Utility: 12 business days, 18 in.
    ("US-MD", "3nth! 12wd! 12wd/request! 18! required! - - -"),
    // Chapter 895 4: 72 hours, 30 days, pre-mark; 3360-A(3)(E): notify again after 60 days; Dig Safe: 18 in by hand.
    ("US-ME", "3x24h! 30cal! 60cal/request! 18! required! - required! exempt!"),
    // MISS DIG: 3 full business days, 21 days from the due date; 460.725 14 days; 460.723: caution zone 48 in, power tools.
    ("US-MI", "3full! 14cal! 21cal/markby! 48! required! - - exempt!"),
    // 216D.04: 48 hours without the day of notice, 14 calendar days; 216D.05 white; 216D.01 powered equipment.
    ("US-MN", "2full! 14cal! 14cal/request~ 24~ required~ - required! exempt!"),
    // 319.026: two to ten working days; 319.030: from 12:00 a.m. after the request; 319.015: two feet.
    ("US-MO", "2full! 10wd! - 24! required! true! - covered!"),
    // 77-13-5: three to ten working days; 77-13-3: 18 in; MS811: 14 calendar days, hand digging advised.
    ("US-MS", "3unsaid! 10wd! 14cal/request! 18! care! - - -"),
    // 69-4-503: begin within 10 and end within 30 days; Montana 811: two full business days.
    ("US-MT", "2full! 10cal! 30cal/request! 18~ - - whereunclear! covered!"),
    // NC811: three full working days, 15 full working days; 87-117: manual or mechanized.
    ("US-NC", "3full! - 15wd/request! 24? - true! - covered!"),
    // 49-23-01: 48 hours from 12:01 a.m. of the next day, the center: Wednesday to Saturday; manually within 24 in; hand or power tools.
    ("US-ND", "2full,dayoff! - 21cal/start~ 24! required! - - covered!"),
    // 76-2321: two full to ten business days.
    ("US-NE", "2full! 10wd! 17wd/request~ 18~ - - - -"),
    // Puc 805.01: 72 hours, 30 days, valid 30 days, premark; 374:48: landscaping without machines; Dig Safe: 18 in.
    ("US-NH", "3x24h! 30cal! 30cal/request! 18! required! - required! exempt!"),
    // 14:2-3.1: three to ten business days, 45 business days; 14:2-3.3: no machine within two feet.
    ("US-NJ", "3unsaid! 10wd! 45wd/request! 24! required! - - -"),
    // 18.60.5.10: 15 working days, hand digging not covered; 62-14-3(D): 18 in clear of machines.
    ("US-NM", "2unsaid~ - 15wd/request! 18! required! - whereunclear! exempt!"),
    // 455.110: 2 working days, not more than 28 calendar days; 455.137: non-mechanical equipment first.
    ("US-NV", "2unsaid! 28cal! 28cal/request? 24~ required! true! whereunclear! -"),
    // UDig NY: 2 to 10 days without the day of the call, test holes by hand at gas and petroleum; 753-1.2 mechanized.
    ("US-NY", "2full! 10wd! - 24~ fuellines! true! - exempt!"),
    // 3781.28(A): 48 hours, ten working days; 3781.25(E): 18 in; 3781.30: a spotter for powered equipment.
    ("US-OH", "2x24h! 10wd! - 18! care! - - covered!"),
    // OKIE811: 3 to 10 business days, 14 calendar days; 142.6(A) check for answers; 142.2(5) human power.
    ("US-OK", "3unsaid! 10wd! 14cal/request! 24~ required~ true! - exempt!"),
    // 952-001-0090: two full business days after the day of notice, or every answer; hand tools within 24 in.
    ("US-OR", "2full! 10wd! 45cal/request~ 24! required! false! whereunclear! covered!"),
    // Act 287 5(2.1): three to ten business days, on or after the third, its own day excluded; powered equipment.
    ("US-PA", "3nth,rolls! 10wd! 10wd/request? 18~ care~ - - exempt!"),
    // 39-1.2-5: 72 hours, thirty days; -10 non-mechanical means; -7(b) premark; -1 powered equipment.
    ("US-RI", "3x24h! 30cal! - 18! required! - required! exempt!"),
    // 58-36-60: 3 to 12 full working days without the day of notice; SC811: 15 working days, 24 in, by hand until exposed.
    ("US-SC", "3full! 12wd! 15wd/request! 24! required! - - -"),
    // 49-7A-5 as a bill of 2007 restates it: 48 hours, ten business days.
    ("US-SD", "2x24h~ 10wd~ - 18~ - - - -"),
    // 65-31-106(a): three to ten working days, 15 calendar days from the start; TN811: no machines in 24 in.
    ("US-TN", "3unsaid! 10wd! 15cal/start! 24! required! true! - covered!"),
    // 251.151: 48th hour and 14th day without weekends and holidays; 251.157: Saturday to Tuesday; 251.002(5): 16 in or more;
    // 16 TAC 18.3: more than 14 days by agreement, white-lining where unclear.
    ("US-TX", "2x24h,counts! 14wd! 14cal/request~ 18~ care~ - whereunclear! exemptabove(16)!"),
    // Blue Stakes: 2 full business days; 54-8a-4: not more than 14 days; life 14 or 21 days, by the age of the text.
    ("US-UT", "2full! 14cal! 14cal/request~ 24~ - - whereunclear! -"),
    // 56-265.17: every answer, 7 a.m. of the third working day; 56-265.24: two feet; VA811: 15 working days.
    ("US-VA", "2full! - 15wd/request! 24! required! true! - covered!"),
    // 7004: premark, ends where not completed within 30 days; Dig Safe: 18 in.
    ("US-VT", "2x24h~ 30cal~ 30cal/request! 18! required! - required! -"),
    // 19.122.030: white paint, two to ten business days, 45 days; -.040 reasonable care; -.020 displaced by any means.
    ("US-WA", "2unsaid! 10wd! 45cal/request! 24? care! - required! covered!"),
    // Commission: three business days, 18 in clear; 182.0175(1)(b): any tools.
    ("US-WI", "3unsaid! - 10cal/start~ 18! required! - - covered!"),
    // Newspapers: 48 hours, ten days; 24C-1-2: any tools.
    ("US-WV", "2x24h~ 10wd~ - 24? - - - covered!"),
    // 37-12-302: two full to fourteen business days, again every fourteen; marks within 24 in.
    ("US-WY", "2full! 14wd! 14wd/request! 24! - - - covered!"),
];

#[test]
fn every_row_is_as_published() {
    for (region, published) in PUBLISHED {
        let state = STATES.iter().find(|state| state.region == region).unwrap_or_else(|| panic!("no row {region}"));
        assert_eq!(short(state), published, "{region}");
    }
}

#[test]
fn there_is_one_row_for_every_state_and_the_district() {
    let regions: BTreeSet<&str> = STATES.iter().map(|state| state.region).collect();
    let names: BTreeSet<&str> = STATES.iter().map(|state| state.name).collect();
    assert_eq!((STATES.len(), regions.len(), names.len()), (51, 51, 51));
    assert!(regions.iter().all(|region| region.len() == 5 && region.starts_with("US-")));
}

#[test]
fn values_are_of_a_size_that_a_law_could_have() {
    for state in STATES.iter() {
        let notice = state.notice.get().map(|notice| notice.working_days);
        assert!(notice.is_none_or(|days| (2..=5).contains(&days)), "{}: {notice:?}", state.name);
        let earliest = state.earliest.get().map(Span::amount);
        assert!(earliest.is_none_or(|days| (10..=30).contains(&days)), "{}: {earliest:?}", state.name);
        let life = state.life.get().map(|life| life.span.amount());
        assert!(life.is_none_or(|days| (10..=60).contains(&days)), "{}: {life:?}", state.name);
        let zone = state.zone_in.get();
        assert!(zone.is_none_or(|inches| [18.0, 24.0, 48.0].contains(&inches)), "{}: {zone:?}", state.name);
    }
}

#[test]
fn only_a_confirmed_value_is_law() {
    let unsure = memory(18.0);
    assert_eq!((unsure.get(), unsure.confirmed(), unsure.basis()), (Some(18.0), None, Basis::PRACTICE));
    assert_eq!(unsure.cited(), "not confirmed: from memory");
    assert_eq!(secondary(1).cited(), "not confirmed: secondary source");
    assert_eq!(Value::<u32>::UNKNOWN.cited(), "not found");
    assert_eq!((Value::<u32>::UNKNOWN.get(), Value::<u32>::UNKNOWN.confirmed()), (None, None));
    let sure = law("Cal. Gov. Code", "4216", "2024", 24.0);
    assert_eq!((sure.confirmed(), sure.basis().section), (Some(24.0), Some("4216")));
    assert_eq!(sure.cited(), "Cal. Gov. Code 4216, as of 2024");
}

#[test]
fn every_confirmed_value_names_its_source_and_year() {
    for state in STATES.iter() {
        let sources = [
            (state.notice.is_confirmed(), state.notice.source),
            (state.earliest.is_confirmed(), state.earliest.source),
            (state.life.is_confirmed(), state.life.source),
            (state.zone_in.is_confirmed(), state.zone_in.source),
            (state.hand_dig.is_confirmed(), state.hand_dig.source),
            (state.response.is_confirmed(), state.response.source),
            (state.white_lining.is_confirmed(), state.white_lining.source),
            (state.hand_tools.is_confirmed(), state.hand_tools.source),
        ];
        for (confirmed, source) in sources {
            let year = source.as_of.parse::<u32>().is_ok_and(|year| (2002..=2026).contains(&year));
            assert_eq!(confirmed, year && !source.document.is_empty(), "{}: {source:?}", state.name);
        }
    }
}

#[test]
fn the_strictest_values_are_those_of_hawaii_and_michigan() {
    assert_eq!(strictest_notice(), (5, "Hawaii"));
    assert_eq!(strictest_zone_in(), (48.0, "Michigan"));
}
