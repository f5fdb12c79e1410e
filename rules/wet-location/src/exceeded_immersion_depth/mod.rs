//! A luminaire that lies deeper under water than its maker states.

use crate::ip;
use crate::support::seen;
use lintern_rule::compare::plain;
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::{Location, Placement};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "wet-location/exceeded-immersion-depth",
    title: "A luminaire lies deeper under water than its maker states",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "110.3(B)", Confirmed),
        Citation::nec(Code::Nec2020, "110.3(B)", Confirmed),
        Citation::nec(Code::Nec2023, "110.3(B)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "512.2.1")),
        Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-5-51", "2005", "512.2.1"), confidence: Memory },
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for luminaire in input.luminaires() {
        if luminaire.placement != Some(Placement::Underwater) {
            continue;
        }
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let for_good = ip::water(&kind.ip, 8) == Some(true) || kind.location == Some(Location::Submersible);
        if !for_good && kind.immersion_depth.is_none() {
            // Whether it may be under water at all is what its listing and its IP code say: other rules.
            continue;
        }
        let (Some(stated), Some(depth)) = (&kind.immersion_depth, &luminaire.water_depth) else {
            let stated = kind.immersion_depth.is_none().then(|| format!("`immersion-depth` of type `{}`", kind.name));
            let depth = luminaire.water_depth.is_none().then(|| format!("`water-depth` of {id}"));
            report.undetermined(id, stated.into_iter().chain(depth));
            continue;
        };
        let (depth, stated_depth, unit) = match depth.is_metric() {
            true => (depth.metres, stated.metres, "m"),
            false => (depth.inches(), stated.inches(), "in"),
        };
        let source = format!("`immersion-depth` of type `{}`", kind.name);
        let limit = Limit::stated("depth that the maker states", stated_depth, unit, Tighter::Lower, source);
        let compared = limit.compare(depth).field("water-depth");
        if compared.passes() {
            report.passes(id, &compared);
            continue;
        }
        report
            .finding(id)
            .message(format!(
                "{id} lies {} {unit} under water; type `{}` is made for {} {unit}",
                seen(depth, stated_depth),
                kind.name,
                plain(stated_depth)
            ))
            .work("depth of the lens below normal water level", depth, unit, "plan")
            .breaks(&compared)
            .help("raise the luminaire, or take a type that is made for the depth")
            .add();
    }
}
