//! A supply with a grounded output.

use crate::support::{NO_CODE, is_nec, level};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::Listing;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "feed/grounded-output",
    title: "An output of a supply is grounded",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "411.6(A)", Confirmed),
        Citation::nec(Code::Nec2020, "411.6(A)", Confirmed),
        Citation::nec(Code::Nec2023, "411.7(A)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation { code: Code::Bs7671, basis: Basis::code("BS 7671", "2018", "414.4.1"), confidence: Memory },
        Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-4-41", "2005", "414.4.1"), confidence: Memory },
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
        match (kind.grounded_output, kind.listing) {
            (Some(false), _) => report.checked(id),
            // Supplies of these listings are made without.
            (None, Some(Listing::LowVoltageLighting | Listing::Selv)) => report.checked(id),
            (None, Some(Listing::Class2 | Listing::General) | None) => {
                report.undetermined(id, [format!("`grounded-output` of type `{}`", kind.name)]);
            }
            (Some(true), listing) => {
                let class_2_exception = code == Code::Nec2023 && listing == Some(Listing::Class2);
                let (level, message, help) = if !is_nec(code) {
                    (
                        Level::Reminder,
                        format!("an output of {id} is connected to earth; the circuit is then no SELV"),
                        "take the connection off, or confirm that PELV is admitted for this lighting",
                    )
                } else if class_2_exception {
                    (
                        Level::Reminder,
                        format!(
                            "an output of {id} is grounded; a Class 2 source may be only where it is listed and identified for that"
                        ),
                        "confirm that the supply is listed and identified for secondary grounding, or take the bond off",
                    )
                } else {
                    (
                        level(code, Level::Violation),
                        format!(
                            "an output of {id} is grounded; secondary circuits of low-voltage lighting are not to be grounded"
                        ),
                        "take the bond off the output, or use a supply whose output is not grounded",
                    )
                };
                report.finding(id).level(level).field("type.grounded-output").message(message).help(help).add();
            }
        }
    }
}
