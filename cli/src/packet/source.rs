//! What a packet is put together from.

use crate::drawing::{Mark, Marks};
use crate::report::{self, Document, Plan};
use lintern_core::analysis::site::{self, SiteFacts};
use lintern_core::analysis::{Case, Solution, network};
use lintern_core::finding::Level;
use lintern_core::layout::Layout;
use lintern_core::plan::Loaded;
use lintern_core::steps::Step;
use serde_json::Value;
use std::cmp::Reverse;

/// Everything that is known of one plan.
pub struct Source<'a> {
    /// The plan.
    pub layout: &'a Layout,
    /// The plan as it was read.
    pub loaded: &'a Loaded,
    /// The whole check.
    pub document: &'a Document,
    /// Its part on this plan.
    pub plan: &'a Plan,
    /// The steps of the work.
    pub steps: Vec<Step>,
    /// The notice before digging, in words.
    pub notice: String,
    /// Volts and amps of the judged case.
    pub judged: Solution,
    /// Volts and amps with conductors as warm as the soil.
    pub soil: Solution,
    /// Where everything is.
    pub places: SiteFacts,
    /// The findings with their numbers: the gravest first, then as in the document.
    pub findings: Vec<(usize, &'a report::Finding)>,
    /// Numbers of the findings by element.
    pub marks: Marks,
}

impl<'a> Source<'a> {
    /// Of a plan that was loaded and checked; `None` where the plan or the check of it is not there.
    pub fn new(loaded: &'a Loaded, document: &'a Document, (steps, notice): (Vec<Step>, String)) -> Option<Self> {
        let layout = loaded.layout.as_ref()?;
        let plan = document.plans.first()?;
        let mut findings: Vec<&report::Finding> = plan.findings.iter().collect();
        findings.sort_by_key(|finding| (!report::shown::counts(document, finding), Reverse(finding.level)));
        let findings: Vec<_> = findings.into_iter().enumerate().map(|(i, finding)| (i + 1, finding)).collect();
        Some(Self {
            layout,
            loaded,
            document,
            plan,
            steps,
            notice,
            judged: network::solve(layout, Case::Judged),
            soil: network::solve(layout, Case::Soil),
            places: site::locate(layout).unwrap_or_else(|_| SiteFacts::unplaced(layout)),
            marks: marks(document, &findings),
            findings,
        })
    }

    /// What a rule held against limits for an element, as the JSON document has it.
    pub fn margins<'s>(&'s self, rule: &'s str, subject: &'s str) -> impl Iterator<Item = &'s Value> {
        let all = self.plan.margins.as_ref().and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
        all.iter().filter(move |margin| margin["rule"] == rule && margin["subject"] == subject)
    }

    /// The limit that a rule held an element against, in words; none where it applied several.
    pub fn limit(&self, rule: &str, subject: &str) -> Option<String> {
        let limit = |margin: &Value| Some((margin["limit"].as_f64()?, margin["unit"].as_str()?.to_owned()));
        let mut limits = self.margins(rule, subject).filter_map(limit);
        let (value, unit) = limits.next()?;
        let is_same = limits.all(|other| other == (value, unit.clone()));
        is_same.then(|| format!("{} {unit}", crate::output::terminal::number(value)))
    }

    /// Whether an element has a violation that counts, of one of these topics.
    pub fn fails(&self, id: &str, topics: &[&str]) -> bool {
        let of = |finding: &&report::Finding| {
            finding.subject == id && finding.level == Level::Violation && report::shown::counts(self.document, finding)
        };
        let topic = |finding: &report::Finding| topics.contains(&finding.rule.split('/').next().unwrap_or_default());
        self.plan.findings.iter().filter(of).any(topic)
    }

    /// The numbers of an element's findings, in a cell of a table.
    pub fn numbers(&self, id: &str) -> String {
        self.marks.all(id)
    }
}

/// The findings of elements; what is waived is said to be.
fn marks(document: &Document, findings: &[(usize, &report::Finding)]) -> Marks {
    let mut marks = Marks::default();
    for (number, finding) in findings.iter().filter(|(_, finding)| !finding.subject.is_empty()) {
        let mark: &mut Mark = marks.of.entry(finding.subject.clone()).or_default();
        mark.numbers.push((*number, finding.waived.is_some()));
        mark.fails |= finding.level == Level::Violation && report::shown::counts(document, finding);
    }
    marks
}
