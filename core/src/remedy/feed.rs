//! Cable that is added: a feed of its own for the far part of a chain, a star instead of the chain, or a first feed
//! for a luminaire that has none.

use super::desk::Desk;
use super::goal::Goal;
use super::output::node_step;
use super::path::Way;
use super::{Proposal, Sort, line};
use crate::finding::Finding;
use crate::layout::NodeRef;
use crate::plan::model::RunDoc;
use crate::plan::scalar::{Id, Point, RouteStep};
use crate::whatif::Change;

/// Nodes on a way from which a feed is tried.
const MOST_CUTS: usize = 60;
/// Nodes near an unfed luminaire that are tried.
const NEAREST: usize = 4;

/// Proposes feeds for a luminaire that gets too little or nothing.
pub(super) fn propose(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let Some(index) = desk.layout.luminaires.iter().position(|l| l.id.0 == finding.subject) else { return };
    match finding.rule.as_str() {
        "voltage/unfed-luminaire" => first_feed(desk, index, proposals),
        "voltage/undervoltage" | "voltage/excess-drop" | "voltage/uneven-scene" => {
            let Some(way) = desk.net.way_to(NodeRef::Luminaire(index)) else { return };
            let goal = Goal::of(desk.layout, finding);
            let mut feeds = Vec::new();
            for cut in 1..way.steps.len().min(MOST_CUTS) {
                for along in [false, true] {
                    feeds.extend(own_feed(desk, &way, cut, along, goal.as_ref()));
                }
            }
            proposals.extend(feeds);
            proposals.extend(star(desk, &way, goal.as_ref()));
        }
        _ => {}
    }
}

/// What is beyond a node of the way gets a run from the output: straight, or along the way in the same trench.
fn own_feed(desk: &Desk, way: &Way, cut: usize, along: bool, goal: Option<&Goal>) -> Option<Proposal> {
    let step = way.steps.get(cut)?;
    let run = &desk.layout.runs[step.run];
    let doc = run_doc(desk, &run.id)?;
    // A run that is drawn against the way has its far part in front.
    if !step.forward {
        return None;
    }
    let output = node_step(desk, way.output);
    let measured = doc.length.is_absent() && doc.lengths.is_absent();
    let mut route = vec![output];
    let lengths_m = if measured {
        if along {
            route.extend(bends_along(desk, way, cut)?);
        }
        None
    } else if along {
        // In the same trench the cable is as long as what it lies beside.
        let beside: f64 = way.steps[..=cut].iter().map(|s| desk.layout.runs[s.run].segments[s.segment].length_m).sum();
        let rest = run.segments[step.segment + 1..].iter().map(|s| s.length_m);
        Some(std::iter::once(beside).chain(rest).collect())
    } else {
        return None;
    };
    route.extend(steps_from(doc, step.segment + 1)?);
    let new = desk.free_id(&run.id, &[]);
    let mut changes = vec![Change::Run { new: new.clone(), like: run.id.clone(), route, lengths_m }];
    changes.push(match step.segment {
        0 => Change::Remove { run: run.id.clone() },
        segments => Change::Shorten { run: run.id.clone(), segments },
    });
    let place = if along { "in the same trench" } else { "straight" };
    let (from, to) = (desk.layout.node_name(way.output), desk.layout.node_name(step.to));
    let cut_from = desk.layout.node_name(way.from(cut));
    let summary =
        format!("feed {to} and what is beyond it by a run of its own from {from}, {place}, and not from {cut_from}");
    let sort = if along { Sort::FeedBeside } else { Sort::Feed };
    let mut proposal = desk.proposal(sort, summary, changes, goal, Vec::new())?;
    if along && !measured {
        // Beside a cable that has no place in the plan, there still is no new trench.
        proposal.cost.trench_added_m = 0.0;
    }
    let added = proposal.cost.cable_added_m;
    proposal.work.push(line("cable added", added, "m", "after the change - now"));
    Some(proposal)
}

/// Every node of the way's last run gets a run of its own from where that run starts.
fn star(desk: &Desk, way: &Way, goal: Option<&Goal>) -> Option<Proposal> {
    let last = way.steps.last()?;
    let run = &desk.layout.runs[last.run];
    // A run that is drawn against the way starts at its far end.
    if run.segments.len() < 2 || !last.forward {
        return None;
    }
    let doc = run_doc(desk, &run.id)?;
    let measured = doc.length.is_absent() && doc.lengths.is_absent();
    let start = node_step(desk, run.segments[0].from);
    let mut changes = Vec::new();
    let mut taken = Vec::new();
    let mut beside = run.segments[0].length_m;
    for segment in &run.segments[1..] {
        beside += segment.length_m;
        let new = desk.free_id(&run.id, &taken);
        changes.push(Change::Run {
            new: new.clone(),
            like: run.id.clone(),
            route: vec![start.clone(), node_step(desk, segment.to)],
            lengths_m: (!measured).then(|| vec![beside]),
        });
        taken.push(new);
    }
    changes.push(Change::Shorten { run: run.id.clone(), segments: 1 });
    let from = desk.layout.node_name(run.segments[0].from);
    let summary = format!("feed each node of {} by a run of its own from {from}, as a star instead of a chain", run.id);
    let mut proposal = desk.proposal(Sort::Star, summary, changes, goal, Vec::new())?;
    if !measured {
        proposal.cost.trench_added_m = 0.0;
    }
    proposal.work.push(line("cable added", proposal.cost.cable_added_m, "m", "after the change - now"));
    Some(proposal)
}

/// A run to an unfed luminaire from one of the nearest nodes that have voltage, in the cable that the node has.
fn first_feed(desk: &Desk, luminaire: usize, proposals: &mut Vec<Proposal>) {
    let Some(at) = desk.layout.luminaires[luminaire].at else { return };
    let solution = desk.solution();
    let mut near: Vec<(f64, NodeRef)> = Vec::new();
    for run in &desk.layout.runs {
        for node in run.segments.iter().flat_map(|s| [s.from, s.to]) {
            let (place, live) = match node {
                NodeRef::Output { supply, .. } => (desk.layout.supplies[supply].at, true),
                NodeRef::Junction(j) => (desk.layout.junctions[j].at, solution.junctions[j].volts.is_some()),
                NodeRef::Luminaire(l) => (desk.layout.luminaires[l].at, solution.luminaires[l].node.volts.is_some()),
            };
            if let (Some(place), true) = (place, live)
                && !near.iter().any(|(_, known)| *known == node)
            {
                near.push(((place.x_m - at.x_m).hypot(place.y_m - at.y_m), node));
            }
        }
    }
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    for (_, node) in near.into_iter().take(NEAREST) {
        let touching = desk.layout.runs.iter().find(|run| run.segments.iter().any(|s| s.from == node || s.to == node));
        let Some(like) = touching else { continue };
        let new = desk.free_id(&like.id, &[]);
        let id = &desk.layout.luminaires[luminaire].id;
        let route = vec![node_step(desk, node), RouteStep::Node(id.clone())];
        let summary = format!("lay a run like {} from {} to {id}", like.id, desk.layout.node_name(node));
        let changes = vec![Change::Run { new, like: like.id.clone(), route, lengths_m: None }];
        proposals.extend(desk.proposal(Sort::Feed, summary, changes, None, Vec::new()));
    }
}

/// The run as the plan writes it.
pub(super) fn run_doc<'a>(desk: &'a Desk<'_>, id: &Id) -> Option<&'a RunDoc> {
    let runs = desk.doc.runs.get()?;
    runs.iter().filter_map(|run| run.get()).find(|run| run.id.get() == Some(id))
}

/// The steps of a route from its n-th node on.
fn steps_from(doc: &RunDoc, node: usize) -> Option<Vec<RouteStep>> {
    let steps: Vec<RouteStep> = doc.route.get()?.iter().map(|step| step.cloned()).collect::<Option<_>>()?;
    let is_node = |step: &RouteStep| !matches!(step, RouteStep::Bend(_));
    let at = steps.iter().enumerate().filter(|(_, step)| is_node(step)).nth(node)?.0;
    Some(steps[at..].to_vec())
}

/// The bends of a cable that lies beside the way up to a step: its bends and its nodes, as places.
fn bends_along(desk: &Desk, way: &Way, cut: usize) -> Option<Vec<RouteStep>> {
    let mut bends = Vec::new();
    for (index, step) in way.steps[..=cut].iter().enumerate() {
        let doc = run_doc(desk, &desk.layout.runs[step.run].id)?;
        let steps: Vec<RouteStep> = doc.route.get()?.iter().map(|step| step.cloned()).collect::<Option<_>>()?;
        let mut nodes = 0;
        let mut between = Vec::new();
        for step_of_route in steps {
            match step_of_route {
                // The bends of segment n follow node n.
                RouteStep::Bend(point) if nodes == step.segment + 1 => between.push(RouteStep::Bend(point)),
                RouteStep::Bend(_) => {}
                RouteStep::Node(_) | RouteStep::Output(..) => nodes += 1,
            }
        }
        if !step.forward {
            between.reverse();
        }
        bends.extend(between);
        if index < cut {
            bends.push(RouteStep::Bend(place(desk, step.to)?));
        }
    }
    Some(bends)
}

/// The place of a node in grid units, as the plan writes it.
pub(super) fn place(desk: &Desk, node: NodeRef) -> Option<Point> {
    match node {
        NodeRef::Output { supply, .. } => desk.doc.supplies.get()?.get(supply)?.get()?.at.cloned(),
        NodeRef::Junction(j) => desk.doc.junctions.get()?.get(j)?.get()?.at.cloned(),
        NodeRef::Luminaire(l) => desk.doc.luminaires.get()?.get(l)?.get()?.at.cloned(),
    }
}
