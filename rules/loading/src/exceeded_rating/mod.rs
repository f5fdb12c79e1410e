//! A supply is loaded above its rating.

use crate::support::{LISTING, Load, missing_power_factors, rating};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "loading/exceeded-rating",
    title: "A supply is loaded above its rating",
    level: Level::Violation,
    waivable: false,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (s, (supply, state)) in input.supplies().iter().zip(input.judged().supplies()).enumerate() {
        let id = &supply.id;
        let kind = input.supply_type(supply);
        let Some((rated, unit)) = rating(kind) else {
            report.undetermined(id, [format!("`rating` of type `{}`", kind.name)]);
            continue;
        };
        let Some(load) = Load::of(state) else {
            report.undetermined(id, ["an operating point of its circuits"]);
            continue;
        };
        let limit = Limit::stated("rating", rated, unit, Tighter::Lower, format!("`rating` of type `{}`", kind.name));
        let compared = limit.compare(load.va).field("type").of(Quantity::SupplyLoad(s as u32));
        if !compared.passes() {
            let mut draft = report
                .finding(id)
                .message(format!(
                    "{id} is asked for {} {unit}; it is rated {} {unit}",
                    shown(load.va, rated),
                    plain(rated)
                ))
                .breaks(&compared)
                .work("sum of the nameplates", load.nameplate_va, unit, "plan");
            if let Some(computed) = load.computed_va {
                draft = draft.work("computed load with cable loss", computed, unit, "computed");
            }
            draft.help("take a larger supply or move luminaires to another one").add();
        } else if !load.complete {
            report.undetermined(id, ["an operating point of its circuits"]);
        } else if above(load.va_at_pf_90, rated) {
            report.undetermined(id, missing_power_factors(input, s as u32));
        } else {
            report.passes(id, &compared);
        }
    }
}
