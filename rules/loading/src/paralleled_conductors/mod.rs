//! Small conductors in parallel.

use crate::ampacity;
use crate::support::is_nec;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::Conductor;
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

/// 1/0 AWG, the smallest size that may be paralleled, mm²: NFPA 70 Chapter 9 Table 8.
const ONE_OUGHT_MM2: f64 = 53.49;

pub const RULE: Rule = Rule {
    id: "loading/paralleled-conductors",
    title: "Conductors smaller than 1/0 AWG are run in parallel",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "310.10(H)(1)", Confirmed),
        Citation::nec(Code::Nec2020, "310.10(G)(1)", Confirmed),
        Citation::nec(Code::Nec2023, "310.10(G)(1)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// A node with an order: naming each end of each segment would take longer than all the rest.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Node {
    Output(u32, u32),
    Junction(u32),
    Luminaire(u32),
}

impl Node {
    fn of(node: NodeRef) -> Self {
        match node {
            NodeRef::Output((supply, output)) => Self::Output(supply, output),
            NodeRef::Junction(junction) => Self::Junction(junction),
            NodeRef::Luminaire(luminaire) => Self::Luminaire(luminaire),
        }
    }

    fn name(self) -> NodeRef {
        match self {
            Self::Output(supply, output) => NodeRef::Output((supply, output)),
            Self::Junction(junction) => NodeRef::Junction(junction),
            Self::Luminaire(luminaire) => NodeRef::Luminaire(luminaire),
        }
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    if nec == Some(false) {
        return;
    }
    // Segments by the two nodes they join, each with its run and whether its conductors are small.
    let one = Limit::new("conductors below 1/0 AWG", 1.0, "conductors a pole", Tighter::Lower, "NFPA 70, Article 310");
    let mut by_ends: BTreeMap<[Node; 2], Vec<(usize, bool)>> = BTreeMap::new();
    for (r, run) in input.runs().iter().enumerate() {
        if nec.is_none() {
            report.undetermined(&run.id, ["`project.code`"]);
            continue;
        }
        let cable = input.cable_type(run);
        let small = match cable.conductor {
            Some(Conductor::Awg(gauge)) => gauge > 0,
            Some(Conductor::SquareMm(area)) => area < ONE_OUGHT_MM2,
            None => {
                report.undetermined(&run.id, [format!("`conductor` of cable type `{}`", cable.name)]);
                continue;
            }
        };
        report.checked(&run.id);
        if small && cable.parallel > 1 {
            report
                .finding(&run.id)
                .message(format!(
                    "{} has {} conductors of {} in parallel for each pole; only 1/0 AWG and larger may be paralleled",
                    run.id,
                    cable.parallel,
                    ampacity::size(cable)
                ))
                .breaks(&one.compare(f64::from(cable.parallel)).field("cable.parallel"))
                .help("use one larger conductor, a shorter run, or two runs to different luminaires")
                .add();
        }
        for segment in &run.segments {
            let mut ends = [Node::of(segment.start), Node::of(segment.end)];
            ends.sort_unstable();
            by_ends.entry(ends).or_default().push((r, small));
        }
    }
    for (ends, segments) in by_ends {
        let Some((&(first, first_small), doubled)) = segments.split_first() else { continue };
        if doubled.is_empty() {
            continue;
        }
        let mut names = ends.map(|node| input.node_name(node.name()));
        names.sort_unstable();
        let [one, other] = names;
        for &(second, second_small) in doubled {
            if !first_small && !second_small {
                continue;
            }
            let (kept, added) = (&input.runs()[first], &input.runs()[second]);
            let small_one = if second_small { added } else { kept };
            let who = match first == second {
                true => format!("{} joins {one} and {other} twice", added.id),
                false => format!("{} and {} both join {one} and {other}", kept.id, added.id),
            };
            report
                .finding(&added.id)
                .field("route")
                .related((first != second).then_some(kept.id.as_str()))
                .message(format!(
                    "{who}: conductors of {} in parallel; only 1/0 AWG and larger may be paralleled",
                    ampacity::size(input.cable_type(small_one))
                ))
                .help("use one larger conductor between the two, or lead the second run to another luminaire")
                .add();
        }
    }
}
