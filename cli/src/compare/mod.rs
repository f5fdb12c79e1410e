//! What a change to plans does to their findings: `lintern compare`.

pub mod markdown;
mod pair;
pub mod side;
pub mod text;

pub use pair::{PlanChange, pair};

use crate::report::document::Document;
use lintern_core::finding::Level;
use serde::Serialize;

/// All changes between two states of the same plans.
#[derive(Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Comparison {
    /// Version of the format.
    pub format: u32,
    /// The program.
    pub tool: crate::report::document::Tool,
    /// The day on which both states were judged.
    pub as_of: String,
    /// The earlier state, as it was named; with its commit.
    pub old: Named,
    /// The later state.
    pub new: Named,
    /// Plans in which something changed, by file.
    pub plans: Vec<PlanChange>,
    /// What could not be done in the later state.
    pub errors: Vec<String>,
    /// What could not be done in the earlier state.
    pub old_errors: Vec<String>,
    /// The counts.
    pub summary: Counts,
    /// Ends every output.
    pub caution: String,
}

/// A state of the plans.
#[derive(Debug, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Named {
    /// As it was named.
    pub name: String,
    /// The commit that it is; null for files.
    pub commit: Option<String>,
    /// Findings that its baselines let be in `check`; here they are compared like all others.
    pub in_baseline: usize,
}

/// Counts over all plans.
#[derive(Debug, Default, Clone, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Plans of both states.
    pub plans: usize,
    /// Plans whose findings differ.
    pub changed: usize,
    /// New findings.
    pub new: usize,
    /// Findings that are worse.
    pub worse: usize,
    /// Findings that are better, and still there.
    pub better: usize,
    /// Findings that are gone.
    pub cured: usize,
    /// Findings that are gone because the rule can't judge them any more.
    pub gone: usize,
    /// Findings that are waived now.
    pub waived: usize,
    /// Findings that are the same.
    pub unchanged: usize,
    /// Rules that judge fewer elements of a plan than before.
    pub unjudged: usize,
    /// Plans and files that could not be checked in the later state.
    pub errors: usize,
}

impl Comparison {
    /// Of two documents.
    pub fn of(old: (Named, &side::State), new: (Named, &side::State)) -> Self {
        let plans = pair(old.1, new.1);
        let mut summary = Counts { plans: plans.len(), errors: new.1.document().summary.errors, ..Counts::default() };
        for plan in &plans {
            summary.changed += usize::from(plan.is_changed());
            summary.new += plan.new.len();
            summary.worse += plan.worse.len();
            summary.better += plan.better.len();
            summary.cured += plan.cured.len();
            summary.gone += plan.gone.len();
            summary.waived += plan.waived.len();
            summary.unchanged += plan.unchanged;
            summary.unjudged += plan.unjudged.len();
        }
        let plans = plans.into_iter().filter(|plan| plan.is_changed() || !plan.moved.is_empty()).collect();
        Self {
            format: 1,
            tool: crate::report::document::Tool::this(),
            as_of: new.1.document().as_of.clone(),
            errors: errors(new.1.document()),
            old_errors: errors(old.1.document()),
            old: old.0,
            new: new.0,
            plans,
            summary,
            caution: crate::output::CAUTION.to_owned(),
        }
    }

    /// Whether something is new or worse at or above a level.
    pub fn fails(&self, least: Level) -> bool {
        self.plans.iter().flat_map(|plan| plan.new.iter().chain(&plan.worse)).any(|change| change.level >= least)
    }
}

fn errors(document: &Document) -> Vec<String> {
    let line = |failure: &crate::report::document::Failure| match failure.place() {
        Some(place) => format!("{place}: {}", failure.message),
        None => failure.message.clone(),
    };
    document.errors.iter().chain(document.plans.iter().flat_map(|plan| &plan.errors)).map(line).collect()
}

/// Says that a change puts findings into the baseline, or takes some out.
pub fn baseline(comparison: &Comparison) -> Option<String> {
    let (was, now) = (comparison.old.in_baseline, comparison.new.in_baseline);
    (was != now).then(|| {
        format!("The baseline, which lets findings be in `lintern check`, had {was} and has {now}; here all count.")
    })
}

/// `2 new, 1 worse, 3 cured, 0 better, 1 waived, 20 unchanged`.
pub fn counts(summary: &Counts) -> String {
    let Counts { new, worse, better, cured, gone, waived, unchanged, .. } = summary;
    let gone = if *gone > 0 { format!(", {gone} no longer judged") } else { String::new() };
    format!("{new} new, {worse} worse, {better} better, {cured} cured{gone}, {waived} waived, {unchanged} unchanged")
}
