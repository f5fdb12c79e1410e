//! A low-voltage lighting supply on a branch circuit above 20 A.

use crate::support::{article_411_level, is_nec};
use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::prelude::*;

/// NFPA 70 Article 411: supplied from a branch circuit of at most 20 A.
const CAP_A: f64 = 20.0;

pub const RULE: Rule = Rule {
    id: "loading/oversized-branch-circuit",
    title: "A lighting supply is fed by a branch circuit above 20 A",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "411.7", Confirmed),
        Citation::nec(Code::Nec2020, "411.7", Confirmed),
        Citation::nec(Code::Nec2023, "411.8", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    if nec == Some(false) {
        return;
    }
    for supply in input.supplies() {
        let id = &supply.id;
        let breaker_a = supply.feed.as_ref().and_then(|feed| feed.breaker_a);
        let cap = Limit::new("largest branch circuit", CAP_A, "A", Tighter::Lower, "NFPA 70, Article 411");
        match (nec, breaker_a.map(|amps| (amps, cap.compare(amps).field("feed.breaker")))) {
            (None, _) => report.undetermined(id, ["`project.code`"]),
            (_, None) => report.undetermined(id, [format!("`feed.breaker` of {id}")]),
            (_, Some((_, compared))) if compared.passes() => report.passes(id, &compared),
            (_, Some((amps, compared))) => report
                .finding(id)
                .level(article_411_level(input))
                .message(format!(
                    "{id} is fed by a {} A circuit; a low-voltage lighting supply takes at most {} A",
                    shown(amps, CAP_A).trim_end_matches('0').trim_end_matches('.'),
                    plain(CAP_A)
                ))
                .breaks(&compared)
                .help("feed it from a 15 A or 20 A branch circuit")
                .add(),
        }
    }
}
