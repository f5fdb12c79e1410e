//! `--format github`: workflow commands of GitHub Actions, which annotate the lines of a change, and the rest as plain
//! lines of the log. A step shows at most ten annotations of each kind, so the gravest come first and no more are
//! asked for. The summary of the job is the Markdown.

use super::escape;
use crate::report::document::{Failure, Span, joined};
use crate::report::{Document, Finding, Plan, shown};
use lintern_core::finding::Level;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Annotations of one kind that a step shows.
const MOST: usize = 10;

/// An annotation, not yet written.
struct Note {
    command: &'static str,
    rank: u8,
    path: String,
    span: Option<Span>,
    title: String,
    message: String,
}

/// The commands and the lines of the log.
pub fn render(document: &Document) -> String {
    let mut notes = Vec::new();
    for failure in &document.errors {
        notes.push(error(failure));
    }
    for plan in &document.plans {
        notes.extend(plan.errors.iter().map(error));
        notes.extend(plan.findings.iter().filter(|f| shown::counts(document, f)).map(|f| note(plan, f)));
    }
    // The order within a kind stays that of the plans.
    notes.sort_by_key(|note| note.rank);
    let mut out = String::new();
    let mut used: BTreeMap<&str, usize> = BTreeMap::new();
    for note in &notes {
        let used = used.entry(note.command).or_default();
        if *used < MOST {
            *used += 1;
            let _ = writeln!(out, "{}", command(note));
        } else {
            let _ = writeln!(out, "{}", line(note));
        }
    }
    for text in shown::baselines(document).into_iter().chain(shown::totals(document)).chain([document.caution.clone()])
    {
        let _ = writeln!(out, "{}", escape::log(&text));
    }
    out
}

fn note(plan: &Plan, finding: &Finding) -> Note {
    let (command, rank) = match finding.level {
        Level::Violation => ("error", 1),
        Level::Advice => ("warning", 2),
        Level::Reminder => ("notice", 3),
    };
    let mut message = finding.message.clone();
    if let Some(standing) = shown::standing(finding) {
        let _ = write!(message, " ({standing})");
    }
    if let Some(numbers) = shown::numbers(finding) {
        let _ = write!(message, "\n{numbers}");
    }
    let _ = write!(message, "\nhelp: {}\nbasis: {}", finding.help, super::terminal::basis_text(&finding.basis));
    let path = finding.span.as_ref().map_or_else(|| plan.path(), |span| joined(&plan.repository, &span.file));
    let title = format!("{} {}", finding.level.word(), finding.rule);
    Note { command, rank, path, span: finding.span.clone(), title, message }
}

fn error(failure: &Failure) -> Note {
    let path = failure.path().unwrap_or_default();
    let help = failure.help.as_ref().map(|help| format!("\nhelp: {help}")).unwrap_or_default();
    Note {
        command: "error",
        rank: 0,
        path,
        span: failure.span.clone(),
        title: "could not be checked".to_owned(),
        message: format!("{}{help}", failure.message),
    }
}

fn command(note: &Note) -> String {
    let mut properties = Vec::new();
    if !note.path.is_empty() {
        properties.push(("file", note.path.clone()));
    }
    if let Some(span) = &note.span {
        properties.push(("line", span.line.to_string()));
        properties.push(("endLine", span.end_line.to_string()));
        // Columns count only where the place is in one line.
        if span.line == span.end_line {
            properties.push(("col", span.column.to_string()));
            properties.push(("endColumn", span.end_column.to_string()));
        }
    }
    properties.push(("title", note.title.clone()));
    let properties: Vec<String> =
        properties.into_iter().map(|(key, value)| format!("{key}={}", escape::command_property(&value))).collect();
    format!("::{} {}::{}", note.command, properties.join(","), escape::command_data(&note.message))
}

/// What there is no annotation for any more.
fn line(note: &Note) -> String {
    let place = note.span.as_ref().map(|span| format!(":{}:{}", span.line, span.column)).unwrap_or_default();
    let first = note.message.lines().next().unwrap_or_default();
    escape::log(&format!("{}: {}{place}: {first}", note.title, note.path))
}
