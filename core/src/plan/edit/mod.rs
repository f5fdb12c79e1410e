//! Changes the text of a plan in place: what is not named stays byte for byte, comments and layout included.
//!
//! An [`Editor`] collects replacements against the tree of the text as it is. Everything that is inserted takes the
//! style of what stands around it, block or flow.

mod copy;

pub(crate) use copy::{Part, flow};

use super::yaml::{NodeId, Tree, Value};

/// Replaces some bytes of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Edit {
    start: usize,
    end: usize,
    text: String,
    /// Which of several lines that go to one place comes first: the smaller one.
    rank: usize,
}

/// Collects changes to one text.
pub(crate) struct Editor<'t> {
    tree: &'t Tree,
    text: &'t str,
    edits: Vec<Edit>,
}

impl<'t> Editor<'t> {
    /// Of a tree that was read from the text.
    pub(crate) fn new(tree: &'t Tree) -> Self {
        Self { tree, text: tree.text(), edits: Vec::new() }
    }

    /// Another text for a node.
    pub(crate) fn replace(&mut self, node: NodeId, text: impl Into<String>) {
        let span = self.tree.span(node);
        self.edits.push(Edit { start: span.start as usize, end: span.end as usize, text: text.into(), rank: 0 });
    }

    /// Another value under a key of a mapping, which gets the key if it has none.
    pub(crate) fn set(&mut self, mapping: NodeId, key: &str, text: &str) {
        match self.tree.get(mapping, key) {
            // A value that is left out has the place of its key.
            Some(value) if self.tree.is_null(value) && self.slice(value) == key => {
                let end = self.tree.span(value).end as usize;
                let colon = self.text[end..].find(':').map_or(0, |colon| colon + 1);
                self.insert_at(end + colon, format!(" {text}"));
            }
            Some(value) => self.replace(value, text),
            None => self.add_entry(mapping, key, text),
        }
    }

    /// Adds an entry at the end of a mapping.
    pub(crate) fn add_entry(&mut self, mapping: NodeId, key: &str, text: &str) {
        let last = self.tree.entries(mapping).last().map(|entry| entry.value);
        self.append(mapping, last, &entry(key, text), self.column_of_entries(mapping));
    }

    /// Adds a list at the end of a mapping: in block style a line for each item.
    pub(crate) fn add_list(&mut self, mapping: NodeId, key: &str, items: &[String]) {
        let text = if self.is_flow(mapping) {
            format!("[{}]", items.join(", "))
        } else {
            self.lines(self.column_of_entries(mapping) + 2, items.iter().map(|item| format!("- {item}")))
        };
        self.add_entry(mapping, key, &text);
    }

    /// Lines of their own at a column, each behind the end of the line before.
    pub(crate) fn lines(&self, column: usize, lines: impl Iterator<Item = String>) -> String {
        let between = self.line_break(column);
        lines.map(|line| format!("{between}{line}")).collect()
    }

    /// Other entries for a mapping that has some.
    pub(crate) fn replace_entries(&mut self, mapping: NodeId, entries: &[(String, String)]) {
        let old = self.tree.entries(mapping);
        let (Some(first), Some(last)) = (old.first(), old.last()) else { return };
        let (start, end) = (self.tree.span(first.key).start as usize, self.tree.span(last.value).end as usize);
        let between = if self.is_flow(mapping) { ", ".to_owned() } else { self.line_break(self.column(start)) };
        let text = entries.iter().map(|(key, value)| format!("{key}: {value}")).collect::<Vec<_>>().join(&between);
        self.edits.push(Edit { start, end, text, rank: 0 });
    }

    /// Adds a mapping with these entries at the end of a mapping.
    pub(crate) fn add_mapping(&mut self, mapping: NodeId, key: &str, entries: &[(String, String)]) {
        let written = entries.iter().map(|(key, value)| entry(key, value));
        let text = if self.is_flow(mapping) {
            format!("{{ {} }}", written.collect::<Vec<_>>().join(", "))
        } else {
            let between = self.line_break(self.column_of_entries(mapping) + 2);
            written.map(|entry| format!("{between}{entry}")).collect()
        };
        let last = self.tree.entries(mapping).last().map(|entry| entry.value);
        let space = if text.starts_with('{') { " " } else { "" };
        self.append(mapping, last, &format!("{key}:{space}{text}"), self.column_of_entries(mapping));
    }

    /// Adds an item to a sequence after the one with this index; at the start of an empty one.
    pub(crate) fn add_item(&mut self, sequence: NodeId, after: usize, text: &str) {
        let items = self.tree.items(sequence);
        let item = items.get(after).or(items.last()).copied();
        let at = item.map_or(0, |item| self.dash_before(self.tree.span(item).start as usize));
        let written = if self.is_flow(sequence) { text.to_owned() } else { format!("- {text}") };
        self.append(sequence, item, &written, self.column(at));
    }

    /// Takes an item out of a sequence, with its line where it stands on its own.
    pub(crate) fn remove_item(&mut self, sequence: NodeId, index: usize) {
        let items = self.tree.items(sequence);
        let Some(&item) = items.get(index) else { return };
        let span = self.tree.span(item);
        let (mut start, mut end) = (span.start as usize, span.end as usize);
        if self.is_flow(sequence) {
            // With the comma that follows, or the one before.
            if let Some(next) = items.get(index + 1) {
                end = self.tree.span(*next).start as usize;
            } else if let Some(before) = index.checked_sub(1).and_then(|i| items.get(i)) {
                start = self.tree.span(*before).end as usize;
            }
        } else {
            start = self.line_start(self.dash_before(start));
            end = self.after_line(end);
        }
        self.edits.push(Edit { start, end, text: String::new(), rank: 0 });
    }

    /// Takes the items from the `keep`th on out of a sequence; the first one stays.
    pub(crate) fn truncate(&mut self, sequence: NodeId, keep: usize) {
        let items = self.tree.items(sequence);
        let (Some(kept), Some(gone), Some(last)) =
            (keep.checked_sub(1).map(|i| &items[i.min(items.len() - 1)]), items.get(keep), items.last())
        else {
            return;
        };
        let end = self.tree.span(*last).end as usize;
        let (start, end) = if self.is_flow(sequence) {
            (self.tree.span(*kept).end as usize, end)
        } else {
            (self.line_start(self.dash_before(self.tree.span(*gone).start as usize)), self.after_line(end))
        };
        self.edits.push(Edit { start, end, text: String::new(), rank: 0 });
    }

    /// Takes an entry out of a mapping.
    pub(crate) fn remove_entry(&mut self, mapping: NodeId, key: &str) {
        let entries = self.tree.entries(mapping);
        let Some(index) = entries.iter().position(|entry| self.tree.scalar(entry.key) == key) else { return };
        let (mut start, mut end) =
            (self.tree.span(entries[index].key).start as usize, self.tree.span(entries[index].value).end as usize);
        let next = entries.get(index + 1).map(|entry| self.tree.span(entry.key).start as usize);
        let on_its_own_line = self.text[self.line_start(start)..start].trim().is_empty();
        match (self.is_flow(mapping), next, index.checked_sub(1)) {
            (false, _, _) if on_its_own_line => (start, end) = (self.line_start(start), self.after_line(end)),
            // The next key takes the place of this one, also behind the dash of an item.
            (_, Some(next), _) => end = next,
            (_, None, Some(before)) => start = self.tree.span(entries[before].value).end as usize,
            (_, None, None) => {}
        }
        self.edits.push(Edit { start, end, text: String::new(), rank: 0 });
    }

    /// The changed text; `None` where two changes meet in the same bytes.
    pub(crate) fn finish(mut self) -> Option<String> {
        // A stable order keeps insertions of one rank at one place in the order in which they came.
        self.edits.sort_by_key(|edit| (edit.start, edit.end, edit.rank));
        let mut changed = String::with_capacity(self.text.len() + 256);
        let mut done = 0;
        for edit in &self.edits {
            changed.push_str(self.text.get(done..edit.start)?);
            changed.push_str(&edit.text);
            done = edit.end;
        }
        changed.push_str(self.text.get(done..)?);
        Some(changed)
    }

    /// Adds `text` to a container, behind `last` of its children.
    fn append(&mut self, container: NodeId, last: Option<NodeId>, text: &str, column: usize) {
        let span = self.tree.span(container);
        match (self.is_flow(container), last) {
            (true, Some(last)) => self.insert_at(self.tree.span(last).end as usize, format!(", {text}")),
            (true, None) => self.insert_at(span.start as usize + 1, text.to_owned()),
            (false, last) => {
                let end = last.map_or(span.end, |last| self.tree.span(last).end) as usize;
                self.insert_line(end, column, text);
            }
        }
    }

    /// Adds a line of its own behind the line in which `end` stands.
    fn insert_line(&mut self, end: usize, column: usize, text: &str) {
        let at = self.after_line(end);
        let newline = self.newline();
        let indent = " ".repeat(column);
        // The last line of a file may lack its end.
        let lacks = at > 0 && !self.text[..at].ends_with('\n');
        // What is indented more belongs to what ends here, and an item may stand at the column of the keys around it.
        let rank = (usize::MAX / 4 - column) * 2 + usize::from(!text.starts_with("- "));
        self.insert_ranked(at, format!("{}{indent}{text}{newline}", if lacks { newline } else { "" }), rank);
    }

    fn newline(&self) -> &'static str {
        if self.text.contains("\r\n") { "\r\n" } else { "\n" }
    }

    /// The end of a line and the indent of the next one.
    fn line_break(&self, column: usize) -> String {
        format!("{}{}", self.newline(), " ".repeat(column))
    }

    fn insert_at(&mut self, at: usize, text: String) {
        self.insert_ranked(at, text, 0);
    }

    fn insert_ranked(&mut self, at: usize, text: String, rank: usize) {
        self.edits.push(Edit { start: at, end: at, text, rank });
    }

    fn slice(&self, node: NodeId) -> &'t str {
        let span = self.tree.span(node);
        self.text.get(span.start as usize..span.end as usize).unwrap_or("")
    }

    /// Whether a mapping or a list is written with braces or brackets.
    pub(crate) fn is_flow(&self, container: NodeId) -> bool {
        match self.tree.value(container) {
            // A block list may begin with an item in flow style: its place is that of the item, behind the dash.
            Value::Sequence(items) => {
                let dash = items.first().is_some_and(|item| {
                    let start = self.tree.span(*item).start as usize;
                    self.dash_before(start) != start
                });
                !dash && self.slice(container).starts_with('[')
            }
            _ => self.slice(container).starts_with('{'),
        }
    }

    /// Column, in characters from 0, of the keys of a block mapping.
    pub(crate) fn column_of_entries(&self, mapping: NodeId) -> usize {
        let entries = self.tree.entries(mapping);
        entries.first().map_or(0, |entry| self.column(self.tree.span(entry.key).start as usize))
    }

    fn column(&self, at: usize) -> usize {
        self.text[self.line_start(at)..at].trim_start_matches('\u{feff}').chars().count()
    }

    fn line_start(&self, at: usize) -> usize {
        self.text[..at].rfind('\n').map_or(0, |newline| newline + 1)
    }

    /// Where the line after the one that holds the byte before `end` starts.
    fn after_line(&self, end: usize) -> usize {
        if self.text[..end].ends_with('\n') {
            return end;
        }
        self.text[end..].find('\n').map_or(self.text.len(), |newline| end + newline + 1)
    }

    /// The dash of the block item that starts at a byte; the byte itself where there is none.
    fn dash_before(&self, start: usize) -> usize {
        let before = self.text[..start].trim_end_matches([' ', '\t']);
        if before.ends_with('-') { before.len() - 1 } else { start }
    }
}

/// A key with its value, which may start on a line of its own.
fn entry(key: &str, value: &str) -> String {
    let space = if value.starts_with(['\n', '\r']) { "" } else { " " };
    format!("{key}:{space}{value}")
}

/// The value at a route of keys and indices from a node.
pub(crate) fn find(tree: &Tree, from: NodeId, route: &[&str]) -> Option<NodeId> {
    route.iter().try_fold(from, |node, step| match tree.value(node) {
        Value::Mapping(_) => tree.get(node, step),
        Value::Sequence(items) => items.get(step.parse::<usize>().ok()?).copied(),
        Value::Scalar { .. } => None,
    })
}

#[cfg(test)]
mod tests;
