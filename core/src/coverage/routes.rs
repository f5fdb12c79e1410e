//! The routes of a plan: fields by where they stand in the format, whatever the element, such as `runs[].cover`.

use super::document::{Own, Part};
use crate::plan::field::Span;

/// What is never left out: it is for lintern itself, or judged elsewhere.
const OURS: [&str; 2] = ["plan", "waivers"];

/// Whether the keys at a route are names that people give: those of types.
fn has_names(route: &str) -> bool {
    matches!(route, "schedule.luminaires" | "schedule.cables" | "schedule.supplies" | "schedule.splices")
}

/// Calls `see` with the route and the place of every field.
pub(super) fn each(part: &Part, see: &mut dyn FnMut(&str, Span)) {
    walk(part, &mut String::new(), see);
}

fn walk(part: &Part, route: &mut String, see: &mut dyn FnMut(&str, Span)) {
    match &part.value {
        Own::Mapping(entries) => {
            let names = has_names(route);
            for (key, value) in entries {
                if route.is_empty() && OURS.contains(&key.as_str()) {
                    continue;
                }
                with(route, if names { "*" } else { key }, |route| walk(value, route, see));
            }
        }
        Own::Sequence(items) if items.iter().any(|item| matches!(item.value, Own::Mapping(_))) => {
            let length = route.len();
            route.push_str("[]");
            items.iter().for_each(|item| walk(item, route, see));
            route.truncate(length);
        }
        Own::Scalar(_) | Own::Sequence(_) => see(route, part.span),
    }
}

/// The same document without the fields of a route.
pub(super) fn without(part: &Part, wanted: &str) -> Part {
    copy(part, &mut String::new(), wanted, &|_| None)
}

/// The same document with another text for the fields of a route, where `other` gives one.
pub(super) fn with_other(part: &Part, wanted: &str, other: &dyn Fn(&str) -> Option<String>) -> Part {
    let change = |field: &Part| match &field.value {
        Own::Scalar(text) => {
            let text = other(text).unwrap_or_else(|| text.clone());
            Some(Part { span: field.span, value: Own::Scalar(text) })
        }
        Own::Sequence(_) | Own::Mapping(_) => Some(field.clone()),
    };
    copy(part, &mut String::new(), wanted, &change)
}

/// A copy in which `change` says what becomes of the fields of a route.
fn copy(part: &Part, route: &mut String, wanted: &str, change: &dyn Fn(&Part) -> Option<Part>) -> Part {
    let value = match &part.value {
        Own::Mapping(entries) => {
            let names = has_names(route);
            let mut kept = Vec::with_capacity(entries.len());
            for (key, value) in entries {
                with(route, if names { "*" } else { key }, |route| {
                    let is_field = !matches!(&value.value, Own::Mapping(_)) && !is_list(value);
                    let own = match is_field && route == wanted {
                        true => change(value),
                        false => Some(copy(value, route, wanted, change)),
                    };
                    kept.extend(own.map(|own| (key.clone(), own)));
                });
            }
            Own::Mapping(kept)
        }
        Own::Sequence(items) if is_list(part) => {
            let length = route.len();
            route.push_str("[]");
            let items = items.iter().map(|item| copy(item, route, wanted, change)).collect();
            route.truncate(length);
            Own::Sequence(items)
        }
        other => other.clone(),
    };
    Part { span: part.span, value }
}

fn is_list(part: &Part) -> bool {
    matches!(&part.value, Own::Sequence(items) if items.iter().any(|item| matches!(item.value, Own::Mapping(_))))
}

fn with(route: &mut String, step: &str, mut then: impl FnMut(&mut String)) {
    let length = route.len();
    if length > 0 {
        route.push('.');
    }
    route.push_str(step);
    then(route);
    route.truncate(length);
}

/// The same document without one item of a list such as `site.zones`.
pub(super) fn without_item(part: &Part, list: &[&str], index: usize) -> Part {
    let mut copy = part.clone();
    let mut at = Some(&mut copy);
    for key in list {
        at = at
            .and_then(Part::entries)
            .and_then(|entries| entries.iter_mut().find(|(name, _)| name == key))
            .map(|e| &mut e.1);
    }
    if let Some(Own::Sequence(items)) = at.map(|part| &mut part.value)
        && index < items.len()
    {
        items.remove(index);
    }
    copy
}
