//! A luminaire gets more than it may under load.

use crate::support::{Cables, LISTING, feed_names, missing_voltage, practice_window_v};
use lintern_rule::compare::{plain, shown};
use lintern_rule::plan::LuminaireType;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "voltage/overvoltage",
    title: "A luminaire gets more than its highest input voltage",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

/// The most that a type of luminaires may get: what its maker states, else what practice allows.
fn highest(kind: &LuminaireType) -> Limit {
    match kind.input_max_v {
        Some(max) => {
            let source = format!("`input.max` of type `{}`", kind.name);
            Limit::stated("highest input voltage", max, "V", Tighter::Lower, source)
        }
        None => {
            let (_, practice_max) = practice_window_v(kind);
            let name = "highest voltage without a stated range";
            Limit::new(name, practice_max, "V", Tighter::Lower, "common practice")
        }
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let cables = Cables::new(input);
    let limits: Vec<Limit> = input.luminaire_types().iter().map(highest).collect();
    for (index, (luminaire, state)) in input.luminaires().iter().zip(input.judged().luminaires()).enumerate() {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let Some(volts) = state.node.volts else {
            report.undetermined(id, missing_voltage(&state.node));
            continue;
        };
        let limit = &limits[luminaire.kind as usize];
        let (what, level, basis) = match kind.input_max_v {
            Some(_) => ("its highest input voltage is", Level::Violation, None),
            None => ("without a stated range it should get at most", Level::Advice, Some(Basis::PRACTICE)),
        };
        let compared = limit.compare(volts).of(Quantity::LuminaireVolts(index as u32));
        if compared.passes() {
            match kind.input_max_v {
                Some(_) => report.passes(id, &compared),
                None => report.undetermined(id, [format!("`input.max` of type `{}`", kind.name)]),
            }
            continue;
        }
        let mut draft = report
            .finding(id)
            .level(level)
            .message(format!("{id} gets {} V; {what} {} V", shown(volts, limit.value()), plain(limit.value())))
            .breaks(&compared)
            .help(format!(
                "feed it from an output of fewer volts than {}; a lamp above its range fails early",
                feed_names(input, &state.node)
            ));
        if let Some(basis) = basis {
            draft = draft.basis(basis);
        }
        cables.work(draft, index, state).add();
    }
}
