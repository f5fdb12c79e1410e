//! A plan as one document that can be written without some of its parts: its shared schedules are put into its own, so
//! that what is left out of them is left out for this plan alone.

use crate::plan::Loaded;
use crate::plan::field::Span;
use crate::plan::yaml::{NodeId, Tree, Value};
use std::fmt::Write as _;

/// A part of the document, with its place in the files.
#[derive(Debug, Clone)]
pub(super) struct Part {
    pub(super) span: Span,
    pub(super) value: Own,
}

/// What a part is.
#[derive(Debug, Clone)]
pub(super) enum Own {
    /// As it is written in flow style.
    Scalar(String),
    Sequence(Vec<Part>),
    Mapping(Vec<(String, Part)>),
}

/// The tables of a schedule.
const TABLES: [&str; 4] = ["luminaires", "cables", "supplies", "splices"];

impl Part {
    /// The whole of a plan; `None` where it is no document.
    pub(super) fn whole(loaded: &Loaded) -> Option<Self> {
        let (plan, shared) = loaded.trees().split_first()?;
        let mut whole = Self::of(plan, plan.root());
        for tree in shared {
            let Some(schedule) = tree.get(tree.root(), "schedule") else { continue };
            for table in TABLES {
                for entry in tree.get(schedule, table).map_or(&[][..], |table| tree.entries(table)) {
                    let (name, part) = (tree.scalar(entry.key), Self::of(tree, entry.value));
                    // The plan's own entry replaces a shared one.
                    let own = whole.entry("schedule").and_then(|own| own.entry(table));
                    if own.and_then(|own| own.entry(name)).is_none() {
                        whole.table(table)?.push((name.to_owned(), part));
                    }
                }
            }
        }
        whole.entries()?.retain(|(key, _)| key != "use");
        for table in TABLES {
            for (_, part) in whole.table(table)? {
                part.entries()?.retain(|(key, _)| key != "replaces");
            }
        }
        Some(whole)
    }

    fn of(tree: &Tree, node: NodeId) -> Self {
        let value = match tree.value(node) {
            Value::Scalar { .. } if tree.is_null(node) => Own::Scalar("null".to_owned()),
            Value::Scalar { text, plain } => Own::Scalar(scalar(text, plain)),
            Value::Sequence(items) => Own::Sequence(items.iter().map(|item| Self::of(tree, *item)).collect()),
            Value::Mapping(entries) => {
                Own::Mapping(entries.iter().map(|e| (tree.scalar(e.key).to_owned(), Self::of(tree, e.value))).collect())
            }
        };
        Self { span: tree.span(node), value }
    }

    /// The value under a key.
    pub(super) fn entry(&self, key: &str) -> Option<&Self> {
        match &self.value {
            Own::Mapping(entries) => entries.iter().find(|(name, _)| name == key).map(|(_, part)| part),
            Own::Scalar(_) | Own::Sequence(_) => None,
        }
    }

    /// The entries of a table of the schedule, which is made where it is not there.
    fn table(&mut self, table: &str) -> Option<&mut Vec<(String, Self)>> {
        self.mapping("schedule")?.mapping(table)?.entries()
    }

    /// The mapping under a key, which is made where it is not there.
    fn mapping(&mut self, key: &str) -> Option<&mut Self> {
        let span = self.span;
        let entries = self.entries()?;
        let index = entries.iter().position(|(name, _)| name == key).unwrap_or_else(|| {
            entries.push((key.to_owned(), Self { span, value: Own::Mapping(Vec::new()) }));
            entries.len() - 1
        });
        entries.get_mut(index).map(|(_, part)| part)
    }

    pub(super) fn entries(&mut self) -> Option<&mut Vec<(String, Self)>> {
        match &mut self.value {
            Own::Mapping(entries) => Some(entries),
            Own::Scalar(_) | Own::Sequence(_) => None,
        }
    }

    /// Writes it in flow style.
    pub(super) fn text(&self) -> String {
        let mut out = String::new();
        self.write(&mut out);
        out.push('\n');
        out
    }

    fn write(&self, out: &mut String) {
        match &self.value {
            Own::Scalar(text) => out.push_str(text),
            Own::Sequence(items) => {
                out.push('[');
                for item in items {
                    item.write(out);
                    out.push_str(", ");
                }
                out.push(']');
            }
            Own::Mapping(entries) => {
                out.push('{');
                for (key, part) in entries {
                    let _ = write!(out, "{}: ", quoted(key));
                    part.write(out);
                    out.push_str(", ");
                }
                out.push('}');
            }
        }
    }
}

/// A scalar in flow style: what may be a number or a word stays as it is, all else is quoted.
fn scalar(text: &str, plain: bool) -> String {
    let is_safe = |c: char| c.is_ascii_alphanumeric() || matches!(c, ' ' | '.' | '+' | '-' | '_' | '/' | '%');
    let starts_safely = text.starts_with(|c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '+' | '.'));
    match plain && starts_safely && text.chars().all(is_safe) && text.trim() == text && text != "-" {
        true => text.to_owned(),
        false => quoted(text),
    }
}

fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
