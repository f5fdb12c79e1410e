//! An overhead span of cable that hangs from trees.

use crate::support::level;
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::{Method, Supports};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/tree-span",
    title: "An overhead span of cable hangs from trees",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "225.26", Memory),
        Citation::nec(Code::Nec2020, "225.26", Confirmed),
        Citation::nec(Code::Nec2023, "225.26", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for run in input.runs() {
        let methods = run.covers.iter().map(|exception| exception.method).chain([run.method]);
        if !methods.into_iter().any(|method| method == Some(Method::Aerial)) {
            continue;
        }
        match run.supports {
            None => report.undetermined(&run.id, [format!("`supports` of {}", run.id)]),
            Some(Supports::Building | Supports::Pole) => report.checked(&run.id),
            Some(Supports::Tree) => {
                let is_nec = !matches!(input.project().code, None | Some(Code::Iec60364 | Code::Bs7671));
                let own_level = if is_nec { level(input, Level::Violation) } else { Level::Advice };
                report
                    .finding(&run.id)
                    .level(own_level)
                    .field("supports")
                    .message(format!("{} is an overhead span that trees hold; trees move and grow, and may hold luminaires but no spans", run.id))
                    .help("bring the cable to the tree in the ground and up its trunk with room to grow, or span between posts or buildings; the authority decides")
                    .add();
            }
        }
    }
}
