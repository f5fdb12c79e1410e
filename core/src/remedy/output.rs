//! Another output of the same supply.

use super::desk::Desk;
use super::goal::Goal;
use super::{Proposal, Sort};
use crate::finding::Finding;
use crate::layout::NodeRef;
use crate::plan::scalar::{Id, RouteStep};
use crate::whatif::Change;

/// Proposes other outputs for a luminaire's circuit, or for runs of an output that gives too much current.
pub(super) fn propose(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    match finding.rule.as_str() {
        "voltage/undervoltage"
        | "voltage/excess-drop"
        | "voltage/overvoltage"
        | "voltage/no-load-overvoltage"
        | "voltage/nominal-mismatch" => of_luminaire(desk, finding, proposals),
        "loading/exceeded-output-limit"
        | "loading/excess-output-current"
        | "loading/excess-class-2"
        | "voltage/excess-system-voltage" => of_supply(desk, finding, proposals),
        _ => {}
    }
}

fn of_luminaire(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let Some(index) = desk.layout.luminaires.iter().position(|l| l.id.0 == finding.subject) else { return };
    let Some(way) = desk.net.way_to(NodeRef::Luminaire(index)) else { return };
    let NodeRef::Output { supply, output } = way.output else { return };
    let goal = Goal::of(desk.layout, finding);
    let all = runs_at(desk, way.output);
    let first: Vec<(usize, bool)> =
        all.iter().copied().filter(|(run, _)| Some(*run) == way.steps.first().map(|s| s.run)).collect();
    for other in (0..desk.layout.supplies[supply].kind.outputs.len()).filter(|other| *other != output) {
        let to = NodeRef::Output { supply, output: other };
        proposals.extend(moved(desk, &first, to, goal.as_ref()));
        if all.len() > first.len() {
            proposals.extend(moved(desk, &all, to, goal.as_ref()));
        }
    }
}

/// Each single run that leaves an output, on each other one; and all runs of the output that the finding names.
fn of_supply(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let Some(supply) = desk.layout.supplies.iter().position(|s| s.id.0 == finding.subject) else { return };
    let outputs = desk.layout.supplies[supply].kind.outputs.len();
    let named = finding.field.strip_prefix("type.outputs.").and_then(|rest| rest.split('.').next()?.parse().ok());
    for output in (0..outputs).filter(|output| named.is_none_or(|named: usize| named == *output)) {
        let runs = runs_at(desk, NodeRef::Output { supply, output });
        for other in (0..outputs).filter(|other| *other != output).map(|output| NodeRef::Output { supply, output }) {
            for run in &runs {
                proposals.extend(moved(desk, &[*run], other, None));
            }
            if runs.len() > 1 && named.is_some() {
                proposals.extend(moved(desk, &runs, other, None));
            }
        }
    }
}

/// Runs with an end at a node, and whether it is their last.
pub(super) fn runs_at(desk: &Desk, node: NodeRef) -> Vec<(usize, bool)> {
    let ends = desk.layout.runs.iter().enumerate().flat_map(|(index, run)| {
        let first = run.segments.first().filter(|s| s.from == node).map(|_| (index, false));
        let last = run.segments.last().filter(|s| s.to == node).map(|_| (index, true));
        first.into_iter().chain(last)
    });
    ends.collect()
}

fn moved(desk: &Desk, runs: &[(usize, bool)], to: NodeRef, goal: Option<&Goal>) -> Option<Proposal> {
    let node = node_step(desk, to);
    let mut changes = Vec::with_capacity(runs.len());
    let mut names = Vec::with_capacity(runs.len());
    for &(run, last) in runs {
        let id = &desk.layout.runs[run].id;
        changes.push(Change::End { run: id.clone(), last, node: node.clone() });
        names.push(id.0.as_str());
    }
    if changes.is_empty() {
        return None;
    }
    let summary = format!("connect {} to output {}", names.join(" and "), desk.layout.node_name(to));
    desk.proposal(Sort::Output, summary, changes, goal, Vec::new())
}

/// A node as a step of a route.
pub(super) fn node_step(desk: &Desk, node: NodeRef) -> RouteStep {
    match node {
        NodeRef::Output { supply, output } => {
            let supply = &desk.layout.supplies[supply];
            RouteStep::Output(supply.id.clone(), supply.kind.outputs[output].name.clone())
        }
        NodeRef::Junction(_) | NodeRef::Luminaire(_) => RouteStep::Node(Id(desk.layout.node_name(node))),
    }
}
