//! Two supplies joined by cable.

use crate::support::LISTING;
use lintern_rule::prelude::*;
use std::collections::BTreeSet;

pub const RULE: Rule = Rule {
    id: "voltage/joined-supplies",
    title: "Two supplies are joined by cable",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    // Every part of the network, by the outputs that feed it: solved parts by their nodes, the others as listed.
    let facts = input.judged();
    let nodes = facts.junctions().iter().chain(facts.luminaires().iter().map(|l| &l.node));
    let mut parts: BTreeSet<Vec<(u32, u32)>> = nodes.map(|node| node.fed_by.clone()).collect();
    parts.extend(facts.unsolved().iter().map(|part| part.outputs.clone()));
    // A run straight from one supply to another passes no node.
    for segment in input.runs().iter().flat_map(|run| &run.segments) {
        let (NodeRef::Output(one), NodeRef::Output(other)) = (segment.start, segment.end) else { continue };
        if one != other && !parts.iter().any(|part| part.contains(&one) && part.contains(&other)) {
            parts.insert(vec![one.min(other), one.max(other)]);
        }
    }
    if input.supplies().len() > 1 {
        for supply in input.supplies() {
            report.checked(&supply.id);
        }
    }
    for outputs in parts {
        let supplies: BTreeSet<u32> = outputs.iter().map(|(supply, _)| *supply).collect();
        let ids: Vec<&str> = supplies.iter().map(|s| input.supplies()[*s as usize].id.as_str()).collect();
        let [first, others @ ..] = &ids[..] else { continue };
        if others.is_empty() {
            continue;
        }
        let names = outputs.iter().map(|output| input.output_name(*output)).collect::<Vec<_>>().join(" and ");
        report
            .finding(*first)
            .related(others.iter().copied())
            .message(format!("{names} are joined by cable"))
            .help("separate the circuits of the supplies: a supply that is switched off is fed backwards through its output, and its input terminals may then be live")
            .add();
    }
}
