//! A supply is loaded above 80 % of its rating.

use crate::support::{Load, missing_power_factors, rating};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "loading/overloaded-supply",
    title: "A supply is loaded above 80 % of its rating",
    level: Level::Violation,
    waivable: true,
    settings: &[Setting::number("limit", 80.0, "%", Tighter::Lower, "largest load of a supply, of its rating")],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let governing = Limit::new("largest load", 80.0, "%", Tighter::Lower, "common practice, of the rating")
        .given(settings, "limit");
    let limit = governing.value();
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
        report.limit(id, &governing);
        let loading = load.va / rated * 100.0;
        let allowed = rated * limit / 100.0;
        let compared = governing.compare(loading).field("type").of(Quantity::SupplyLoadingPercent(s as u32));
        if !compared.passes() {
            let mut draft = report
                .finding(id)
                .message(format!(
                    "{id} is loaded to {} % of its rating; the limit is {} %",
                    shown(loading, limit),
                    plain(limit)
                ))
                .breaks(&compared)
                .work("sum of the nameplates", load.nameplate_va, unit, "plan");
            if let Some(computed) = load.computed_va {
                draft = draft.work("computed load with cable loss", computed, unit, "computed");
            }
            draft
                .work("rating", rated, unit, "plan")
                .work("allowed load", allowed, unit, "limit x rating")
                .work("smallest rating for this load", load.va / limit * 100.0, unit, "load / limit")
                .help(format!(
                    "take a supply of at least {} {unit}, or move {} {unit} to another supply",
                    (load.va / limit * 100.0).ceil(),
                    (load.va - allowed).ceil()
                ))
                .add();
        } else if !load.complete {
            report.undetermined(id, ["an operating point of its circuits"]);
        } else if above(load.va_at_pf_90 / rated * 100.0, limit) {
            report.undetermined(id, missing_power_factors(input, s as u32));
        } else {
            report.passes(id, &compared);
        }
    }
}
