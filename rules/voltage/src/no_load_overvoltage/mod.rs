//! A luminaire may get more than it may when little else is lit.

use crate::support::{LISTING, feed_names, missing_voltage};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::facts::NodeState;
use lintern_rule::plan::LuminaireType;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "voltage/no-load-overvoltage",
    title: "A luminaire gets more than its highest input voltage when the supply is lightly loaded",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

/// The most that a type of luminaires may get, where its maker states it.
fn highest(kind: &LuminaireType) -> Option<Limit> {
    let source = format!("`input.max` of type `{}`", kind.name);
    Some(Limit::stated("highest input voltage", kind.input_max_v?, "V", Tighter::Lower, source))
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let limits: Vec<Option<Limit>> = input.luminaire_types().iter().map(highest).collect();
    for (index, (luminaire, state)) in input.luminaires().iter().zip(input.judged().luminaires()).enumerate() {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let (Some(no_load), Some(loaded)) = (state.node.no_load_volts, state.node.volts) else {
            report.undetermined(id, missing_voltage(&state.node));
            continue;
        };
        let Some(limit) = &limits[luminaire.kind as usize] else {
            report.undetermined(id, [format!("`input.max` of type `{}`", kind.name)]);
            continue;
        };
        let max = limit.value();
        let compared = limit.compare(no_load).of(Quantity::LuminaireNoLoadVolts(index as u32));
        if above(loaded, max) {
            // Too much even under load: that is the finding of `voltage/overvoltage`.
            report.checked(id);
        } else if !compared.passes() {
            let feeds = feed_names(input, &state.node);
            report
                .finding(id)
                .message(format!(
                    "{id} gets {} V when nothing else is lit; its highest input voltage is {} V",
                    shown(no_load, max),
                    plain(max)
                ))
                .breaks(&compared)
                .work(format!("volts of {feeds} without load"), no_load, "V", "plan")
                .work("volts at the luminaire under full load", loaded, "V", "computed")
                .help(format!(
                    "feed it from an output of at most {} V without load, or take a luminaire of a wider range; on a dimmed or partly switched circuit the far luminaires see this too",
                    plain(max)
                ))
                .add();
        } else if let Some(unknown) = unstated_source(input, &state.node) {
            report.undetermined(id, [unknown]);
        } else {
            report.passes(id, &compared);
        }
    }
}

/// The first feeding output whose rise without load is not stated.
fn unstated_source(input: &Input, state: &NodeState) -> Option<String> {
    let &(supply, output) = state.fed_by.iter().find(|(supply, output)| {
        input.judged().supplies()[*supply as usize].outputs[*output as usize].source_assumed_ideal
    })?;
    let kind = input.supply_type(&input.supplies()[supply as usize]);
    Some(format!(
        "`regulated: true` or a `source-resistance` of output {} of type `{}`",
        kind.outputs[output as usize].name, kind.name
    ))
}
