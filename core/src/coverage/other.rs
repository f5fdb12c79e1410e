//! Other values for a field: what is said twice, or by default, can be left out, but not be otherwise.

use crate::plan::schema;
use serde_json::Value;
use std::sync::LazyLock;

/// Values that are tried for one field.
const MOST: usize = 12;

/// What a text is changed by.
pub(super) type Change = Box<dyn Fn(&str) -> Option<String> + Send + Sync>;

/// Changes for the fields of a route: other numbers, days and answers, and the other words of the format.
pub(super) fn changes(route: &str) -> Vec<Change> {
    let mut changes: Vec<Change> = vec![
        Box::new(|text| scaled(text, 10.0)),
        Box::new(|text| scaled(text, 0.1)),
        Box::new(|text| match text {
            "true" => Some("false".to_owned()),
            "false" => Some("true".to_owned()),
            _ => None,
        }),
        Box::new(a_year_later),
    ];
    for word in words(route).into_iter().take(MOST) {
        changes.push(Box::new(move |_| Some(word.clone())));
    }
    changes
}

/// Another number before the same unit.
fn scaled(text: &str, by: f64) -> Option<String> {
    if day(text).is_some() {
        return None;
    }
    let digits = text.find(|c: char| !(c.is_ascii_digit() || c == '.')).unwrap_or(text.len());
    let number: f64 = text.get(..digits)?.parse().ok()?;
    Some(format!("{}{}", number * by, &text[digits..]))
}

fn a_year_later(text: &str) -> Option<String> {
    let (year, rest) = day(text)?;
    Some(format!("{:04}{rest}", year + 1))
}

/// The year of an ISO 8601 day, and the rest of it.
fn day(text: &str) -> Option<(u32, &str)> {
    let (year, rest) = text.split_at_checked(4)?;
    let is_day = rest.len() == 6 && rest.bytes().all(|b| b.is_ascii_digit() || b == b'-') && rest.starts_with('-');
    is_day.then(|| year.parse().ok().map(|year| (year, rest))).flatten()
}

/// The words that the format has at a route.
fn words(route: &str) -> Vec<String> {
    static SCHEMA: LazyLock<Value> = LazyLock::new(schema);
    let root = &*SCHEMA;
    let mut at = Some(root);
    for step in route.split('.') {
        let (key, lists) = (step.trim_end_matches("[]"), step.ends_with("[]"));
        at = at.and_then(|schema| {
            target(root, schema).get(if key == "*" { "additionalProperties" } else { "properties" })
        });
        if key != "*" {
            at = at.and_then(|properties| properties.get(key));
        }
        if lists {
            at = at.and_then(|schema| target(root, schema).get("items"));
        }
    }
    let mut words = Vec::new();
    if let Some(schema) = at {
        collect(root, schema, &mut words);
    }
    words
}

fn target<'s>(root: &'s Value, schema: &'s Value) -> &'s Value {
    let name = schema.get("$ref").and_then(Value::as_str).and_then(|name| name.strip_prefix("#/$defs/"));
    name.and_then(|name| root.get("$defs")?.get(name)).unwrap_or(schema)
}

fn collect(root: &Value, schema: &Value, words: &mut Vec<String>) {
    let schema = target(root, schema);
    let list = |key: &str| schema.get(key).and_then(Value::as_array).into_iter().flatten();
    words.extend(list("enum").chain(schema.get("const")).filter_map(Value::as_str).map(str::to_owned));
    for choice in list("oneOf").chain(list("anyOf")) {
        collect(root, choice, words);
    }
}

#[cfg(test)]
mod tests {
    use super::{a_year_later, scaled, words};

    #[test]
    fn numbers_keep_their_units_and_days_their_form() {
        assert_eq!(scaled("8 in", 10.0).as_deref(), Some("80 in"));
        assert_eq!(scaled("2.5 mm2", 10.0).as_deref(), Some("25 mm2"));
        assert_eq!(scaled("dry", 10.0), None);
        assert_eq!(scaled("2026-03-04", 10.0), None);
        assert_eq!(a_year_later("2026-03-04").as_deref(), Some("2027-03-04"));
        assert_eq!(a_year_later("12 in"), None);
    }

    #[test]
    fn words_are_those_of_the_format() {
        let of = |route: &str| words(route);
        assert!(of("luminaires[].placement").contains(&"in-ground".to_owned()), "{:?}", of("luminaires[].placement"));
        assert!(of("schedule.cables.*.kind").contains(&"uf-b".to_owned()), "{:?}", of("schedule.cables.*.kind"));
        assert!(of("project.name").is_empty());
    }
}
