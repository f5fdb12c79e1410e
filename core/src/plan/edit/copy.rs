//! A copy of a node in flow style, on one line, with some entries of it changed.

use crate::plan::yaml::{NodeId, Tree, Value};

/// A change to an entry of the mapping that is copied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Part<'a> {
    /// This text is its value, whether or not the original has the key.
    Is(&'a str, &'a str),
    /// It is left out.
    Without(&'a str),
}

/// The node on one line; `parts` change entries of the outermost mapping. Comments are not copied.
pub(crate) fn flow(tree: &Tree, node: NodeId, parts: &[Part<'_>]) -> String {
    match tree.value(node) {
        Value::Scalar { text, plain: true } if is_plain(text) => text.to_owned(),
        Value::Scalar { .. } if tree.is_null(node) => "null".to_owned(),
        Value::Scalar { text, .. } => quoted(text),
        Value::Sequence(items) => {
            let items: Vec<String> = items.iter().map(|item| flow(tree, *item, &[])).collect();
            format!("[{}]", items.join(", "))
        }
        Value::Mapping(entries) => {
            let mut written = Vec::with_capacity(entries.len() + parts.len());
            for entry in entries {
                let key = tree.scalar(entry.key);
                let change = parts.iter().find(|part| matches!(part, Part::Is(k, _) | Part::Without(k) if *k == key));
                let value = match change {
                    Some(Part::Without(_)) => continue,
                    Some(Part::Is(_, text)) => (*text).to_owned(),
                    None => flow(tree, entry.value, &[]),
                };
                written.push(format!("{}: {value}", flow(tree, entry.key, &[])));
            }
            for part in parts {
                if let Part::Is(key, text) = part
                    && tree.get(node, key).is_none()
                {
                    written.push(format!("{key}: {text}"));
                }
            }
            format!("{{ {} }}", written.join(", "))
        }
    }
}

/// A text in double quotes: a string of JSON is one of YAML.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// Whether a text that stands without quotes can do so inside flow style too.
fn is_plain(text: &str) -> bool {
    let inside =
        |c: char| c.is_ascii_alphanumeric() || matches!(c, ' ' | '.' | '/' | '_' | '-' | '%' | '+' | '²' | '°');
    let word = text.chars().all(inside) && text.trim() == text && text.starts_with(|c: char| c.is_ascii_alphanumeric());
    word || text.parse::<f64>().is_ok_and(f64::is_finite)
}
