//! The JSON Schemas of the files beside plans, made from the types that read them: for editors. That of a plan is
//! [`plan::schema`](crate::plan::schema()).

use crate::expression::document::ExpressionsDoc;
use crate::plan::schema::of;
use crate::repository::documents::{AmendmentsDoc, ConfigDoc, PackDoc, UserDoc};
use serde_json::{Value, json};

/// The schema of `lintern.yaml`.
pub fn config() -> Value {
    of::<ConfigDoc>("lintern configuration of a plan repository, format 1")
}

/// The schema of a pack's manifest.
pub fn pack() -> Value {
    let mut schema = of::<PackDoc>("lintern pack of rules, format 1");
    // Packs bring no packs, and their digests stand beside the rules.
    if let Some(rules) = schema.pointer_mut("/$defs/RulesDoc/properties").and_then(Value::as_object_mut) {
        rules.shift_remove("packs");
        rules.shift_remove("pins");
    }
    schema
}

/// The schema of a file of local amendments.
pub fn amendments() -> Value {
    of::<AmendmentsDoc>("lintern local amendments, format 1")
}

/// The schema of the user's own configuration.
pub fn user_config() -> Value {
    of::<UserDoc>("lintern configuration of a user, format 1")
}

/// The schema of a file of expressions.
pub fn expressions() -> Value {
    let mut schema = of::<ExpressionsDoc>("lintern rules in expressions, format 1");
    if let Some(rule) = schema.pointer_mut("/$defs/RuleDoc").and_then(Value::as_object_mut) {
        let forms = json!([
            { "required": ["require"], "not": { "anyOf": [{ "required": ["value"] }, { "required": ["limit"] }] } },
            { "required": ["value", "limit"], "not": { "required": ["require"] } },
        ]);
        rule.insert("oneOf".to_owned(), forms);
    }
    schema
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::read::Node;
    use crate::plan::schema::tests::{json_of, walk};
    use std::path::Path;

    /// Changes that spoil a file: what stands there, and what comes in its place.
    type Spoilt = &'static [(&'static str, &'static str)];

    fn demo(file: &str) -> String {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../plans").join(file);
        std::fs::read_to_string(path).unwrap()
    }

    /// What is wrong with a file by its schema.
    fn errors(schema: &Value, yaml: &str) -> Vec<String> {
        let validator = jsonschema::validator_for(schema).unwrap();
        validator.iter_errors(&json_of(yaml)).map(|e| format!("{}: {e}", e.instance_path())).collect()
    }

    #[test]
    fn the_demo_files_are_valid_and_spoilt_ones_are_not() {
        let user = "lintern: 1\npacks: [/srv/lighting/company-pack]\n".to_owned();
        let settings = "rules:\n  settings:\n    voltage/excess-drop: { limit: 3 %, level: advice, waivable: false }\n";
        let own = format!("lintern: 1\nfail-on: advice\n{settings}");
        let pack = "packs/fernhollow-lighting";
        let rows: [(Value, String, Spoilt); 6] = [
            (
                config(),
                demo("lintern.yaml"),
                &[("lintern: 1", "lintern: 2"), ("plans:", "plan:"), ("  packs:", "  pack:"), ("sha256:", "sha1:")],
            ),
            (
                config(),
                own,
                &[
                    ("fail-on: advice", "fail-on: error"),
                    ("level: advice", "level: high"),
                    ("waivable: false", "waivable: never"),
                    ("voltage/excess-drop", "excess-drop"),
                    ("limit: 3 %", "limit: [3 %]"),
                ],
            ),
            (
                super::pack(),
                demo(&format!("{pack}/pack.yaml")),
                &[
                    ("pack: 1", "pack: 2"),
                    ("name: fernhollow", "name: Fernhollow"),
                    ("version: 1.0.0\n", ""),
                    ("  modules:", "  packs:"),
                    ("  modules:", "  pins:"),
                    ("digests:", "digest:"),
                ],
            ),
            (
                expressions(),
                demo(&format!("{pack}/crew.rules.yaml")),
                &[
                    ("expressions: 1", "expressions: 2"),
                    ("id: crew/long-pull", "id: long pull"),
                    ("for: run", "for: cable"),
                    ("    limit: longest\n", ""),
                    ("    value: run.length_m\n", "    value: run.length_m\n    require: true\n"),
                    ("tighter: lower", "tighter: less"),
                    ("help:", "halp:"),
                ],
            ),
            (
                amendments(),
                demo(&format!("{pack}/fernhollow-county.yaml")),
                &[
                    ("amendments: 1", "amendments: 2"),
                    ("{ country: US, region: US-OR, authority: Fernhollow County }", "{}"),
                    ("limit: 8 in, ", ""),
                    ("date: 2025-07-01", "date: July"),
                    ("section", "chapter"),
                ],
            ),
            (
                user_config(),
                user,
                &[("lintern: 1", "lintern: 0"), ("packs", "pack"), ("[/srv/lighting/company-pack]", "/srv")],
            ),
        ];
        for (schema, text, spoilt) in rows {
            assert_eq!(errors(&schema, &text), Vec::<String>::new(), "{text}");
            for (from, to) in spoilt {
                assert!(text.contains(from), "{from}");
                let text = text.replacen(from, to, 1);
                assert!(!errors(&schema, &text).is_empty(), "{to} must be refused");
            }
        }
    }

    #[test]
    fn every_property_is_described_and_every_leaf_has_an_example() {
        for schema in [config(), pack(), expressions(), amendments(), user_config()] {
            let mut leaves = 0;
            walk(&schema, &schema, "", &mut leaves);
            assert!(leaves >= 2, "{schema}");
        }
    }

    /// The keys that a type is read from, as the loader is told them.
    fn keys_of<T: serde::de::DeserializeOwned>() -> Vec<&'static str> {
        struct Keys<'k>(&'k mut Vec<&'static str>);
        impl<'de> serde::Deserializer<'de> for Keys<'_> {
            type Error = serde::de::value::Error;
            fn deserialize_any<V: serde::de::Visitor<'de>>(self, _: V) -> Result<V::Value, Self::Error> {
                Err(serde::de::Error::custom("only the keys are asked for"))
            }
            fn deserialize_struct<V: serde::de::Visitor<'de>>(
                self,
                _: &'static str,
                fields: &'static [&'static str],
                visitor: V,
            ) -> Result<V::Value, Self::Error> {
                self.0.extend(fields);
                self.deserialize_any(visitor)
            }
            serde::forward_to_deserialize_any! {
                bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit
                unit_struct newtype_struct seq tuple tuple_struct map enum identifier ignored_any
            }
        }
        let mut keys = Vec::new();
        assert!(T::deserialize(Keys(&mut keys)).is_err());
        assert!(!keys.is_empty());
        keys
    }

    /// Compares the keys, and those that must be there, of the schema at a place with those of the type that reads it.
    fn same<T: serde::de::DeserializeOwned + Node>(schema: &Value, place: &str) {
        let part = schema.pointer(place).unwrap_or_else(|| panic!("nothing at {place}"));
        let keys: Vec<&str> = part["properties"].as_object().unwrap().keys().map(String::as_str).collect();
        assert_eq!(keys, keys_of::<T>(), "{place}");
        assert_eq!(part["additionalProperties"], false, "{place}");
        let required = part.get("required").and_then(Value::as_array).map_or(&[][..], Vec::as_slice);
        let required: Vec<&str> = required.iter().filter_map(Value::as_str).collect();
        assert_eq!(required, T::REQUIRED, "{place}");
    }

    #[test]
    fn the_schemas_have_the_keys_that_the_loader_takes() {
        use crate::expression::document::{BasisDoc, RuleDoc, SettingDoc};
        use crate::repository::documents::{AppliesDoc, LimitDoc, RulesDoc};
        same::<ConfigDoc>(&config(), "");
        same::<RulesDoc>(&config(), "/$defs/RulesDoc");
        same::<PackDoc>(&pack(), "");
        same::<AmendmentsDoc>(&amendments(), "");
        same::<AppliesDoc>(&amendments(), "/$defs/AppliesDoc");
        same::<LimitDoc>(&amendments(), "/$defs/LimitDoc");
        same::<UserDoc>(&user_config(), "");
        same::<ExpressionsDoc>(&expressions(), "");
        same::<RuleDoc>(&expressions(), "/$defs/RuleDoc");
        same::<SettingDoc>(&expressions(), "/$defs/SettingDoc");
        same::<BasisDoc>(&expressions(), "/$defs/BasisDoc");
    }
}
