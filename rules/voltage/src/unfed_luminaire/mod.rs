//! A luminaire to which no cable leads.

use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "voltage/unfed-luminaire",
    title: "No run leads from a supply to a luminaire",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (luminaire, state) in input.luminaires().iter().zip(input.judged().luminaires()) {
        let id = &luminaire.id;
        if state.node.fed_by.is_empty() {
            report
                .finding(id)
                .message(format!("{id} is not fed: no run leads to it from a supply"))
                .help("add it to the route of a run, or remove it from the plan")
                .add();
        } else {
            report.checked(id);
        }
    }
}
