//! A supply in an enclosure that does not stand the weather of its place.

use crate::enclosure::is_for_outdoors;
use crate::place::{Place, missing_exposure};
use crate::support::{NO_CODE, is_nec, level};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::Enclosure;
use lintern_rule::prelude::*;

const IN_OPEN: &str = "minimum-water-digit";
const UNDER_ROOF: &str = "minimum-water-digit-under-roof";

pub const RULE: Rule = Rule {
    id: "feed/unsuitable-enclosure",
    title: "The enclosure of a supply does not suit its place",
    level: Level::Violation,
    waivable: true,
    // Their numbers are practice, not of the sections that the rule cites: hence by table.
    settings: &[
        Setting::table(IN_OPEN, "water digit", Tighter::Higher, "lowest water digit of an IP code in the open"),
        Setting::table(UNDER_ROOF, "water digit", Tighter::Higher, "lowest water digit of an IP code under a roof"),
    ],
    citations: &[
        Citation::nec(Code::Nec2017, "110.11", Confirmed),
        Citation::nec(Code::Nec2020, "110.11", Confirmed),
        Citation::nec(Code::Nec2023, "110.11", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "512.2.1")),
        Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-5-51", "2005", "512.2"), confidence: Memory },
    ],
    doc: include_str!("doc.md"),
    check,
};

/// What an enclosure is good for in a place.
enum Verdict {
    Suits,
    /// It keeps no weather out; the phrase says why.
    Unsuitable(&'static str),
    /// It keeps some water out: whether enough, the limit says.
    Digit {
        digit: f64,
        limit: Box<Limit>,
    },
    Unclear(String),
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    for (index, supply) in input.supplies().iter().enumerate() {
        let id = &supply.id;
        let kind = input.supply_type(supply);
        let Some(code) = input.project().code else {
            report.undetermined(id, NO_CODE);
            continue;
        };
        let place = Place::of(input, index);
        if place == Place::Indoors {
            report.checked(id);
            continue;
        }
        let Some(enclosure) = &kind.enclosure else {
            report.undetermined(id, [format!("`enclosure` of type `{}`", kind.name)]);
            continue;
        };
        match judge(code, place, enclosure, &kind.name, settings) {
            Verdict::Suits => report.checked(id),
            Verdict::Digit { digit, limit } if limit.compare(digit).passes() => {
                report.passes(id, &limit.compare(digit).field("type.enclosure"));
            }
            _ if place == Place::Unsure => report.undetermined(id, missing_exposure(id)),
            Verdict::Unclear(missing) => report.undetermined(id, [missing]),
            Verdict::Digit { digit, limit } => {
                report
                    .finding(id)
                    .level(Level::Advice)
                    .basis(Basis::PRACTICE)
                    .message(format!(
                        "{id} is {} in an {} enclosure; good practice there is IPX{} or better",
                        place.phrase(),
                        shown(enclosure),
                        limit.value()
                    ))
                    .breaks(&limit.compare(digit).field("type.enclosure"))
                    .help("use a supply that keeps splashing water out, or mount this one indoors")
                    .add();
            }
            Verdict::Unsuitable(why) => {
                let in_building = place == Place::UnderRoof { in_building: true };
                let finding = report
                    .finding(id)
                    .level(if in_building { Level::Reminder } else { level(code, Level::Violation) })
                    .field("type.enclosure")
                    .message(format!("{id} is {}, and its enclosure ({}) {why}", place.phrase(), shown(enclosure)))
                    .help(if in_building {
                        "confirm that the enclosure is identified for damp places, or mount it where it is dry"
                    } else {
                        "use a supply that is marked for outdoors, or mount this one indoors and run the low-voltage side out"
                    });
                match (enclosure, table_110_28(code)) {
                    (Enclosure::ListedType(_), Some(basis)) => finding.basis(basis).add(),
                    _ => finding.add(),
                }
            }
        }
    }
}

fn judge(code: Code, place: Place, enclosure: &Enclosure, type_name: &str, settings: &Settings) -> Verdict {
    let ip = match enclosure {
        Enclosure::Outdoor => return Verdict::Suits,
        Enclosure::Indoor => return Verdict::Unsuitable("is for indoors"),
        Enclosure::ListedType(name) if is_for_outdoors(name) => return Verdict::Suits,
        Enclosure::ListedType(_) => return Verdict::Unsuitable("is for indoors"),
        Enclosure::Ip(ip) => ip,
    };
    match ip.water {
        Some(0) => Verdict::Unsuitable("keeps no water out"),
        // An IP code says nothing of rust, ice and sun; Table 110.28 takes none for a type.
        _ if is_nec(code) => Verdict::Unclear(format!(
            "`enclosure` of type `{type_name}` as `outdoor` or as an enclosure type such as `type 3R`"
        )),
        None => Verdict::Unclear(format!("the water digit of `enclosure` of type `{type_name}`")),
        Some(digit) => {
            let limit = limit(place, settings);
            let digit = f64::from(digit);
            Verdict::Digit { digit, limit: Box::new(limit) }
        }
    }
}

/// Common practice, no source: IPX4 in the open, IPX3 under a roof.
fn limit(place: Place, settings: &Settings) -> Limit {
    let (setting, digit) = match place {
        Place::UnderRoof { .. } => (UNDER_ROOF, 3.0),
        Place::Indoors | Place::Open { .. } | Place::Unsure => (IN_OPEN, 4.0),
    };
    Limit::new("lowest water digit", digit, "water digit", Tighter::Higher, "common practice").given(settings, setting)
}

fn table_110_28(code: Code) -> Option<Basis> {
    let edition = match code {
        Code::Nec2017 => "2017",
        Code::Nec2020 => "2020",
        Code::Nec2023 => "2023",
        Code::Nec2026 | Code::Iec60364 | Code::Bs7671 => return None,
    };
    Some(Basis::code("NFPA 70", edition, "Table 110.28"))
}

fn shown(enclosure: &Enclosure) -> String {
    let digit = |digit: Option<u8>| digit.map_or("X".to_owned(), |digit| digit.to_string());
    match enclosure {
        Enclosure::Indoor => "indoor".to_owned(),
        Enclosure::Outdoor => "outdoor".to_owned(),
        Enclosure::ListedType(name) => format!("type {name}"),
        Enclosure::Ip(ip) => format!("IP{}{}", digit(ip.solids), digit(ip.water)),
    }
}
