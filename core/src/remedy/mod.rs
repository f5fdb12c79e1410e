//! What would cure a finding: the smallest real change to the plan, found by trying.
//!
//! Each topic proposes changes, the cheapest first; each proposal is made in the text of the plan, and the whole
//! changed plan is checked again with all rules. A change that raises another finding, or that passes only because
//! something could no longer be checked, is not offered. What is offered is therefore what the rules themselves
//! accept, and `apply` writes the very text that was checked.

mod conductor;
mod cost;
mod desk;
mod detour;
mod feed;
mod field;
mod goal;
mod output;
mod path;
mod supply;
mod types;

pub use cost::Cost;

use crate::check::{CheckOptions, PlanReport};
use crate::engine::Module;
use crate::finding::{Finding, WorkLine};
use crate::layout::Layout;
use crate::repository::Repository;
use crate::whatif::Change;
use desk::Desk;
use std::collections::BTreeMap;

/// A finding as it is told from others.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// Id of the rule.
    pub rule: String,
    /// Id of the element.
    pub subject: String,
    /// The field.
    pub field: String,
}

impl Key {
    /// Of a finding.
    pub fn of(finding: &Finding) -> Self {
        Self { rule: finding.rule.clone(), subject: finding.subject.clone(), field: finding.field.clone() }
    }
}

/// The sort of a change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sort {
    /// A thicker conductor.
    Conductor,
    /// Another output of the same supply.
    Output,
    /// A feed of its own for the far part of a run, straight.
    Feed,
    /// The same in the trench that is there.
    FeedBeside,
    /// A star instead of a chain.
    Star,
    /// A supply with another rating.
    Rating,
    /// The load on two supplies.
    Split,
    /// A number that is set to its limit.
    Number,
    /// Conduit instead of cable laid bare.
    Conduit,
    /// Another route or another place.
    Place,
}

/// A change that cures findings and raises none, checked with all rules.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// Its sort.
    pub sort: Sort,
    /// What to do, in one line.
    pub summary: String,
    /// The changes.
    pub changes: Vec<Change>,
    /// The findings that are gone then, in the order of the report.
    pub cures: Vec<Key>,
    /// What it takes.
    pub cost: Cost,
    /// The arithmetic.
    pub work: Vec<WorkLine>,
    /// Rules that can judge fewer elements then, with what they miss.
    pub unsure: Vec<String>,
    /// The changed plan.
    pub text: String,
}

/// A finding for which nothing was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Uncured {
    /// The finding.
    pub finding: Key,
    /// Why there is no cure.
    pub reason: NoCure,
}

/// Why no cure is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoCure {
    /// No change is computed for findings of this sort.
    NotComputed,
    /// This many changes were tried: none cured it without raising another finding.
    NoneHelps(usize),
    /// The search was stopped, to bound the work on one plan, after this many changes.
    Stopped(usize),
}

/// How far to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Whether a cure of each sort is looked for, for each finding, and not the smallest alone.
    pub each_sort: bool,
    /// Whole checks of a small plan that may be spent; a plan of many elements gets fewer.
    pub checks: usize,
}

impl Effort {
    /// One cure for each finding, beside a check.
    pub const BRIEF: Self = Self { each_sort: false, checks: 24 };
    /// A cure of each sort for each finding.
    pub const THOROUGH: Self = Self { each_sort: true, checks: 240 };
}

/// What was found for a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Remedies {
    /// Cures: the least cable first, then the least trench, then the fewest changed parts.
    pub cures: Vec<Cure>,
    /// The findings without one.
    pub uncured: Vec<Uncured>,
    /// Whole checks that were made.
    pub checks: usize,
    /// For each finding with a cure the smallest, by its index.
    smallest: BTreeMap<Key, usize>,
}

impl Remedies {
    /// Findings for which the search was stopped before anything was found.
    pub fn left_out(&self) -> usize {
        self.uncured.iter().filter(|uncured| matches!(uncured.reason, NoCure::Stopped(_))).count()
    }

    /// The smallest cure of a finding.
    pub fn smallest(&self, finding: &Finding) -> Option<&Cure> {
        self.cures.get(*self.smallest.get(&Key::of(finding))?)
    }
}

/// Looks for the smallest cure of each finding of a report, keeps what was found and says it in the helps.
pub fn attach(repository: &Repository, report: &mut PlanReport, modules: &[&Module], options: &CheckOptions) {
    let remedies = search(repository, report, modules, options, Effort::BRIEF, &|_| true);
    let feet = report.loaded.layout.as_ref().is_some_and(Layout::is_in_feet);
    for finding in &mut report.findings {
        if let Some(cure) = remedies.smallest(finding).filter(|_| finding.waived.is_none()) {
            let cost = cure.cost.phrase(feet);
            finding
                .help
                .push_str(&format!(". The smallest cure found, checked with all rules: {} ({cost})", cure.summary));
        }
    }
    report.remedies = Some(remedies);
}

/// Looks for cures of the findings of a checked plan that are not waived, of the rules that are `wanted`.
pub fn search(
    repository: &Repository,
    report: &PlanReport,
    modules: &[&Module],
    options: &CheckOptions,
    effort: Effort,
    wanted: &dyn Fn(&str) -> bool,
) -> Remedies {
    search_for(repository, report, modules, options, effort, &|finding| wanted(&finding.rule))
}

/// Looks for cures of the findings of a checked plan that are not waived and that are `wanted`.
pub fn search_for(
    repository: &Repository,
    report: &PlanReport,
    modules: &[&Module],
    options: &CheckOptions,
    effort: Effort,
    wanted: &dyn Fn(&Finding) -> bool,
) -> Remedies {
    let Some(mut desk) = Desk::new(repository, report, modules, options, effort) else { return Remedies::default() };
    // By the changed text: one change may cure many findings.
    let mut cures: BTreeMap<String, Cure> = BTreeMap::new();
    let mut remedies = Remedies::default();
    let mut findings: Vec<&Finding> = report.findings.iter().filter(|f| f.waived.is_none() && wanted(f)).collect();
    // What cures the worst of a circuit mostly cures the others, so that the work that may be spent reaches far.
    findings.sort_by(|a, b| excess(b).total_cmp(&excess(a)));
    for finding in findings {
        if let Err(reason) = cure_one(&mut desk, finding, effort.each_sort, &mut cures) {
            remedies.uncured.push(Uncured { finding: Key::of(finding), reason });
        }
    }
    let place: BTreeMap<Key, usize> = report.findings.iter().enumerate().rev().map(|(i, f)| (Key::of(f), i)).collect();
    remedies.uncured.sort_by_key(|uncured| place.get(&uncured.finding).copied());
    let mut ranked: Vec<Cure> = cures.into_values().collect();
    ranked.sort_by(|a, b| {
        let unsure = |cure: &Cure| !cure.unsure.is_empty();
        let by_cost = a.cost.total_cmp(&b.cost);
        by_cost.then_with(|| unsure(a).cmp(&unsure(b))).then_with(|| a.summary.cmp(&b.summary))
    });
    for cure in ranked {
        // One that takes more and cures no more than another of its sort is no choice.
        let more = |other: &Cure| other.sort == cure.sort && cure.cures.iter().all(|key| other.cures.contains(key));
        if !remedies.cures.iter().any(more) {
            remedies.cures.push(cure);
        }
    }
    for (index, cure) in remedies.cures.iter().enumerate() {
        for key in &cure.cures {
            remedies.smallest.entry(key.clone()).or_insert(index);
        }
    }
    // A cure that came later may cure what none was found for.
    remedies.uncured.retain(|uncured| !remedies.smallest.contains_key(&uncured.finding));
    remedies.checks = desk.checks();
    remedies
}

/// How far a number is beyond its limit, as a share of it.
fn excess(finding: &Finding) -> f64 {
    match (&finding.measured, &finding.limit) {
        (Some(measured), Some(limit)) if limit.value != 0.0 => ((measured.value - limit.value) / limit.value).abs(),
        _ => 0.0,
    }
}

/// Finds the smallest cures of one finding.
fn cure_one(
    desk: &mut Desk,
    finding: &Finding,
    each_sort: bool,
    cures: &mut BTreeMap<String, Cure>,
) -> Result<(), NoCure> {
    if desk.is_spent() {
        return Err(NoCure::Stopped(0));
    }
    let tried_before = desk.tries();
    let mut proposals = propose(desk, finding);
    let tried = desk.tries() - tried_before;
    if proposals.is_empty() {
        return Err(match (desk.is_spent(), tried) {
            (true, _) => NoCure::Stopped(tried),
            (false, 0) => NoCure::NotComputed,
            (false, _) => NoCure::NoneHelps(tried),
        });
    }
    proposals.sort_by(|a, b| a.cost.total_cmp(&b.cost).then_with(|| a.summary.cmp(&b.summary)));
    let key = Key::of(finding);
    let mut found: Vec<Sort> = Vec::new();
    for proposal in proposals {
        // Of conductors a few, since a thicker trunk may cure the findings of several branches.
        let wanted = if proposal.sort == Sort::Conductor { CONDUCTORS } else { 1 };
        let enough = found.iter().filter(|sort| **sort == proposal.sort).count() >= wanted;
        if enough || (!each_sort && !found.is_empty()) {
            continue;
        }
        if let Some(cure) = cures.get_mut(&proposal.text).filter(|cure| cure.cures.contains(&key)) {
            // What it does for this finding stands beside what it does for the others.
            let more: Vec<WorkLine> = proposal.work.into_iter().filter(|line| !cure.work.contains(line)).collect();
            cure.work.extend(more);
            found.push(proposal.sort);
            continue;
        }
        match desk.verify(&proposal) {
            Ok(cure) if cure.cures.contains(&key) => {
                found.push(cure.sort);
                cures.insert(cure.text.clone(), cure);
            }
            Ok(_) | Err(desk::Refused::Fails) => {}
            Err(desk::Refused::Stopped) => {
                return if found.is_empty() { Err(NoCure::Stopped(tried)) } else { Ok(()) };
            }
        }
    }
    if found.is_empty() { Err(NoCure::NoneHelps(tried)) } else { Ok(()) }
}

/// A change that may cure a finding, made but not yet checked with all rules.
#[derive(Debug, Clone)]
struct Proposal {
    sort: Sort,
    summary: String,
    changes: Vec<Change>,
    cost: Cost,
    work: Vec<WorkLine>,
    text: String,
}

fn propose(desk: &Desk, finding: &Finding) -> Vec<Proposal> {
    let mut proposals = Vec::new();
    conductor::propose(desk, finding, &mut proposals);
    output::propose(desk, finding, &mut proposals);
    feed::propose(desk, finding, &mut proposals);
    supply::propose(desk, finding, &mut proposals);
    field::propose(desk, finding, &mut proposals);
    detour::propose(desk, finding, &mut proposals);
    proposals
}

/// Thicker conductors that are offered for one finding, where each sort of cure is asked for.
const CONDUCTORS: usize = 3;

/// One line of arithmetic.
fn line(name: impl Into<String>, value: f64, unit: &str, from: &str) -> WorkLine {
    WorkLine { name: name.into(), value, unit: unit.to_owned(), from: from.to_owned() }
}
