//! What the schema of the format says of a place, so that editors tell what the loader takes.

use super::Step;
use crate::plan::schema::schema;
use serde_json::Value;
use std::sync::LazyLock;

/// What stands at the end of a way, by the format.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Described {
    /// What it is.
    pub description: String,
    /// The keys of a mapping; those that it must have come first.
    pub keys: Vec<KeyOf>,
    /// Whether a mapping takes keys of one's own.
    pub free_keys: bool,
    /// Whether it is a list.
    pub is_list: bool,
    /// The words that are taken.
    pub words: Vec<Word>,
    /// The units of a quantity.
    pub units: Vec<String>,
    /// How it is written.
    pub examples: Vec<String>,
    /// Whether any text is taken.
    pub free_text: bool,
}

/// A key of a mapping.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeyOf {
    /// The key.
    pub name: String,
    /// What it is.
    pub description: String,
    /// Whether the mapping must have it.
    pub required: bool,
    /// Whether its value is a list or a mapping.
    pub nested: bool,
}

/// A word that is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Word {
    /// The word.
    pub word: String,
    /// What it means, where the format says so.
    pub description: String,
}

/// What stands at the end of a way; `None` where the format has nothing there.
pub fn describe(route: &[Step]) -> Option<Described> {
    static SCHEMA: LazyLock<Value> = LazyLock::new(schema);
    let root = &*SCHEMA;
    let found = route.iter().try_fold(root, |schema, step| step_into(root, schema, step))?;
    Some(described(root, found))
}

fn target<'s>(root: &'s Value, schema: &'s Value) -> &'s Value {
    let name = schema.get("$ref").and_then(Value::as_str).and_then(|name| name.strip_prefix("#/$defs/"));
    name.and_then(|name| root.get("$defs")?.get(name)).unwrap_or(schema)
}

fn step_into<'s>(root: &'s Value, schema: &'s Value, step: &Step) -> Option<&'s Value> {
    let inner = target(root, schema);
    let own = match step {
        Step::Key(key) => {
            let known = inner.get("properties").and_then(|properties| properties.get(key));
            known.or_else(|| inner.get("additionalProperties").filter(|any| any.is_object()))
        }
        Step::Item(_) => inner.get("items"),
    };
    own.or_else(|| choices(inner).iter().find_map(|choice| step_into(root, choice, step)))
}

fn choices(schema: &Value) -> &[Value] {
    ["anyOf", "oneOf"].iter().find_map(|key| schema.get(key)?.as_array()).map_or(&[], Vec::as_slice)
}

fn text(schema: &Value, key: &str) -> Option<String> {
    schema.get(key).and_then(Value::as_str).map(str::to_owned)
}

fn described(root: &Value, schema: &Value) -> Described {
    let inner = target(root, schema);
    let mut found = Described {
        description: text(schema, "description").or_else(|| text(inner, "description")).unwrap_or_default(),
        free_keys: inner.get("additionalProperties").is_some_and(Value::is_object),
        is_list: inner.get("type").is_some_and(|kind| kind == "array"),
        free_text: inner.get("type").is_some_and(|kind| kind == "string")
            && ["pattern", "enum", "const"].iter().all(|key| inner.get(key).is_none()),
        ..Described::default()
    };
    found.keys = keys(root, inner);
    let alone = std::slice::from_ref(inner);
    let parts = if choices(inner).is_empty() { alone } else { choices(inner) };
    for part in parts.iter().map(|part| target(root, part)) {
        found.words.extend(words(part));
        found.units.extend(strings(part, "x-units"));
        found.examples.extend(strings(part, "examples"));
    }
    if found.examples.is_empty() {
        found.examples = strings(schema, "examples");
    }
    if found.units.is_empty() {
        // Sizes, ratings and allowances take units of several kinds; their examples show them.
        let unit = |example: &String| {
            example.split_once(' ').filter(|(number, _)| number.parse::<f64>().is_ok()).map(|(_, unit)| unit.to_owned())
        };
        found.units = found.examples.iter().filter_map(unit).filter(|unit| !unit.contains(' ')).collect();
    }
    found
}

fn keys(root: &Value, inner: &Value) -> Vec<KeyOf> {
    let required = strings(inner, "required");
    let properties = inner.get("properties").and_then(Value::as_object);
    let key = |(name, schema): (&String, &Value)| {
        let kind = target(root, schema).get("type").and_then(Value::as_str);
        KeyOf {
            name: name.clone(),
            description: text(schema, "description").unwrap_or_default(),
            required: required.contains(name),
            nested: matches!(kind, Some("object" | "array")),
        }
    };
    let mut keys: Vec<KeyOf> = properties.into_iter().flatten().map(key).collect();
    keys.sort_by_key(|key| !key.required);
    keys
}

fn words(schema: &Value) -> Vec<Word> {
    let description = text(schema, "description").unwrap_or_default();
    if let Some(word) = text(schema, "const") {
        return vec![Word { word, description }];
    }
    let plain = |word: String| Word { word, description: String::new() };
    if schema.get("type").is_some_and(|kind| kind == "boolean") {
        return ["true", "false"].map(|word| plain(word.to_owned())).into();
    }
    strings(schema, "enum").into_iter().map(plain).collect()
}

/// The texts of a list.
fn strings(schema: &Value, key: &str) -> Vec<String> {
    let list = schema.get(key).and_then(Value::as_array);
    list.into_iter().flatten().filter_map(Value::as_str).filter(|text| !text.is_empty()).map(str::to_owned).collect()
}
