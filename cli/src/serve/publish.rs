//! Findings and errors as editors show them, by the address of the file that they stand in.

use super::check::{Book, Checked};
use super::position::{Encoding, Lines};
use crate::output::escape;
use crate::output::terminal::basis_text;
use lintern_core::check::CheckError;
use lintern_core::finding::{Finding, Level};
use lintern_core::plan::field::Span;
use lintern_core::plan::{Diagnostic, Sources};
use lsp_types::{
    DiagnosticRelatedInformation, DiagnosticSeverity, DiagnosticTag, Location, NumberOrString, Position, Range,
};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// What is shown, by file.
pub type Shown = BTreeMap<PathBuf, Vec<lsp_types::Diagnostic>>;

/// Other elements that one finding points at, at most.
const MOST_RELATED: usize = 12;

/// Turns spans of one load into places.
struct Placer<'a> {
    sources: &'a Sources,
    root: &'a Path,
    lines: Vec<Option<Lines>>,
    encoding: Encoding,
    /// What a file is called where the client has its own spelling.
    spelt: &'a dyn Fn(&Path) -> String,
}

impl<'a> Placer<'a> {
    fn new(sources: &'a Sources, root: &'a Path, encoding: Encoding, spelt: &'a dyn Fn(&Path) -> String) -> Self {
        Self { sources, root, lines: vec![None; sources.files().len()], encoding, spelt }
    }

    fn place(&mut self, span: Span) -> Option<(PathBuf, Range)> {
        let file = self.sources.file(span)?;
        let lines = self.lines.get_mut(span.file as usize)?.get_or_insert_with(|| Lines::of(&file.text));
        let range = lines.range(&file.text, span.start as usize..span.end as usize, self.encoding);
        Some((self.root.join(&file.path), range))
    }

    fn related(&mut self, span: Span, message: &str) -> Option<DiagnosticRelatedInformation> {
        let (path, range) = self.place(span)?;
        let uri = (self.spelt)(&path).parse().ok()?;
        let message = escape::terminal(message).into_owned();
        Some(DiagnosticRelatedInformation { location: Location { uri, range }, message })
    }
}

/// What a check found, by file.
pub fn plan(checked: &Checked, encoding: Encoding, spelt: &dyn Fn(&Path) -> String) -> Shown {
    let report = &checked.report;
    let mut placer = Placer::new(&report.loaded.sources, checked.repository.root(), encoding, spelt);
    let mut shown = Shown::new();
    for error in &report.errors {
        let (path, told) = match error {
            CheckError::Plan(diagnostic) => load_error(diagnostic, &mut placer, &checked.path),
            CheckError::Module(message) => (checked.path.clone(), plain(message, nowhere())),
        };
        shown.entry(path).or_default().push(told);
    }
    if report.loaded.layout.is_none() && !shown.contains_key(&checked.path) {
        let files: Vec<String> = shown.keys().map(|path| path.display().to_string()).collect();
        let told = plain(&format!("not checked: there are errors in {}", files.join(", ")), nowhere());
        shown.entry(checked.path.clone()).or_default().push(told);
    }
    for (finding, standing) in report.findings.iter().zip(&checked.standing) {
        let Some((path, range)) = placer.place(finding.span) else { continue };
        let related = finding.related.iter().take(MOST_RELATED).filter_map(|id| {
            let span = report.loaded.locate(id, "")?;
            placer.related(span, id)
        });
        let related: Vec<_> = related.collect();
        shown.entry(path).or_default().push(of_finding(finding, standing, range, related));
    }
    shown
}

/// What is wrong with the rules of a repository, by file, and what has no place in one.
pub fn book(book: &Book, encoding: Encoding, spelt: &dyn Fn(&Path) -> String) -> (Shown, Vec<String>) {
    let root = book.repository.root();
    let config = root.join(lintern_core::repository::CONFIG_FILE);
    let (mut shown, mut told) = (Shown::new(), Vec::new());
    for problem in &book.problems {
        let mut placer = Placer::new(&problem.sources, root, encoding, spelt);
        let (path, diagnostic) = load_error(&problem.diagnostic, &mut placer, &config);
        if path.is_file() {
            shown.entry(path).or_default().push(diagnostic);
        } else if config.is_file() {
            // What a pack outside of the repository says has no file that the client could name.
            shown.entry(config.clone()).or_default().push(lsp_types::Diagnostic { range: nowhere(), ..diagnostic });
        } else {
            told.push(diagnostic.message);
        }
    }
    (shown, told)
}

/// An error of a load, with its file; without a place it stands at the start of `otherwise`.
fn load_error(diagnostic: &Diagnostic, placer: &mut Placer<'_>, otherwise: &Path) -> (PathBuf, lsp_types::Diagnostic) {
    let (path, range) =
        diagnostic.span.and_then(|span| placer.place(span)).unwrap_or_else(|| (otherwise.to_owned(), nowhere()));
    let mut told = plain(&message(&diagnostic.message, diagnostic.label.iter().chain(&diagnostic.help)), range);
    let related = diagnostic.also.iter().filter_map(|(span, what)| placer.related(*span, what)).collect::<Vec<_>>();
    told.related_information = (!related.is_empty()).then_some(related);
    (path, told)
}

fn of_finding(
    finding: &Finding,
    (standing, counts): &(Option<String>, bool),
    range: Range,
    related: Vec<DiagnosticRelatedInformation>,
) -> lsp_types::Diagnostic {
    let severity = match (counts, finding.level) {
        (false, _) => DiagnosticSeverity::HINT,
        (true, Level::Violation) => DiagnosticSeverity::ERROR,
        (true, Level::Advice) => DiagnosticSeverity::WARNING,
        (true, Level::Reminder) => DiagnosticSeverity::INFORMATION,
    };
    let basis = basis_text(&finding.basis);
    lsp_types::Diagnostic {
        severity: Some(severity),
        code: Some(NumberOrString::String(finding.rule.clone())),
        tags: (!counts).then(|| vec![DiagnosticTag::UNNECESSARY]),
        related_information: (!related.is_empty()).then_some(related),
        ..plain(&message(&finding.message, standing.iter().chain([&basis, &finding.help])), range)
    }
}

/// A sentence and what belongs to it, a line each.
fn message<'a>(first: &'a str, more: impl Iterator<Item = &'a String>) -> String {
    std::iter::once(first)
        .chain(more.map(String::as_str))
        .filter(|line| !line.is_empty())
        .collect::<Vec<_>>()
        .join("\n")
}

fn plain(message: &str, range: Range) -> lsp_types::Diagnostic {
    lsp_types::Diagnostic {
        range,
        severity: Some(DiagnosticSeverity::ERROR),
        source: Some("lintern".to_owned()),
        message: escape::terminal(message).into_owned(),
        ..lsp_types::Diagnostic::default()
    }
}

/// The start of a file.
fn nowhere() -> Range {
    Range { start: Position::default(), end: Position::default() }
}
