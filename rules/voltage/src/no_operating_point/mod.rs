//! A circuit for which no voltages satisfy the network.

use lintern_rule::facts::UnsolvedReason;
use lintern_rule::plan::OutputCurrent;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "voltage/no-operating-point",
    title: "A circuit has no operating point: its luminaires can't all run",
    level: Level::Violation,
    waivable: false,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (supply, state) in input.supplies().iter().zip(input.judged().supplies()) {
        if state.outputs.iter().any(|output| output.luminaires > 0) {
            report.checked(&supply.id);
        }
    }
    for part in input.judged().unsolved() {
        let help = match part.reason {
            UnsolvedReason::NoOperatingPoint => {
                "use a much thicker cable, a shorter route or fewer luminaires on this circuit: it asks for more power than its cables can carry at any voltage"
            }
            UnsolvedReason::NoSteadyState | UnsolvedReason::TooManyCutOuts => {
                "raise the voltage at the luminaires well above their cut-out: with a thicker cable, a shorter route or another output"
            }
            // Other rules say what is wrong there; the part is not judged here.
            UnsolvedReason::OutputsTied
            | UnsolvedReason::AcDcJoined
            | UnsolvedReason::SourcesShorted
            | UnsolvedReason::SharesUnsolvedSupply
            | UnsolvedReason::UnknownResistance
            | UnsolvedReason::Other => {
                for (supply, _) in &part.outputs {
                    report.undetermined(&input.supplies()[*supply as usize].id, ["a circuit that can be solved"]);
                }
                continue;
            }
        };
        let Some((first, _)) = part.outputs.first() else { continue };
        let on_ac = input.supply_type(&input.supplies()[*first as usize]).current == OutputCurrent::Ac;
        let outputs = part.outputs.iter().map(|output| input.output_name(*output)).collect::<Vec<_>>().join(", ");
        let load: f64 = part
            .nodes
            .iter()
            .filter_map(|node| match node {
                NodeRef::Luminaire(index) => {
                    let kind = input.luminaire_type(&input.luminaires()[*index as usize]);
                    Some(if on_ac { kind.apparent_power_va.unwrap_or(kind.power_w) } else { kind.power_w })
                }
                NodeRef::Junction(_) | NodeRef::Output(_) => None,
            })
            .sum();
        report
            .finding(&input.supplies()[*first as usize].id)
            .related(part.nodes.iter().map(|node| input.node_name(*node)).take(50))
            .message(format!("the circuit of {outputs} has {}", part.phrase))
            .work("nameplate load of the circuit", load, if on_ac { "VA" } else { "W" }, "plan")
            .help(help)
            .add();
    }
}
