//! A luminaire that no testing laboratory has listed, in the terms of NFPA 70.

use crate::support::{NO_CODE, is_nec, level};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "feed/unlisted-luminaire",
    title: "A luminaire is not listed",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "410.6", Confirmed),
        Citation::nec(Code::Nec2020, "410.6", Confirmed),
        Citation::nec(Code::Nec2023, "410.6", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for luminaire in input.luminaires() {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let Some(code) = input.project().code else {
            report.undetermined(id, NO_CODE);
            continue;
        };
        if !is_nec(code) {
            continue;
        }
        match kind.listed {
            Some(true) => report.checked(id),
            None => report.undetermined(id, [format!("`listed` of type `{}`", kind.name)]),
            Some(false) => report
                .finding(id)
                .level(level(code, Level::Violation))
                .field("type.listed")
                .message(format!("{id} is of type {}, which is not listed; luminaires are to be listed", kind.name))
                .help("choose a type with the mark of a recognised laboratory, or have this one evaluated in the field before it goes in")
                .add(),
        }
    }
}
