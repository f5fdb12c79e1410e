//! A supply with a larger rating, or its load on two supplies.

use super::desk::Desk;
use super::feed::run_doc;
use super::goal::Goal;
use super::output::{node_step, runs_at};
use super::{Proposal, Sort, line, types};
use crate::finding::{Finding, WorkLine};
use crate::layout::NodeRef;
use crate::plan::quantity::{ApparentPower, Power};
use crate::plan::scalar::{Rating, RouteStep};
use crate::sizing::RATINGS_VA;
use crate::whatif::Change;

/// Ratings above the present one that are tried.
const STEPS: usize = 3;
/// Runs of one supply between which its load is split, at most.
const MOST_RUNS: usize = 10;

/// Proposes ratings and splits for a supply that carries too much.
pub(super) fn propose(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    if !matches!(finding.rule.as_str(), "loading/overloaded-supply" | "loading/exceeded-rating") {
        return;
    }
    let Some(supply) = desk.layout.supplies.iter().position(|s| s.id.0 == finding.subject) else { return };
    let goal = Goal::of(desk.layout, finding);
    let work = load_work(desk, supply, finding);
    larger(desk, supply, goal.as_ref(), &work, proposals);
    to_another(desk, supply, goal.as_ref(), &work, proposals);
    split(desk, supply, goal.as_ref(), &work, proposals);
}

/// Load, rating and what the rating must be at least.
fn load_work(desk: &Desk, supply: usize, finding: &Finding) -> Vec<WorkLine> {
    let state = &desk.solution().supplies[supply];
    let rating = desk.layout.supplies[supply].kind.rating;
    let unit = if matches!(rating, Some(Rating::Real(_))) { "W" } else { "VA" };
    let mut work = Vec::new();
    let load = state.load_va.unwrap_or(0.0).max(state.nameplate_va.unwrap_or(0.0));
    work.push(line("load, the larger of computed and nameplates", load, unit, "solved"));
    if let Some(limit) = finding.limit.as_ref().filter(|limit| limit.unit == "%" && limit.value > 0.0) {
        work.push(line("least rating", load / limit.value * 100.0, unit, "load / limit"));
    }
    work
}

fn larger(desk: &Desk, supply: usize, goal: Option<&Goal>, work: &[WorkLine], proposals: &mut Vec<Proposal>) {
    let (id, kind) = (&desk.layout.supplies[supply].id, &desk.layout.supplies[supply].kind);
    for other in types::supplies_alike(desk, kind) {
        let changes = vec![Change::Supply { supply: id.clone(), kind: other.clone() }];
        let summary = format!("take type {other} for {id}");
        proposals.extend(desk.proposal(Sort::Rating, summary, changes, goal, work.to_vec()));
    }
    let Some(rating) = kind.rating else { return };
    let number = match rating {
        Rating::Apparent(va) => va.si(),
        Rating::Real(w) => w.si(),
    };
    for &next in RATINGS_VA.iter().filter(|next| **next > number).take(STEPS) {
        let (rating, unit) = match rating {
            Rating::Apparent(_) => (ApparentPower::new(next, "VA").map(Rating::Apparent), "VA"),
            Rating::Real(_) => (Power::new(next, "W").map(Rating::Real), "W"),
        };
        let Some(rating) = rating else { continue };
        let name = types::free_name(desk, &sized_name(&kind.name.0, number, next));
        let changes = vec![
            Change::SupplyType { name: name.clone(), like: kind.name.clone(), rating },
            Change::Supply { supply: id.clone(), kind: name },
        ];
        let summary =
            format!("take a supply like {id} with a rating of {next} {unit}, and outputs that give what {id}'s do");
        let mut work = work.to_vec();
        work.push(line("next rating", next, unit, "common practice, no source"));
        if let Some(proposal) = desk.proposal(Sort::Rating, summary, changes, goal, work) {
            proposals.push(proposal);
            return;
        }
    }
}

/// `box-150` becomes `box-300`.
fn sized_name(name: &str, rating: f64, next: f64) -> String {
    let mut parts: Vec<String> = name.split('-').map(str::to_owned).collect();
    match parts.iter_mut().find(|part| **part == rating.to_string()) {
        Some(part) => *part = next.to_string(),
        None => parts.push(next.to_string()),
    }
    parts.join("-")
}

/// Single runs that leave the supply go to outputs of the same voltage and current of other supplies of the plan.
fn to_another(desk: &Desk, supply: usize, goal: Option<&Goal>, work: &[WorkLine], proposals: &mut Vec<Proposal>) {
    let own = &desk.layout.supplies[supply].kind;
    for (output, given) in own.outputs.iter().enumerate() {
        let runs = runs_at(desk, NodeRef::Output { supply, output });
        let others = desk
            .layout
            .supplies
            .iter()
            .enumerate()
            .filter(|(other, kind)| *other != supply && kind.kind.output_current == own.output_current);
        for (other, kind) in others {
            let same = kind.kind.outputs.iter().enumerate().filter(|(_, o)| o.volts.si() == given.volts.si());
            for (there, _) in same {
                let node = NodeRef::Output { supply: other, output: there };
                // A stated length says nothing of the way to another supply.
                for &(run, last) in runs.iter().filter(|(run, _)| is_measured(desk, *run)) {
                    let id = desk.layout.runs[run].id.clone();
                    let summary = format!("connect {id} to {}", desk.layout.node_name(node));
                    let mut work = work.to_vec();
                    let moved = nameplate_va(desk, run, NodeRef::Output { supply, output });
                    work.push(line("nameplates that move", moved, "VA", "plan"));
                    let changes = vec![Change::End { run: id, last, node: node_step(desk, node) }];
                    proposals.extend(desk.proposal(Sort::Split, summary, changes, goal, work));
                }
            }
        }
    }
}

fn is_measured(desk: &Desk, run: usize) -> bool {
    run_doc(desk, &desk.layout.runs[run].id).is_some_and(|doc| doc.length.is_absent() && doc.lengths.is_absent())
}

/// Some of the runs that leave the supply go to a second one of its type beside it: the smallest share that is
/// enough, by the nameplates of what hangs on each run.
fn split(desk: &Desk, supply: usize, goal: Option<&Goal>, work: &[WorkLine], proposals: &mut Vec<Proposal>) {
    let supply_id = &desk.layout.supplies[supply].id;
    let outputs = 0..desk.layout.supplies[supply].kind.outputs.len();
    let mut runs: Vec<(usize, bool, usize)> = Vec::new();
    for output in outputs {
        runs.extend(
            runs_at(desk, NodeRef::Output { supply, output }).into_iter().map(|(run, last)| (run, last, output)),
        );
    }
    if runs.len() < 2 || runs.len() > MOST_RUNS {
        return;
    }
    let loads: Vec<f64> =
        runs.iter().map(|&(run, _, output)| nameplate_va(desk, run, NodeRef::Output { supply, output })).collect();
    let all: f64 = loads.iter().sum();
    // Fewest runs first, then the least load that is moved.
    let mut shares: Vec<u32> = (1..(1_u32 << runs.len()) - 1).collect();
    let moved = |share: u32| -> f64 { picked(share, runs.len()).map(|i| loads[i]).sum() };
    shares.retain(|share| moved(*share) <= all / 2.0 + 1e-9 || share.count_ones() == 1);
    shares.sort_by(|a, b| a.count_ones().cmp(&b.count_ones()).then_with(|| moved(*a).total_cmp(&moved(*b))));
    let new = desk.free_id(supply_id, &[]);
    let mut kept = 0;
    for share in shares {
        let mut changes = vec![Change::SupplyBeside { new: new.clone(), like: supply_id.clone() }];
        let mut names = Vec::new();
        for (run, last, output) in picked(share, runs.len()).map(|i| runs[i]) {
            let id = &desk.layout.runs[run].id;
            let output = desk.layout.supplies[supply].kind.outputs[output].name.clone();
            changes.push(Change::End { run: id.clone(), last, node: RouteStep::Output(new.clone(), output) });
            names.push(id.0.as_str());
        }
        let summary =
            format!("set a second supply of its type beside {supply_id} and connect {} to it", names.join(" and "));
        let mut work = work.to_vec();
        work.push(line("nameplates that move", moved(share), "VA", "plan"));
        if let Some(proposal) = desk.proposal(Sort::Split, summary, changes, goal, work) {
            proposals.push(proposal);
            kept += 1;
            if kept == STEPS {
                return;
            }
        }
    }
}

fn picked(share: u32, runs: usize) -> impl Iterator<Item = usize> {
    (0..runs).filter(move |i| share & (1 << i) != 0)
}

/// Nameplates of the luminaires that a run feeds from an output, VA.
fn nameplate_va(desk: &Desk, run: usize, output: NodeRef) -> f64 {
    let behind = desk.net.behind(run, output).into_iter().map(|index| &desk.layout.luminaires[index].kind);
    behind.map(|kind| kind.apparent_power.map_or(kind.power.si(), |va| va.si())).sum()
}
