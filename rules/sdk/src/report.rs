//! What a rule says of a plan, collected.

use crate::outcome::{AppliedLimit, Finding, Layer, RuleResult, Undetermined, WorkLine};
use crate::{Basis, Code, Level, Limit, Measure, Rule};

/// The answer of one rule, filled while it runs.
#[derive(Debug)]
pub struct Report {
    rule: &'static Rule,
    code: Option<Code>,
    checked: Vec<String>,
    undetermined: Vec<Undetermined>,
    findings: Vec<Finding>,
    /// The limits that were applied, where they are wanted.
    limits: Option<Vec<AppliedLimit>>,
}

impl Report {
    pub(crate) fn new(rule: &'static Rule, code: Option<Code>) -> Self {
        Self { rule, code, checked: Vec::new(), undetermined: Vec::new(), findings: Vec::new(), limits: None }
    }

    /// Keeps the limits that are applied.
    pub(crate) fn with_limits(self) -> Self {
        Self { limits: Some(Vec::new()), ..self }
    }

    /// The limit was applied to the element; `lintern explain RULE --plan PLAN` shows its layers.
    pub fn limit(&mut self, subject: impl Into<String>, limit: &Limit) {
        let Some(limits) = &mut self.limits else { return };
        let applied = limit.applied(subject.into());
        let same = |known: &&mut AppliedLimit| {
            (&known.name, &known.unit, known.governing, &known.layers)
                == (&applied.name, &applied.unit, applied.governing, &applied.layers)
        };
        match limits.iter_mut().find(same) {
            Some(known) => known.subjects.extend(applied.subjects),
            None => limits.push(applied),
        }
    }

    /// The element was checked. Saying it twice, or beside a finding, counts once.
    pub fn checked(&mut self, subject: impl Into<String>) {
        self.checked.push(subject.into());
    }

    /// The element could not be checked for want of these inputs, named as in the plan.
    pub fn undetermined<S: Into<String>>(&mut self, subject: impl Into<String>, missing: impl IntoIterator<Item = S>) {
        let missing = missing.into_iter().map(Into::into).collect();
        self.undetermined.push(Undetermined { subject: subject.into(), missing });
    }

    /// Something is wrong with the element; an empty id means the plan as a whole. End with
    /// [`FindingDraft::add`].
    pub fn finding(&mut self, subject: impl Into<String>) -> FindingDraft<'_> {
        let finding = Finding {
            subject: subject.into(),
            field: String::new(),
            level: None,
            related: Vec::new(),
            message: String::new(),
            measured: None,
            limit: None,
            work: Vec::new(),
            basis: self.rule.basis(self.code).describe(),
            help: String::new(),
        };
        FindingDraft { report: self, finding }
    }

    /// An element counts as checked when it was said to be, or has a finding; one that is
    /// undetermined and has no finding does not.
    pub(crate) fn finish(self) -> RuleResult {
        let Self { rule, mut checked, mut undetermined, findings, limits, .. } = self;
        let mut limits = limits.unwrap_or_default();
        for limit in &mut limits {
            limit.subjects.sort_unstable();
            limit.subjects.dedup();
        }
        merge_by_subject(&mut undetermined);
        checked.retain(|subject| undetermined.binary_search_by(|u| u.subject.cmp(subject)).is_err());
        checked.extend(findings.iter().map(|finding| finding.subject.clone()));
        checked.sort_unstable();
        checked.dedup();
        let checked = u32::try_from(checked.len()).unwrap_or(u32::MAX);
        RuleResult { id: rule.id.to_owned(), checked, undetermined, findings, limits }
    }
}

/// One entry for each subject, sorted, its inputs sorted and without repeats.
fn merge_by_subject(undetermined: &mut Vec<Undetermined>) {
    undetermined.sort_by(|a, b| a.subject.cmp(&b.subject));
    undetermined.dedup_by(|later, kept| {
        let same = later.subject == kept.subject;
        if same {
            kept.missing.append(&mut later.missing);
        }
        same
    });
    for entry in undetermined {
        entry.missing.sort_unstable();
        entry.missing.dedup();
    }
}

/// A finding in the making.
#[derive(Debug)]
#[must_use = "a finding counts only after `.add()`"]
pub struct FindingDraft<'a> {
    report: &'a mut Report,
    finding: Finding,
}

impl FindingDraft<'_> {
    /// Route of the field at fault from the element, such as `feed.breaker` or `type.input.min`.
    pub fn field(mut self, route: impl Into<String>) -> Self {
        self.finding.field = route.into();
        self
    }

    /// Another level than the rule's own.
    pub fn level(mut self, level: Level) -> Self {
        self.finding.level = Some(level);
        self
    }

    /// What is wrong: fact and limit.
    pub fn message(mut self, message: impl Into<String>) -> Self {
        self.finding.message = message.into();
        self
    }

    /// The value at fault.
    pub fn measured(mut self, value: f64, unit: impl Into<String>) -> Self {
        self.finding.measured = Some(Measure { value, unit: unit.into() });
        self
    }

    /// The limit that it breaks.
    pub fn limit(mut self, value: f64, unit: impl Into<String>) -> Self {
        self.finding.limit = Some(Measure { value, unit: unit.into() });
        self
    }

    /// The limit that it breaks, with its source in `work`, and with the authority of the layer that governs. A local
    /// amendment is law, so what would be advice is a violation of it; say [`level`](Self::level) before this.
    pub fn limited_by(mut self, limit: &Limit) -> Self {
        self.finding.limit = Some(Measure { value: limit.value(), unit: limit.unit().to_owned() });
        if limit.layer() == Layer::Local && self.finding.level.unwrap_or(self.report.rule.level) == Level::Advice {
            self.finding.level = Some(Level::Violation);
        }
        if let Some(basis) = limit.basis() {
            self.finding.basis = basis.clone();
        }
        self.work(limit.name(), limit.value(), limit.unit(), limit.source())
    }

    /// One line of the arithmetic: what the number is, the number, its unit, where it comes from.
    pub fn work(
        mut self,
        name: impl Into<String>,
        value: f64,
        unit: impl Into<String>,
        source: impl Into<String>,
    ) -> Self {
        self.finding.work.push(WorkLine { name: name.into(), value, unit: unit.into(), source: source.into() });
        self
    }

    /// What to do.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.finding.help = help.into();
        self
    }

    /// Another authority than the rule's citation for the plan's code.
    pub fn basis(mut self, basis: Basis) -> Self {
        self.finding.basis = basis.describe();
        self
    }

    /// Ids of other elements that matter.
    pub fn related<S: Into<String>>(mut self, ids: impl IntoIterator<Item = S>) -> Self {
        self.finding.related.extend(ids.into_iter().map(Into::into));
        self
    }

    /// Puts the finding into the report.
    pub fn add(self) {
        self.report.findings.push(self.finding);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outcome::Confidence;
    use crate::{Citation, Input, Settings};

    fn nothing(_: &Input, _: &Settings, _: &mut Report) {}

    static RULE: Rule = Rule {
        id: "t/r",
        title: "",
        level: Level::Advice,
        waivable: true,
        settings: &[],
        citations: &[
            Citation::nec(Code::Nec2023, "411.6", Confidence::Confirmed),
            Citation::nec(Code::Nec2020, "411.5", Confidence::Memory),
        ],
        doc: "",
        check: nothing,
    };

    #[test]
    fn an_element_counts_once() {
        let mut report = Report::new(&RULE, None);
        report.checked("a");
        report.checked("a");
        report.finding("a").message("x").add();
        report.finding("a").message("y").add();
        report.checked("b");
        report.checked("c");
        report.undetermined("c", ["cover", "method"]);
        report.undetermined("c", ["cover"]);
        let result = report.finish();
        assert_eq!(result.checked, 2, "a and b; c is undetermined");
        assert_eq!(result.findings.len(), 2);
        let [c] = &result.undetermined[..] else { panic!("one entry for c") };
        assert_eq!(c.missing, ["cover", "method"]);
    }

    #[test]
    fn a_section_from_memory_stays_out_of_findings() {
        let section = |code| {
            let mut report = Report::new(&RULE, code);
            report.finding("a").add();
            report.finish().findings.remove(0).basis
        };
        let confirmed = section(Some(Code::Nec2023));
        assert_eq!((confirmed.edition.as_deref(), confirmed.section.as_deref()), (Some("2023"), Some("411.6")));
        let memory = section(Some(Code::Nec2020));
        assert_eq!((memory.edition.as_deref(), memory.section), (Some("2020"), None));
        assert_eq!(section(Some(Code::Bs7671)).kind, crate::outcome::BasisKind::Practice);
    }
}
