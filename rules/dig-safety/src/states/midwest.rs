//! Illinois, Indiana, Iowa, Kansas, Michigan, Minnesota, Missouri, Nebraska, North Dakota, Ohio, South Dakota,
//! Wisconsin.

use super::Span::{CalendarDays, WorkingDays};
use super::{Count, From, HandDig, HandTools, State, Value, Weekend, WhiteLining};
use super::{center, law, life, memory, notice, secondary};

const ILCS: &str = "220 ILCS";
const JULIE: &str = "JULIE (one-call center)";
const IND_CODE: &str = "Ind. Code";
const KSA: &str = "K.S.A.";
const MCL: &str = "MCL";
const MISS_DIG: &str = "MISS DIG 811 (one-call center)";
const MINN_STAT: &str = "Minn. Stat.";
const MO_STAT: &str = "Mo. Rev. Stat.";
const MISSOURI_811: &str = "Missouri 811 (one-call center)";
const NDCC: &str = "N.D.C.C.";
const OHIO_CODE: &str = "Ohio Rev. Code";
const WIS_PSC: &str = "Public Service Commission of Wisconsin, on Wis. Stat. 182.0175";

pub(super) const ROWS: &[State] = &[
    State {
        region: "US-IL",
        name: "Illinois",
        notice: law(ILCS, "50/4(d)", "2025", notice(2, Count::Full)),
        earliest: law(ILCS, "50/4(d)", "2025", WorkingDays(10)),
        // Days of the act leave out weekends, holidays and the day of the notice.
        life: center(JULIE, "2025", life(WorkingDays(25), From::Request)),
        zone_in: memory(18.0),
        hand_dig: law(ILCS, "50/4(b)", "2025", HandDig::Required),
        response: center(JULIE, "2025", true),
        white_lining: law(ILCS, "50/4(c)", "2025", WhiteLining::Required),
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-IN",
        name: "Indiana",
        notice: law(IND_CODE, "8-1-26-16", "2025", notice(2, Count::Full)),
        earliest: law(IND_CODE, "8-1-26-16", "2025", CalendarDays(10)),
        life: secondary(life(CalendarDays(20), From::Request)),
        zone_in: law(IND_CODE, "8-1-26-20", "2025", 24.0),
        hand_dig: law(IND_CODE, "8-1-26-20", "2025", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(IND_CODE, "8-1-26-16", "2025", WhiteLining::WhereUnclear),
        hand_tools: law(IND_CODE, "8-1-26-6", "2025", HandTools::Covered),
    },
    State {
        region: "US-IA",
        name: "Iowa",
        notice: law("Iowa Code", "480.4", "2022", notice(2, Count::Hours)),
        earliest: Value::UNKNOWN,
        life: secondary(life(CalendarDays(20), From::Request)),
        zone_in: memory(18.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: center("Iowa One Call (one-call center)", "2022", HandTools::Covered),
    },
    State {
        region: "US-KS",
        name: "Kansas",
        notice: law(KSA, "66-1804", "2024", notice(2, Count::Full).weekend(Weekend::Rolls)),
        earliest: law(KSA, "66-1804", "2024", CalendarDays(20)),
        life: law(KSA, "66-1804(c)", "2024", life(CalendarDays(20), From::Start)),
        zone_in: secondary(24.0),
        hand_dig: secondary(HandDig::Required),
        response: center("Kansas 811 (one-call center)", "2024", true),
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-MI",
        name: "Michigan",
        notice: center(MISS_DIG, "2024", notice(3, Count::Full)),
        earliest: law(MCL, "460.725", "2014", CalendarDays(14)),
        life: center(MISS_DIG, "2024", life(CalendarDays(21), From::MarkBy)),
        zone_in: law(MCL, "460.723", "2024", 48.0),
        hand_dig: law(MCL, "460.725", "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(MCL, "460.723", "2024", HandTools::Exempt),
    },
    State {
        region: "US-MN",
        name: "Minnesota",
        notice: law(MINN_STAT, "216D.04", "2024", notice(2, Count::Full)),
        earliest: law(MINN_STAT, "216D.04", "2024", CalendarDays(14)),
        life: secondary(life(CalendarDays(14), From::Request)),
        zone_in: secondary(24.0),
        hand_dig: secondary(HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(MINN_STAT, "216D.05", "2025", WhiteLining::Required),
        hand_tools: law(MINN_STAT, "216D.01", "2024", HandTools::Exempt),
    },
    State {
        region: "US-MO",
        name: "Missouri",
        notice: law(MO_STAT, "319.026, 319.030", "2015", notice(2, Count::Full)),
        earliest: law(MO_STAT, "319.026", "2015", WorkingDays(10)),
        life: Value::UNKNOWN,
        zone_in: law(MO_STAT, "319.015", "2008", 24.0),
        hand_dig: center(MISSOURI_811, "2023", HandDig::Required),
        response: center(MISSOURI_811, "2023", true),
        white_lining: Value::UNKNOWN,
        hand_tools: law(MO_STAT, "319.015", "2008", HandTools::Covered),
    },
    State {
        region: "US-NE",
        name: "Nebraska",
        notice: law("Neb. Rev. Stat.", "76-2321", "2024", notice(2, Count::Full)),
        earliest: law("Neb. Rev. Stat.", "76-2321", "2024", WorkingDays(10)),
        life: secondary(life(WorkingDays(17), From::Request)),
        zone_in: secondary(18.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-ND",
        name: "North Dakota",
        notice: law(NDCC, "49-23-01", "2023", notice(2, Count::Full).also_on_a_day_off()),
        earliest: Value::UNKNOWN,
        life: secondary(life(CalendarDays(21), From::Start)),
        zone_in: law(NDCC, "49-23-01(3)", "2019", 24.0),
        hand_dig: law(NDCC, "49-23-01(3)", "2019", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(NDCC, "49-23-01(7)", "2023", HandTools::Covered),
    },
    State {
        region: "US-OH",
        name: "Ohio",
        notice: law(OHIO_CODE, "3781.28(A)", "2024", notice(2, Count::Hours)),
        earliest: law(OHIO_CODE, "3781.28(A)", "2024", WorkingDays(10)),
        life: Value::UNKNOWN,
        zone_in: law(OHIO_CODE, "3781.25(E)", "2024", 18.0),
        hand_dig: law(OHIO_CODE, "3781.30", "2024", HandDig::Care),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(OHIO_CODE, "3781.25(H)", "2024", HandTools::Covered),
    },
    State {
        region: "US-SD",
        name: "South Dakota",
        notice: secondary(notice(2, Count::Hours)),
        earliest: secondary(WorkingDays(10)),
        life: Value::UNKNOWN,
        zone_in: secondary(18.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-WI",
        name: "Wisconsin",
        notice: center(WIS_PSC, "2024", notice(3, Count::Unsaid)),
        earliest: Value::UNKNOWN,
        life: secondary(life(CalendarDays(10), From::Start)),
        zone_in: center(WIS_PSC, "2024", 18.0),
        hand_dig: center(WIS_PSC, "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law("Wis. Stat.", "182.0175(1)(b)", "2024", HandTools::Covered),
    },
];
