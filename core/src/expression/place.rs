//! From a range of bytes in the value of a YAML scalar to its place in the file.

use crate::plan::diagnostic::Sources;
use crate::plan::field::Span;

/// The place of `from..to` of a scalar's value. The value is found again in the written text character by character:
/// where a line was folded or indented, white space stands for white space, and a quote or a backslash may stand before a
/// character. Where that does not come out, the whole scalar is meant.
pub fn within(sources: &Sources, span: Span, value: &str, from: usize, to: usize) -> Span {
    let written = sources.text(span);
    let Some(places) = places(written, value) else { return span };
    let (Some(start), Some(end)) = (places.get(from), places.get(to.max(from))) else { return span };
    // A range that ends with a line ends before its white space.
    let end = if to > from { last_end(written, &places, value, to) } else { *end };
    Span { start: span.start + *start, end: span.start + end.max(*start), ..span }
}

/// The end of the last character before byte `to` of the value.
fn last_end(written: &str, places: &[u32], value: &str, to: usize) -> u32 {
    let last = value[..to.min(value.len())].char_indices().next_back().map_or(0, |(at, _)| at);
    let start = places.get(last).copied().unwrap_or(0);
    let length = written.get(start as usize..).and_then(|rest| rest.chars().next()).map_or(0, char::len_utf8);
    start + length as u32
}

/// For each byte of the value, and its end, where it stands in the written text.
fn places(written: &str, value: &str) -> Option<Vec<u32>> {
    let mut places = Vec::with_capacity(value.len() + 1);
    let mut at = start(written);
    let block = written.starts_with(['|', '>']);
    let mut after_blank = true;
    for character in value.chars() {
        let rest = written.get(at..)?;
        let skipped = if character.is_whitespace() {
            0
        } else if after_blank {
            rest.len() - rest.trim_start().len()
        } else {
            0
        };
        at += skipped;
        let rest = written.get(at..)?;
        let mut found = rest.chars().next();
        if !block && !character.is_whitespace() {
            // `''` in single quotes, `\"` and `\\` in double quotes.
            let doubled = written.starts_with('\'') && rest.starts_with("''") && character == '\'';
            let escaped = written.starts_with('"') && rest.starts_with('\\') && matches!(character, '"' | '\\' | '/');
            if doubled || escaped {
                at += 1;
                found = written.get(at..)?.chars().next();
            }
        }
        let blank = character.is_whitespace();
        let fits = found.is_some_and(|found| found == character || (blank && found.is_whitespace()));
        // The last line break of a block may be left out by the file's end.
        if !fits && !blank {
            return None;
        }
        places.extend(std::iter::repeat_n(at as u32, character.len_utf8()));
        if fits {
            at += found.map_or(0, char::len_utf8);
        }
        after_blank = blank;
    }
    places.push(at as u32);
    Some(places)
}

/// Where the value begins: after an opening quote, or after the header of a block.
fn start(written: &str) -> usize {
    match written.chars().next() {
        Some('"' | '\'') => 1,
        Some('|' | '>') => written.find('\n').map_or(written.len(), |end| end + 1),
        _ => 0,
    }
}
