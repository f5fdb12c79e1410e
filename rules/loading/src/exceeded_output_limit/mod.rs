//! An output delivers more than its own limit.

use crate::support::{LISTING, outputs};
use lintern_rule::compare::{plain, shown};
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
        let source = format!("`limit` of output {} of type `{}`", output.name, input.supply_type(supply).name);
        let stated = Limit::stated("current limit of the output", limit, "A", Tighter::Lower, source);
        let compared =
            stated.compare(amps.abs()).field(format!("type.outputs.{o}.limit")).of(Quantity::OutputAmps((s, o)));
        if compared.passes() {
            report.passes(&supply.id, &compared);
            continue;
        }
        report
            .finding(&supply.id)
            .message(format!("{name} delivers {} A; its limit is {} A", shown(amps.abs(), limit), plain(limit)))
            .breaks(&compared)
            .work(format!("luminaires on {name}"), f64::from(state.luminaires), "", "plan")
            .help("move part of the circuit to another output or supply; doubling the cable does not help")
            .add();
    }
}
