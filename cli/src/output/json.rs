//! `lintern check --format json`, by the contract of the format; version 1.

use super::margin::{JsonMargin, JsonOfFinding, JsonTightest};
use super::{Run, Summary};
use lintern_core::check::{CheckError, PlanReport};
use lintern_core::finding::{Basis, Finding, Level, Measure, Verdict, WorkLine};
use lintern_core::plan::field::Span;
use lintern_core::plan::{Diagnostic, Sources};
use serde::Serialize;
use std::collections::BTreeMap;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    format: u32,
    tool: Tool,
    as_of: String,
    plans: Vec<Plan<'a>>,
    errors: Vec<Error<'a>>,
    summary: &'a Summary,
    caution: &'static str,
}

#[derive(Serialize)]
struct Tool {
    name: &'static str,
    version: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Plan<'a> {
    file: &'a str,
    sha256: &'a str,
    assumptions: &'a [String],
    findings: Vec<JsonFinding<'a>>,
    verdicts: BTreeMap<&'a str, JsonVerdict<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    margins: Option<Vec<JsonMargin<'a>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    near_misses: Option<Vec<JsonMargin<'a>>>,
    /// Margins whose critical length the work allowed for one plan left out.
    critical_lengths_left_out: usize,
    /// Findings for which the search for a cure was stopped; null where none was looked for.
    remedies_left_out: Option<usize>,
    errors: Vec<Error<'a>>,
}

#[derive(Serialize)]
struct JsonVerdict<'a> {
    #[serde(flatten)]
    verdict: &'a Verdict,
    tightest: Option<JsonTightest<'a>>,
}

#[derive(Serialize)]
struct JsonFinding<'a> {
    rule: &'a str,
    level: Level,
    subject: &'a str,
    related: &'a [String],
    field: &'a str,
    message: &'a str,
    measured: &'a Option<Measure>,
    limit: &'a Option<Measure>,
    work: &'a [WorkLine],
    basis: &'a Basis,
    help: &'a str,
    /// The smallest cure that was found.
    remedy: Option<super::remedy::JsonCure<'a>>,
    span: Option<JsonSpan<'a>>,
    waived: &'a Option<String>,
    margin: Option<JsonOfFinding<'a>>,
}

#[derive(Serialize)]
struct Error<'a> {
    kind: &'static str,
    message: &'a str,
    /// The way out.
    help: Option<&'a str>,
    span: Option<JsonSpan<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct JsonSpan<'a> {
    file: &'a str,
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
    byte_start: u32,
    byte_end: u32,
}

/// The whole document, with a line end.
pub fn render(run: &Run) -> String {
    let document = Document {
        format: 1,
        tool: Tool { name: "lintern", version: env!("CARGO_PKG_VERSION") },
        as_of: run.as_of.to_string(),
        plans: run.reports.iter().map(|report| plan(report, run)).collect(),
        errors: run.errors.iter().map(|e| error(e.kind, &e.diagnostic, &e.sources)).collect(),
        summary: &run.summary,
        caution: super::CAUTION,
    };
    super::pretty(&document)
}

fn plan<'a>(report: &'a PlanReport, run: &Run) -> Plan<'a> {
    let sources = &report.loaded.sources;
    let verdicts = report.verdicts.iter().map(|(rule, verdict)| {
        let tightest = report.margins.tightest(rule).map(JsonTightest::of);
        (rule.as_str(), JsonVerdict { verdict, tightest })
    });
    let near = |percent| report.margins.near(percent).into_iter().map(JsonMargin::of).collect();
    Plan {
        file: &report.loaded.file,
        sha256: &report.loaded.sha256,
        assumptions: &report.assumptions,
        findings: report.findings.iter().filter(|f| f.level >= run.show).map(|f| finding(f, report)).collect(),
        verdicts: verdicts.collect(),
        margins: run.margins.then(|| report.margins.list.iter().map(JsonMargin::of).collect()),
        near_misses: run.near_miss.map(near),
        critical_lengths_left_out: report.margins.left_out,
        remedies_left_out: report.remedies.as_ref().map(lintern_core::remedy::Remedies::left_out),
        errors: report
            .errors
            .iter()
            .map(|e| match e {
                CheckError::Plan(diagnostic) => error("plan", diagnostic, sources),
                CheckError::Module(message) => Error { kind: "module", message, help: None, span: None },
            })
            .collect(),
    }
}

fn finding<'a>(finding: &'a Finding, report: &'a PlanReport) -> JsonFinding<'a> {
    let cure = report.remedies.as_ref().and_then(|remedies| remedies.smallest(finding));
    JsonFinding {
        rule: &finding.rule,
        level: finding.level,
        subject: &finding.subject,
        related: &finding.related,
        field: &finding.field,
        message: &finding.message,
        measured: &finding.measured,
        limit: &finding.limit,
        work: &finding.work,
        basis: &finding.basis,
        help: &finding.help,
        remedy: cure.filter(|_| finding.waived.is_none()).map(super::remedy::json_cure),
        span: span(finding.span, &report.loaded.sources),
        waived: &finding.waived,
        margin: report.margins.of(finding).map(JsonOfFinding::of),
    }
}

fn error<'a>(kind: &'static str, diagnostic: &'a Diagnostic, sources: &'a Sources) -> Error<'a> {
    let span = diagnostic.span.and_then(|at| span(at, sources));
    Error { kind, message: &diagnostic.message, help: diagnostic.help.as_deref(), span }
}

fn span(span: Span, sources: &Sources) -> Option<JsonSpan<'_>> {
    let place = sources.line_column(span)?;
    Some(JsonSpan {
        file: sources.path(span),
        line: place.line,
        column: place.column,
        end_line: place.end_line,
        end_column: place.end_column,
        byte_start: span.start,
        byte_end: span.end,
    })
}
