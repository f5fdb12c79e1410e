//! A supply that is not made and listed for low-voltage lighting.

use crate::support::{NO_CODE, is_nec, level};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::Listing;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "feed/unlisted-supply",
    title: "A supply is not listed for low-voltage lighting",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "411.3", Confirmed),
        Citation::nec(Code::Nec2020, "411.3", Confirmed),
        Citation::nec(Code::Nec2023, "411.4", Confirmed),
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
        let Some(listing) = kind.listing else {
            report.undetermined(id, [format!("`listing` of type `{}`", kind.name)]);
            continue;
        };
        let (level, message, help) = match (is_nec(code), listing) {
            (true, Listing::LowVoltageLighting | Listing::Class2) | (false, Listing::Selv) => {
                report.checked(id);
                continue;
            }
            (true, Listing::General) => (
                level(code, Level::Violation),
                format!(
                    "{id} has a general listing; the supply of low-voltage lighting is to be identified for that use"
                ),
                "use a supply that is listed for low-voltage lighting",
            ),
            (true, Listing::Selv) => (
                Level::Reminder,
                format!("{id} is marked SELV, which is no listing for low-voltage lighting"),
                "confirm that a recognised laboratory has listed it for low-voltage lighting, and state that listing",
            ),
            (false, Listing::General) => (
                Level::Violation,
                format!("{id} is a general-purpose supply and no SELV source"),
                "use a safety isolating transformer or an equal SELV source",
            ),
            (false, Listing::LowVoltageLighting | Listing::Class2) => (
                Level::Reminder,
                format!("{id} has a listing of another code, which does not say that it is a SELV source"),
                "confirm that it is a safety isolating transformer or an equal SELV source, and state `listing: selv`",
            ),
        };
        report.finding(id).level(level).field("type.listing").message(message).help(help).add();
    }
}
