//! Alaska, Arizona, California, Colorado, Hawaii, Idaho, Montana, Nevada, New Mexico, Oregon, Utah, Washington,
//! Wyoming.

use super::Span::{CalendarDays, WorkingDays};
use super::{Count, From, HandDig, HandTools, State, Value, WhiteLining};
use super::{center, law, life, memory, notice, secondary};

const ALASKA_STAT: &str = "Alaska Stat.";
const ARS: &str = "Ariz. Rev. Stat.";
const CAL_GOV: &str = "Cal. Gov. Code";
const COLORADO_811: &str = "Colorado 811 (one-call center)";
const HRS: &str = "Haw. Rev. Stat.";
const IDAHO_CODE: &str = "Idaho Code";
const DIGLINE: &str = "Digline (one-call center), on Idaho Code title 55, chapter 22";
const MONT_CODE: &str = "Mont. Code";
const NRS: &str = "NRS";
const NMAC: &str = "NMAC";
const OAR: &str = "OAR";
const RCW: &str = "RCW";
const WYO_STAT: &str = "Wyo. Stat.";

pub(super) const ROWS: &[State] = &[
    State {
        region: "US-AK",
        name: "Alaska",
        notice: law(ALASKA_STAT, "42.30.400(b)", "2024", notice(2, Count::Unsaid)),
        earliest: law(ALASKA_STAT, "42.30.400(b)", "2024", WorkingDays(15)),
        life: secondary(life(WorkingDays(15), From::Request)),
        zone_in: memory(24.0),
        hand_dig: secondary(HandDig::Care),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(ALASKA_STAT, "42.30.490(3)", "2024", HandTools::Covered),
    },
    State {
        region: "US-AZ",
        name: "Arizona",
        notice: center("Arizona Corporation Commission", "2024", notice(2, Count::Full)),
        earliest: Value::UNKNOWN,
        life: secondary(life(WorkingDays(15), From::Request)),
        zone_in: law(ARS, "40-360.21", "2025", 24.0),
        hand_dig: law(ARS, "40-360.21", "2025", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(ARS, "40-360.21", "2025", HandTools::Covered),
    },
    State {
        region: "US-CA",
        name: "California",
        notice: law(CAL_GOV, "4216.2", "2024", notice(2, Count::Full)),
        earliest: law(CAL_GOV, "4216.2", "2024", CalendarDays(14)),
        life: law(CAL_GOV, "4216.2", "2024", life(CalendarDays(28), From::Request)),
        zone_in: law(CAL_GOV, "4216", "2024", 24.0),
        hand_dig: law(CAL_GOV, "4216.4", "2024", HandDig::Required),
        response: memory(true),
        white_lining: law(CAL_GOV, "4216.2", "2024", WhiteLining::Required),
        hand_tools: law(CAL_GOV, "4216", "2024", HandTools::Covered),
    },
    State {
        region: "US-CO",
        name: "Colorado",
        notice: law("Colo. Rev. Stat.", "9-1.5-103", "2024", notice(2, Count::Full)),
        earliest: Value::UNKNOWN,
        life: center(COLORADO_811, "2024", life(CalendarDays(30), From::MarkBy)),
        zone_in: center(COLORADO_811, "2024", 18.0),
        hand_dig: center(COLORADO_811, "2024", HandDig::Required),
        response: center(COLORADO_811, "2024", true),
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-HI",
        name: "Hawaii",
        notice: law(HRS, "269E-7(a)", "2024", notice(5, Count::Unsaid)),
        earliest: law(HRS, "269E-7(a)", "2024", CalendarDays(28)),
        life: law(HRS, "269E-7(b)", "2024", life(CalendarDays(28), From::Request)),
        zone_in: Value::UNKNOWN,
        hand_dig: law(HRS, "269E-12(b)", "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(HRS, "269E-2", "2024", HandTools::Covered),
    },
    State {
        region: "US-ID",
        name: "Idaho",
        notice: law(IDAHO_CODE, "55-2205(1)(c)", "2024", notice(2, Count::Full).also_on_a_day_off()),
        earliest: law(IDAHO_CODE, "55-2205(1)(c)", "2024", WorkingDays(10)),
        life: center(DIGLINE, "2023", life(CalendarDays(28), From::Request)),
        zone_in: center(DIGLINE, "2024", 24.0),
        hand_dig: center(DIGLINE, "2024", HandDig::Required),
        response: center(DIGLINE, "2024", true),
        white_lining: law(IDAHO_CODE, "55-2205(1)(b)", "2024", WhiteLining::WhereUnclear),
        hand_tools: law(IDAHO_CODE, "55-2210(1)", "2024", HandTools::ExemptAbove(15)),
    },
    State {
        region: "US-MT",
        name: "Montana",
        notice: center("Montana 811 (one-call center)", "2024", notice(2, Count::Full)),
        earliest: law(MONT_CODE, "69-4-503(1)", "2019", CalendarDays(10)),
        life: law(MONT_CODE, "69-4-503(1)", "2019", life(CalendarDays(30), From::Request)),
        zone_in: secondary(18.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: law(MONT_CODE, "69-4-503(2)", "2019", WhiteLining::WhereUnclear),
        hand_tools: center("Montana 811 (one-call center)", "2024", HandTools::Covered),
    },
    State {
        region: "US-NV",
        name: "Nevada",
        notice: law(NRS, "455.110(1)(a)", "2023", notice(2, Count::Unsaid)),
        earliest: law(NRS, "455.110(1)(a)", "2023", CalendarDays(28)),
        life: memory(life(CalendarDays(28), From::Request)),
        zone_in: secondary(24.0),
        hand_dig: law(NRS, "455.137", "2023", HandDig::Required),
        response: center("Nevada one-call center", "2024", true),
        white_lining: law(NRS, "455.110(1)(b)", "2023", WhiteLining::WhereUnclear),
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-NM",
        name: "New Mexico",
        notice: secondary(notice(2, Count::Unsaid)),
        earliest: Value::UNKNOWN,
        life: law(NMAC, "18.60.5.10", "2024", life(WorkingDays(15), From::Request)),
        zone_in: law("N.M. Stat.", "62-14-3(D)", "2010", 18.0),
        hand_dig: law("N.M. Stat.", "62-14-3(D)", "2010", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(NMAC, "18.60.5.10", "2024", WhiteLining::WhereUnclear),
        hand_tools: law(NMAC, "18.60.5.10", "2024", HandTools::Exempt),
    },
    State {
        region: "US-OR",
        name: "Oregon",
        notice: law(OAR, "952-001-0090(1)", "2024", notice(2, Count::Full)),
        earliest: center("Oregon Utility Notification Center", "2024", WorkingDays(10)),
        life: secondary(life(CalendarDays(45), From::Request)),
        zone_in: law(OAR, "952-001-0090(3)(c)", "2024", 24.0),
        hand_dig: law(OAR, "952-001-0090(3)(c)", "2024", HandDig::Required),
        response: law(OAR, "952-001-0090(1)", "2024", false),
        white_lining: law(OAR, "952-001-0040", "2024", WhiteLining::WhereUnclear),
        hand_tools: center("Oregon Utility Notification Center", "2024", HandTools::Covered),
    },
    State {
        region: "US-UT",
        name: "Utah",
        notice: center("Blue Stakes of Utah 811 (one-call center)", "2024", notice(2, Count::Full)),
        earliest: law("Utah Code", "54-8a-4(2)", "2019", CalendarDays(14)),
        life: secondary(life(CalendarDays(14), From::Request)),
        zone_in: secondary(24.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: law("Utah Code", "54-8a-4(3)", "2024", WhiteLining::WhereUnclear),
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-WA",
        name: "Washington",
        notice: law(RCW, "19.122.030(2)", "2024", notice(2, Count::Unsaid)),
        earliest: law(RCW, "19.122.030(2)", "2024", WorkingDays(10)),
        life: law(RCW, "19.122.030", "2024", life(CalendarDays(45), From::Request)),
        zone_in: memory(24.0),
        hand_dig: law(RCW, "19.122.040(2)", "2025", HandDig::Care),
        response: Value::UNKNOWN,
        white_lining: law(RCW, "19.122.030(1)(a)", "2024", WhiteLining::Required),
        hand_tools: law(RCW, "19.122.020", "2025", HandTools::Covered),
    },
    State {
        region: "US-WY",
        name: "Wyoming",
        notice: law(WYO_STAT, "37-12-302(c)", "2024", notice(2, Count::Full)),
        earliest: law(WYO_STAT, "37-12-302(c)", "2024", WorkingDays(14)),
        life: law(WYO_STAT, "37-12-302(c)", "2024", life(WorkingDays(14), From::Request)),
        zone_in: law(WYO_STAT, "37-12-302(d)", "2024", 24.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(WYO_STAT, "37-12-301(b)(iii)", "2024", HandTools::Covered),
    },
];
