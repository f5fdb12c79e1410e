//! What must hold of every answer, whatever was asked.

use lintern_core::check::{CheckError, PlanReport};
use lintern_core::finding::{Finding, Outcome};
use lintern_core::plan::field::Span;
use lintern_core::plan::{Diagnostic, Sources};
use std::collections::BTreeSet;

/// A place is in a file of the load, in its text, and does not cut a character.
pub fn place(span: Span, sources: &Sources) {
    let file = sources.file(span).unwrap_or_else(|| panic!("{span:?} is in no file"));
    let range = span.start as usize..span.end as usize;
    assert!(file.text.get(range).is_some(), "{span:?} is not in the text, or cuts a character");
    let at = sources.line_column(span).expect("a file of the load");
    assert!(at.line >= 1 && at.column >= 1, "{at:?}");
    assert!((at.line, at.column) <= (at.end_line, at.end_column), "{at:?}");
}

/// Diagnostics say something, at places that are there.
pub fn diagnostics(diagnostics: &[Diagnostic], sources: &Sources) {
    for diagnostic in diagnostics {
        assert!(!diagnostic.message.trim().is_empty(), "{diagnostic:?}");
        let also = diagnostic.also.iter().map(|(span, _)| *span);
        diagnostic.span.into_iter().chain(also).for_each(|span| place(span, sources));
        let texts = [Some(&diagnostic.message), diagnostic.label.as_ref(), diagnostic.help.as_ref()];
        for text in texts.into_iter().flatten().chain(diagnostic.also.iter().map(|(_, text)| text)) {
            assert!(!text.chars().any(|c| c.is_control() && c != '\n'), "{text:?} could steer a terminal");
        }
        miette_report(diagnostic, sources);
    }
}

/// The printer finds its way through every report.
fn miette_report(diagnostic: &Diagnostic, sources: &Sources) {
    let mut out = String::new();
    let report = lintern_core::plan::Report::new(diagnostic, sources);
    miette::NarratableReportHandler::new().render_report(&mut out, &report).expect("a report");
    assert!(!out.is_empty());
}

/// No module failed: on no plan that loads may a rule of ours trap or run out of its budget.
pub fn no_module_failed(report: &PlanReport) {
    for error in &report.errors {
        assert!(!matches!(error, CheckError::Module(_)), "{error:?}");
    }
}

/// Findings are of elements and places of the plan, their numbers are numbers, and verdicts count them.
pub fn findings(report: &PlanReport) {
    for finding in &report.findings {
        place(finding.span, &report.loaded.sources);
        for id in finding.related.iter().chain([&finding.subject]).filter(|id| !id.is_empty()) {
            assert!(report.loaded.element_kind(id).is_some(), "{id} is no element: {finding:?}");
        }
        numbers(finding);
        assert!(!finding.message.is_empty() && !finding.help.is_empty(), "{finding:?}");
        let verdict = &report.verdicts[&finding.rule];
        assert!(verdict.verdict == Outcome::Fail, "{finding:?} {verdict:?}");
    }
    // Rules about waivers count waivers, of which several may be for one element.
    for (rule, verdict) in report.verdicts.iter().filter(|(rule, _)| !rule.starts_with("waivers/")) {
        let of_rule = report.findings.iter().filter(|finding| finding.rule == *rule);
        let subjects: BTreeSet<&String> = of_rule.map(|finding| &finding.subject).collect();
        assert_eq!(verdict.failed as usize, subjects.len(), "{rule}: {verdict:?}");
        assert!(verdict.checked >= verdict.failed, "{rule}: {verdict:?}");
        assert_eq!(verdict.undetermined > 0, !verdict.missing.is_empty(), "{rule}: {verdict:?}");
    }
}

fn numbers(finding: &Finding) {
    let measures = [&finding.measured, &finding.limit].into_iter().flatten().map(|measure| measure.value);
    for value in measures.chain(finding.work.iter().map(|line| line.value)) {
        assert!(value.is_finite(), "{value}: {finding:?}");
    }
}
