//! The JSON Schema of a plan, made from the types that read it: for editors, and the authority on the format.

use super::model::PlanDoc;
use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use serde_json::{Value, json};

/// The JSON Schema (2020-12) of a plan file.
pub fn schema() -> Value {
    of::<PlanDoc>("lintern plan, format 1")
}

/// The JSON Schema (2020-12) of files that are read by a type.
pub(crate) fn of<T: schemars::JsonSchema>(title: &str) -> Value {
    let mut schema = SchemaSettings::draft2020_12().into_generator().into_root_schema_for::<T>();
    schema.insert("title".to_owned(), json!(title));
    RecursiveTransform(say_units).transform(&mut schema);
    RecursiveTransform(show_own_data).transform(&mut schema);
    schema.to_value()
}

/// Adds the accepted units to the description of a quantity, where editors show them.
fn say_units(schema: &mut schemars::Schema) {
    let Some(units) = schema.get("x-units").and_then(Value::as_array) else { return };
    let units = units.iter().filter_map(Value::as_str).collect::<Vec<_>>().join(", ");
    let said = match schema.get("description").and_then(Value::as_str) {
        Some(description) => format!("{description} Units: {units}."),
        None => format!("Units: {units}."),
    };
    schema.insert("description".to_owned(), json!(said));
}

/// Gives mappings with free keys and text values an example.
fn show_own_data(schema: &mut schemars::Schema) {
    let texts = schema.get("additionalProperties").and_then(|s| s.get("type")) == Some(&json!("string"));
    if texts && schema.get("examples").is_none() {
        schema.insert("examples".to_owned(), json!([{ "article": "A-17" }]));
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use super::schema;
    use serde_json::{Map, Value};
    use std::path::Path;

    /// Follows a reference into `$defs`.
    fn target<'s>(root: &'s Value, schema: &'s Value) -> &'s Value {
        match schema.get("$ref").and_then(Value::as_str) {
            Some(name) => &root["$defs"][name.strip_prefix("#/$defs/").unwrap()],
            None => schema,
        }
    }

    /// Walks every property and asks for its description and example; counts the leaves.
    pub(crate) fn walk(root: &Value, schema: &Value, route: &str, leaves: &mut usize) {
        let inner = target(root, schema);
        let has = |key: &str| schema.get(key).is_some() || inner.get(key).is_some();
        if let Some(properties) = inner.get("properties").and_then(Value::as_object) {
            for (name, property) in properties {
                let route = format!("{route}.{name}");
                let said = property.get("description").and_then(Value::as_str).unwrap_or("");
                assert!(said.ends_with('.') && said.len() > 8, "{route} has no description: {property}");
                walk(root, property, &route, leaves);
            }
        } else if let (Some(items), false) = (inner.get("items"), has("examples")) {
            walk(root, items, &format!("{route}[]"), leaves);
        } else if let Some(more) = inner.get("additionalProperties").filter(|_| !has("examples")) {
            walk(root, more, &format!("{route}.*"), leaves);
        } else {
            *leaves += 1;
            let choice = |key: &str| {
                inner.get(key).and_then(Value::as_array).is_some_and(|all| {
                    all.iter().all(|s| ["const", "enum", "examples"].iter().any(|k| s.get(k).is_some()))
                })
            };
            assert!(
                has("examples") || has("enum") || has("const") || choice("oneOf") || choice("anyOf"),
                "{route} has no example: {inner}"
            );
        }
    }

    #[test]
    fn every_property_is_described_and_every_leaf_has_an_example() {
        let schema = schema();
        let mut leaves = 0;
        walk(&schema, &schema, "", &mut leaves);
        assert!(leaves > 90, "only {leaves} leaves were walked");
    }

    /// A plan as an editor with a JSON Schema sees it.
    pub(crate) fn json_of(yaml: &str) -> Value {
        fn convert(value: serde_yaml::Value) -> Value {
            match value {
                serde_yaml::Value::Mapping(map) => Value::Object(
                    map.into_iter().map(|(k, v)| (k.as_str().unwrap().to_owned(), convert(v))).collect::<Map<_, _>>(),
                ),
                serde_yaml::Value::Sequence(items) => items.into_iter().map(convert).collect(),
                other => serde_json::to_value(other).unwrap(),
            }
        }
        convert(serde_yaml::from_str(yaml).unwrap())
    }

    #[test]
    fn the_example_plan_is_valid_and_spoilt_ones_are_not() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/fernhollow/plans/plan.yaml");
        let text = std::fs::read_to_string(path).unwrap();
        let validator = jsonschema::validator_for(&schema()).unwrap();
        let errors: Vec<String> =
            validator.iter_errors(&json_of(&text)).map(|e| format!("{}: {e}", e.instance_path())).collect();
        assert_eq!(errors, Vec::<String>::new());
        let rows = [
            ("power: 6 W", "power: 6"),
            ("power: 6 W", "power: 6 lumens"),
            ("power: 6 W", "power: -6 W"),
            ("power: 6 W", "powr: 6 W"),
            ("code: nec-2023", "code: nec-2024"),
            ("plan: 1", "plan: 2"),
            ("plan: 1 ", "plans: 1 "),
            ("at: [30, 2]", "at: [30]"),
            ("conductor: 12 AWG", "conductor: 12 gauge"),
            ("starts: 2026-03-09", "starts: March"),
            ("ip: [IP65, IP67]", "ip: IP65"),
            ("direct-burial: true\n", "direct-burial: yes please\n"),
        ];
        for (from, to) in rows {
            assert!(text.contains(from), "{from}");
            assert!(!validator.is_valid(&json_of(&text.replacen(from, to, 1))), "{to} must be refused");
        }
    }
}
