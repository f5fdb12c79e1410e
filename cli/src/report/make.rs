//! From the report of a check on one plan to its part of the document.

use super::document::{Acceptance, Failure, Finding, Kept, Plan, Schedule, Span, Verdict};
use crate::output::margin::{JsonMargin, JsonOfFinding, JsonTightest};
use crate::output::remedy::json_cure;
use lintern_core::check::{CheckError, PlanReport};
use lintern_core::finding;
use lintern_core::identity::{Identity, identities};
use lintern_core::plan::{Diagnostic, Sources, field};
use lintern_core::remedy::Remedies;
use lintern_core::repository::sha256_hex;
use serde::Serialize;
use serde_json::Value;

/// What a plan is shown with.
pub struct Wanted {
    /// Whether all margins are told.
    pub margins: bool,
    /// What passes by no more than this share of its limit is listed, %.
    pub near_miss_percent: Option<f64>,
}

/// The part of one plan; `repository` is the folder of its repository.
pub fn plan(report: &PlanReport, repository: String, wanted: &Wanted) -> Plan {
    let sources = &report.loaded.sources;
    let verdict = |(rule, verdict): (&String, &finding::Verdict)| {
        let tightest = report.margins.tightest(rule).map(|margin| Kept::of(&JsonTightest::of(margin)));
        (rule.clone(), Verdict { verdict: verdict.clone(), tightest })
    };
    let list = |margins: Vec<&lintern_core::margin::Margin>| {
        Value::Array(margins.into_iter().map(|margin| value(&JsonMargin::of(margin))).collect())
    };
    let schedule = |file: &lintern_core::plan::SourceFile| Schedule {
        file: file.path.clone(),
        sha256: sha256_hex(file.text.as_bytes()),
    };
    let identities = identities(report);
    let project = report.loaded.layout.as_ref().map(|layout| &layout.project);
    let project = project.map(|project| {
        let code = project.code.map(|code| code.to_string());
        [project.name.clone(), code, project.authority.clone()].into_iter().flatten().collect::<Vec<_>>().join(", ")
    });
    Plan {
        file: report.loaded.file.clone(),
        project: project.filter(|project| !project.is_empty()),
        schedules: sources.files().iter().skip(1).map(schedule).collect(),
        sha256: report.loaded.sha256.clone(),
        assumptions: report.assumptions.clone(),
        findings: report.findings.iter().zip(identities).map(|(f, identity)| finding(f, identity, report)).collect(),
        verdicts: report.verdicts.iter().map(verdict).collect(),
        margins: wanted.margins.then(|| list(report.margins.list.iter().collect())),
        near_misses: wanted.near_miss_percent.map(|percent| list(report.margins.near(percent))),
        critical_lengths_left_out: report.margins.left_out,
        remedies_left_out: report.remedies.as_ref().map(Remedies::left_out),
        errors: report.errors.iter().map(|error| failure_of_plan(error, report, &repository)).collect(),
        cured: Vec::new(),
        terminal: None,
        repository,
    }
}

fn finding(finding: &finding::Finding, identity: Identity, report: &PlanReport) -> Finding {
    let cure = report.remedies.as_ref().and_then(|remedies| remedies.smallest(finding));
    let waiver = finding.waived.as_ref();
    Finding {
        rule: finding.rule.clone(),
        level: finding.level,
        subject: finding.subject.clone(),
        related: finding.related.clone(),
        field: finding.field.clone(),
        message: finding.message.clone(),
        measured: finding.measured.clone(),
        limit: finding.limit.clone(),
        work: finding.work.clone(),
        basis: finding.basis.clone(),
        help: finding.help.clone(),
        remedy: cure.filter(|_| finding.waived.is_none()).map(|cure| value(&json_cure(cure))),
        span: span(finding.span, &report.loaded.sources),
        waived: waiver.map(|waiver| waiver.reason.clone()),
        waiver: waiver.map(|waiver| Acceptance {
            approved_by: waiver.approved_by.clone(),
            on: waiver.on.map(|day| day.to_string()),
            until: waiver.until.map(|day| day.to_string()),
        }),
        baseline: None,
        fingerprint: identity.fingerprint,
        inputs: identity.inputs,
        margin: report.margins.of(finding).map(|margin| value(&JsonOfFinding::of(margin))),
    }
}

fn failure_of_plan(error: &CheckError, report: &PlanReport, repository: &str) -> Failure {
    let sources = &report.loaded.sources;
    let told = match error {
        CheckError::Plan(diagnostic) => failure("plan", diagnostic, sources, Some(repository.to_owned())),
        CheckError::Module(message) => {
            failure("module", &Diagnostic::new(None, message.clone()), sources, Some(repository.to_owned()))
        }
    };
    Failure { file: Some(report.loaded.file.clone()), ..told }
}

/// An error with its place.
pub fn failure(kind: &str, diagnostic: &Diagnostic, sources: &Sources, repository: Option<String>) -> Failure {
    Failure {
        kind: kind.to_owned(),
        message: diagnostic.message.clone(),
        help: diagnostic.help.clone(),
        span: diagnostic.span.and_then(|at| span(at, sources)),
        repository,
        file: None,
        terminal: None,
    }
}

fn span(span: field::Span, sources: &Sources) -> Option<Span> {
    let place = sources.line_column(span)?;
    Some(Span {
        file: sources.path(span).to_owned(),
        line: place.line,
        column: place.column,
        end_line: place.end_line,
        end_column: place.end_column,
        byte_start: span.start,
        byte_end: span.end,
    })
}

/// Plain data as JSON; null for what is none, which nothing here is.
pub fn value(data: &impl Serialize) -> Value {
    serde_json::to_value(data).unwrap_or(Value::Null)
}
