//! The plan on the desk: what proposals are made from, and how one is verified.

use super::conductor::Thicker;
use super::goal::Goal;
use super::path::Net;
use super::{Cost, Cure, Effort, Key, Proposal, Sort};
use crate::analysis::network::{Bench, solve};
use crate::analysis::site::{self, SiteFacts};
use crate::analysis::{Case, Solution};
use crate::check::{CheckOptions, PlanReport, Telling, check_telling};
use crate::engine::Module;
use crate::finding::{Finding, Level, WorkLine};
use crate::layout::Layout;
use crate::plan::scalar::Id;
use crate::plan::{Loaded, model::PlanDoc};
use crate::repository::Repository;
use crate::whatif::{Change, with_changes};
use std::cell::{Cell, OnceCell};
use std::collections::{BTreeMap, BTreeSet};

/// Elements that a plan may have for the full number of checks; a larger one gets as many less.
const SMALL_PLAN: usize = 60;

/// What proposals are made from.
pub(super) struct Desk<'a> {
    repository: &'a Repository,
    report: &'a PlanReport,
    modules: &'a [&'a Module],
    options: &'a CheckOptions,
    pub(super) layout: &'a Layout,
    pub(super) doc: PlanDoc,
    pub(super) bench: Bench<'a>,
    pub(super) site: SiteFacts,
    pub(super) net: Net,
    /// The network with every cable one size larger, two sizes and so on, worked out when it is first asked for.
    pub(super) thicker: OnceCell<Vec<Thicker>>,
    /// Checks that were made, and what came of each text: what it cures, and what can't be judged then.
    checks: usize,
    most_checks: usize,
    checked: BTreeMap<String, Option<Checked>>,
    /// Proposals that were made, and networks that were solved for them.
    tries: Cell<usize>,
    most_tries: usize,
}

/// What a changed plan cures, and the rules that can judge less then.
type Checked = (Vec<Key>, Vec<String>);

/// Proposals and solved networks that may be spent for each check.
const TRIES_PER_CHECK: usize = 12;

/// Why a proposal is not offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Refused {
    /// It does not cure the finding, or raises another one.
    Fails,
    /// The checks that may be spent on the plan are spent.
    Stopped,
}

impl<'a> Desk<'a> {
    /// Of a plan that could be loaded and checked.
    pub(super) fn new(
        repository: &'a Repository,
        report: &'a PlanReport,
        modules: &'a [&'a Module],
        options: &'a CheckOptions,
        effort: Effort,
    ) -> Option<Self> {
        let layout = report.loaded.layout.as_ref()?;
        let elements: usize = layout.luminaires.len() + layout.runs.iter().map(|run| run.segments.len()).sum::<usize>();
        Some(Self {
            repository,
            report,
            modules,
            options,
            layout,
            doc: report.loaded.doc()?,
            bench: Bench::new(layout, Case::Judged),
            site: site::locate(layout).unwrap_or_else(|_| SiteFacts::unplaced(layout)),
            net: Net::new(layout),
            thicker: OnceCell::new(),
            checks: 0,
            most_checks: effort.checks * SMALL_PLAN / elements.max(SMALL_PLAN),
            checked: BTreeMap::new(),
            tries: Cell::new(0),
            most_tries: effort.checks * SMALL_PLAN / elements.max(SMALL_PLAN) * TRIES_PER_CHECK,
        })
    }

    /// Checks that were made.
    pub(super) fn checks(&self) -> usize {
        self.checks
    }

    /// Proposals that were made and networks that were solved.
    pub(super) fn tries(&self) -> usize {
        self.tries.get()
    }

    /// Whether no more proposals may be made.
    pub(super) fn is_spent(&self) -> bool {
        self.tries.get() >= self.most_tries
    }

    /// Counts one try; false when no more may be made.
    pub(super) fn may_try(&self) -> bool {
        let may = !self.is_spent();
        self.tries.set(self.tries.get() + usize::from(may));
        may
    }

    /// The plan as it is.
    pub(super) fn loaded(&self) -> &'a Loaded {
        &self.report.loaded
    }

    /// Whether the report has a finding of a rule on an element.
    pub(super) fn has_finding(&self, rule: &str, subject: &str) -> bool {
        self.report.findings.iter().any(|finding| finding.rule == rule && finding.subject == subject)
    }

    /// The network as it is.
    pub(super) fn solution(&self) -> &Solution {
        self.bench.base()
    }

    /// The plan with changes.
    pub(super) fn with(&self, changes: &[Change]) -> Option<Loaded> {
        with_changes(self.repository, self.loaded(), changes).ok()
    }

    /// Makes a proposal of changes, if they can be made and `goal` is met by them.
    pub(super) fn proposal(
        &self,
        sort: Sort,
        summary: String,
        mut changes: Vec<Change>,
        goal: Option<&Goal>,
        mut work: Vec<WorkLine>,
    ) -> Option<Proposal> {
        if !self.may_try() {
            return None;
        }
        let mut loaded = self.with(&changes)?;
        let spare = spare_covers(&changes, loaded.layout.as_ref()?);
        if !spare.is_empty() {
            changes.extend(spare);
            loaded = self.with(&changes)?;
        }
        let layout = loaded.layout.as_ref()?;
        let solution = solve(layout, Case::Judged);
        if let Some(goal) = goal {
            if !goal.met(&solution) {
                return None;
            }
            work.splice(0..0, goal.work(self.layout, self.solution(), &solution));
        }
        work.extend(self.changed_loops(layout, &solution));
        let cost = Cost::of(self.layout, layout, &changes);
        let text = crate::whatif::changed_text(self.loaded(), &changes).ok()?;
        Some(Proposal { sort, summary, changes, cost, work, text })
    }

    /// Loops of the plan that have another resistance after a change, with both resistances.
    fn changed_loops(&self, after: &Layout, solution: &Solution) -> Vec<WorkLine> {
        let loops = |layout: &Layout, solution: &Solution| {
            let segments =
                layout.runs.iter().zip(&solution.segments).flat_map(|(run, states)| run.segments.iter().zip(states));
            let named = segments.map(|(s, state)| ((layout.node_name(s.from), layout.node_name(s.to)), state.ohms));
            named.collect::<BTreeMap<(String, String), f64>>()
        };
        let then = loops(after, solution);
        let mut work = Vec::new();
        for (run, states) in self.layout.runs.iter().zip(&self.solution().segments) {
            for (segment, state) in run.segments.iter().zip(states) {
                let ends = (self.layout.node_name(segment.from), self.layout.node_name(segment.to));
                let Some(&ohms) = then.get(&ends).filter(|ohms| **ohms != state.ohms) else { continue };
                let name = format!("loop of {} from {} to {}", run.id, ends.0, ends.1);
                work.push(super::line(format!("{name} now"), state.ohms, "ohm", "plan"));
                work.push(super::line(format!("{name} then"), ohms, "ohm", "the changed plan"));
            }
        }
        work
    }

    /// Checks a proposal with all rules.
    pub(super) fn verify(&mut self, proposal: &Proposal) -> Result<Cure, Refused> {
        let outcome = match self.checked.get(&proposal.text) {
            Some(outcome) => outcome.clone(),
            None if self.checks >= self.most_checks => return Err(Refused::Stopped),
            None => {
                self.checks += 1;
                let loaded = self.with(&proposal.changes).ok_or(Refused::Fails)?;
                let outcome =
                    self.cured(&check_telling(loaded, self.modules, self.options, Telling::Nothing), &proposal.changes);
                self.checked.insert(proposal.text.clone(), outcome.clone());
                outcome
            }
        };
        let (cures, unsure) = outcome.ok_or(Refused::Fails)?;
        let Proposal { sort, summary, changes, cost, work, text } = proposal.clone();
        Ok(Cure { sort, summary, changes, cures, cost, work, unsure, text })
    }

    /// The findings that are gone, and the rules that can judge less; `None` where there is a new or a graver finding,
    /// or where a finding is gone only because its rule can judge less.
    fn cured(&self, after: &PlanReport, changes: &[Change]) -> Option<Checked> {
        let origins = origins(changes);
        let origin = |key: &mut Key| {
            if let Some(origin) = origins.get(&key.subject) {
                key.subject.clone_from(origin);
            }
        };
        let mut before_levels: BTreeMap<Key, Level> = BTreeMap::new();
        for finding in unwaived(self.report) {
            let level = before_levels.entry(Key::of(finding)).or_insert(finding.level);
            *level = finding.level.max(*level);
        }
        let mut after_keys = BTreeSet::new();
        for finding in unwaived(after) {
            let mut key = Key::of(finding);
            // A new element may have the reminders of the element that it is like: they are no news.
            if finding.level == Level::Reminder {
                origin(&mut key);
            }
            if before_levels.get(&key).is_none_or(|was| finding.level > *was) {
                return None;
            }
            after_keys.insert(key);
        }
        if after.errors.len() > self.report.errors.len() {
            return None;
        }
        let gone = unwaived(self.report).map(Key::of);
        let mut seen = BTreeSet::new();
        let gone: Vec<Key> = gone.filter(|key| !after_keys.contains(key) && seen.insert(key.clone())).collect();
        // Of a rule whose finding is gone no element may be left that it can no longer judge.
        let undetermined = |report: &PlanReport, rule: &str| report.verdicts.get(rule).map(|v| v.undetermined);
        let hidden = gone.iter().any(|key| undetermined(after, &key.rule) > undetermined(self.report, &key.rule));
        (!hidden).then(|| (gone, self.unsure(after, origins.len())))
    }

    /// Rules that can judge fewer elements than before. A new element may lack what the element lacks that it is like.
    fn unsure(&self, after: &PlanReport, new_elements: usize) -> Vec<String> {
        let mut unsure = Vec::new();
        for (rule, verdict) in &after.verdicts {
            let before = self.report.verdicts.get(rule);
            let was = before.map_or(0, |before| before.undetermined);
            let allowed = if was > 0 { was + new_elements as u32 } else { 0 };
            if verdict.undetermined > allowed.max(was) {
                let missing = verdict.missing.join("; ");
                let more = elements(verdict.undetermined - was);
                unsure.push(format!("{rule} can't judge {more} then, for want of {missing}"));
            }
        }
        unsure
    }

    /// An id that is not taken, like another one.
    pub(super) fn free_id(&self, like: &Id, taken: &[Id]) -> Id {
        let mut number = 2_usize;
        loop {
            let id = Id(format!("{like}-{number}"));
            if self.loaded().element_kind(&id.0).is_none() && !taken.contains(&id) {
                return id;
            }
            number += 1;
        }
    }
}

fn unwaived(report: &PlanReport) -> impl Iterator<Item = &Finding> {
    report.findings.iter().filter(|finding| finding.waived.is_none())
}

fn elements(count: u32) -> String {
    if count == 1 { "1 element more".to_owned() } else { format!("{count} elements more") }
}

/// For each new element the one it is like.
fn origins(changes: &[Change]) -> BTreeMap<String, String> {
    let mut origins: BTreeMap<String, String> = BTreeMap::new();
    for change in changes {
        let (new, like) = match change {
            Change::Split { new, run, .. } => (new, run),
            Change::Run { new, like, .. } | Change::SupplyBeside { new, like } => (new, like),
            _ => continue,
        };
        let origin = origins.get(&like.0).unwrap_or(&like.0).clone();
        origins.insert(new.0.clone(), origin);
    }
    origins
}

/// Exceptions by zone that runs with another route no longer meet.
fn spare_covers(changes: &[Change], after: &Layout) -> Vec<Change> {
    let mut rerouted: BTreeSet<&Id> = BTreeSet::new();
    for change in changes {
        match change {
            Change::Split { run, new, .. } => rerouted.extend([run, new]),
            Change::Run { new: run, .. }
            | Change::Shorten { run, .. }
            | Change::Route { run, .. }
            | Change::End { run, .. } => {
                rerouted.insert(run);
            }
            _ => {}
        }
    }
    if rerouted.is_empty() {
        return Vec::new();
    }
    let Ok(facts) = site::locate(after) else { return Vec::new() };
    let mut spare = Vec::new();
    for (run, places) in after.runs.iter().zip(&facts.runs).filter(|(run, _)| rerouted.contains(&run.id)) {
        let mut crossed = BTreeSet::new();
        for segment in places {
            match segment {
                site::SegmentPlaces::Unplaced => crossed.extend(0..after.zones.len()),
                site::SegmentPlaces::Pieces(pieces) => {
                    crossed.extend(pieces.iter().flat_map(|p| p.zones.iter().copied()))
                }
            }
        }
        let kept = run.covers.iter().enumerate().filter(|(_, cover)| crossed.contains(&cover.zone)).map(|(i, _)| i);
        let keep: Vec<usize> = kept.collect();
        if keep.len() < run.covers.len() {
            spare.push(Change::Covers { run: run.id.clone(), keep });
        }
    }
    spare
}
