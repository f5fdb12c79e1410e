//! What a rule says of a case, in the form in which cases declare it.

use super::header::{DeclaredFinding, Header, Undetermined};
use crate::check::Tried;
use std::fmt::Write as _;

/// What a rule says of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Found {
    /// The verdict.
    pub verdict: String,
    /// The findings.
    pub findings: Vec<DeclaredFinding>,
    /// How many elements could not be checked.
    pub undetermined: u64,
    /// The inputs that were missing, sorted, without repeats.
    pub missing: Vec<String>,
    /// The elements that could not be checked, where they are known.
    pub elements: Vec<Undetermined>,
}

impl Found {
    /// What a trial has of a rule; `None` where the rule gave no answer.
    pub fn of(tried: &Tried, rule: &str) -> Option<Self> {
        let report = &tried.report;
        let verdict = report.verdicts.get(rule)?;
        let elements = tried.undetermined.iter().filter(|(of, ..)| of == rule);
        let findings = report.findings.iter().filter(|finding| finding.rule == rule);
        Some(Self {
            verdict: verdict.verdict.word().to_owned(),
            findings: findings
                .map(|finding| DeclaredFinding {
                    subject: finding.subject.clone(),
                    at: quotable(report.loaded.sources.text(finding.span)),
                    measured: finding.measured.clone(),
                    limit: finding.limit.clone(),
                    level: finding.level.word().to_owned(),
                    section: finding.basis.section.clone(),
                })
                .collect(),
            undetermined: verdict.undetermined.into(),
            missing: verdict.missing.clone(),
            elements: elements
                .map(|(_, subject, missing)| Undetermined { subject: subject.clone(), missing: missing.clone() })
                .collect(),
        })
    }

    /// How it differs from what a case declares, one sentence each.
    pub fn differences(&self, declared: &Header) -> Vec<String> {
        let mut differences = Vec::new();
        if declared.expect != self.verdict {
            differences.push(format!("verdict: declared {}, is {}", declared.expect, self.verdict));
        }
        let mut found: Vec<&DeclaredFinding> = self.findings.iter().collect();
        for declared in &declared.findings {
            match found.iter().position(|finding| declared.agrees_with(finding)) {
                Some(index) => drop(found.remove(index)),
                None => differences.push(format!("declared and not found: {declared}")),
            }
        }
        differences.extend(found.iter().map(|finding| format!("found and not declared: {finding}")));
        let mut missing: Vec<&String> = declared.undetermined.iter().flat_map(|element| &element.missing).collect();
        missing.sort_unstable();
        missing.dedup();
        if declared.undetermined.len() as u64 != self.undetermined || missing != self.missing.iter().collect::<Vec<_>>()
        {
            differences.push(format!(
                "undetermined: declared {} for want of {missing:?}, is {} for want of {:?}",
                declared.undetermined.len(),
                self.undetermined,
                self.missing
            ));
        }
        differences
    }

    /// The header that describes it, to be pasted once it was checked by hand.
    pub fn as_header(&self) -> String {
        let mut text = format!("# expect: {}\n", self.verdict);
        for finding in &self.findings {
            let _ = writeln!(text, "# finding: {finding}");
        }
        for Undetermined { subject, missing } in &self.elements {
            let inputs: Vec<String> = missing.iter().map(|input| format!("\"{}\"", quotable(input))).collect();
            let _ = writeln!(text, "# undetermined: {} missing {}", quotable(subject), inputs.join(", "));
        }
        text.push_str("# hand: (your arithmetic)\n");
        text
    }
}

/// A text as a header can quote it: the first line, without double quotes.
fn quotable(text: &str) -> String {
    text.lines().next().unwrap_or_default().replace('"', "'")
}
