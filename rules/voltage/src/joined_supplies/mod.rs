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
            let mut pair = vec![one, other];
            pair.sort_by_key(|output| input.output_name(*output));
            parts.insert(pair);
        }
    }
    if input.supplies().len() > 1 {
        for supply in input.supplies() {
            report.checked(&supply.id);
        }
    }
    for outputs in parts {
        let ids = outputs.iter().map(|(supply, _)| input.supplies()[*supply as usize].id.as_str());
        let ids: Vec<&str> = ids.collect::<BTreeSet<_>>().into_iter().collect();
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::MODULE;
    use lintern_rule::blank;
    use lintern_rule::outcome::RuleRequest;
    use lintern_rule::plan::{Run, Segment};

    /// Cables straight from one supply to the next have no luminaire or junction that would tell.
    #[test]
    fn each_cable_from_supply_to_supply_is_found() {
        let run = |id, one, other| Run {
            segments: vec![Segment {
                start: NodeRef::Output((one, 0)),
                end: NodeRef::Output((other, 0)),
                length_m: 5.0,
                path: Vec::new(),
            }],
            ..blank::run(id, 0)
        };
        let input = Input::from(Given {
            supply_types: vec![blank::supply_type("box", vec![blank::output("main", 12.0)])],
            supplies: ["S1", "S2", "S3"].map(|id| blank::supply(id, 0)).to_vec(),
            runs: vec![run("R1", 0, 1), run("R2", 1, 2), run("R3", 1, 0)],
            ..Given::default()
        });
        let request =
            RuleRequest { id: RULE.id.to_owned(), settings: Vec::new(), wants_limits: false, wants_margins: false };
        let found = MODULE.check(&input, &[request]).remove(0).findings;
        let messages: Vec<&str> = found.iter().map(|finding| finding.message.as_str()).collect();
        assert_eq!(messages, ["S1/main and S2/main are joined by cable", "S2/main and S3/main are joined by cable"]);
    }
}
