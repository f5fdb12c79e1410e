//! A luminaire for AC on a DC output, or the other way round; and AC joined with DC.

use crate::support::LISTING;
use lintern_rule::plan::{AcceptedCurrent, OutputCurrent};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "voltage/current-mismatch",
    title: "A luminaire is fed with a kind of current that it is not made for",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    joined(input, report);
    for (luminaire, state) in input.luminaires().iter().zip(input.judged().luminaires()) {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let fed_by = &state.node.fed_by;
        if fed_by.is_empty() {
            report.undetermined(id, ["a feed: no run leads to it from a supply"]);
            continue;
        }
        let (made_for, wrong_word, wrong) = match kind.current {
            None => {
                report.undetermined(id, [format!("`current` of type `{}`", kind.name)]);
                continue;
            }
            Some(AcceptedCurrent::Ac) => ("AC", "DC", Some(OutputCurrent::Dc)),
            Some(AcceptedCurrent::Dc) => ("DC", "AC", Some(OutputCurrent::Ac)),
            Some(AcceptedCurrent::AcOrDc) => ("", "", None),
        };
        match fed_by.iter().find(|output| Some(current_of(input, **output)) == wrong) {
            None => report.checked(id),
            Some(output) => report
                .finding(id)
                .field("type")
                .message(format!("{id} is made for {made_for}, but {} gives {wrong_word}", input.output_name(*output)))
                .help(format!("feed it from {made_for}, or take a type that accepts {wrong_word}"))
                .add(),
        }
    }
}

/// Reports each part of the network that both AC and DC outputs feed; such a part is never solved.
fn joined(input: &Input, report: &mut Report) {
    for part in input.judged().unsolved() {
        let of = |wanted| part.outputs.iter().filter(move |output| current_of(input, **output) == wanted);
        let (Some(ac), Some(dc)) = (of(OutputCurrent::Ac).next(), of(OutputCurrent::Dc).next()) else { continue };
        report
            .finding(&input.supplies()[ac.0 as usize].id)
            .field("type")
            .related([input.supplies()[dc.0 as usize].id.as_str()])
            .message(format!(
                "{} gives AC and {} gives DC, but cable joins them",
                input.output_name(*ac),
                input.output_name(*dc)
            ))
            .help("keep AC and DC circuits apart: no cable may join them")
            .add();
    }
}

/// The kind of current that an output gives.
fn current_of(input: &Input, (supply, _): (u32, u32)) -> OutputCurrent {
    input.supply_type(&input.supplies()[supply as usize]).current
}
