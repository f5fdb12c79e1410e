//! What is wrong with an input, and where: [`Diagnostic`], the files it speaks of ([`Sources`]),
//! and [`Report`], which prints both through miette.
//!
//! A diagnostic knows nothing of any printer, so that JSON, SARIF and the terminal say the same.

use super::field::Span;
use super::snippet::{self, Snippet};
use miette::{LabeledSpan, SourceCode};
use std::fmt;
use std::sync::{Arc, OnceLock};

/// One error of an input, with the way out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// What is wrong, one sentence without a trailing stop.
    pub message: String,
    /// Where it is; `None` when it concerns no place in a file.
    pub span: Option<Span>,
    /// A few words to print at the place.
    pub label: Option<String>,
    /// The way out.
    pub help: Option<String>,
    /// Other places that matter, each with a few words such as `first defined here`.
    pub also: Vec<(Span, String)>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn new(span: impl Into<Option<Span>>, message: impl Into<String>) -> Self {
        Self { message: plain(message.into()), span: span.into(), label: None, help: None, also: Vec::new() }
    }

    /// With a few words at the place.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = Some(plain(label.into()));
        self
    }

    /// With the way out.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(plain(help.into()));
        self
    }

    /// With another place that matters.
    #[must_use]
    pub fn also(mut self, span: Span, what: impl Into<String>) -> Self {
        self.also.push((span, plain(what.into())));
        self
    }
}

/// A text in which nothing moves a cursor, whatever it quotes of a file: control characters become escapes.
fn plain(text: String) -> String {
    let is_sound = |c: char| c == '\n' || !c.is_control();
    if text.chars().all(is_sound) {
        return text;
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match is_sound(c) {
            true => shown.push(c),
            false => shown.extend(c.escape_default()),
        }
    }
    shown
}

/// Collects diagnostics up to a limit, so that a hostile file can't fill the memory with its errors.
#[derive(Debug, Default)]
pub(crate) struct Diagnostics {
    list: Vec<Diagnostic>,
    more: usize,
}

impl Diagnostics {
    /// Errors that are kept and shown; the rest are counted.
    const LIMIT: usize = 100;

    /// Records an error. The closure runs only while there is room, so it may search for help.
    pub(crate) fn push(&mut self, diagnostic: impl FnOnce() -> Diagnostic) {
        if self.list.len() < Self::LIMIT {
            self.list.push(diagnostic());
        } else {
            self.more += 1;
        }
    }

    /// Whether nothing has been recorded.
    pub(crate) fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// The errors in the order of files and places; a last one counts those that were not kept.
    pub(crate) fn into_sorted(mut self) -> Vec<Diagnostic> {
        self.list.sort_by_key(|d| (d.span.is_none(), d.span));
        if self.more > 0 {
            self.list.push(Diagnostic::new(None, format!("{} more errors are not shown", self.more)));
        }
        self.list
    }
}

/// One file of a load.
#[derive(Debug, Clone)]
pub struct SourceFile {
    /// Path relative to the plan repository, with `/`.
    pub path: String,
    /// The same as people are shown it, from the folder that they are in.
    pub shown: String,
    /// Its text. Of a file that is not UTF-8: the part up to the first wrong byte.
    pub text: Arc<str>,
    line_starts: OnceLock<Arc<[u32]>>,
    safe_text: OnceLock<Arc<str>>,
}

/// The files of one load; [`Span::file`] is an index into them.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    files: Vec<SourceFile>,
}

/// A span in lines and columns. Both count from 1, columns in characters, and the end is exclusive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LineColumn {
    /// Line of the first character.
    pub line: u32,
    /// Column of the first character.
    pub column: u32,
    /// Line of the end.
    pub end_line: u32,
    /// Column of the end.
    pub end_column: u32,
}

impl Sources {
    /// Adds a file and returns its index for spans.
    pub fn add(&mut self, path: impl Into<String>, text: impl Into<Arc<str>>) -> u32 {
        let path = path.into();
        self.files.push(SourceFile {
            shown: path.clone(),
            path,
            text: text.into(),
            line_starts: OnceLock::new(),
            safe_text: OnceLock::new(),
        });
        u32::try_from(self.files.len() - 1).unwrap_or(u32::MAX)
    }

    /// Shows paths as people find the files, so that editors and terminals can open them.
    pub fn show_as(&mut self, shown: impl Fn(&str) -> String) {
        for file in &mut self.files {
            file.shown = shown(&file.path);
        }
    }

    /// The files, in the order of their indices.
    pub fn files(&self) -> &[SourceFile] {
        &self.files
    }

    /// The file that a span is in.
    pub fn file(&self, span: Span) -> Option<&SourceFile> {
        self.files.get(span.file as usize)
    }

    /// Path of the file that a span is in; empty for a span of another load.
    pub fn path(&self, span: Span) -> &str {
        self.file(span).map_or("", |f| &f.path)
    }

    /// The text under a span; empty for a span of another load.
    pub fn text(&self, span: Span) -> &str {
        self.file(span).and_then(|f| f.text.get(span.start as usize..span.end as usize)).unwrap_or("")
    }

    /// Line and column of a span; `None` for a span of another load.
    pub fn line_column(&self, span: Span) -> Option<LineColumn> {
        let file = self.file(span)?;
        let (line, column) = file.line_column(span.start);
        let (end_line, end_column) = file.line_column(span.end.max(span.start));
        Some(LineColumn { line, column, end_line, end_column })
    }
}

impl SourceFile {
    /// First byte of each line.
    pub(super) fn line_starts(&self) -> &[u32] {
        self.line_starts.get_or_init(|| line_starts(&self.text))
    }

    /// The text with nothing in it that could steer a terminal, byte for byte as long.
    pub(super) fn safe_text(&self) -> &str {
        self.safe_text.get_or_init(|| snippet::safe(&self.text).into())
    }

    /// Line and column of a byte, both from 1. A byte order mark is not a character of the text.
    fn line_column(&self, byte: u32) -> (u32, u32) {
        let starts = self.line_starts();
        let line = starts.partition_point(|&start| start <= byte);
        let start = line.checked_sub(1).and_then(|i| starts.get(i)).copied().unwrap_or(0);
        let bytes = self.text.as_bytes();
        let before = bytes.get(start as usize..(byte as usize).min(bytes.len())).unwrap_or(&[]);
        // Bytes that continue a character are not counted.
        let characters = before.iter().filter(|&&b| b & 0xC0 != 0x80).count();
        let mark = usize::from(start == 0 && before.starts_with("\u{feff}".as_bytes()));
        (line.max(1) as u32, (characters - mark) as u32 + 1)
    }
}

/// First byte of each line. A line ends at LF, CR LF or a lone CR, as in YAML.
fn line_starts(text: &str) -> Arc<[u32]> {
    let bytes = text.as_bytes();
    let ends =
        bytes.iter().enumerate().filter(|&(i, &b)| b == b'\n' || (b == b'\r' && bytes.get(i + 1) != Some(&b'\n')));
    std::iter::once(0).chain(ends.map(|(i, _)| i as u32 + 1)).collect()
}

/// A diagnostic with the text it speaks of, for miette's printers. Places in other files follow as
/// related diagnostics.
#[derive(Debug)]
pub struct Report {
    message: String,
    help: Option<String>,
    source: Option<Snippet>,
    labels: Vec<LabeledSpan>,
    related: Vec<Report>,
}

impl Report {
    /// Joins a diagnostic with the sources of its load.
    pub fn new(diagnostic: &Diagnostic, sources: &Sources) -> Self {
        let file = diagnostic.span.map(|s| s.file);
        let mut labels: Vec<LabeledSpan> = diagnostic
            .span
            .iter()
            .map(|&span| LabeledSpan::new_primary_with_span(diagnostic.label.clone(), byte_range(span)))
            .collect();
        let mut related = Vec::new();
        for (span, what) in &diagnostic.also {
            if Some(span.file) == file {
                labels.push(LabeledSpan::new_with_span(Some(what.clone()), byte_range(*span)));
            } else {
                related.push(Self {
                    message: what.clone(),
                    help: None,
                    source: snippet(*span, sources),
                    labels: vec![LabeledSpan::new_primary_with_span(None, byte_range(*span))],
                    related: Vec::new(),
                });
            }
        }
        let source = diagnostic.span.and_then(|span| snippet(span, sources));
        Self { message: diagnostic.message.clone(), help: diagnostic.help.clone(), source, labels, related }
    }
}

fn byte_range(span: Span) -> std::ops::Range<usize> {
    span.start as usize..span.end.max(span.start) as usize
}

fn snippet(span: Span, sources: &Sources) -> Option<Snippet> {
    sources.file(span).map(Snippet::new)
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Report {}

impl miette::Diagnostic for Report {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        self.help.as_ref().map(|help| Box::new(help) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.source.as_ref().map(|s| s as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        (!self.labels.is_empty()).then(|| Box::new(self.labels.iter().cloned()) as Box<_>)
    }

    fn related<'a>(&'a self) -> Option<Box<dyn Iterator<Item = &'a dyn miette::Diagnostic> + 'a>> {
        (!self.related.is_empty())
            .then(|| Box::new(self.related.iter().map(|r| r as &dyn miette::Diagnostic)) as Box<_>)
    }
}

#[cfg(test)]
mod tests {
    use super::{Diagnostic, Report, Sources, Span};
    use miette::NarratableReportHandler;

    #[test]
    fn what_a_file_says_moves_no_cursor() {
        let steers = "\u{1b}[31m\ta\r\u{9b}";
        let diagnostic = Diagnostic::new(None, steers).label(steers).help(steers).also(Span::default(), steers);
        let shown = "\\u{1b}[31m\\ta\\r\\u{9b}";
        assert_eq!((diagnostic.message.as_str(), diagnostic.label.as_deref()), (shown, Some(shown)));
        assert_eq!((diagnostic.help.as_deref(), diagnostic.also[0].1.as_str()), (Some(shown), shown));
        assert_eq!(Diagnostic::new(None, "two\nlines é").message, "two\nlines é");
    }

    #[test]
    fn lines_and_columns_count_characters_from_one() {
        let mut sources = Sources::default();
        let file = sources.add("a.yaml", "\u{feff}é1\r\nß ✓x\rlast");
        // Byte ranges of the text with its mark, and where they are in an editor.
        let rows = [
            ((3, 5), (1, 1, 1, 2)),
            ((5, 6), (1, 2, 1, 3)),
            ((8, 10), (2, 1, 2, 2)),
            ((14, 15), (2, 4, 2, 5)),
            ((16, 20), (3, 1, 3, 5)),
            ((5, 18), (1, 2, 3, 3)),
        ];
        for ((start, end), (line, column, end_line, end_column)) in rows {
            let at = sources.line_column(Span { file, start, end }).unwrap();
            assert_eq!(
                (at.line, at.column, at.end_line, at.end_column),
                (line, column, end_line, end_column),
                "{start}"
            );
        }
        assert_eq!(sources.line_column(Span { file: 7, start: 0, end: 1 }), None);
    }

    #[test]
    fn a_report_prints_both_files() {
        let mut sources = Sources::default();
        let here = sources.add("plan.yaml", "a: 1\nb: 2\n");
        let there = sources.add("types.yaml", "c: 3\n");
        let diagnostic = Diagnostic::new(Span { file: here, start: 5, end: 6 }, "`b` is defined twice")
            .label("again")
            .help("rename one")
            .also(Span { file: here, start: 0, end: 1 }, "near")
            .also(Span { file: there, start: 0, end: 1 }, "first defined here");
        let mut out = String::new();
        NarratableReportHandler::new().render_report(&mut out, &Report::new(&diagnostic, &sources)).unwrap();
        for part in
            ["`b` is defined twice", "again", "near", "plan.yaml", "first defined here", "types.yaml", "rename one"]
        {
            assert!(out.contains(part), "{part} is not in:\n{out}");
        }
    }
}
