//! The states and their holidays: the legal holidays of each, and what its one-call law leaves out of the working days.
//!
//! The legal lists are those of the state's offices, as the package `holidays` 0.109 for Python has them, corrected by
//! the statutes named at the row or in the test that compares the two. The lists of the one-call laws are confirmed
//! where a row says so in its `source`, which names the statute, the rule or the schedule of the state's one-call center.
//! A state without such a source has the six days of [`SIX`] as holidays and all others unsure.

use super::holiday::Group;
use super::lists::*;
use super::names::*;
use super::states::{
    ALL_STATES, CHRISTMAS_EVE_MOVED, DAY_AFTER_CHRISTMAS_MOVED, FEDERAL_DAYS, NOT_CONFIRMED, OneCall, Rest, SIX, State,
    UNCONFIRMED, confirmed, near, stays, sunday, unconfirmed,
};

const fn state(region: &'static str, legal: &'static [Group], one_call: OneCall) -> State {
    State { region, legal, one_call }
}

/// Every state and the District of Columbia, by code.
pub(super) const STATES: &[State] = &[
    state(
        "US-AK",
        &[near(ALL_STATES), near(&[WASHINGTON, ALASKA_SEWARD, INDIGENOUS_PEOPLES_DAY, ALASKA_DAY])],
        UNCONFIRMED,
    ),
    state(
        "US-AL",
        &[near(ALL_STATES), near(&[WASHINGTON, CONFEDERATE_MEMORIAL_FOURTH_MONDAY, JEFFERSON_DAVIS, COLUMBUS_DAY])],
        confirmed(
            &[near(&[
                NEW_YEARS_DAY,
                MEMORIAL_DAY,
                INDEPENDENCE_DAY,
                LABOR_DAY,
                VETERANS_DAY,
                THANKSGIVING,
                DAY_AFTER_THANKSGIVING,
                CHRISTMAS_EVE,
                CHRISTMAS,
            ])],
            Rest::Working,
            "Code of Alabama title 37 chapter 15, holidays as the Alabama one-call center publishes them",
        ),
    ),
    state("US-AR", &[near(ALL_STATES), near(&[WASHINGTON])], UNCONFIRMED),
    state(
        "US-AZ",
        &[near(ALL_STATES), near(&[WASHINGTON, COLUMBUS_DAY])],
        confirmed(
            &[near(ARIZONA_AND_PENNSYLVANIA)],
            Rest::LegalUnsure,
            "state holidays by Arizona Administrative Code R2-5A-B601, which the Arizona one-call center leaves out",
        ),
    ),
    // Government Code 19853(b): Sunday moves to Monday, Saturday only for Veterans Day.
    state(
        "US-CA",
        &[near(ALL_STATES), near(&[WASHINGTON, DAY_AFTER_THANKSGIVING]), sunday(&[CESAR_CHAVEZ]), stays(&[DIWALI])],
        confirmed(
            &[near(&[VETERANS_DAY]), sunday(FEDERAL_DAYS), sunday(&[CESAR_CHAVEZ, DAY_AFTER_THANKSGIVING])],
            Rest::LegalUnsure,
            "state and federal holidays, California Government Code 19853 and 5 U.S.C. 6103, as a California one-call center publishes them",
        ),
    ),
    state("US-CO", &[near(ALL_STATES), near(&[WASHINGTON, CABRINI_DAY]), stays(&[CESAR_CHAVEZ])], UNCONFIRMED),
    state("US-CT", &[near(ALL_STATES), near(&[LINCOLN, WASHINGTON, GOOD_FRIDAY, COLUMBUS_DAY])], UNCONFIRMED),
    state(
        "US-DC",
        &[near(ALL_STATES), near(&[WASHINGTON, EMANCIPATION_DAY, INDIGENOUS_PEOPLES_DAY]), sunday(&[INAUGURATION_DAY])],
        UNCONFIRMED,
    ),
    state("US-DE", &[near(ALL_STATES), near(&[GOOD_FRIDAY, GENERAL_ELECTION, DAY_AFTER_THANKSGIVING])], UNCONFIRMED),
    // Susan B. Anthony's Birthday: Florida Statutes 683.01(1)(f).
    state(
        "US-FL",
        &[near(ALL_STATES), near(&[DAY_AFTER_THANKSGIVING]), stays(&[SUSAN_B_ANTHONY])],
        confirmed(&[near(FLORIDA_AND_GEORGIA)], Rest::Working, "Florida Statutes 556.102(1)"),
    ),
    state(
        "US-GA",
        &[
            near(ALL_STATES),
            near(&[STATE_HOLIDAY_GOOD_FRIDAY, COLUMBUS_DAY, STATE_HOLIDAY_NOVEMBER]),
            stays(&[WASHINGTON_BESIDE_CHRISTMAS]),
        ],
        confirmed(&[near(FLORIDA_AND_GEORGIA)], Rest::Working, "Official Code of Georgia 25-9-3(3)"),
    ),
    state(
        "US-HI",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, KUHIO_DAY, GOOD_FRIDAY, KAMEHAMEHA_DAY, STATEHOOD_DAY, GENERAL_ELECTION]),
        ],
        confirmed(
            &[
                near(FEDERAL_DAYS),
                near(&[WASHINGTON, KUHIO_DAY, GOOD_FRIDAY, KAMEHAMEHA_DAY, STATEHOOD_DAY, GENERAL_ELECTION]),
            ],
            Rest::LegalUnsure,
            "federal and state holidays by Hawaii Revised Statutes 269E-2 and 8-1",
        ),
    ),
    state("US-IA", &[near(ALL_STATES), near(&[LINCOLN, WASHINGTON])], UNCONFIRMED),
    state("US-ID", &[near(ALL_STATES), near(&[WASHINGTON, COLUMBUS_DAY])], UNCONFIRMED),
    state(
        "US-IL",
        &[near(ALL_STATES), near(&[LINCOLN, WASHINGTON, PULASKI_DAY, COLUMBUS_DAY, GENERAL_ELECTION])],
        UNCONFIRMED,
    ),
    state(
        "US-IN",
        &[
            near(ALL_STATES),
            near(&[GOOD_FRIDAY, PRIMARY_IN_MAY, COLUMBUS_DAY, ELECTION_DAY, LINCOLN_IN_NOVEMBER]),
            stays(&[WASHINGTON_BESIDE_CHRISTMAS]),
        ],
        UNCONFIRMED,
    ),
    state("US-KS", &[near(ALL_STATES), near(&[WASHINGTON]), CHRISTMAS_EVE_MOVED], UNCONFIRMED),
    state(
        "US-KY",
        &[near(ALL_STATES), near(&[WASHINGTON, GOOD_FRIDAY, NEW_YEARS_EVE])],
        confirmed(
            &[near(FEDERAL_DAYS)],
            Rest::LegalUnsure,
            "federal and state holidays, which the Kentucky one-call law leaves out; the state's own are taken as unsure",
        ),
    ),
    state("US-LA", &[near(ALL_STATES), near(&[MARDI_GRAS, WASHINGTON, GOOD_FRIDAY, GENERAL_ELECTION])], UNCONFIRMED),
    // General Laws chapter 4 section 7: Sunday moves to Monday; the Friday before a holiday on Saturday is worked.
    state(
        "US-MA",
        &[
            sunday(ALL_STATES),
            sunday(&[WASHINGTON, PATRIOTS_DAY, COLUMBUS_DAY]),
            sunday(&[EVACUATION_DAY, BUNKER_HILL_DAY]),
        ],
        confirmed(
            &[sunday(ALL_STATES), sunday(&[WASHINGTON, PATRIOTS_DAY, COLUMBUS_DAY])],
            Rest::Unsure(&[
                sunday(&[EVACUATION_DAY, BUNKER_HILL_DAY]),
                stays(&[DAY_AFTER_THANKSGIVING, CHRISTMAS_EVE]),
            ]),
            "legal holidays by Massachusetts General Laws chapter 82 section 40A and chapter 4 section 7",
        ),
    ),
    // General Provisions 1-111(b): Sunday moves to Monday, Saturday stays.
    state(
        "US-MD",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, COLUMBUS_DAY, AMERICAN_INDIAN_HERITAGE_DAY]),
            sunday(&[INAUGURATION_DAY]),
            sunday(&[LINCOLN, MARYLAND_DAY, GOOD_FRIDAY, DEFENDERS_DAY, GENERAL_ELECTION]),
        ],
        confirmed(
            &[sunday(FEDERAL_DAYS), stays(&[AMERICAN_INDIAN_HERITAGE_DAY])],
            Rest::LegalUnsure,
            "legal holidays by Maryland General Provisions 1-111, which Public Utilities 12-101 leaves out; days of 1-111 on which offices are open are taken as unsure",
        ),
    ),
    state("US-ME", &[near(ALL_STATES), near(&[WASHINGTON, PATRIOTS_DAY, INDIGENOUS_PEOPLES_DAY])], UNCONFIRMED),
    // Lincoln's Birthday and Columbus Day: Michigan Compiled Laws 435.101(1).
    state(
        "US-MI",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, GENERAL_ELECTION, DAY_AFTER_THANKSGIVING, NEW_YEARS_EVE]),
            CHRISTMAS_EVE_MOVED,
            stays(&[LINCOLN, COLUMBUS_DAY]),
        ],
        UNCONFIRMED,
    ),
    state(
        "US-MN",
        &[near(ALL_STATES), near(&[WASHINGTON, INDIGENOUS_PEOPLES_DAY])],
        confirmed(
            &[near(ALL_STATES), near(&[WASHINGTON])],
            Rest::LegalUnsure,
            "Minnesota Statutes 216D.04 and 645.44 subdivision 5; Indigenous Peoples' Day, which that leaves to each public body, is taken as unsure",
        ),
    ),
    state(
        "US-MO",
        &[near(ALL_STATES), near(&[LINCOLN, WASHINGTON, TRUMAN_DAY, COLUMBUS_DAY])],
        confirmed(
            &[near(FEDERAL_DAYS), near(&[LINCOLN, WASHINGTON, TRUMAN_DAY, COLUMBUS_DAY])],
            Rest::LegalUnsure,
            "state and federal holidays by Revised Statutes of Missouri 319.015 and 9.010",
        ),
    ),
    state("US-MS", &[near(ALL_STATES), near(&[WASHINGTON, CONFEDERATE_MEMORIAL_LAST_MONDAY])], UNCONFIRMED),
    state(
        "US-MT",
        &[near(ALL_STATES), near(&[WASHINGTON, COLUMBUS_DAY, GENERAL_ELECTION])],
        confirmed(&[near(SIX)], Rest::Working, "Montana Code 69-4-501(2)"),
    ),
    state(
        "US-NC",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, GOOD_FRIDAY, DAY_AFTER_THANKSGIVING]),
            CHRISTMAS_EVE_MOVED,
            DAY_AFTER_CHRISTMAS_MOVED,
        ],
        UNCONFIRMED,
    ),
    state(
        "US-ND",
        &[near(ALL_STATES), near(&[WASHINGTON, GOOD_FRIDAY])],
        confirmed(
            &[near(NORTH_DAKOTA_AND_TENNESSEE)],
            Rest::LegalUnsure,
            "holidays as the North Dakota one-call center published them in 2019",
        ),
    ),
    state("US-NE", &[near(ALL_STATES), near(&[WASHINGTON, ARBOR_DAY, INDIGENOUS_PEOPLES_DAY])], UNCONFIRMED),
    state("US-NH", &[near(ALL_STATES), near(&[WASHINGTON, GENERAL_ELECTION, DAY_AFTER_THANKSGIVING])], UNCONFIRMED),
    state(
        "US-NJ",
        &[near(NEW_JERSEY), near(&[LINCOLN])],
        confirmed(
            &[near(NEW_JERSEY)],
            Rest::LegalUnsure,
            "state holidays by New Jersey Administrative Code 14:2-1.2 and N.J.S.A. 11A:6-24.1",
        ),
    ),
    state("US-NM", &[near(ALL_STATES), near(&[INDIGENOUS_PEOPLES_DAY, PRESIDENTS_DAY_IN_NOVEMBER])], UNCONFIRMED),
    state("US-NV", &[near(ALL_STATES), near(&[WASHINGTON, NEVADA_DAY, FAMILY_DAY])], UNCONFIRMED),
    state("US-NY", &[near(ALL_STATES), near(&[LINCOLN, WASHINGTON, COLUMBUS_DAY, ELECTION_DAY])], UNCONFIRMED),
    // Ohio Revised Code 1.14 has the days of the federal list; Sunday moves to Monday, Saturday stays.
    state(
        "US-OH",
        &[near(ALL_STATES), near(&[WASHINGTON, COLUMBUS_DAY])],
        confirmed(&[sunday(FEDERAL_DAYS)], Rest::LegalUnsure, "legal holidays by Ohio Revised Code 3781.25 and 1.14"),
    ),
    state("US-OK", &[near(ALL_STATES), near(&[WASHINGTON, DAY_AFTER_THANKSGIVING])], UNCONFIRMED),
    state(
        "US-OR",
        &[near(ALL_STATES), near(&[WASHINGTON])],
        confirmed(
            &[near(FEDERAL_DAYS)],
            Rest::LegalUnsure,
            "federal and state legal holidays by Oregon Administrative Rules 952-001-0010(2)",
        ),
    ),
    // 44 P.S. 11; Sunday moves to Monday.
    state(
        "US-PA",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, COLUMBUS_DAY, DAY_AFTER_THANKSGIVING]),
            sunday(&[GOOD_FRIDAY, FLAG_DAY, ELECTION_DAY]),
        ],
        confirmed(
            &[sunday(ARIZONA_AND_PENNSYLVANIA)],
            Rest::LegalUnsure,
            "legal holidays prescribed by statute, by the Pennsylvania Underground Utility Line Protection Law and 44 P.S. 11; days on which offices are open are taken as unsure",
        ),
    ),
    state("US-RI", &[near(ALL_STATES), near(&[WASHINGTON, VICTORY_DAY, COLUMBUS_DAY])], UNCONFIRMED),
    state("US-SC", &[near(ALL_STATES), near(&[WASHINGTON, CONFEDERATE_MEMORIAL_FOURTH_MONDAY])], UNCONFIRMED),
    state("US-SD", &[near(ALL_STATES), near(&[WASHINGTON, NATIVE_AMERICANS_DAY])], UNCONFIRMED),
    state(
        "US-TN",
        &[near(ALL_STATES), near(&[WASHINGTON, GOOD_FRIDAY, COLUMBUS_DAY])],
        confirmed(
            &[near(NORTH_DAKOTA_AND_TENNESSEE)],
            Rest::Unsure(&[near(&[JUNETEENTH]), stays(&[GENERAL_ELECTION])]),
            "legal holidays by Tennessee Code 15-1-101, as the Tennessee one-call center counts them",
        ),
    ),
    state("US-TX", &[stays(TEXAS)], unconfirmed(&[stays(SIX)], NOT_CONFIRMED)),
    state("US-UT", &[near(ALL_STATES), near(&[WASHINGTON, PIONEER_DAY, COLUMBUS_DAY])], UNCONFIRMED),
    state(
        "US-VA",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, COLUMBUS_DAY, ELECTION_DAY, DAY_AFTER_THANKSGIVING]),
            sunday(&[INAUGURATION_DAY]),
        ],
        confirmed(
            &[near(FEDERAL_DAYS), near(&[ELECTION_DAY, DAY_AFTER_THANKSGIVING])],
            Rest::LegalUnsure,
            "state and national holidays by Code of Virginia 56-265.15 and 2.2-3300",
        ),
    ),
    state("US-VT", &[near(ALL_STATES), near(&[WASHINGTON, TOWN_MEETING_DAY, BENNINGTON_BATTLE_DAY])], UNCONFIRMED),
    state(
        "US-WA",
        &[near(ALL_STATES), near(&[WASHINGTON, NATIVE_AMERICAN_HERITAGE_DAY])],
        confirmed(
            &[near(FEDERAL_DAYS), stays(&[NATIVE_AMERICAN_HERITAGE_DAY])],
            Rest::LegalUnsure,
            "federal, state and local legal holidays by Revised Code of Washington 19.122.020; local ones are not known here",
        ),
    ),
    // Wisconsin Statutes 995.20: Sunday moves to Monday, Saturday stays. Christmas Eve and New Year's Eve: 230.35(4).
    state(
        "US-WI",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, NEW_YEARS_EVE]),
            CHRISTMAS_EVE_MOVED,
            stays(&[COLUMBUS_DAY, GENERAL_ELECTION, PARTISAN_PRIMARY]),
        ],
        confirmed(
            &[sunday(WISCONSIN)],
            Rest::LegalUnsure,
            "legal holidays by Wisconsin Statutes 995.20, as the Wisconsin one-call center counts them; the day of the primary election is taken as unsure",
        ),
    ),
    state(
        "US-WV",
        &[
            near(ALL_STATES),
            near(&[WASHINGTON, WEST_VIRGINIA_DAY, COLUMBUS_DAY, GENERAL_ELECTION, DAY_AFTER_THANKSGIVING]),
        ],
        UNCONFIRMED,
    ),
    state("US-WY", &[near(ALL_STATES), near(&[WASHINGTON])], UNCONFIRMED),
];
