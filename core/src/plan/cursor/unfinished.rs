//! What is being written at a place, in a text that may be broken just there or anywhere.
//!
//! A word is put in for what is being written, and what matters of the text is read as if that were a key, or a value;
//! else the whole text. Where neither can be read, indents tell where the line belongs, and only the line is read.

use super::narrow::narrow;
use super::{On, Spot, Step, Written, describe};
use std::ops::Range;

/// Bytes of a text that is read as a whole when its part can't be: a longer one takes too long.
const LONG: usize = 100_000;

/// Stands for what is being written.
const WORD: &str = "zz-being-written-zz";

/// What is being written.
#[derive(Debug, Clone)]
pub struct Unfinished {
    /// The way to the mapping that gets a key, or to the value.
    pub route: Vec<Step>,
    /// Which of both.
    pub place: Place,
    /// The bytes of the word that is being written.
    pub word: Range<usize>,
    /// Whether the word is inside quotes.
    pub quoted: bool,
    /// The id of the element that it is in; empty where that is not known.
    pub inside: String,
}

/// What is being written at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// A key of a mapping.
    Key {
        /// The keys that are there.
        present: Vec<String>,
        /// Whether a colon follows.
        has_colon: bool,
    },
    /// A value.
    Value {
        /// What stands before the word in the same value, such as the number of a quantity.
        before: String,
    },
}

/// What is being written at a byte; `None` in a comment and close to a colon.
pub fn unfinished(text: &str, byte: usize) -> Option<Unfinished> {
    let word = word_at(text, byte)?;
    let line = text.get(line_start(text, word.start)..word.start)?;
    // A value stands behind a space.
    if is_comment(line) || line.ends_with(':') {
        return None;
    }
    let opens = line.trim_start_matches('\u{feff}').trim_start_matches([' ', '-']).is_empty();
    let has_colon = text.get(word.end..)?.starts_with(':');
    let quoted = line.ends_with(['"', '\'']);
    let whole = (text.get(..word.start)?.to_owned(), text.get(word.end..)?.to_owned());
    let found = surroundings(text, &word)
        .and_then(|(before, after)| read(&before, &after, opens, has_colon))
        .or_else(|| (text.len() <= LONG).then(|| read(&whole.0, &whole.1, opens, has_colon)).flatten());
    let (route, mut place, inside) = match found {
        Some(found) => found,
        None => by_indent(text, &word, has_colon).map(|(route, place)| (route, place, String::new()))?,
    };
    if let (true, Place::Key { present, .. }) = (route.is_empty(), &mut place) {
        *present = root_keys(&whole.0).chain(root_keys(&whole.1)).map(str::to_owned).collect();
    }
    Some(Unfinished { route, place, word, quoted, inside })
}

/// What matters for a word, before and after it.
fn surroundings(text: &str, word: &Range<usize>) -> Option<(String, String)> {
    let lines: Vec<&str> = text.split('\n').collect();
    let before = text.get(..word.start)?;
    let column = before.rfind('\n').map_or(before.len(), |at| before.len() - at - 1);
    let (kept, at) = narrow(&lines, before.matches('\n').count())?;
    let (first, rest) = (kept.get(..at)?, kept.get(at + 1..)?);
    let line = *kept.get(at)?;
    let start = first.iter().flat_map(|line| [line, "\n"]).chain([line.get(..column)?]).collect();
    let end = line.get(column + word.len()..)?;
    Some((start, [end].into_iter().chain(rest.iter().flat_map(|line| ["\n", line])).collect()))
}

/// Reads a text with a word put in as a key and as a value, what is more likely first.
fn read(before: &str, after: &str, opens: bool, has_colon: bool) -> Option<(Vec<Step>, Place, String)> {
    let (key, value) = (format!("{WORD}:"), WORD.to_owned());
    let ways = if has_colon || !opens { [value, key] } else { [key, value] };
    ways.into_iter().find_map(|way| {
        let written = Written::read(&format!("{before}{way}{after}"))?;
        let (route, place) = understood(&written, written.at(before.len()), opens, has_colon)?;
        let inside = written.element_of(&route).map(|(_, id)| id.to_owned()).unwrap_or_default();
        Some((route, place, inside))
    })
}

/// The keys at the start of lines.
fn root_keys(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter_map(root_key)
}

/// The key at the start of a line.
fn root_key(line: &str) -> Option<&str> {
    let (key, _) = line.trim_start_matches('\u{feff}').split_once(':')?;
    let is_key = !key.is_empty() && !key.starts_with(|c: char| c.is_whitespace() || "-#[]{}".contains(c));
    is_key.then(|| key.trim_matches(['"', '\'', ' ']))
}

/// The word around a byte.
fn word_at(text: &str, byte: usize) -> Option<Range<usize>> {
    let (before, after) = (text.get(..byte)?, text.get(byte..)?);
    let ends = |c: char| c.is_whitespace() || "[]{},:\"'#&*!|>`\u{feff}".contains(c);
    let start = before.char_indices().rev().find(|(_, c)| ends(*c)).map_or(0, |(at, c)| at + c.len_utf8());
    let end = after.find(ends).map_or(text.len(), |at| byte + at);
    Some(start..end)
}

fn line_start(text: &str, byte: usize) -> usize {
    text.get(..byte).and_then(|before| before.rfind(['\n', '\r'])).map_or(0, |at| at + 1)
}

/// Whether the end of a line's start is in a comment.
fn is_comment(line: &str) -> bool {
    let (mut quote, mut before) = (None, ' ');
    for c in line.chars() {
        match (quote, c) {
            (None, '#') if before.is_whitespace() => return true,
            (None, '"' | '\'') if !before.is_alphanumeric() => quote = Some(c),
            (Some(open), _) if open == c => quote = None,
            _ => {}
        }
        before = c;
    }
    false
}

/// What the word at a spot is for. `opens` says that it is the first of its line.
fn understood(written: &Written, spot: Spot, opens: bool, has_colon: bool) -> Option<(Vec<Step>, Place)> {
    let Spot { mut route, on, text, .. } = spot;
    if !text.contains(WORD) {
        return None;
    }
    let known = |route: &[Step]| describe(route).unwrap_or_default();
    match on {
        On::Key => {
            route.pop();
            let keys: Vec<&str> = written.keys(&route).into_iter().filter(|key| !key.contains(WORD)).collect();
            let mapping = known(&route);
            if keys.is_empty() && mapping.keys.is_empty() && !mapping.free_keys && !has_colon {
                // An item of a list of texts, which only looks like a key.
                return Some((route, Place::Value { before: String::new() }));
            }
            let present = keys.into_iter().map(str::to_owned).collect();
            Some((route, Place::Key { present, has_colon }))
        }
        On::Value => {
            let before = text.split(WORD).next().unwrap_or_default().to_owned();
            let mapping = known(&route);
            if opens && before.is_empty() && (mapping.free_keys || !mapping.keys.is_empty()) {
                return Some((route, Place::Key { present: Vec::new(), has_colon }));
            }
            Some((route, Place::Value { before }))
        }
        On::Between => None,
    }
}

/// A line above, as far as indents tell.
struct Line<'t> {
    /// Column of its first character.
    column: usize,
    /// Column behind its dashes.
    content: usize,
    /// Its dashes.
    dashes: usize,
    /// Its key, where the value stands on other lines.
    opens: Option<&'t str>,
}

fn read_line(line: &str) -> Option<Line<'_>> {
    let inner = line.trim_start_matches('\u{feff}').trim_start_matches(' ');
    if inner.trim().is_empty() || inner.starts_with('#') {
        return None;
    }
    let column = line.trim_start_matches('\u{feff}').len() - inner.len();
    let (mut content, mut rest, mut dashes) = (column, inner, 0);
    while let Some(after) = rest.strip_prefix("- ") {
        let trimmed = after.trim_start_matches(' ');
        content += 2 + after.len() - trimmed.len();
        (rest, dashes) = (trimmed, dashes + 1);
    }
    if rest.trim_end() == "-" {
        (content, dashes) = (content + 2, dashes + 1);
    }
    let key = rest.split(" #").next().unwrap_or_default().trim_end().strip_suffix(':');
    let opens = key.map(|key| key.trim_matches(['"', '\''])).filter(|key| !key.contains([':', '{', '[', '"']));
    Some(Line { column, content, dashes, opens })
}

/// Where a line belongs, by the indents above it, and what is being written in the line itself.
fn by_indent(text: &str, word: &Range<usize>, has_colon: bool) -> Option<(Vec<Step>, Place)> {
    let start = line_start(text, word.start);
    let line = text.get(start..word.start)?;
    let own = read_line(&format!("{line}{WORD}"))?.into_place();
    let mut above: Vec<Step> = Vec::new();
    // The column of the key or, where it is an item, of the dash that is to be found a parent for.
    let (mut column, mut is_item) = own;
    for line in text.get(..start)?.lines().rev() {
        if column == 0 && !is_item {
            break;
        }
        let Some(line) = read_line(line) else { continue };
        let is_dash = line.dashes > 0;
        if is_dash && !is_item && line.content == column {
            // The first key of the same item.
            above.push(Step::Item(0));
            (column, is_item) = (line.column, true);
            continue;
        }
        let above_it = line.content < column || (is_item && !is_dash && line.content == column);
        if !above_it || line.column > column {
            continue;
        }
        let Some(key) = line.opens else { continue };
        above.push(Step::Key(key.to_owned()));
        (column, is_item) = (line.content, false);
        if is_dash {
            above.push(Step::Item(0));
            (column, is_item) = (line.column, true);
        }
    }
    above.reverse();
    let dashes = read_line(&format!("{line}{WORD}"))?.dashes;
    above.extend(std::iter::repeat_n(Step::Item(0), dashes));
    in_line(line, above, has_colon)
}

impl Line<'_> {
    /// The column that its parent is to be left of, and whether that is a dash.
    fn into_place(self) -> (usize, bool) {
        (self.column, self.dashes > 0)
    }
}

/// What is being written behind the start of a line, which belongs to the end of a way.
fn in_line(line: &str, above: Vec<Step>, has_colon: bool) -> Option<(Vec<Step>, Place)> {
    let inner = line.trim_start_matches(['\u{feff}', ' ', '-']);
    let opens = inner.is_empty();
    let closing = closing(inner);
    for way in if opens { [":", ""] } else { ["", ":"] } {
        let Some(written) = Written::read(&format!("{inner}{WORD}{way}{closing}")) else { continue };
        let mut spot = written.at(inner.len());
        let own = spot.route.clone();
        spot.route = above.iter().cloned().chain(own.iter().cloned()).collect();
        let Some((route, mut place)) = understood(&written, spot, opens, has_colon) else { continue };
        if let Place::Key { present, .. } = &mut place {
            // The keys of the line, whose way starts at its own root.
            let mapping = own.get(..own.len().saturating_sub(1)).unwrap_or_default();
            *present = written.keys(mapping).into_iter().filter(|key| !key.contains(WORD)).map(str::to_owned).collect();
        }
        return Some((route, place));
    }
    None
}

/// What closes the brackets and quotes that are open at the end of a text.
fn closing(text: &str) -> String {
    let (mut open, mut quote) = (Vec::new(), None);
    for c in text.chars() {
        match (quote, c) {
            (Some(own), _) if own == c => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(c),
            (None, '[') => open.push(']'),
            (None, '{') => open.push('}'),
            (None, ']' | '}') => {
                open.pop();
            }
            (None, _) => {}
        }
    }
    quote.into_iter().chain(open.into_iter().rev()).collect()
}
