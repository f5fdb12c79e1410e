//! A proposal as text of a plan: the user's own text with types, supplies, junctions and runs put in, all else untouched.
//!
//! Insertions go by the bytes of the nodes of the plan's own tree. Whatever comes out is read again by the loader, so a
//! plan written in a way that is not foreseen here ends in an error and never in a wrong plan.

use crate::plan::Loaded;
use crate::plan::yaml::{NodeId, Tree};

/// What is put into a plan. All values are flow YAML on one line.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Additions {
    /// Name and value of each cable type.
    pub(super) cables: Vec<(String, String)>,
    /// Name and value of each supply type.
    pub(super) supply_types: Vec<(String, String)>,
    /// Type, and place where it has none, of the supply that the plan has already.
    pub(super) own_supply: Option<(String, Option<String>)>,
    pub(super) supplies: Vec<String>,
    pub(super) junctions: Vec<String>,
    pub(super) runs: Vec<String>,
}

/// Bytes to replace, and by what.
struct Edit {
    start: usize,
    end: usize,
    text: String,
}

/// The plan's text with the additions; `None` when the plan is no mapping.
pub(super) fn extended(loaded: &Loaded, additions: &Additions) -> Option<String> {
    let tree = loaded.tree()?;
    let text: &str = &loaded.sources.files().first()?.text;
    let mut editor = Editor { tree, text, edits: Vec::new(), tail: String::new() };
    editor.types(additions);
    editor.supplies(additions)?;
    editor.list("junctions", &additions.junctions)?;
    editor.list("runs", &additions.runs)?;
    Some(editor.finish())
}

struct Editor<'t> {
    tree: &'t Tree,
    text: &'t str,
    edits: Vec<Edit>,
    /// What goes to the end of the file.
    tail: String,
}

impl Editor<'_> {
    fn start(&self, node: NodeId) -> usize {
        self.tree.span(node).start as usize
    }

    fn end(&self, node: NodeId) -> usize {
        self.tree.span(node).end as usize
    }

    /// Whether a collection is written with braces or brackets.
    fn is_flow(&self, node: NodeId) -> bool {
        self.text.get(self.start(node)..).is_some_and(|rest| rest.starts_with(['{', '[']))
    }

    /// The text before a node on its line.
    fn before(&self, node: NodeId) -> &str {
        let before = self.text.get(..self.start(node)).unwrap_or("");
        // A byte order mark is no indent.
        before.rfind('\n').map_or(before, |at| &before[at + 1..]).trim_start_matches('\u{feff}')
    }

    fn put(&mut self, at: usize, text: String) {
        self.edits.push(Edit { start: at, end: at, text });
    }

    fn replace(&mut self, node: NodeId, text: String) {
        self.edits.push(Edit { start: self.start(node), end: self.end(node), text });
    }

    /// Puts entries at the front of a mapping.
    fn entries(&mut self, mapping: NodeId, entries: &[(String, String)]) {
        if entries.is_empty() {
            return;
        }
        let flow = || entries.iter().map(|(key, value)| format!("{key}: {value}")).collect::<Vec<_>>();
        if self.tree.entries(mapping).is_empty() {
            self.replace(mapping, format!("{{ {} }}", flow().join(", ")));
        } else if self.is_flow(mapping) {
            self.put(self.start(mapping) + 1, format!(" {},", flow().join(", ")));
        } else {
            let indent = " ".repeat(self.before(mapping).chars().count());
            let lines: String = flow().into_iter().map(|entry| format!("{entry}\n{indent}")).collect();
            self.put(self.start(mapping), lines);
        }
    }

    fn types(&mut self, additions: &Additions) {
        let tables = [("cables", &additions.cables), ("supplies", &additions.supply_types)];
        let tables: Vec<_> = tables.into_iter().filter(|(_, entries)| !entries.is_empty()).collect();
        let Some(schedule) = self.tree.get(self.tree.root(), "schedule") else {
            if !tables.is_empty() {
                self.section("schedule", |indent| {
                    let table = |(name, entries): &(&str, &Vec<(String, String)>)| {
                        let lines = entries.iter().map(|(key, value)| format!("{indent}    {key}: {value}\n"));
                        format!("{indent}  {name}:\n{}", lines.collect::<String>())
                    };
                    tables.iter().map(table).collect()
                });
            }
            return;
        };
        for (name, entries) in tables {
            match self.tree.get(schedule, name) {
                Some(table) => self.entries(table, entries),
                None if self.is_flow(schedule) => {
                    let inner: Vec<String> = entries.iter().map(|(key, value)| format!("{key}: {value}")).collect();
                    let nested = format!("{{ {} }}", inner.join(", "));
                    self.entries(schedule, &[(name.to_owned(), nested)]);
                }
                None => {
                    let indent = " ".repeat(self.before(schedule).chars().count());
                    let lines = entries.iter().map(|(key, value)| format!("\n{indent}  {key}: {value}"));
                    let table = format!("{name}:{}\n{indent}", lines.collect::<String>());
                    self.put(self.start(schedule), table);
                }
            }
        }
    }

    /// A new section at the end of a plan whose root is a block mapping.
    fn section(&mut self, key: &str, body: impl FnOnce(&str) -> String) {
        let indent = " ".repeat(self.before(self.tree.root()).chars().count());
        let body = body(&indent);
        self.tail.push_str(&format!("{indent}{key}:\n{body}"));
    }

    fn supplies(&mut self, additions: &Additions) -> Option<()> {
        let own = self.tree.get(self.tree.root(), "supplies").and_then(|list| self.tree.items(list).first().copied());
        let (Some(item), Some((kind, at))) = (own, &additions.own_supply) else {
            return self.list("supplies", &additions.supplies);
        };
        let written = self.tree.get(item, "type")?;
        self.replace(written, kind.clone());
        if let Some(at) = at {
            self.entries(item, &[("at".to_owned(), at.clone())]);
        }
        let list = self.tree.get(self.tree.root(), "supplies")?;
        if additions.supplies.is_empty() {
            return Some(());
        }
        if self.is_flow(list) {
            self.put(self.end(item), format!(", {}", additions.supplies.join(", ")));
        } else {
            // Behind the line, so that a comment there stays with its supply.
            let rest = self.text.get(self.end(item)..).unwrap_or("");
            let line_end = self.end(item) + rest.find(['\r', '\n']).unwrap_or(rest.len());
            let dash = self.before(item).to_owned();
            let items: String = additions.supplies.iter().map(|supply| format!("\n{dash}{supply}")).collect();
            self.put(line_end, items);
        }
        Some(())
    }

    /// Adds a list that the plan has not, or has without items.
    fn list(&mut self, key: &str, items: &[String]) -> Option<()> {
        if items.is_empty() {
            return Some(());
        }
        let root = self.tree.root();
        match self.tree.get(root, key) {
            Some(empty) => self.replace(empty, format!("[{}]", items.join(", "))),
            None if self.is_flow(root) => {
                self.put(self.start(root) + 1, format!(" {key}: [{}],", items.join(", ")));
            }
            None => self.section(key, |indent| items.iter().map(|item| format!("{indent}  - {item}\n")).collect()),
        }
        Some(())
    }

    /// Where the plan ends: before the line of an end marker, else at the end of the text.
    fn plan_end(&self) -> usize {
        let mut at = self.end(self.tree.root());
        for line in self.text.get(at..).unwrap_or("").split_inclusive('\n') {
            if line.trim_end() == "..." || line.starts_with("... ") {
                return at;
            }
            at += line.len();
        }
        self.text.len()
    }

    fn finish(mut self) -> String {
        let end = self.plan_end();
        // The plan's own line ends.
        let lines = |text: &str| match self.text.contains("\r\n") {
            true => text.replace('\n', "\r\n"),
            false => text.to_owned(),
        };
        // Stable: what was put at one place stays in order.
        self.edits.sort_by_key(|edit| edit.start);
        let mut out = String::with_capacity(self.text.len() + 1024);
        let mut done = 0;
        for edit in &self.edits {
            out.push_str(self.text.get(done..edit.start).unwrap_or(""));
            out.push_str(&lines(&edit.text));
            done = done.max(edit.end);
        }
        let end = end.max(done);
        out.push_str(self.text.get(done..end).unwrap_or(""));
        if !self.tail.is_empty() {
            if !out.ends_with('\n') {
                out.push_str(&lines("\n"));
            }
            out.push_str(&lines("\n"));
            out.push_str(&lines(&self.tail));
        }
        out.push_str(self.text.get(end..).unwrap_or(""));
        out
    }
}
