//! Values of other formats as YAML on one line.

use lintern_core::plan::additions::{flow_mapping, flow_text};
use serde_json::Value;

/// A JSON value as YAML; `None` for null, which leaves the field out.
pub fn yaml(value: &Value) -> Option<String> {
    match value {
        Value::Null => None,
        Value::Bool(value) => Some(value.to_string()),
        Value::Number(number) => Some(number.to_string()),
        Value::String(text) => Some(flow_text(text)),
        Value::Array(items) => {
            let items: Vec<String> = items.iter().map(|item| yaml(item).unwrap_or_else(|| "null".to_owned())).collect();
            Some(format!("[{}]", items.join(", ")))
        }
        Value::Object(entries) => {
            let entries: Vec<_> =
                entries.iter().filter_map(|(key, value)| Some((flow_text(key), yaml(value)?))).collect();
            Some(flow_mapping(&entries))
        }
    }
}

/// The keys of a mapping of the plan's schema.
pub fn keys(schema: &Value, document: &str) -> Vec<String> {
    let properties = schema["$defs"][document]["properties"].as_object();
    properties.into_iter().flat_map(|properties| properties.keys().cloned()).collect()
}
