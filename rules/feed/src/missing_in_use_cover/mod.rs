//! A plug that stays in an outdoor receptacle under a cover that is tight only when closed.

use crate::place::Place;
use crate::receptacle::Provision;
use crate::support::{NO_CODE, if_wired_in, is_nec, level};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "feed/missing-in-use-cover",
    title: "The plug of a supply is left in an outdoor receptacle without an in-use cover",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "406.9(B)(1)", Confirmed),
        Citation::nec(Code::Nec2020, "406.9(B)(1)", Confirmed),
        Citation::nec(Code::Nec2023, "406.9(B)(1)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

const PROVISION: Provision = Provision { key: "in-use-cover", stated: |feed| feed.in_use_cover };

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, supply) in input.supplies().iter().enumerate() {
        let id = &supply.id;
        let Some(code) = input.project().code else {
            report.undetermined(id, NO_CODE);
            continue;
        };
        let place = Place::of(input, index);
        if matches!(place, Place::Indoors | Place::UnderRoof { .. }) {
            continue;
        }
        let Some(feed) = PROVISION.lacking(supply, place, report) else { continue };
        report
            .finding(id)
            .level(if is_nec(code) { level(code, Level::Violation) } else { Level::Advice })
            .field("feed.in-use-cover")
            .message(format!(
                "the receptacle that feeds {id} in the open has no in-use cover; it is to be weatherproof with the plug in it"
            ))
            .help(format!("put an in-use cover over it{}", if_wired_in(feed)))
            .add();
    }
}
