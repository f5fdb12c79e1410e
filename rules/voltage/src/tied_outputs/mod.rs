//! Two outputs of one supply joined by cable.

use crate::support::LISTING;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "voltage/tied-outputs",
    title: "Two outputs of one supply are joined by cable",
    level: Level::Violation,
    waivable: false,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for supply in input.supplies() {
        if input.supply_type(supply).outputs.len() > 1 {
            report.checked(&supply.id);
        }
    }
    // A part with two outputs of one supply is never solved, whatever reason stands first for it.
    for part in input.judged().unsolved() {
        for (index, supply) in input.supplies().iter().enumerate() {
            let tied: Vec<_> = part.outputs.iter().filter(|(s, _)| *s as usize == index).copied().collect();
            if tied.len() < 2 {
                continue;
            }
            let names = tied.iter().map(|output| input.output_name(*output)).collect::<Vec<_>>().join(" and ");
            let runs = input.runs().iter().filter(|run| {
                run.segments.iter().flat_map(|s| [s.start, s.end]).any(|node| match node {
                    NodeRef::Output(output) => tied.contains(&output),
                    NodeRef::Junction(_) | NodeRef::Luminaire(_) => false,
                })
            });
            report
                .finding(&supply.id)
                .related(runs.map(|run| run.id.as_str()))
                .message(format!("{names} are joined by cable"))
                .help("end each run on one output: taps of one winding that are joined drive a short-circuit current through the cable; close a loop only onto the tap and the polarity where it started")
                .add();
        }
    }
}
