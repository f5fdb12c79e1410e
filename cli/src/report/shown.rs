//! Sentences about a document that several formats show.

use super::document::{Baseline, Counts, Cured, Document, Finding, Plan, Standing, Summary};
use crate::args::FailOn;
use crate::output::terminal::{count, measure_text};
use lintern_core::finding::Level;

/// Why a finding does not count, or that it counts again.
pub fn standing(finding: &Finding) -> Option<String> {
    if let Some(reason) = &finding.waived {
        return Some(format!("waived{}: {reason}", accepted(finding)));
    }
    match &finding.baseline {
        Some(Baseline::Known) => Some("in the baseline".to_owned()),
        Some(Baseline::Reopened { was }) => {
            let was = was.as_ref().map(|was| format!(", was {}", measure_text(was))).unwrap_or_default();
            Some(format!("in the baseline, but its inputs have changed{was}"))
        }
        None => None,
    }
}

/// ` by Fernhollow County on 2026-02-25, until 2026-12-31`, as far as it is known.
fn accepted(finding: &Finding) -> String {
    let Some(waiver) = &finding.waiver else { return String::new() };
    let by = waiver.approved_by.as_deref().map_or(" by nobody named".to_owned(), |by| format!(" by {by}"));
    let on = waiver.on.as_deref().map(|on| format!(" on {on}")).unwrap_or_default();
    let until = waiver.until.as_deref().map(|until| format!(", until {until}")).unwrap_or_default();
    format!("{by}{on}{until}")
}

/// `measured 5.05 %, limit 4 %; fails by 1.05 %`, where the finding rests on numbers.
pub fn numbers(finding: &Finding) -> Option<String> {
    let measured = measure_text(finding.measured.as_ref()?);
    let Some(limit) = &finding.limit else { return Some(format!("measured {measured}")) };
    let margin = finding.margin.as_ref();
    let by = margin.and_then(|margin| Some((margin["value"].as_f64()?, margin["unit"].as_str()?)));
    let by = by.map(|(value, unit)| format!(", fails by {} {unit}", crate::output::terminal::number(value.abs())));
    Some(format!("measured {measured}, limit {}{}", measure_text(limit), by.unwrap_or_default().trim_end()))
}

/// Whether the baseline has a finding, but with other inputs.
pub fn is_reopened(finding: &Finding) -> bool {
    matches!(finding.baseline, Some(Baseline::Reopened { .. }))
}

/// What became of a finding of the baseline.
pub fn cured(cured: &Cured) -> String {
    let subject = if cured.subject.is_empty() { "the plan" } else { &cured.subject };
    let was = cured.was.as_ref().map(|was| format!(" ({})", measure_text(was))).unwrap_or_default();
    match cured.sure {
        true => format!("cured: {} {subject}{was} is in the baseline and no longer found", cured.rule),
        false => {
            format!("gone?  {} {subject}{was} is in the baseline; the rule could not judge it this time", cured.rule)
        }
    }
}

/// `2 violations, 1 piece of advice, no reminder`.
pub fn levels(counts: &Counts) -> String {
    format!(
        "{}, {}, {}",
        count(counts.violation, "violation", "violations"),
        count(counts.advice, "piece of advice", "pieces of advice"),
        count(counts.reminder, "reminder", "reminders")
    )
}

/// What a plan amounts to with waivers and baseline, and without them.
pub fn both(plan: &Plan) -> String {
    let mut summary = Summary::default();
    summary.add(plan);
    format!("as the designer has it: {}; as a reviewer has it: {}", levels(&summary.open), levels(&summary.as_reviewer))
}

/// What each baseline amounts to.
pub fn baselines(document: &Document) -> Vec<String> {
    let mut lines = Vec::new();
    for repository in &document.seal.repositories {
        let Some(baseline) = &repository.baseline else { continue };
        let file = super::document::joined(&repository.folder, super::baseline::FILE);
        let findings = count(baseline.findings, "finding", "findings");
        lines.push(format!("baseline {file}: {findings} as of {}", baseline.as_of));
        for gone in &baseline.gone {
            lines.push(format!("baseline {file}: its plan {gone} is no longer there; `lintern baseline` forgets it"));
        }
    }
    lines
}

/// The last lines: what all plans amount to.
pub fn totals(document: &Document) -> Vec<String> {
    let s = &document.summary;
    let mut apart = Vec::new();
    if s.waived > 0 {
        apart.push(format!("{} waived", s.waived));
    }
    if s.baseline > 0 {
        apart.push(format!("{} in the baseline", s.baseline));
    }
    if s.reopened > 0 {
        apart.push(format!("{} in the baseline with other inputs", s.reopened));
    }
    if s.cured > 0 {
        apart.push(format!("{} of the baseline cured", s.cured));
    }
    let apart: String = apart.into_iter().map(|part| format!("; {part}")).collect();
    let mut lines = vec![format!(
        "{}: {}; {} could not be checked; {}{apart}. As of {}.",
        count(s.plans, "plan", "plans"),
        levels(&s.open),
        count(s.undetermined, "element", "elements"),
        count(s.errors, "error", "errors"),
        document.as_of
    )];
    if document.seal.options.as_reviewer {
        lines.push(format!(
            "As a reviewer, waivers and baselines not accepted: {}. This is what counts here.",
            levels(&s.as_reviewer)
        ));
    }
    if let Some(since) = &document.seal.changed_since {
        lines.push(format!("Only plans that are touched by changes since {since}."));
    }
    lines
}

/// Whether a document makes the program end with 1: something is at or above what fails.
pub fn fails(document: &Document) -> bool {
    let s = &document.summary;
    let counts = s.counting(document.seal.options.as_reviewer);
    match document.seal.options.fail_on {
        FailOn::Violation => counts.violation > 0,
        FailOn::Advice => counts.at_or_above(Level::Advice) > 0,
        FailOn::Reminder => counts.at_or_above(Level::Reminder) > 0,
        FailOn::Undetermined => counts.violation > 0 || s.undetermined > 0,
    }
}

/// Whether a finding counts for the verdict of this document.
pub fn counts(document: &Document, finding: &Finding) -> bool {
    document.seal.options.as_reviewer || finding.standing() == Standing::Open
}

/// Whether a finding is at or above what fails.
pub fn is_failing(document: &Document, finding: &Finding) -> bool {
    let least = match document.seal.options.fail_on {
        FailOn::Violation | FailOn::Undetermined => Level::Violation,
        FailOn::Advice => Level::Advice,
        FailOn::Reminder => Level::Reminder,
    };
    counts(document, finding) && finding.level >= least
}
