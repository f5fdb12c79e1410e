//! Findings for people, drawn by miette: the plan's own lines, what is wrong, the way out, and the basis.

use super::{CAUTION, escape, margin, module_errors};
use crate::report::run::{Request, Streamed};
use crate::report::{self, Document, Plan, shown};
use lintern_core::check::{CheckError, PlanReport};
use lintern_core::finding::{Basis, BasisKind, Finding, Level, Measure, Outcome};
use lintern_core::plan::snippet::Snippet;
use lintern_core::plan::{Diagnostic, Report, Sources};
use lintern_core::remedy::Remedies;
use miette::{GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteDiagnostic, Severity};
use std::fmt::Write as _;
use std::io;

/// How the terminal is written to.
#[derive(Debug, Clone, Copy)]
pub struct Style {
    /// Whether colours may be used.
    pub color: bool,
    /// Width in columns.
    pub width: usize,
}

/// The whole text, of a document whose parts were drawn as they were made.
pub fn render(document: &Document, notes: &[String], style: Style, quiet: bool) -> String {
    let plans = document.plans.iter().map(|plan| of_plan(plan, quiet));
    format!("{}{}{}", before(document), plans.collect::<String>(), after(document, notes, style, quiet))
}

/// Writes it where the plans are there as texts, each made by [`of_plan`].
pub fn write_streamed(
    streamed: &Streamed,
    notes: &[String],
    style: Style,
    quiet: bool,
    mut out: impl io::Write,
) -> io::Result<()> {
    let document = &streamed.rest.document;
    out.write_all(before(document).as_bytes())?;
    streamed.plans.write("", &mut out)?;
    out.write_all(after(document, notes, style, quiet).as_bytes())?;
    out.flush()
}

/// What is shown of a plan in the end.
pub fn of_plan(plan: &Plan, quiet: bool) -> &str {
    plan.terminal.as_deref().filter(|_| !quiet || !plan.errors.is_empty()).unwrap_or_default()
}

/// What comes before the plans.
fn before(document: &Document) -> String {
    document.errors.iter().filter_map(|failure| failure.terminal.as_deref()).collect()
}

/// What comes after the plans.
fn after(document: &Document, notes: &[String], style: Style, quiet: bool) -> String {
    let mut out = String::new();
    let painter = Painter::new(style);
    for coverage in document.coverage.iter().flatten().filter(|_| !quiet) {
        out.push_str(coverage.terminal.as_deref().unwrap_or_default());
    }
    for note in notes {
        let _ = writeln!(out, "note: {}", escape::terminal(note));
    }
    for line in shown::baselines(document) {
        let _ = writeln!(out, "{}", painter.wrap(&escape::terminal(&line), ""));
    }
    for line in shown::totals(document) {
        // In one line each, for those who look for it in a log.
        let _ = writeln!(out, "{}", escape::terminal(&line));
    }
    if !quiet {
        let _ = writeln!(out, "\n{}", painter.wrap(CAUTION, ""));
    }
    out
}

pub fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

/// What is shown of one plan.
pub fn plan(report: &PlanReport, document: &Plan, request: &Request<'_>, style: Style) -> String {
    let painter = &Painter::new(style);
    let mut out = String::new();
    let sources = &report.loaded.sources;
    for error in &report.errors {
        if let CheckError::Plan(diagnostic) = error {
            painter.diagnostic(&mut out, diagnostic, sources);
        }
    }
    for (finding, shown) in report.findings.iter().zip(&document.findings).filter(|(f, _)| f.level >= request.show) {
        painter.finding(&mut out, finding, shown, report);
    }
    for message in module_errors(report) {
        painter.diagnostic(&mut out, &Diagnostic::new(None, message), sources);
    }
    let _ = writeln!(out, "{}", escape::terminal(&heading(report)));
    if request.as_reviewer && report.loaded.layout.is_some() {
        let _ = writeln!(out, "{}", painter.wrap(&shown::both(document), "  "));
    }
    for (rule, verdict) in &report.verdicts {
        if verdict.verdict == Outcome::Undetermined || (verdict.verdict == Outcome::Fail && verdict.undetermined > 0) {
            let elements = count(verdict.undetermined as usize, "element", "elements");
            let text = format!("{rule}: {elements} not checked, for want of {}", listed(&verdict.missing));
            let _ = writeln!(out, "{}", painter.wrap(&escape::terminal(&text), "  ? "));
        }
    }
    close(&mut out, painter, report, request);
    if let Some(left_out) = report.remedies.as_ref().map(Remedies::left_out).filter(|left_out| *left_out > 0) {
        let findings = count(left_out, "finding", "findings");
        let text = format!(
            "for {findings} the search for a cure was stopped, to bound the work; `lintern remedy` looks further"
        );
        let _ = writeln!(out, "{}", painter.wrap(&text, "  ? "));
    }
    for cured in &document.cured {
        let _ = writeln!(out, "{}", painter.wrap(&escape::terminal(&shown::cured(cured)), "  "));
    }
    for assumption in &report.assumptions {
        let _ = writeln!(out, "{}", painter.wrap(&escape::terminal(assumption), "  assumed: "));
    }
    out.push('\n');
    out
}

/// What passes narrowly, where it is asked for, and what of the margins was left out.
fn close(out: &mut String, painter: &Painter, report: &PlanReport, request: &Request<'_>) {
    if report.loaded.layout.is_none() {
        return;
    }
    for line in request.near_miss_percent.iter().flat_map(|percent| margin::near(&report.margins, *percent)) {
        let _ = writeln!(out, "{}", painter.wrap(&escape::terminal(&line), "  close  "));
    }
    let left_out = report.margins.left_out;
    if left_out > 0 && (request.near_miss_percent.is_some() || !report.findings.is_empty()) {
        let verdicts = count(left_out, "verdict", "verdicts");
        let text = format!("at which length of cable {verdicts} turn was not computed: the plan is large");
        let _ = writeln!(out, "{}", painter.wrap(&text, "  ? "));
    }
}

/// The plan's line: how many rules end how.
fn heading(report: &PlanReport) -> String {
    let sources = report.loaded.sources.files();
    let file = sources.first().map_or(&report.loaded.file, |file| &file.shown);
    // A name must not look like a line of the result.
    let file = file.replace(['\n', '\r'], "?");
    if report.loaded.layout.is_none() {
        return format!("{file}: not checked");
    }
    let with = |outcome| report.verdicts.values().filter(|v| v.verdict == outcome).count();
    format!(
        "{file}: {} passed, {} failed, {} undetermined, {} not applicable",
        count(with(Outcome::Pass), "rule", "rules"),
        with(Outcome::Fail),
        with(Outcome::Undetermined),
        with(Outcome::NotApplicable)
    )
}

/// A list for a sentence, cut where it gets long.
fn listed(items: &[String]) -> String {
    const MOST: usize = 6;
    let mut text = items.iter().take(MOST).map(String::as_str).collect::<Vec<_>>().join("; ");
    if items.len() > MOST {
        let _ = write!(text, "; and {} more", items.len() - MOST);
    }
    text
}

/// The authority behind a finding, in one line.
pub fn basis_text(basis: &Basis) -> String {
    let kind = match (basis.kind, &basis.document) {
        (BasisKind::Practice, None) => return "common practice".to_owned(),
        (BasisKind::Practice, Some(_)) => "common practice, ",
        (BasisKind::Code, _) => "",
    };
    let document = basis.document.as_deref().unwrap_or("code");
    let edition = basis.edition.as_deref().map(|e| format!(" ({e})")).unwrap_or_default();
    let section = basis.section.as_deref().unwrap_or("section not confirmed for this edition");
    format!("{kind}{document}{edition}, {section}")
}

/// A number with its unit, to at most four significant decimals.
pub fn measure_text(measure: &Measure) -> String {
    let space = if measure.unit.is_empty() { "" } else { " " };
    format!("{}{space}{}", number(measure.value), measure.unit)
}

/// A number for people: four significant digits after which nothing matters in the trade.
pub fn number(value: f64) -> String {
    let digits = if value == 0.0 { 0 } else { (3 - value.abs().log10().floor() as i32).clamp(0, 6) };
    let text = format!("{value:.*}", digits as usize);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Wraps a text behind a mark.
pub fn wrap(text: &str, mark: &str, width: usize) -> String {
    let indent = " ".repeat(mark.chars().count());
    let mut lines = Vec::new();
    let mut line = mark.to_owned();
    let mut used = mark.chars().count();
    for word in text.split(' ') {
        let length = word.chars().count();
        if used + length + 1 > width && used > indent.len() {
            lines.push(std::mem::replace(&mut line, indent.clone()));
            used = indent.len();
        }
        if used > indent.len() {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += length;
    }
    lines.push(line);
    lines.join("\n")
}

struct Painter {
    handler: GraphicalReportHandler,
    width: usize,
}

impl Painter {
    fn new(style: Style) -> Self {
        let theme = if style.color { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
        let handler = GraphicalReportHandler::new_themed(theme)
            .with_width(style.width)
            .with_links(false)
            .with_context_lines(1)
            .with_wrap_lines(true);
        Self { handler, width: style.width }
    }

    fn wrap(&self, text: &str, mark: &str) -> String {
        wrap(text, mark, self.width)
    }

    fn finding(&self, out: &mut String, finding: &Finding, shown: &report::Finding, report: &PlanReport) {
        let sources = &report.loaded.sources;
        let severity = match finding.level {
            Level::Violation => Severity::Error,
            Level::Advice => Severity::Warning,
            Level::Reminder => Severity::Advice,
        };
        let standing = shown::standing(shown).map(|standing| format!(" ({standing})")).unwrap_or_default();
        let label = match (&finding.measured, &finding.limit) {
            (Some(measured), Some(limit)) => format!("{}; limit {}", measure_text(measured), measure_text(limit)),
            (Some(measured), None) => measure_text(measured),
            _ => "here".to_owned(),
        };
        let margin = report.margins.of(finding).map(|own| format!("\nmargin: {}", margin::of_finding(own)));
        let margin = margin.unwrap_or_default();
        let help = format!("{}{margin}\nbasis: {}", finding.help, basis_text(&finding.basis));
        let length = (finding.span.end - finding.span.start) as usize;
        let report = MietteDiagnostic::new(escape::terminal(&format!("{}{standing}", finding.message)))
            .with_code(escape::terminal(&format!("{} {}", finding.level.word(), finding.rule)))
            .with_severity(severity)
            .with_help(escape::terminal(&help))
            .with_label(LabeledSpan::new(
                Some(escape::terminal(&label).into_owned()),
                finding.span.start as usize,
                length,
            ));
        let report = miette::Report::new(report);
        let report = match sources.file(finding.span) {
            Some(file) => report.with_source_code(Snippet::new(file)),
            None => report,
        };
        let _ = self.handler.render_report(out, report.as_ref());
        out.push('\n');
    }

    fn diagnostic(&self, out: &mut String, diagnostic: &Diagnostic, sources: &Sources) {
        let report = Report::new(&escaped(diagnostic), sources);
        let _ = self.handler.render_report(out, &report);
        out.push('\n');
    }
}

/// A diagnostic whose texts are safe to print.
fn escaped(diagnostic: &Diagnostic) -> Diagnostic {
    let safe = |text: &String| escape::terminal(text).into_owned();
    Diagnostic {
        message: safe(&diagnostic.message),
        span: diagnostic.span,
        label: diagnostic.label.as_ref().map(safe),
        help: diagnostic.help.as_ref().map(safe),
        also: diagnostic.also.iter().map(|(span, text)| (*span, safe(text))).collect(),
    }
}

/// Errors of one load, drawn.
pub fn diagnostics(diagnostics: &[Diagnostic], sources: &Sources, style: Style) -> String {
    let painter = Painter::new(style);
    let mut out = String::new();
    for diagnostic in diagnostics {
        painter.diagnostic(&mut out, diagnostic, sources);
    }
    out
}
