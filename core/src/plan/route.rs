//! Which routes of fields there can be: a finding may name a field that the plan leaves out, but not one that plans
//! don't have. The schema of the format decides, so that there is no second list of fields.

use super::locate::{ElementKind, schedule_of};
use super::schema::schema;
use serde_json::Value;
use std::sync::LazyLock;

/// Whether plans can have this field of an element of the kind; without a kind, of the plan as a whole.
pub(crate) fn is_route(kind: Option<ElementKind>, field: &str) -> bool {
    static SCHEMA: LazyLock<Value> = LazyLock::new(schema);
    if field.is_empty() {
        return true;
    }
    // Readings of an element stand apart from it.
    let kind = kind.filter(|_| !field.starts_with("readings."));
    let root = &*SCHEMA;
    let start = kind.map_or(Some(root), |kind| element(root, kind));
    let steps: Vec<&str> = field.split('.').collect();
    start.is_some_and(|start| leads(root, kind, start, &steps))
}

/// The schema of an element.
fn element(root: &Value, kind: ElementKind) -> Option<&Value> {
    let list = kind.list().iter().try_fold(root, |schema, key| at(root, schema, &["properties", key]))?;
    at(root, list, &["items"])
}

/// A part of a schema, with its references followed.
fn at<'s>(root: &'s Value, schema: &'s Value, keys: &[&str]) -> Option<&'s Value> {
    keys.iter().try_fold(target(root, schema), |schema, key| target(root, schema).get(key)).map(|s| target(root, s))
}

fn target<'s>(root: &'s Value, schema: &'s Value) -> &'s Value {
    let name = schema.get("$ref").and_then(Value::as_str).and_then(|name| name.strip_prefix("#/$defs/"));
    name.and_then(|name| root.get("$defs")?.get(name)).unwrap_or(schema)
}

/// Whether the steps lead somewhere from a schema.
fn leads(root: &Value, kind: Option<ElementKind>, schema: &Value, steps: &[&str]) -> bool {
    let Some((step, rest)) = steps.split_first() else { return true };
    let schema = target(root, schema);
    for choice in ["anyOf", "oneOf"] {
        let choices = schema.get(choice).and_then(Value::as_array);
        if choices.is_some_and(|choices| choices.iter().any(|schema| leads(root, kind, schema, steps))) {
            return true;
        }
    }
    if let Some(items) = schema.get("items") {
        return step.parse::<usize>().is_ok() && leads(root, kind, items, rest);
    }
    if let Some(property) = schema.get("properties").and_then(|properties| properties.get(*step)) {
        // A type or a zone is named here; the route goes on in it.
        let followed = (!rest.is_empty()).then(|| follow(root, kind, step)).flatten();
        return match followed {
            Some((kind, schema)) => leads(root, kind, schema, rest),
            None => leads(root, kind, property, rest),
        };
    }
    schema.get("additionalProperties").is_some_and(|any| any.is_object() && leads(root, kind, any, rest))
}

/// What a key of an element refers to.
fn follow<'s>(root: &'s Value, kind: Option<ElementKind>, key: &str) -> Option<(Option<ElementKind>, &'s Value)> {
    if let Some(table) = schedule_of(kind, key) {
        let of_type = ["properties", "schedule", "properties", table, "additionalProperties"];
        return Some((None, at(root, root, &of_type)?));
    }
    ((kind, key) == (Some(ElementKind::Run), "zone"))
        .then(|| Some((Some(ElementKind::Zone), element(root, ElementKind::Zone)?)))
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::{ElementKind, is_route};

    #[test]
    fn routes_are_those_of_the_format() {
        use ElementKind::{Junction, Luminaire, Run, Supply, Utility, Zone};
        for (kind, route) in [
            (Some(Run), ""),
            (Some(Run), "cover"),
            (Some(Run), "route"),
            (Some(Run), "route.1"),
            (Some(Run), "covers.0.cover"),
            (Some(Run), "covers.0.zone.slab-thickness"),
            (Some(Run), "cable.parallel"),
            (Some(Run), "lengths.3"),
            (Some(Luminaire), "type"),
            (Some(Luminaire), "type.input.min"),
            (Some(Luminaire), "type.ip.0"),
            (Some(Luminaire), "splice.direct-burial"),
            (Some(Luminaire), "excavation.base-depth"),
            (Some(Luminaire), "house.article"),
            (Some(Junction), "splice.location"),
            (Some(Supply), "type.outputs.1.volts"),
            (Some(Supply), "feed.breaker"),
            (Some(Supply), "readings.taken.0.volts"),
            (Some(Zone), "outline.2"),
            (Some(Utility), "located"),
            (None, "dig.ticket.called"),
            (None, "project.code"),
            (None, "records.mock-up"),
        ] {
            assert!(is_route(kind, route), "{kind:?} {route}");
        }
        for (kind, route) in [
            (Some(Run), "colour"),
            (Some(Run), "cover.depth"),
            (Some(Run), "covers.first.cover"),
            (Some(Run), "type.power"),
            (Some(Run), "."),
            (Some(Run), "cover."),
            (Some(Luminaire), "type.outputs"),
            (Some(Luminaire), "../x"),
            (Some(Luminaire), "house.article.more"),
            (Some(Zone), "cover"),
            (None, "cover"),
            (None, "dig.ticket.\u{1b}[31m"),
        ] {
            assert!(!is_route(kind, route), "{kind:?} {route}");
        }
    }
}
