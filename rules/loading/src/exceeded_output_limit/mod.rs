//! An output delivers more than its own limit.

use crate::support::{LISTING, outputs};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "loading/exceeded-output-limit",
    title: "An output delivers more current than it is limited to",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (s, o, supply, output) in outputs(input) {
        let state = &input.judged().supplies()[s as usize].outputs[o as usize];
        let name = input.output_name((s, o));
        if state.luminaires == 0 {
            continue;
        }
        let Some(amps) = state.amps else {
            report.undetermined(&supply.id, [format!("an operating point of the circuit of {name}")]);
            continue;
        };
        let Some(limit) = output.limit_a else {
            report.undetermined(
                &supply.id,
                [format!("`limit` of output {} of type `{}`", output.name, input.supply_type(supply).name)],
            );
            continue;
        };
        if !above(amps.abs(), limit) {
            report.checked(&supply.id);
            continue;
        }
        report
            .finding(&supply.id)
            .field(format!("type.outputs.{o}.limit"))
            .message(format!("{name} delivers {} A; its limit is {} A", shown(amps.abs(), limit), plain(limit)))
            .measured(amps.abs(), "A")
            .limit(limit, "A")
            .work(format!("luminaires on {name}"), f64::from(state.luminaires), "", "plan")
            .help("move part of the circuit to another output or supply; doubling the cable does not help")
            .add();
    }
}
