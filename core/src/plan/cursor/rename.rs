//! Another id for an element, everywhere it is named.

use super::Written;
use super::role::split;
use crate::plan::elide;
use crate::plan::scalar::Id;
use std::ops::Range;

/// Why an element can't get another id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// The new id is none.
    #[error("{0}")]
    NoId(String),
    /// Another element has it.
    #[error("`{id}` is taken: it is {what} of this plan; choose another id")]
    Taken {
        /// The id.
        id: String,
        /// What has it.
        what: &'static str,
    },
    /// No element has the old one, or several have.
    #[error("`{0}` is not the id of one element of this plan, so it is not known what to rename")]
    Unclear(String),
    /// It would not be read as meant afterwards.
    #[error("`{0}` is written in a way that can't be changed safely; write it in one plain word first")]
    Unsafe(String),
}

impl Written {
    /// The changes that give an element another id: bytes, and what stands there then. The text that comes of them
    /// has been read again and names the element in as many places.
    pub fn rename(&self, old: &str, new: &str) -> Result<Vec<(Range<usize>, String)>, Refused> {
        if let Err(error) = new.parse::<Id>() {
            return Err(Refused::NoId(error.to_string()));
        }
        let elements = self.elements();
        if elements.iter().filter(|named| named.id == old).count() != 1 {
            return Err(Refused::Unclear(elide(old)));
        }
        let mut uses = self.uses(old);
        uses.sort_by_key(|bytes| (bytes.start, bytes.end));
        uses.dedup();
        if new == old {
            return Ok(Vec::new());
        }
        if let Some(other) = elements.iter().find(|named| named.id == new) {
            return Err(Refused::Taken { id: elide(new), what: other.kind.phrase() });
        }
        let text = self.tree.text();
        let refused = || Refused::Unsafe(elide(old));
        let mut edits = Vec::with_capacity(uses.len());
        for bytes in uses {
            let written = text.get(bytes.clone()).ok_or_else(refused)?;
            edits.push((bytes, respelt(written, old, new).ok_or_else(refused)?));
        }
        match Self::read(&applied(text, &edits).ok_or_else(refused)?) {
            Some(then) if then.uses(old).is_empty() && then.uses(new).len() == edits.len() => Ok(edits),
            _ => Err(refused()),
        }
    }
}

/// The new text for a value as it is written, quotes included: the style stays, unless the new id needs quotes.
fn respelt(written: &str, old: &str, new: &str) -> Option<String> {
    let quote = ['"', '\'']
        .into_iter()
        .find(|quote| written.len() > 1 && written.starts_with(*quote) && written.ends_with(*quote));
    let inner = quote.map_or(written, |quote| written.trim_matches(quote));
    let (id, output) = split(inner);
    if id != old {
        return None;
    }
    let value = output.map_or_else(|| new.to_owned(), |output| format!("{new}/{output}"));
    let quote = quote.or_else(|| is_no_text(&value).then_some('"'));
    Some(quote.map_or_else(|| value.clone(), |quote| format!("{quote}{value}{quote}")))
}

/// Whether YAML takes a plain word for something else than a text.
fn is_no_text(word: &str) -> bool {
    let based = |prefix: &str| word.strip_prefix(prefix).is_some_and(|rest| !rest.is_empty());
    matches!(word.to_ascii_lowercase().as_str(), "null" | "true" | "false" | "yes" | "no" | "on" | "off" | "y" | "n")
        || word.replace('_', "").parse::<f64>().is_ok()
        || based("0x")
        || based("0o")
        || word.parse::<jiff::civil::Date>().is_ok()
}

/// A text with changes, which are in the order of their bytes.
fn applied(text: &str, edits: &[(Range<usize>, String)]) -> Option<String> {
    let mut changed = String::with_capacity(text.len() + 64);
    let mut done = 0;
    for (bytes, new) in edits {
        changed.push_str(text.get(done..bytes.start)?);
        changed.push_str(new);
        done = bytes.end;
    }
    changed.push_str(text.get(done..)?);
    Some(changed)
}
