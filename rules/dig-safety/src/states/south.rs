//! Alabama, Arkansas, Delaware, the District of Columbia, Florida, Georgia, Kentucky, Louisiana, Maryland,
//! Mississippi, North Carolina, Oklahoma, South Carolina, Tennessee, Texas, Virginia, West Virginia.

use super::Span::{CalendarDays, WorkingDays};
use super::{Count, From, HandDig, HandTools, State, Value, Weekend, WhiteLining};
use super::{center, law, life, memory, notice, secondary};

const ALA_CODE: &str = "Ala. Code";
const ALABAMA_811: &str = "Alabama 811 (one-call center)";
const ARK_CODE: &str = "Ark. Code";
const ARKANSAS_811: &str = "Arkansas 811 (one-call center)";
const MISS_UTILITY: &str = "Miss Utility (one-call center)";
const FLA_STAT: &str = "Fla. Stat.";
const OCGA: &str = "O.C.G.A.";
const KRS: &str = "KRS";
const LA_RS: &str = "La. R.S.";
const LA_ONE_CALL: &str = "Louisiana One Call (one-call center)";
const MISS_CODE: &str = "Miss. Code";
const MS811: &str = "Mississippi 811 (one-call center)";
const NC811: &str = "North Carolina 811 (one-call center)";
const OKIE811: &str = "OKIE811 (one-call center)";
const OK_STAT: &str = "Okla. Stat. tit. 63";
const SC_CODE: &str = "S.C. Code";
const SC811: &str = "South Carolina 811 (one-call center)";
const TENN_CODE: &str = "Tenn. Code";
const TN811: &str = "Tennessee 811 (one-call center)";
const VA_CODE: &str = "Va. Code";
const VA811: &str = "Virginia 811 (one-call center)";

pub(super) const ROWS: &[State] = &[
    State {
        region: "US-AL",
        name: "Alabama",
        notice: law(ALA_CODE, "37-15-4", "2021", notice(2, Count::Full)),
        earliest: law(ALA_CODE, "37-15-4", "2021", WorkingDays(10)),
        life: center(ALABAMA_811, "2024", life(WorkingDays(20), From::Start)),
        zone_in: law(ALA_CODE, "37-15-8", "2024", 18.0),
        hand_dig: law(ALA_CODE, "37-15-8", "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: law(ALA_CODE, "37-15-4(c)", "2021", WhiteLining::WhereUnclear),
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-AR",
        name: "Arkansas",
        notice: center(ARKANSAS_811, "2023", notice(2, Count::Unsaid)),
        earliest: center(ARKANSAS_811, "2023", WorkingDays(10)),
        life: center(ARKANSAS_811, "2023", life(WorkingDays(20), From::Request)),
        zone_in: law(ARK_CODE, "14-271-102", "2020", 18.0),
        hand_dig: center(ARKANSAS_811, "2023", HandDig::Required),
        response: center(ARKANSAS_811, "2023", true),
        white_lining: law(ARK_CODE, "14-271-111(b)", "2010", WhiteLining::Required),
        hand_tools: law(ARK_CODE, "14-271-109(a)(1)", "2010", HandTools::Exempt),
    },
    State {
        region: "US-DE",
        name: "Delaware",
        notice: center(MISS_UTILITY, "2024", notice(2, Count::Full).weekend(Weekend::Rolls)),
        earliest: center(MISS_UTILITY, "2024", WorkingDays(10)),
        life: Value::UNKNOWN,
        zone_in: center(MISS_UTILITY, "2024", 24.0),
        hand_dig: center(MISS_UTILITY, "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law("Del. Code tit. 26", "802", "2024", HandTools::Covered),
    },
    State {
        region: "US-DC",
        name: "the District of Columbia",
        notice: center(MISS_UTILITY, "2025", notice(4, Count::Hours).weekend(Weekend::Rolls)),
        earliest: Value::UNKNOWN,
        life: center(MISS_UTILITY, "2025", life(WorkingDays(15), From::Request)),
        zone_in: center(MISS_UTILITY, "2025", 18.0),
        hand_dig: center(MISS_UTILITY, "2025", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law("D.C. Code", "34-2701", "2024", HandTools::Covered),
    },
    State {
        region: "US-FL",
        name: "Florida",
        notice: law(FLA_STAT, "556.105(1)(a)", "2022", notice(2, Count::Full).weekend(Weekend::Rolls)),
        earliest: Value::UNKNOWN,
        life: law(FLA_STAT, "556.105(1)(c)", "2022", life(CalendarDays(30), From::Request).to_a_working_day()),
        zone_in: law(FLA_STAT, "556.102", "2022", 24.0),
        hand_dig: center("Sunshine 811 (one-call center)", "2024", HandDig::Care),
        response: law(FLA_STAT, "556.105", "2022", true),
        white_lining: law(FLA_STAT, "556.114(3)", "2024", WhiteLining::WhereUnclear),
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-GA",
        name: "Georgia",
        notice: law(OCGA, "25-9-7", "2024", notice(2, Count::Full)),
        earliest: Value::UNKNOWN,
        life: center(
            "Georgia 811 (one-call center), on O.C.G.A. 25-9-6",
            "2016",
            life(CalendarDays(30), From::Request),
        ),
        zone_in: law(OCGA, "25-9-9", "2019", 18.0),
        hand_dig: center("Georgia 811 (one-call center)", "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: center("Georgia 811 (one-call center)", "2024", HandTools::Exempt),
    },
    State {
        region: "US-KY",
        name: "Kentucky",
        notice: law(KRS, "367.4911(1)", "2024", notice(2, Count::Full)),
        earliest: law(KRS, "367.4911(1)", "2024", WorkingDays(10)),
        life: law(KRS, "367.4911(2)", "2024", life(CalendarDays(21), From::Request)),
        zone_in: memory(18.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(KRS, "367.4915(4)", "2024", HandTools::Exempt),
    },
    State {
        region: "US-LA",
        name: "Louisiana",
        notice: law(LA_RS, "40:1749.13(B)(1)", "2025", notice(2, Count::Hours)),
        earliest: Value::UNKNOWN,
        life: center(LA_ONE_CALL, "2024", life(CalendarDays(20), From::MarkBy)),
        zone_in: center(LA_ONE_CALL, "2024", 18.0),
        hand_dig: center(LA_ONE_CALL, "2024", HandDig::Care),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law(LA_RS, "40:1749.12", "2024", HandTools::Covered),
    },
    State {
        region: "US-MD",
        name: "Maryland",
        notice: law("Md. Code, Pub. Util.", "12-124(a)(2)", "2025", notice(3, Count::Nth)),
        earliest: law("Md. Code, Pub. Util.", "12-124(a)(2)", "2025", WorkingDays(12)),
        life: center(MISS_UTILITY, "2018", life(WorkingDays(12), From::Request)),
        zone_in: center(MISS_UTILITY, "2018", 18.0),
        hand_dig: center(MISS_UTILITY, "2018", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-MS",
        name: "Mississippi",
        notice: law(MISS_CODE, "77-13-5(1)(c)", "2024", notice(3, Count::Unsaid)),
        earliest: law(MISS_CODE, "77-13-5(1)(c)", "2024", WorkingDays(10)),
        life: center(MS811, "2024", life(CalendarDays(14), From::Request)),
        zone_in: law(MISS_CODE, "77-13-3", "2024", 18.0),
        hand_dig: center(MS811, "2024", HandDig::Care),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-NC",
        name: "North Carolina",
        notice: center(NC811, "2024", notice(3, Count::Full)),
        earliest: Value::UNKNOWN,
        life: center(NC811, "2024", life(WorkingDays(15), From::Request)),
        zone_in: memory(24.0),
        hand_dig: Value::UNKNOWN,
        response: center(NC811, "2024", true),
        white_lining: Value::UNKNOWN,
        hand_tools: law("N.C. Gen. Stat.", "87-117(9)", "2023", HandTools::Covered),
    },
    State {
        region: "US-OK",
        name: "Oklahoma",
        notice: center(OKIE811, "2024", notice(3, Count::Unsaid)),
        earliest: center(OKIE811, "2024", WorkingDays(10)),
        life: center(OKIE811, "2020", life(CalendarDays(14), From::Request)),
        zone_in: secondary(24.0),
        hand_dig: secondary(HandDig::Required),
        response: law(OK_STAT, "142.6(A)", "2024", true),
        white_lining: Value::UNKNOWN,
        hand_tools: law(OK_STAT, "142.2(5)", "2023", HandTools::Exempt),
    },
    State {
        region: "US-SC",
        name: "South Carolina",
        notice: law(SC_CODE, "58-36-60", "2025", notice(3, Count::Full)),
        earliest: law(SC_CODE, "58-36-60", "2025", WorkingDays(12)),
        life: center(SC811, "2024", life(WorkingDays(15), From::Request)),
        zone_in: center(SC811, "2024", 24.0),
        hand_dig: center(SC811, "2024", HandDig::Required),
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: Value::UNKNOWN,
    },
    State {
        region: "US-TN",
        name: "Tennessee",
        notice: law(TENN_CODE, "65-31-106(a)", "2024", notice(3, Count::Unsaid)),
        earliest: law(TENN_CODE, "65-31-106(a)", "2024", WorkingDays(10)),
        life: law(TENN_CODE, "65-31-106(a)", "2024", life(CalendarDays(15), From::Start)),
        zone_in: center(TN811, "2024", 24.0),
        hand_dig: center(TN811, "2024", HandDig::Required),
        response: center(TN811, "2024", true),
        white_lining: Value::UNKNOWN,
        hand_tools: center(TN811, "2024", HandTools::Covered),
    },
    State {
        region: "US-TX",
        name: "Texas",
        notice: law("Tex. Util. Code", "251.151", "2024", notice(2, Count::Hours).weekend(Weekend::Counts)),
        earliest: law("Tex. Util. Code", "251.151(a)", "2024", WorkingDays(14)),
        // 16 Tex. Admin. Code 18.3(f) does not say which days, and 18.1(d) leaves out digging to 16 in.
        life: secondary(life(CalendarDays(14), From::Request)),
        zone_in: secondary(18.0),
        hand_dig: secondary(HandDig::Care),
        response: Value::UNKNOWN,
        white_lining: law("16 Tex. Admin. Code", "18.3(c)", "2024", WhiteLining::WhereUnclear),
        hand_tools: law("Tex. Util. Code", "251.002(5)", "2024", HandTools::ExemptAbove(16)),
    },
    State {
        region: "US-VA",
        name: "Virginia",
        notice: law(VA_CODE, "56-265.17(B)", "2024", notice(2, Count::Full)),
        earliest: Value::UNKNOWN,
        life: center(VA811, "2024", life(WorkingDays(15), From::Request)),
        zone_in: law(VA_CODE, "56-265.24(A)", "2024", 24.0),
        hand_dig: center(VA811, "2024", HandDig::Required),
        response: law(VA_CODE, "56-265.17(B)", "2024", true),
        white_lining: Value::UNKNOWN,
        hand_tools: law(VA_CODE, "56-265.15", "2024", HandTools::Covered),
    },
    State {
        region: "US-WV",
        name: "West Virginia",
        notice: secondary(notice(2, Count::Hours)),
        earliest: secondary(WorkingDays(10)),
        life: Value::UNKNOWN,
        zone_in: memory(24.0),
        hand_dig: Value::UNKNOWN,
        response: Value::UNKNOWN,
        white_lining: Value::UNKNOWN,
        hand_tools: law("W. Va. Code", "24C-1-2", "2024", HandTools::Covered),
    },
];
