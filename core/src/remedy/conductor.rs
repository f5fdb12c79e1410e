//! A thicker conductor: which size, and on which runs or segments it is enough.

use super::desk::Desk;
use super::goal::Goal;
use super::path::Way;
use super::{Proposal, Sort, types};
use crate::analysis::conductor::larger_sizes;
use crate::analysis::network::{Bench, Tweak};
use crate::analysis::{Case, Solution};
use crate::finding::Finding;
use crate::layout::{CableType, NodeRef};
use crate::plan::scalar::{Conductor, Id};
use crate::whatif::Change;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Sizes above the present one that are tried.
const STEPS: usize = 5;

/// Proposes larger conductors for a luminaire that gets too little, or for a run that carries too much.
pub(super) fn propose(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let layout = desk.layout;
    if let Some(run) = layout.runs.iter().position(|run| run.id.0 == finding.subject) {
        if matches!(finding.rule.as_str(), "loading/overloaded-conductor" | "loading/unprotected-conductor") {
            for step in 0..STEPS {
                proposals.extend(whole_runs(desk, &[run], step, None));
            }
        }
        return;
    }
    let luminaire = match finding.rule.as_str() {
        "voltage/undervoltage" | "voltage/excess-drop" | "voltage/uneven-scene" => &finding.subject,
        // The finding stands on the supply; its last luminaire is that with the longest way.
        "voltage/no-operating-point" => match farthest(desk, &finding.related) {
            Some(id) => &layout.luminaires[id].id.0,
            None => return,
        },
        _ => return,
    };
    let Some(index) = layout.luminaires.iter().position(|l| l.id.0 == *luminaire) else { return };
    let Some(way) = desk.net.way_to(NodeRef::Luminaire(index)) else { return };
    let unsolved = finding.rule == "voltage/no-operating-point";
    let goal = if unsolved { Some(Goal::operating(index)) } else { Goal::of(layout, finding) };
    for (step, thick) in thicker(desk).iter().enumerate() {
        match &goal {
            Some(goal) => {
                for runs in fewest_runs(desk, &way, thick, goal) {
                    proposals.extend(whole_runs(desk, &runs, step, Some(goal)));
                }
                proposals.extend(first_segments(desk, &way, thick, step, goal));
            }
            None => {
                for count in 1..=way.runs().len() {
                    proposals.extend(whole_runs(desk, &way.runs()[..count], step, None));
                }
            }
        }
    }
}

fn farthest(desk: &Desk, ids: &[String]) -> Option<usize> {
    let luminaires = ids.iter().filter_map(|id| desk.layout.luminaires.iter().position(|l| l.id.0 == *id));
    luminaires.max_by_key(|l| desk.net.way_to(NodeRef::Luminaire(*l)).map_or(0, |way| way.steps.len()))
}

/// The network with every cable one size larger, two sizes and so on.
fn thicker<'d>(desk: &'d Desk) -> &'d [Thicker] {
    desk.thicker.get_or_init(|| (0..STEPS).map_while(|step| Thicker::new(desk, step)).collect())
}

/// Whether the goal is met with some resistances changed; false when no more may be tried.
fn met(desk: &Desk, goal: &Goal, tweaks: &[Tweak]) -> bool {
    desk.may_try() && goal.met(&desk.bench.solve(tweaks))
}

/// The resistance of every segment if its cable had a size that is `step` + 1 sizes larger.
pub(super) struct Thicker {
    /// By run and segment, ohm; `None` where there is no such size.
    ohms: Vec<Option<Vec<f64>>>,
}

impl Thicker {
    fn new(desk: &Desk, step: usize) -> Option<Self> {
        let mut layout = desk.layout.clone();
        let mut larger: Vec<bool> = Vec::with_capacity(layout.runs.len());
        for run in &mut layout.runs {
            let size = larger_size(&run.cable, step);
            larger.push(size.is_some());
            if let Some(size) = size {
                run.cable = Arc::new(types::cable_in_size(desk, &run.cable, size).0);
            }
        }
        larger.contains(&true).then(|| {
            let bench = Bench::new(&layout, Case::Judged);
            let ohms = bench.base().segments.iter().zip(larger);
            Self { ohms: ohms.map(|(run, is)| is.then(|| run.iter().map(|s| s.ohms).collect())).collect() }
        })
    }

    fn tweak(&self, run: usize, segment: usize) -> Option<Tweak> {
        let ohms = *self.ohms.get(run)?.as_ref()?.get(segment)?;
        Some(Tweak::Ohms { run, segment, ohms })
    }

    fn run(&self, run: usize) -> Vec<Tweak> {
        let segments = self.ohms.get(run).and_then(Option::as_ref).map_or(0, Vec::len);
        (0..segments).filter_map(|segment| self.tweak(run, segment)).collect()
    }
}

/// The size that is `step` + 1 sizes larger.
fn larger_size(cable: &CableType, step: usize) -> Option<Conductor> {
    larger_sizes(cable.conductor?, cable.stranding).get(step).copied()
}

/// The smallest sets of whole runs on the way that meet the goal: each single run that does, or else the runs that
/// save most, without those that are not needed.
fn fewest_runs(desk: &Desk, way: &Way, thick: &Thicker, goal: &Goal) -> Vec<Vec<usize>> {
    let met = |runs: &[usize]| {
        let tweaks: Vec<Tweak> = runs.iter().flat_map(|run| thick.run(*run)).collect();
        met(desk, goal, &tweaks)
    };
    let runs = way.runs();
    // Mostly all runs together are not enough in the smaller sizes.
    if !met(&runs) {
        return Vec::new();
    }
    let single: Vec<Vec<usize>> = runs.iter().map(|run| vec![*run]).filter(|run| met(run)).collect();
    if !single.is_empty() {
        return single;
    }
    let mut by_saving = runs;
    by_saving
        .sort_by(|a, b| saved_volts(desk.solution(), thick, *b).total_cmp(&saved_volts(desk.solution(), thick, *a)));
    let Some(enough) = (2..=by_saving.len()).find(|count| met(&by_saving[..*count])) else { return Vec::new() };
    let mut needed = by_saving[..enough].to_vec();
    for run in by_saving[..enough].iter().rev() {
        let without: Vec<usize> = needed.iter().copied().filter(|other| other != run).collect();
        if met(&without) {
            needed = without;
        }
    }
    vec![needed]
}

/// Volts that a run would save at its present currents.
fn saved_volts(solution: &Solution, thick: &Thicker, run: usize) -> f64 {
    let saved = |tweak: Tweak| match tweak {
        Tweak::Ohms { run, segment, ohms } => {
            let now = &solution.segments[run][segment];
            now.amps.unwrap_or(0.0).abs() * (now.ohms - ohms)
        }
        Tweak::Length { .. } | Tweak::Volts { .. } | Tweak::Load { .. } => 0.0,
    };
    thick.run(run).into_iter().map(saved).sum()
}

/// The first segments of the way, which carry most, as far as is needed, whichever way their runs are drawn.
fn first_segments(desk: &Desk, way: &Way, thick: &Thicker, step: usize, goal: &Goal) -> Option<Proposal> {
    let tweaks: Vec<Tweak> = way.steps.iter().map_while(|step| thick.tweak(step.run, step.segment)).collect();
    // More segments in the larger size help more, so the least number is bracketed.
    let (mut short, mut enough) = (0, tweaks.len());
    if !met(desk, goal, &tweaks) {
        return None;
    }
    while enough - short > 1 {
        let middle = usize::midpoint(short, enough);
        match met(desk, goal, &tweaks[..middle]) {
            true => enough = middle,
            false => short = middle,
        }
    }
    let mut changes = Vec::new();
    let mut summary = Vec::new();
    let mut sizes = Sizes::default();
    let mut taken = Vec::new();
    for run in way.runs() {
        let on_way = way.steps[..enough].iter().filter(|step| step.run == run).map(|step| step.segment);
        let (Some(first), Some(last)) = (on_way.clone().min(), on_way.clone().max()) else { continue };
        // A way that leaves a run and comes back to it takes no one piece of it.
        if on_way.count() != last + 1 - first {
            return None;
        }
        let cable = &desk.layout.runs[run];
        let (name, size) = sizes.of(desk, &cable.cable, step, &mut changes)?;
        let thick = piece(desk, &cable.id, first, last + 1, cable.segments.len(), &mut taken, &mut changes);
        changes.push(Change::Cable { run: thick, cable: name });
        let ends = (cable.segments[first].from, cable.segments[last].to);
        let (from, to) = (desk.layout.node_name(ends.0), desk.layout.node_name(ends.1));
        summary.push(format!("lay {} from {from} to {to} in {size}", cable.id));
    }
    desk.proposal(Sort::Conductor, summary.join(", and "), changes, Some(goal), Vec::new())
}

/// Makes the segments from `first` up to `end` of a run a run of its own; gives its id.
fn piece(
    desk: &Desk,
    run: &Id,
    first: usize,
    end: usize,
    segments: usize,
    taken: &mut Vec<Id>,
    changes: &mut Vec<Change>,
) -> Id {
    let mut cut = |segments: usize| {
        let new = desk.free_id(run, taken);
        taken.push(new.clone());
        changes.push(Change::Split { run: run.clone(), segments, new: new.clone() });
        new
    };
    if end < segments {
        cut(end);
    }
    if first > 0 { cut(first) } else { run.clone() }
}

/// Whole runs in a larger size.
fn whole_runs(desk: &Desk, runs: &[usize], step: usize, goal: Option<&Goal>) -> Option<Proposal> {
    let mut changes = Vec::new();
    let mut summary = Vec::new();
    let mut sizes = Sizes::default();
    for &run in runs {
        let cable = &desk.layout.runs[run];
        let (name, size) = sizes.of(desk, &cable.cable, step, &mut changes)?;
        changes.push(Change::Cable { run: cable.id.clone(), cable: name });
        let was = cable.cable.conductor.map(|size| format!(" instead of {size}")).unwrap_or_default();
        summary.push(format!("lay {} in {size}{was}", cable.id));
    }
    desk.proposal(Sort::Conductor, summary.join(", and "), changes, goal, Vec::new())
}

/// Types in the new size that a proposal has named so far.
#[derive(Default)]
struct Sizes {
    known: BTreeMap<Id, (Id, Conductor)>,
}

impl Sizes {
    /// The type like a cable's in the larger size; the change that adds it is put in front once.
    fn of(
        &mut self,
        desk: &Desk,
        cable: &CableType,
        step: usize,
        changes: &mut Vec<Change>,
    ) -> Option<(Id, Conductor)> {
        if let Some(known) = self.known.get(&cable.name) {
            return Some(known.clone());
        }
        let size = larger_size(cable, step)?;
        let (kind, addition) = types::cable_in_size(desk, cable, size);
        changes.splice(0..0, addition);
        self.known.insert(cable.name.clone(), (kind.name.clone(), size));
        Some((kind.name, size))
    }
}
