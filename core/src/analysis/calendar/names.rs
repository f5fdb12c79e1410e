//! The holidays that one of the states has, each defined once: what it is called and when it is.

use super::holiday::{Holiday, Rule};
use jiff::civil::Weekday::{self, Friday, Monday, Thursday, Tuesday};

/// Defines a holiday and the name of the day that it is observed on in its place.
macro_rules! holidays {
    ($($name:ident = $text:literal, $rule:expr;)*) => {
        $(pub(super) const $name: Holiday =
            Holiday { name: $text, observed: concat!($text, " (observed)"), rule: $rule };)*
    };
}

const fn fixed(month: i8, day: i8) -> Rule {
    Rule::Fixed { month, day }
}

const fn nth(nth: i8, weekday: Weekday, month: i8) -> Rule {
    Rule::Nth { month, weekday, nth, days_later: 0 }
}

const fn last(weekday: Weekday, month: i8) -> Rule {
    nth(-1, weekday, month)
}

const DAY_AFTER_THANKSGIVING_RULE: Rule = Rule::Nth { month: 11, weekday: Thursday, nth: 4, days_later: 1 };
const GOOD_FRIDAY_RULE: Rule = Rule::Easter { days_later: -2 };
/// Monday: Tuesday 26; Tuesday: Monday 24; Wednesday: Tuesday 24; Thursday: Friday 26; Friday: Thursday 24; on a
/// weekend the day before the Friday that Christmas is observed on or stands beside.
const BESIDE_CHRISTMAS_RULE: Rule = Rule::BesideChristmas { days_later: [1, -1, -1, 1, -1, -2, -2] };

holidays! {
    // The list of 5 U.S.C. 6103(a).
    NEW_YEARS_DAY = "New Year's Day", fixed(1, 1);
    MARTIN_LUTHER_KING = "Birthday of Martin Luther King, Jr.", nth(3, Monday, 1);
    WASHINGTON = "Washington's Birthday", nth(3, Monday, 2);
    MEMORIAL_DAY = "Memorial Day", last(Monday, 5);
    JUNETEENTH = "Juneteenth", fixed(6, 19);
    INDEPENDENCE_DAY = "Independence Day", fixed(7, 4);
    LABOR_DAY = "Labor Day", nth(1, Monday, 9);
    COLUMBUS_DAY = "Columbus Day", nth(2, Monday, 10);
    VETERANS_DAY = "Veterans Day", fixed(11, 11);
    THANKSGIVING = "Thanksgiving Day", nth(4, Thursday, 11);
    CHRISTMAS = "Christmas Day", fixed(12, 25);
    // 5 U.S.C. 6103(c): in and around the District of Columbia.
    INAUGURATION_DAY = "Inauguration Day", Rule::Inauguration;

    // Days of several states.
    LINCOLN = "Lincoln's Birthday", fixed(2, 12);
    CESAR_CHAVEZ = "Cesar Chavez Day", fixed(3, 31);
    GOOD_FRIDAY = "Good Friday", GOOD_FRIDAY_RULE;
    PATRIOTS_DAY = "Patriots' Day", nth(3, Monday, 4);
    INDIGENOUS_PEOPLES_DAY = "Indigenous Peoples' Day", nth(2, Monday, 10);
    ELECTION_DAY = "Election Day", Rule::Nth { month: 11, weekday: Monday, nth: 1, days_later: 1 };
    GENERAL_ELECTION = "General Election Day",
        Rule::NthInEvenYears { month: 11, weekday: Monday, nth: 1, days_later: 1 };
    DAY_AFTER_THANKSGIVING = "Friday after Thanksgiving", DAY_AFTER_THANKSGIVING_RULE;
    CHRISTMAS_EVE = "Christmas Eve", fixed(12, 24);
    DAY_AFTER_CHRISTMAS = "Day after Christmas", fixed(12, 26);
    NEW_YEARS_EVE = "New Year's Eve", fixed(12, 31);

    // Days of one state.
    ALASKA_SEWARD = "Seward's Day", last(Monday, 3);
    ALASKA_DAY = "Alaska Day", fixed(10, 18);
    CONFEDERATE_MEMORIAL_FOURTH_MONDAY = "Confederate Memorial Day", nth(4, Monday, 4);
    CONFEDERATE_MEMORIAL_LAST_MONDAY = "Confederate Memorial Day", last(Monday, 4);
    JEFFERSON_DAVIS = "Jefferson Davis' Birthday", nth(1, Monday, 6);
    DIWALI = "Diwali",
        Rule::Listed(&[(2026, 11, 8), (2027, 10, 29), (2028, 10, 17), (2029, 11, 5), (2030, 10, 26)]);
    CABRINI_DAY = "Frances Xavier Cabrini Day", nth(1, Monday, 10);
    EMANCIPATION_DAY = "Emancipation Day", fixed(4, 16);
    SUSAN_B_ANTHONY = "Susan B. Anthony's Birthday", fixed(2, 15);
    STATE_HOLIDAY_GOOD_FRIDAY = "State Holiday", GOOD_FRIDAY_RULE;
    STATE_HOLIDAY_NOVEMBER = "State Holiday", DAY_AFTER_THANKSGIVING_RULE;
    WASHINGTON_BESIDE_CHRISTMAS = "Washington's Birthday", BESIDE_CHRISTMAS_RULE;
    KUHIO_DAY = "Prince Jonah Kuhio Kalanianaole Day", fixed(3, 26);
    KAMEHAMEHA_DAY = "King Kamehameha I Day", fixed(6, 11);
    STATEHOOD_DAY = "Statehood Day", nth(3, Friday, 8);
    PULASKI_DAY = "Casimir Pulaski's Birthday", nth(1, Monday, 3);
    PRIMARY_IN_MAY = "Primary Election Day", Rule::Nth { month: 5, weekday: Monday, nth: 1, days_later: 1 };
    LINCOLN_IN_NOVEMBER = "Lincoln's Birthday", DAY_AFTER_THANKSGIVING_RULE;
    MARDI_GRAS = "Mardi Gras", Rule::Easter { days_later: -47 };
    MARYLAND_DAY = "Maryland Day", fixed(3, 25);
    DEFENDERS_DAY = "Defenders' Day", fixed(9, 12);
    AMERICAN_INDIAN_HERITAGE_DAY = "American Indian Heritage Day", DAY_AFTER_THANKSGIVING_RULE;
    EVACUATION_DAY = "Evacuation Day in Suffolk County", fixed(3, 17);
    BUNKER_HILL_DAY = "Bunker Hill Day in Suffolk County", fixed(6, 17);
    TRUMAN_DAY = "Truman Day", fixed(5, 8);
    ARBOR_DAY = "Arbor Day", last(Friday, 4);
    FLAG_DAY = "Flag Day", fixed(6, 14);
    JUNETEENTH_THIRD_FRIDAY = "Juneteenth", nth(3, Friday, 6);
    PRESIDENTS_DAY_IN_NOVEMBER = "Presidents' Day", DAY_AFTER_THANKSGIVING_RULE;
    NEVADA_DAY = "Nevada Day", last(Friday, 10);
    FAMILY_DAY = "Family Day", DAY_AFTER_THANKSGIVING_RULE;
    VICTORY_DAY = "Victory Day", nth(2, Monday, 8);
    NATIVE_AMERICANS_DAY = "Native Americans' Day", nth(2, Monday, 10);
    CONFEDERATE_HEROES_DAY = "Confederate Heroes Day", fixed(1, 19);
    TEXAS_INDEPENDENCE_DAY = "Texas Independence Day", fixed(3, 2);
    SAN_JACINTO_DAY = "San Jacinto Day", fixed(4, 21);
    EMANCIPATION_DAY_IN_TEXAS = "Emancipation Day in Texas", fixed(6, 19);
    LYNDON_JOHNSON_DAY = "Lyndon Baines Johnson Day", fixed(8, 27);
    PIONEER_DAY = "Pioneer Day", fixed(7, 24);
    TOWN_MEETING_DAY = "Town Meeting Day", nth(1, Tuesday, 3);
    BENNINGTON_BATTLE_DAY = "Bennington Battle Day", fixed(8, 16);
    NATIVE_AMERICAN_HERITAGE_DAY = "Native American Heritage Day", DAY_AFTER_THANKSGIVING_RULE;
    PARTISAN_PRIMARY = "Partisan Primary Election Day",
        Rule::NthInEvenYears { month: 8, weekday: Tuesday, nth: 2, days_later: 0 };
    WEST_VIRGINIA_DAY = "West Virginia Day", fixed(6, 20);
}
