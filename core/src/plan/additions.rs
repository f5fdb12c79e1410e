//! Puts new elements and types into the text of a plan: what a survey or a schedule from elsewhere brings in.
//!
//! The text that is there stays byte for byte, comments included. Whatever comes out is read by the loader before it
//! is handed on, so that a plan written in a way that is not foreseen here ends in an error and never in a wrong plan.

use super::diagnostic::Diagnostic;
use super::edit::Editor;
use super::load::{Loaded, load_text};
use super::locate::ElementKind;
use super::yaml::{NodeId, Tree, Value};
use crate::repository::Repository;
use std::path::Path;

/// Rounds of reading the plan and leaving out what the loader refuses, before the whole is refused.
const MOST_ROUNDS: usize = 50;

/// What is put into a plan. Values are YAML on one line; see [`flow_text`].
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Additions {
    /// Entries of `site`, such as its grid.
    pub site: Vec<(String, String)>,
    /// Luminaire types, by name.
    pub luminaire_types: Vec<(String, String)>,
    /// Zones, utilities, supplies, junctions and luminaires.
    pub elements: Vec<NewElement>,
}

/// A new element.
#[derive(Debug, Clone, PartialEq)]
pub struct NewElement {
    /// What it is; runs are not put in here.
    pub kind: ElementKind,
    /// Its id, which the plan does not have yet.
    pub id: String,
    /// Its other fields with their values.
    pub fields: Vec<(String, String)>,
}

/// A plan with additions that can be read.
#[derive(Debug)]
pub struct Added {
    /// The text.
    pub text: String,
    /// The plan that it is.
    pub loaded: Loaded,
    /// Elements that the loader refuses, by their place in the additions, with what it says.
    pub refused: Vec<(usize, Diagnostic)>,
}

/// The plan with the additions, without those elements that the loader refuses. The plan as it would be, with its
/// diagnostics, where something else is wrong with it; `base` itself where it has no text to add to.
pub fn add(repository: &Repository, path: &Path, base: &Loaded, additions: &Additions) -> Result<Added, Box<Loaded>> {
    let mut kept: Vec<usize> = (0..additions.elements.len()).collect();
    let mut refused = Vec::new();
    for _ in 0..MOST_ROUNDS {
        let some: Vec<&NewElement> = kept.iter().filter_map(|index| additions.elements.get(*index)).collect();
        let Some(text) = extended(base, additions, &some) else { break };
        let loaded = load_text(repository, path, text.as_bytes());
        if loaded.diagnostics.is_empty() && some.iter().all(|new| loaded.element_kind(&new.id) == Some(new.kind)) {
            refused.sort_by_key(|(index, _): &(usize, Diagnostic)| *index);
            return Ok(Added { text, loaded, refused });
        }
        let wrong = blamed(&loaded, &kept, &additions.elements);
        if wrong.is_empty() {
            return Err(Box::new(loaded));
        }
        kept.retain(|index| wrong.iter().all(|(blamed, _)| blamed != index));
        refused.extend(wrong);
    }
    Err(Box::new(base.clone()))
}

/// The new elements in which diagnostics stand, each with the first of them.
fn blamed(loaded: &Loaded, kept: &[usize], elements: &[NewElement]) -> Vec<(usize, Diagnostic)> {
    let Some(tree) = loaded.tree() else { return Vec::new() };
    let mut places: Vec<(u32, u32, usize)> = kept
        .iter()
        .filter_map(|index| {
            let (_, node) = loaded.element(&elements.get(*index)?.id)?;
            let span = tree.span(node);
            Some((span.start, span.end, *index))
        })
        .collect();
    places.sort_unstable();
    let mut wrong: Vec<(usize, Diagnostic)> = Vec::new();
    for diagnostic in &loaded.diagnostics {
        let Some(span) = diagnostic.span.filter(|span| span.file == 0) else { continue };
        let after = places.partition_point(|(start, ..)| *start <= span.start);
        let Some((_, end, index)) = after.checked_sub(1).and_then(|at| places.get(at)) else { continue };
        if span.start < *end && wrong.iter().all(|(blamed, _)| blamed != index) {
            wrong.push((*index, diagnostic.clone()));
        }
    }
    wrong
}

/// Whether the plan or one of its schedules has a type of this name for the elements of a kind, under this key of
/// theirs (`type`, `splice`).
pub fn has_type(loaded: &Loaded, kind: ElementKind, key: &str, name: &str) -> bool {
    loaded.referred(kind, key, name).is_some()
}

/// The text with the additions; `None` where the plan is no mapping.
fn extended(base: &Loaded, additions: &Additions, elements: &[&NewElement]) -> Option<String> {
    let tree = base.tree()?;
    let root = tree.root();
    tree.entries(root).first()?;
    let mut editor = Editor::new(tree);
    let list = |kind: ElementKind| -> Vec<String> {
        elements.iter().filter(|element| element.kind == kind).map(|element| element.text()).collect()
    };
    let types = &additions.luminaire_types;
    if !types.is_empty() {
        let schedule = Section { key: "schedule", entries: &[], lists: &[], table: Some(("luminaires", types)) };
        section(tree, &mut editor, &schedule);
    }
    let lists = [("zones", list(ElementKind::Zone)), ("utilities", list(ElementKind::Utility))];
    if !additions.site.is_empty() || lists.iter().any(|(_, items)| !items.is_empty()) {
        section(tree, &mut editor, &Section { key: "site", entries: &additions.site, lists: &lists, table: None });
    }
    for (key, kind) in [
        ("supplies", ElementKind::Supply),
        ("junctions", ElementKind::Junction),
        ("luminaires", ElementKind::Luminaire),
    ] {
        put_list(tree, &mut editor, root, key, &list(kind));
    }
    editor.finish()
}

/// What is put under a key of the root.
struct Section<'a> {
    key: &'a str,
    entries: &'a [(String, String)],
    lists: &'a [(&'a str, Vec<String>)],
    table: Option<(&'a str, &'a [(String, String)])>,
}

impl Section<'_> {
    /// Everything as entries in flow style.
    fn flow(&self) -> Vec<(String, String)> {
        let lists = self.lists.iter().filter(|(_, items)| !items.is_empty());
        let lists = lists.map(|(key, items)| ((*key).to_owned(), format!("[{}]", items.join(", "))));
        let table = self.table.iter().map(|(key, entries)| ((*key).to_owned(), flow_mapping(entries)));
        self.entries.iter().cloned().chain(lists).chain(table).collect()
    }

    /// Everything as entries in block style, lists and tables with a line for each item.
    fn block(&self, editor: &Editor<'_>, column: usize) -> Vec<(String, String)> {
        let lists = self.lists.iter().filter(|(_, items)| !items.is_empty());
        let lists = lists.map(|(key, items)| {
            let items = items.iter().map(|item| format!("- {item}"));
            ((*key).to_owned(), editor.lines(column + 2, items))
        });
        let table = self.table.iter().map(|(key, entries)| {
            let entries = entries.iter().map(|(name, value)| format!("{name}: {value}"));
            ((*key).to_owned(), editor.lines(column + 2, entries))
        });
        self.entries.iter().cloned().chain(lists).chain(table).collect()
    }
}

fn section(tree: &Tree, editor: &mut Editor<'_>, section: &Section<'_>) {
    let root = tree.root();
    let Some(there) = tree.get(root, section.key) else {
        let entries = if editor.is_flow(root) {
            section.flow()
        } else {
            section.block(editor, editor.column_of_entries(root) + 2)
        };
        return editor.add_mapping(root, section.key, &entries);
    };
    if tree.entries(there).is_empty() {
        return editor.set(root, section.key, &flow_mapping(&section.flow()));
    }
    for (key, value) in section.entries {
        editor.set(there, key, value);
    }
    for (key, items) in section.lists {
        put_list(tree, editor, there, key, items);
    }
    let Some((key, entries)) = section.table else { return };
    match tree.get(there, key) {
        Some(table) if !tree.entries(table).is_empty() => {
            entries.iter().for_each(|(name, value)| editor.add_entry(table, name, value));
        }
        Some(_) => editor.set(there, key, &flow_mapping(entries)),
        None => editor.add_mapping(there, key, entries),
    }
}

/// Puts items at the end of a list of a mapping, which gets the list if it has none.
fn put_list(tree: &Tree, editor: &mut Editor<'_>, mapping: NodeId, key: &str, items: &[String]) {
    if items.is_empty() {
        return;
    }
    match tree.get(mapping, key) {
        None => editor.add_list(mapping, key, items),
        Some(list) => match tree.value(list) {
            Value::Sequence(there) if !there.is_empty() => {
                items.iter().for_each(|item| editor.add_item(list, there.len() - 1, item));
            }
            _ => editor.set(mapping, key, &format!("[{}]", items.join(", "))),
        },
    }
}

impl NewElement {
    /// The element on one line.
    pub fn text(&self) -> String {
        let mut entries = vec![("id".to_owned(), flow_text(&self.id))];
        entries.extend(self.fields.iter().cloned());
        flow_mapping(&entries)
    }
}

/// A mapping on one line.
pub fn flow_mapping(entries: &[(String, String)]) -> String {
    let entries: Vec<String> = entries.iter().map(|(key, value)| format!("{key}: {value}")).collect();
    format!("{{ {} }}", entries.join(", "))
}

/// A text as a scalar on one line: without quotes where it reads as the same text without them.
pub fn flow_text(text: &str) -> String {
    let inside = |c: char| c.is_ascii_alphanumeric() || matches!(c, ' ' | '.' | '/' | '_' | '-' | '%' | '+');
    let plain =
        text.starts_with(|c: char| c.is_ascii_alphanumeric()) && !text.ends_with(' ') && text.chars().all(inside);
    let other_type = text.parse::<f64>().is_ok()
        || text.starts_with(|c: char| c.is_ascii_digit()) && !text.contains(' ') && !text.contains('-')
        || ["null", "true", "false", "yes", "no", "on", "off"].iter().any(|word| text.eq_ignore_ascii_case(word));
    if plain && !other_type { text.to_owned() } else { quoted(text) }
}

/// A text in double quotes, with escapes for all that is not to be seen.
fn quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            ' '..='~' => quoted.push(c),
            '\u{a1}'..='\u{d7ff}' | '\u{e000}'..='\u{fefe}' | '\u{ff00}'..='\u{fffd}' | '\u{10000}'..
                if !super::snippet::is_harmful(c) && !c.is_whitespace() =>
            {
                quoted.push(c);
            }
            _ if u32::from(c) > 0xffff => quoted.push_str(&format!("\\U{:08x}", u32::from(c))),
            _ => quoted.push_str(&format!("\\u{:04x}", u32::from(c))),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests;
