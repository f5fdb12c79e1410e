//! `--format junit`: JUnit XML, for test dashboards. A plan is a suite, a rule that applies to it a case: failed where
//! something is found that changes the exit code, skipped where something could not be judged.

use super::escape;
use crate::report::document::{Failure, joined};
use crate::report::{Document, Finding, Plan, shown};
use lintern_core::finding::Outcome;
use quick_junit::{NonSuccessKind, Property, Report, TestCase, TestCaseStatus, TestSuite};
use std::fmt::Write as _;

/// Text that neither ends nor steers what shows it; the library drops what XML can't have.
fn safe(text: &str) -> String {
    escape::terminal(text).into_owned()
}

/// The whole document.
pub fn render(document: &Document) -> String {
    let mut report = Report::new(document.tool.name.clone());
    let mut run = TestSuite::new(document.tool.name.clone());
    run.add_property(Property::new("version", document.tool.version.clone()));
    run.add_property(Property::new("as-of", document.as_of.clone()));
    run.add_property(Property::new("seal", escape::json(serde_json::to_string(&document.seal).unwrap_or_default())));
    run.add_property(Property::new("caution", document.caution.clone()));
    for failure in &document.errors {
        run.add_test_case(error(failure, "lintern"));
    }
    report.add_test_suite(run);
    for plan in &document.plans {
        report.add_test_suite(suite(document, plan));
    }
    let text = report.to_string().unwrap_or_default();
    without_skipped_of_all(&text)
}

/// The schema of the format that servers go by (junit-10.xsd) has no `skipped` on the outermost element.
fn without_skipped_of_all(text: &str) -> String {
    let Some(start) = text.find("<testsuites ") else { return text.to_owned() };
    let end = text[start..].find('>').map_or(text.len(), |end| start + end);
    let head = &text[start..end];
    let Some(from) = head.find(" skipped=\"") else { return text.to_owned() };
    let value = from + " skipped=\"".len();
    let to = head[value..].find('"').map_or(head.len(), |to| value + to + 1);
    format!("{}{}{}{}", &text[..start], &head[..from], &head[to..], &text[end..])
}

fn suite(document: &Document, plan: &Plan) -> TestSuite {
    let mut suite = TestSuite::new(safe(&plan.path()));
    suite.add_property(Property::new("sha256", plan.sha256.clone()));
    for schedule in &plan.schedules {
        let path = joined(&plan.repository, &schedule.file);
        suite.add_property(Property::new(safe(&format!("schedule {path}")), schedule.sha256.clone()));
    }
    let not_applicable = plan.verdicts.values().filter(|v| v.verdict.verdict == Outcome::NotApplicable).count();
    suite.add_property(Property::new("rules that do not apply", not_applicable.to_string()));
    for failure in &plan.errors {
        suite.add_test_case(error(failure, &plan.path()));
    }
    for (rule, verdict) in plan.verdicts.iter().filter(|(_, v)| v.verdict.verdict != Outcome::NotApplicable) {
        let found: Vec<&Finding> = plan.findings.iter().filter(|finding| finding.rule == *rule).collect();
        let failing: Vec<&Finding> = found.iter().copied().filter(|f| shown::is_failing(document, f)).collect();
        let lines = |findings: &[&Finding]| findings.iter().map(|f| line(plan, f)).collect::<String>();
        let unjudged = verdict.verdict.undetermined;
        let not_judged = format!(
            "{} not checked, for want of {}",
            super::terminal::count(unjudged as usize, "element", "elements"),
            verdict.verdict.missing.join("; ")
        );
        let mut status = match (failing.first(), unjudged) {
            (Some(first), _) => {
                let mut status = TestCaseStatus::non_success(NonSuccessKind::Failure);
                let more = failing.len() - 1;
                let more = if more > 0 { format!(" (and {more} more)") } else { String::new() };
                status.set_message(safe(&format!("{}{more}", first.message))).set_type(first.level.word());
                status.set_description(safe(&lines(&failing)));
                status
            }
            (None, 0) => TestCaseStatus::success(),
            (None, _) => TestCaseStatus::skipped(),
        };
        if failing.is_empty() && unjudged > 0 {
            status.set_message(safe(&not_judged));
        }
        let mut case = TestCase::new(rule.clone(), status);
        case.set_classname(safe(&plan.path()));
        let others: Vec<&Finding> = found.into_iter().filter(|f| !shown::is_failing(document, f)).collect();
        let mut out = lines(&others);
        if !failing.is_empty() && unjudged > 0 {
            let _ = writeln!(out, "{not_judged}");
        }
        if !out.is_empty() {
            case.set_system_out(safe(&out));
        }
        suite.add_test_case(case);
    }
    suite
}

/// A finding in a line, with what comes of it below.
fn line(plan: &Plan, finding: &Finding) -> String {
    let place = finding.span.as_ref().map_or_else(
        || plan.path(),
        |span| format!("{}:{}:{}", joined(&plan.repository, &span.file), span.line, span.column),
    );
    let standing = shown::standing(finding).map(|standing| format!(" ({standing})")).unwrap_or_default();
    let numbers = shown::numbers(finding).map(|numbers| format!("\n  {numbers}")).unwrap_or_default();
    format!(
        "{place}: {}: {}{standing}{numbers}\n  help: {}\n  basis: {}\n",
        finding.level.word(),
        finding.message,
        finding.help,
        super::terminal::basis_text(&finding.basis)
    )
}

fn error(failure: &Failure, class: &str) -> TestCase {
    let mut status = TestCaseStatus::non_success(NonSuccessKind::Error);
    status.set_message(safe(&failure.message)).set_type(failure.kind.clone());
    let place = failure.place().map(|place| format!("{place}\n"));
    let help = failure.help.as_ref().map(|help| format!("help: {help}\n"));
    status.set_description(safe(&format!("{}{}", place.unwrap_or_default(), help.unwrap_or_default())));
    let mut case = TestCase::new("could not be checked", status);
    case.set_classname(safe(class));
    case
}
