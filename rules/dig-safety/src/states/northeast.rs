//! Connecticut, Maine, Massachusetts, New Hampshire, New Jersey, New York, Pennsylvania, Rhode Island, Vermont.

use super::Span::{CalendarDays, WorkingDays};
use super::{Count, From, HandDig, HandTools, State, Value, Weekend, WhiteLining};
use super::{center, law, life, memory, notice, secondary};

const RCSA: &str = "Regs. Conn. State Agencies";
const ME_895: &str = "65-407 C.M.R. ch. 895";
const MGL_82: &str = "Mass. Gen. Laws ch. 82";
const PUC_800: &str = "N.H. Admin. Code Puc 800";
const NJAC: &str = "N.J.A.C.";
const RI_LAWS: &str = "R.I. Gen. Laws";
const DIG_SAFE: &str = "Dig Safe System (one-call center)";
const UDIG_NY: &str = "UDig NY (one-call center)";

pub(super) const ROWS: &[State] = &[
    State {
        region: "US-CT",
        name: "Connecticut",
        notice: law(RCSA, "16-345-4(a)(1)", "2017", notice(2, Count::Full)),
        earliest: law(RCSA, "16-345-4(a)(1)", "2017", CalendarDays(30)),
        life: law(RCSA, "16-345-4(a)(1)(C)", "2017", life(CalendarDays(30), From::Request)),
        zone_in: memory(18.0),
        hand_dig: law("Conn. Gen. Stat.", "16-354", "2019", HandDig::FuelLines),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: center("Connecticut PURA, call before you dig", "2024", HandTools::Exempt),
    },
    State {
        region: "US-ME",
        name: "Maine",
        notice: law(ME_895, "4(B)(1)(a)", "2016", notice(3, Count::Hours)),
        earliest: law(ME_895, "4(B)(1)(a)", "2016", CalendarDays(30)),
        life: law("Me. Rev. Stat. tit. 23", "3360-A(3)(E)", "2016", life(CalendarDays(60), From::Request)),
        zone_in: center(DIG_SAFE, "2024", 18.0),
        hand_dig: center(DIG_SAFE, "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(ME_895, "4(A)", "2016", WhiteLining::Required),
        hand_tools: center("Maine Public Utilities Commission, dig safe", "2024", HandTools::Exempt),
    },
    State {
        region: "US-MA",
        name: "Massachusetts",
        notice: law(MGL_82, "40A", "2024", notice(3, Count::Hours)),
        earliest: law(MGL_82, "40A", "2024", CalendarDays(30)),
        life: Value::UNKNOWN,
        zone_in: center(DIG_SAFE, "2024", 18.0),
        hand_dig: law(MGL_82, "40C", "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(MGL_82, "40A", "2024", WhiteLining::Required),
        hand_tools: law(MGL_82, "40", "2024", HandTools::Covered),
    },
    State {
        region: "US-NH",
        name: "New Hampshire",
        notice: law(PUC_800, "805.01(b)(1)", "2024", notice(3, Count::Hours)),
        earliest: law(PUC_800, "805.01(b)(2)", "2024", CalendarDays(30)),
        life: law(PUC_800, "805.01(c)", "2024", life(CalendarDays(30), From::Request)),
        zone_in: center(DIG_SAFE, "2024", 18.0),
        hand_dig: center(DIG_SAFE, "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(PUC_800, "805.01(e)", "2024", WhiteLining::Required),
        hand_tools: law("N.H. Rev. Stat.", "374:48", "2014", HandTools::Exempt),
    },
    State {
        region: "US-NJ",
        name: "New Jersey",
        notice: law(NJAC, "14:2-3.1(b)", "2025", notice(3, Count::Unsaid)),
        earliest: law(NJAC, "14:2-3.1(b)", "2025", WorkingDays(10)),
        life: law(NJAC, "14:2-3.1(c)", "2025", life(WorkingDays(45), From::Request)),
        zone_in: law(NJAC, "14:2-3.3(a)1", "2025", 24.0),
        hand_dig: law(NJAC, "14:2-3.3(a)1", "2025", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-NY",
        name: "New York",
        notice: center(UDIG_NY, "2023", notice(2, Count::Full)),
        earliest: center(UDIG_NY, "2023", WorkingDays(10)),
        life: Value::UNKNOWN,
        zone_in: secondary(24.0),
        hand_dig: center(UDIG_NY, "2023", HandDig::FuelLines),
        response: center("New York 811 (one-call center)", "2020", true),
        white_lining: Value::UNKNOWN,
        hand_tools: law("16 NYCRR", "753-1.2(i)", "2023", HandTools::Exempt),
    },
    State {
        region: "US-PA",
        name: "Pennsylvania",
        notice: law("Pa. Act 287 of 1974", "5(2.1)", "2024", notice(3, Count::Nth).weekend(Weekend::Rolls)),
        earliest: law("Pa. Act 287 of 1974", "5(2.1)", "2024", WorkingDays(10)),
        life: memory(life(WorkingDays(10), From::Request)),
        zone_in: secondary(18.0),
        hand_dig: secondary(HandDig::Care),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law("Pa. Act 287 of 1974", "1", "2024", HandTools::Exempt),
    },
    State {
        region: "US-RI",
        name: "Rhode Island",
        notice: law(RI_LAWS, "39-1.2-5(a)", "2024", notice(3, Count::Hours)),
        earliest: law(RI_LAWS, "39-1.2-5(a)", "2024", CalendarDays(30)),
        life: Value::UNKNOWN,
        zone_in: center(DIG_SAFE, "2024", 18.0),
        hand_dig: law(RI_LAWS, "39-1.2-10", "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(RI_LAWS, "39-1.2-7(b)", "2019", WhiteLining::Required),
        hand_tools: law(RI_LAWS, "39-1.2-1", "2024", HandTools::Exempt),
    },
    State {
        region: "US-VT",
        name: "Vermont",
        notice: secondary(notice(2, Count::Hours)),
        earliest: secondary(CalendarDays(30)),
        life: law("30 V.S.A.", "7004(e)", "2008", life(CalendarDays(30), From::Request)),
        zone_in: center(DIG_SAFE, "2024", 18.0),
        hand_dig: center(DIG_SAFE, "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law("30 V.S.A.", "7004(d)", "2002", WhiteLining::Required),
        hand_tools: Value::UNKNOWN,
    },
];
