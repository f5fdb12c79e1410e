//! What a rule says of a plan, collected.

use crate::comparison::Comparison;
use crate::outcome::{AppliedLimit, Finding, Layer, Margin, RuleRequest, RuleResult, Undetermined, WorkLine};
use crate::told::Told;
use crate::{Basis, Code, Level, Limit, Measure, Rule};
use foldhash::fast::FixedState;
use std::collections::HashSet;

/// The answer of one rule, filled while it runs.
#[derive(Debug)]
pub struct Report {
    rule: &'static Rule,
    code: Option<Code>,
    /// The elements that were checked, one after the other.
    checked: String,
    /// Where each of them ends.
    ends: Vec<usize>,
    /// Where the last of them begins.
    last: usize,
    undetermined: Vec<Undetermined>,
    findings: Vec<Finding>,
    /// The limits that were applied, where they are wanted.
    limits: Option<Vec<AppliedLimit>>,
    /// What was compared with limits, as far as it is wanted.
    told: Told,
}

impl Report {
    pub(crate) fn new(rule: &'static Rule, code: Option<Code>, request: &RuleRequest) -> Self {
        Self {
            rule,
            code,
            checked: String::new(),
            ends: Vec::new(),
            last: 0,
            undetermined: Vec::new(),
            findings: Vec::new(),
            limits: request.wants_limits.then(Vec::new),
            told: Told::wanted(request),
        }
    }

    /// The limit was applied to the element; `lintern explain RULE --plan PLAN` shows its layers. [`passes`](Self::passes)
    /// and [`breaks`](FindingDraft::breaks) say it too.
    pub fn limit(&mut self, subject: impl Into<String>, limit: &Limit) {
        if self.limits.is_some() && limit.has_layers() {
            self.applied(limit.applied(subject.into()));
        }
    }

    #[inline(never)]
    fn applied(&mut self, applied: AppliedLimit) {
        let Some(limits) = &mut self.limits else { return };
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
    pub fn checked(&mut self, subject: impl AsRef<str>) {
        let subject = subject.as_ref();
        // A run that is looked at stretch by stretch is said again and again.
        if !self.ends.is_empty() && self.checked.get(self.last..) == Some(subject) {
            return;
        }
        self.last = self.checked.len();
        self.checked.push_str(subject);
        self.ends.push(self.checked.len());
    }

    /// The element was checked and keeps the limit: the comparison decided that. One that other things excuse, or whose
    /// verdict is open, is none of these.
    pub fn passes(&mut self, subject: impl AsRef<str>, comparison: &Comparison) {
        let subject = subject.as_ref();
        self.limit(subject, comparison.limit());
        self.told.passes(subject, comparison);
        self.checked(subject);
    }

    /// The element breaks the limit, and a finding on another element speaks for it.
    pub fn also_breaks(&mut self, subject: impl AsRef<str>, comparison: &Comparison) {
        let subject = subject.as_ref();
        self.limit(subject, comparison.limit());
        self.told.fails(|| comparison.margin(subject.to_owned(), false));
        self.checked(subject);
    }

    /// The element could not be checked for want of these inputs, named as in the plan.
    #[inline(never)]
    pub fn undetermined<S: Into<String>>(&mut self, subject: impl Into<String>, missing: impl IntoIterator<Item = S>) {
        let missing = missing.into_iter().map(Into::into).collect();
        self.undetermined.push(Undetermined { subject: subject.into(), missing });
    }

    /// Something is wrong with the element; an empty id means the plan as a whole. End with
    /// [`FindingDraft::add`].
    #[inline(never)]
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
        FindingDraft { report: self, made: Box::new(Made { finding, margin: None }) }
    }

    /// An element counts as checked when it was said to be, or has a finding; one that is
    /// undetermined and has no finding does not. `None` where more has to be told than was kept.
    pub(crate) fn finish(self) -> Option<RuleResult> {
        let Self { rule, checked, ends, mut undetermined, findings, limits, told, .. } = self;
        let margins = told.finish()?;
        let mut limits = limits.unwrap_or_default();
        for limit in &mut limits {
            limit.subjects.sort_unstable();
            limit.subjects.dedup();
        }
        merge_by_subject(&mut undetermined);
        // Only counted, so the order of the set means nothing.
        let mut counted: HashSet<&str, FixedState> =
            HashSet::with_capacity_and_hasher(ends.len(), FixedState::default());
        let starts = std::iter::once(0).chain(ends.iter().copied());
        counted.extend(starts.zip(&ends).filter_map(|(start, end)| checked.get(start..*end)));
        for entry in &undetermined {
            counted.remove(entry.subject.as_str());
        }
        counted.extend(findings.iter().map(|finding| finding.subject.as_str()));
        let checked = u32::try_from(counted.len()).unwrap_or(u32::MAX);
        Some(RuleResult { id: rule.id.to_owned(), checked, undetermined, findings, limits, margins })
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
    /// Boxed, as a draft is handed on with each of its parts.
    made: Box<Made>,
}

#[derive(Debug)]
struct Made {
    finding: Finding,
    /// What the finding rests on.
    margin: Option<Margin>,
}

// Out of line, as are other things that most rules say: each rule uses many of them, and a tenth of the code of
// a module was theirs.
impl FindingDraft<'_> {
    /// Route of the field at fault from the element, such as `feed.breaker` or `type.input.min`.
    #[inline(never)]
    pub fn field(mut self, route: impl Into<String>) -> Self {
        self.made.finding.field = route.into();
        self
    }

    /// Another level than the rule's own.
    #[inline(never)]
    pub fn level(mut self, level: Level) -> Self {
        self.made.finding.level = Some(level);
        self
    }

    /// What is wrong: fact and limit.
    #[inline(never)]
    pub fn message(mut self, message: impl Into<String>) -> Self {
        self.made.finding.message = message.into();
        self
    }

    /// The value at fault.
    #[inline(never)]
    pub fn measured(mut self, value: f64, unit: impl Into<String>) -> Self {
        self.made.finding.measured = Some(Measure { value, unit: unit.into() });
        self
    }

    /// The limit that it breaks.
    #[inline(never)]
    pub fn limit(mut self, value: f64, unit: impl Into<String>) -> Self {
        self.made.finding.limit = Some(Measure { value, unit: unit.into() });
        self
    }

    /// The limit that it breaks, with its source in `work`, and with the authority of the layer that governs. A local
    /// amendment is law, so what would be advice is a violation of it; say [`level`](Self::level) before this.
    #[inline(never)]
    pub fn limited_by(mut self, limit: &Limit) -> Self {
        self.made.finding.limit = Some(Measure { value: limit.value(), unit: limit.unit().to_owned() });
        if limit.layer() == Layer::Local && self.made.finding.level.unwrap_or(self.report.rule.level) == Level::Advice {
            self.made.finding.level = Some(Level::Violation);
        }
        if let Some(basis) = limit.basis() {
            self.made.finding.basis = basis.clone();
        }
        self.work(limit.name(), limit.value(), limit.unit(), limit.source())
    }

    /// The number at fault with the limit that it breaks, as [`limited_by`](Self::limited_by), and the field of the
    /// comparison.
    #[inline(never)]
    pub fn breaks(mut self, comparison: &Comparison) -> Self {
        let limit = comparison.limit();
        self.report.limit(self.made.finding.subject.as_str(), limit);
        if self.report.told.wants_failing() {
            self.made.margin = Some(comparison.margin(self.made.finding.subject.clone(), false));
        }
        if !comparison.route().is_empty() {
            comparison.route().clone_into(&mut self.made.finding.field);
        }
        self.measured(comparison.measured(), comparison.unit())
            .limited_by(limit)
            .limit(comparison.limit_value(), comparison.unit())
    }

    /// One line of the arithmetic: what the number is, the number, its unit, where it comes from.
    #[inline(never)]
    pub fn work(
        mut self,
        name: impl Into<String>,
        value: f64,
        unit: impl Into<String>,
        source: impl Into<String>,
    ) -> Self {
        self.made.finding.work.push(WorkLine { name: name.into(), value, unit: unit.into(), source: source.into() });
        self
    }

    /// What to do.
    #[inline(never)]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.made.finding.help = help.into();
        self
    }

    /// Another authority than the rule's citation for the plan's code.
    #[inline(never)]
    pub fn basis(mut self, basis: Basis) -> Self {
        self.made.finding.basis = basis.describe();
        self
    }

    /// Ids of other elements that matter.
    #[inline(never)]
    pub fn related<S: Into<String>>(mut self, ids: impl IntoIterator<Item = S>) -> Self {
        self.made.finding.related.extend(ids.into_iter().map(Into::into));
        self
    }

    /// Puts the finding into the report.
    #[inline(never)]
    pub fn add(self) {
        let Made { finding, margin } = *self.made;
        if let Some(margin) = margin {
            // One and the same field, whichever of the two had it.
            self.report.told.fails(|| Margin { field: finding.field.clone(), ..margin });
        }
        self.report.findings.push(finding);
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

    fn request(wants_limits: bool, wants_margins: bool) -> RuleRequest {
        RuleRequest { id: RULE.id.to_owned(), settings: Vec::new(), wants_limits, wants_margins }
    }

    #[test]
    fn an_element_counts_once() {
        let mut report = Report::new(&RULE, None, &request(false, false));
        report.checked("a");
        report.checked("a");
        report.finding("a").message("x").add();
        report.finding("a").message("y").add();
        report.checked("b");
        report.checked("c");
        report.undetermined("c", ["cover", "method"]);
        report.undetermined("c", ["cover"]);
        let result = report.finish().expect("nothing is missing");
        assert_eq!(result.checked, 2, "a and b; c is undetermined");
        assert_eq!(result.findings.len(), 2);
        let [c] = &result.undetermined[..] else { panic!("one entry for c") };
        assert_eq!(c.missing, ["cover", "method"]);
    }

    #[test]
    fn a_comparison_gives_limit_margin_and_verdict_at_once() {
        let limit = Limit::new("cover", 6.0, "in", crate::Tighter::Higher, "Table 300.5");
        let mut report = Report::new(&RULE, None, &request(true, true));
        report.passes("a", &limit.compare(8.0).field("cover"));
        report.finding("b").breaks(&limit.compare(4.0).field("cover")).message("x").add();
        report.also_breaks("c", &limit.compare(5.0));
        let result = report.finish().expect("nothing is missing");
        assert_eq!(result.checked, 3);
        assert_eq!(result.limits[0].subjects, ["a", "b", "c"]);
        let margins: Vec<(&str, &str, f64, bool)> =
            result.margins.iter().map(|m| (m.subject.as_str(), m.field.as_str(), m.measured, m.passes)).collect();
        assert_eq!(margins, [("a", "cover", 8.0, true), ("b", "cover", 4.0, false), ("c", "", 5.0, false)]);
        let [finding] = &result.findings[..] else { panic!("one finding") };
        assert_eq!((finding.field.as_str(), finding.measured.as_ref().map(|m| m.value)), ("cover", Some(4.0)));
        assert_eq!(finding.work[0].source, "Table 300.5");
    }

    #[test]
    fn margins_are_kept_only_where_they_are_wanted() {
        let mut report = Report::new(&RULE, None, &request(false, false));
        report.passes("a", &Limit::new("cover", 6.0, "in", crate::Tighter::Higher, "").compare(8.0));
        let result = report.finish().expect("nothing is missing");
        assert_eq!((result.checked, result.margins.len(), result.limits.len()), (1, 0, 0));
    }

    #[test]
    fn a_section_from_memory_stays_out_of_findings() {
        let section = |code| {
            let mut report = Report::new(&RULE, code, &request(false, false));
            report.finding("a").add();
            report.finish().expect("nothing is missing").findings.remove(0).basis
        };
        let confirmed = section(Some(Code::Nec2023));
        assert_eq!((confirmed.edition.as_deref(), confirmed.section.as_deref()), (Some("2023"), Some("411.6")));
        let memory = section(Some(Code::Nec2020));
        assert_eq!((memory.edition.as_deref(), memory.section), (Some("2020"), None));
        assert_eq!(section(Some(Code::Bs7671)).kind, crate::outcome::BasisKind::Practice);
    }
}
