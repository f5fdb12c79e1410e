//! A supply whose outputs are not isolated from the mains.

use crate::support::{NO_CODE, is_nec, level};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::Listing;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "feed/non-isolating-supply",
    title: "A supply does not isolate its outputs from the mains",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "411.6(B)", Confirmed),
        Citation::nec(Code::Nec2020, "411.6(B)", Confirmed),
        Citation::nec(Code::Nec2023, "411.7(B)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "414.3")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-4-41", "2005", "414.3")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for supply in input.supplies() {
        let id = &supply.id;
        let kind = input.supply_type(supply);
        let Some(code) = input.project().code else {
            report.undetermined(id, NO_CODE);
            continue;
        };
        match (kind.isolating, kind.listing) {
            (Some(true), _) => report.checked(id),
            // These listings ask for isolation.
            (None, Some(Listing::LowVoltageLighting | Listing::Class2 | Listing::Selv)) => report.checked(id),
            (None, Some(Listing::General) | None) => {
                report.undetermined(id, [format!("`isolating` of type `{}`", kind.name)]);
            }
            (Some(false), _) => report
                .finding(id)
                .level(level(code, Level::Violation))
                .field("type.isolating")
                .message(format!("{id} does not isolate its outputs from the mains, as lighting of this kind must"))
                .help(if is_nec(code) {
                    "use a supply with an isolating transformer that is listed for low-voltage lighting"
                } else {
                    "use a safety isolating transformer or an equal SELV source"
                })
                .add(),
        }
    }
}
