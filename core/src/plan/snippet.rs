//! The lines around a place in a file, for miette's printers: only these lines are looked at, whatever the size of the
//! file, a line without end is cut, and nothing in them can steer a terminal.

use super::diagnostic::SourceFile;
use miette::{MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};
use std::borrow::Cow;

/// Bytes that are shown on each side of a place whose lines are longer than that.
const MOST_BESIDE: usize = 300;

/// A file as a source of snippets.
#[derive(Debug, Clone)]
pub struct Snippet(SourceFile);

impl Snippet {
    /// Snippets of a file.
    pub fn new(file: &SourceFile) -> Self {
        // Worked out once for the file and shared by its snippets.
        file.safe_text();
        file.line_starts();
        Self(file.clone())
    }
}

impl SourceCode for Snippet {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        lines_before: usize,
        lines_after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let text = self.0.safe_text();
        let floor = |at: usize| (0..=at.min(text.len())).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0);
        let from = floor(span.offset());
        let to = floor(span.offset().saturating_add(span.len())).max(from);
        let starts = self.0.line_starts();
        let line_of = |byte: usize| starts.partition_point(|&start| start as usize <= byte).saturating_sub(1);
        let start_of = |line: usize| starts.get(line).map_or(text.len(), |&start| start as usize);
        // Without context the text begins and ends with the span itself.
        let begin = if lines_before == 0 { from } else { start_of(line_of(from).saturating_sub(lines_before)) };
        let end = if lines_after == 0 { to } else { start_of(line_of(to) + lines_after + 1) };
        let begin = begin.max(floor(from.saturating_sub(MOST_BESIDE)));
        let shown_to = to.min(floor(from + 2 * MOST_BESIDE));
        let end = end.min(floor(shown_to + MOST_BESIDE)).max(begin);
        let line = line_of(begin);
        let column = text[start_of(line).min(begin)..begin].chars().count();
        let data = text[begin..end].trim_end_matches(['\n', '\r']);
        let count = data.lines().count();
        Ok(Box::new(MietteSpanContents::new_named(
            safe(&self.0.shown.replace(['\n', '\r', '\t'], "?")).into_owned(),
            data.as_bytes(),
            (begin, data.len()).into(),
            line,
            column,
            count,
        )))
    }
}

/// Whether a character could move a terminal's cursor, change its colours or reorder its text.
pub fn is_harmful(c: char) -> bool {
    (c.is_control() && c != '\n' && c != '\t' && c != '\r')
        || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{61c}')
}

/// The text with each harmful character replaced by one that fills the same number of bytes, so that places stay.
pub(super) fn safe(text: &str) -> Cow<'_, str> {
    if !text.contains(is_harmful) {
        return Cow::Borrowed(text);
    }
    let stand_in = |c: char| match (is_harmful(c), c.len_utf8()) {
        (false, _) => c,
        (true, 1) => '?',
        (true, 2) => '\u{b7}',
        (true, _) => '\u{fffd}',
    };
    Cow::Owned(text.chars().map(stand_in).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Sources;
    use crate::plan::field::Span;

    fn shown(text: &str, start: u32, end: u32) -> (String, usize, usize) {
        let mut sources = Sources::default();
        let file = sources.add("a.yaml", text);
        let snippet = Snippet::new(sources.file(Span { file, start, end }).unwrap());
        let contents = snippet.read_span(&(start as usize, (end - start) as usize).into(), 1, 1).unwrap();
        (String::from_utf8(contents.data().to_vec()).unwrap(), contents.line(), contents.column())
    }

    #[test]
    fn a_snippet_is_the_line_and_its_neighbours() {
        assert_eq!(shown("a\nb\nc\nd\ne\n", 4, 5), ("b\nc\nd".to_owned(), 1, 0));
        assert_eq!(shown("a\nb\n", 0, 1), ("a\nb".to_owned(), 0, 0));
        assert_eq!(shown("a\nb", 2, 3), ("a\nb".to_owned(), 0, 0));
        assert_eq!(shown("", 0, 0), (String::new(), 0, 0));
    }

    #[test]
    fn a_line_without_end_is_cut_around_the_place() {
        let long = format!("é{}X{}", "a".repeat(100_000), "b".repeat(100_000));
        let (text, line, column) = shown(&long, 100_002, 100_003);
        assert!(text.len() < 4 * MOST_BESIDE && text.contains('X'));
        assert_eq!((line, column), (0, 100_001 - MOST_BESIDE));
    }

    #[test]
    fn harmful_characters_keep_their_bytes() {
        let text = "a\u{1b}[2J\u{9b}\u{202e}z\t\r\n";
        assert_eq!(safe(text), "a?[2J\u{b7}\u{fffd}z\t\r\n");
        assert_eq!(safe(text).len(), text.len());
    }
}
