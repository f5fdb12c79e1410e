//! Checks a plan again without some of its parts.

use super::document::Part;
use crate::check::{CheckOptions, PlanReport, check};
use crate::engine::Module;
use crate::plan::field::Span;
use crate::plan::{Loaded, load, load_text};
use crate::repository::Repository;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::sync::OnceLock;

/// Plans that can be tried, each read when it is first needed.
pub(super) struct Trials<'a> {
    repository: &'a Repository,
    plans: &'a [PathBuf],
    modules: &'a [&'a Module],
    options: &'a CheckOptions,
    whole: Vec<OnceLock<Option<Whole>>>,
}

/// A plan with what is answered to all of it.
struct Whole {
    document: Part,
    answer: String,
}

impl<'a> Trials<'a> {
    pub(super) fn new(
        repository: &'a Repository,
        plans: &'a [PathBuf],
        modules: &'a [&'a Module],
        options: &'a CheckOptions,
    ) -> Self {
        let whole = plans.iter().map(|_| OnceLock::new()).collect();
        Self { repository, plans, modules, options, whole }
    }

    /// Whether an answer is another one where something is left out of a plan. A plan that no longer loads is one that
    /// needs it.
    pub(super) fn changes(&self, plan: usize, change: impl Fn(&Part) -> Part) -> bool {
        let Some(whole) = self.whole[plan].get_or_init(|| self.read(plan)) else { return true };
        self.answer(plan, &change(&whole.document)).is_none_or(|answer| answer != whole.answer)
    }

    /// Whether an answer is another one where something else is said in a plan. One that no longer loads says nothing.
    pub(super) fn differs(&self, plan: usize, change: impl Fn(&Part) -> Part) -> bool {
        let Some(whole) = self.whole[plan].get_or_init(|| self.read(plan)) else { return true };
        self.answer(plan, &change(&whole.document)).is_some_and(|answer| answer != whole.answer)
    }

    fn read(&self, plan: usize) -> Option<Whole> {
        let document = Part::whole(&load(self.repository, &self.plans[plan]))?;
        let answer = self.answer(plan, &document)?;
        Some(Whole { document, answer })
    }

    /// Everything that is said of a document but where; `None` where it can't be loaded.
    fn answer(&self, plan: usize, document: &Part) -> Option<String> {
        let loaded = load_text(self.repository, &self.plans[plan], document.text().as_bytes());
        answer(loaded, self.modules, self.options)
    }
}

/// Everything that is said of a plan but where; `None` where it can't be loaded.
pub(super) fn answer(loaded: Loaded, modules: &[&Module], options: &CheckOptions) -> Option<String> {
    loaded.layout.as_ref()?;
    let mut report: PlanReport = check(loaded, modules, options);
    for finding in &mut report.findings {
        finding.span = Span::default();
    }
    // By place before, and places are another text's.
    report
        .findings
        .sort_by(|a, b| (&a.rule, &a.subject, &a.field, &a.message).cmp(&(&b.rule, &b.subject, &b.field, &b.message)));
    let mut answer = String::new();
    let PlanReport { findings, verdicts, assumptions, errors, told, .. } = &report;
    let _ = write!(answer, "{findings:?}{verdicts:?}{assumptions:?}{errors:?}{told:?}");
    Some(answer)
}
