//! YAML text to a tree in which every node knows its bytes.
//!
//! Plans are untrusted: depth, number of nodes and growth by aliases are bounded, and the tree lies
//! in one flat list, so that neither walking nor dropping it recurses.

mod build;
mod look;
mod scan_error;
mod source;

pub(crate) use build::parse;
pub(crate) use look::has_key;
pub(crate) use source::read;
pub use source::{MAX_BYTES, ReadError, read_plain, read_text};

use super::field::Span;
use std::sync::Arc;

/// Deepest nesting of sequences and mappings that is read.
pub(crate) const MAX_DEPTH: u32 = 128;
/// Most nodes of one file, counted with its aliases expanded.
pub(crate) const MAX_NODES: u32 = 3_000_000;

/// A node of a [`Tree`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(crate) struct NodeId(u32);

/// One key of a mapping with its value.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Entry {
    /// Always a scalar.
    pub(crate) key: NodeId,
    pub(crate) value: NodeId,
}

/// The document of one file.
#[derive(Debug, Clone)]
pub(crate) struct Tree {
    file: u32,
    text: Arc<str>,
    nodes: Vec<Node>,
    root: NodeId,
}

#[derive(Debug, Clone)]
struct Node {
    start: u32,
    end: u32,
    kind: Kind,
}

#[derive(Debug, Clone)]
enum Kind {
    Scalar { text: Text, plain: bool },
    Sequence(Box<[NodeId]>),
    Mapping(Box<[Entry]>),
}

/// The value of a scalar after escapes and folding.
#[derive(Debug, Clone)]
enum Text {
    /// It stands in the file as it is, in these bytes.
    InFile(u32, u32),
    /// It had to be put together.
    Owned(Box<str>),
}

/// What a node is.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Value<'t> {
    /// A text; `plain` when it is written without quotes and without the tag of a string.
    Scalar { text: &'t str, plain: bool },
    /// The items in order.
    Sequence(&'t [NodeId]),
    /// The entries in order; no key stands twice.
    Mapping(&'t [Entry]),
}

impl Tree {
    /// The outermost node.
    pub(crate) fn root(&self) -> NodeId {
        self.root
    }

    /// The whole text.
    pub(crate) fn text(&self) -> &str {
        &self.text
    }

    /// The bytes of a node.
    pub(crate) fn span(&self, id: NodeId) -> Span {
        let node = &self.nodes[id.0 as usize];
        Span { file: self.file, start: node.start, end: node.end }
    }

    /// What a node is.
    pub(crate) fn value(&self, id: NodeId) -> Value<'_> {
        match &self.nodes[id.0 as usize].kind {
            Kind::Scalar { text, plain } => Value::Scalar { text: self.text_of(text), plain: *plain },
            Kind::Sequence(items) => Value::Sequence(items),
            Kind::Mapping(entries) => Value::Mapping(entries),
        }
    }

    /// The text of a scalar; empty for other nodes.
    pub(crate) fn scalar(&self, id: NodeId) -> &str {
        match self.value(id) {
            Value::Scalar { text, .. } => text,
            Value::Sequence(_) | Value::Mapping(_) => "",
        }
    }

    /// Whether a node is a value left out or spelt as null.
    pub(crate) fn is_null(&self, id: NodeId) -> bool {
        matches!(self.value(id), Value::Scalar { text: "" | "~" | "null" | "Null" | "NULL", plain: true })
    }

    /// The entries of a mapping; none for other nodes.
    pub(crate) fn entries(&self, id: NodeId) -> &[Entry] {
        match self.value(id) {
            Value::Mapping(entries) => entries,
            Value::Scalar { .. } | Value::Sequence(_) => &[],
        }
    }

    /// The items of a sequence; none for other nodes.
    pub(crate) fn items(&self, id: NodeId) -> &[NodeId] {
        match self.value(id) {
            Value::Sequence(items) => items,
            Value::Scalar { .. } | Value::Mapping(_) => &[],
        }
    }

    /// The value under a key of a mapping.
    pub(crate) fn get(&self, id: NodeId, key: &str) -> Option<NodeId> {
        self.entries(id).iter().find(|e| self.scalar(e.key) == key).map(|e| e.value)
    }

    /// The part of a node's span on its first line.
    pub(crate) fn first_line(&self, id: NodeId) -> Span {
        let span = self.span(id);
        let text = self.text.get(span.start as usize..span.end as usize).unwrap_or("");
        let line = text.find(['\n', '\r']).map_or(text, |end| &text[..end]).trim_end();
        Span { end: span.start + line.len() as u32, ..span }
    }

    fn text_of<'t>(&'t self, text: &'t Text) -> &'t str {
        match text {
            Text::InFile(start, end) => self.text.get(*start as usize..*end as usize).unwrap_or(""),
            Text::Owned(text) => text,
        }
    }
}

/// A text for a message: control characters escaped, and cut when it is long.
pub(crate) fn elide(text: &str) -> String {
    const SHOWN: usize = 60;
    let mut shown = String::new();
    for character in text.chars().take(SHOWN) {
        match character.is_control() {
            true => shown.extend(character.escape_default()),
            false => shown.push(character),
        }
    }
    if text.chars().nth(SHOWN).is_some() {
        shown.push('…');
    }
    shown
}

#[cfg(test)]
mod tests;
