//! What a feature of a survey is, by its own words or by those that the command line maps.

use super::values::keys;
use lintern_core::plan::ElementKind;
use lintern_core::plan::nearest_name;
use serde_json::{Map, Value};

/// What a feature is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kind {
    /// The sort of element.
    pub element: ElementKind,
    /// The word of a zone's or a utility's kind.
    pub word: Option<String>,
}

/// How the words of a survey are read.
#[derive(Debug, Clone, Default)]
pub struct Words {
    /// The property in which the kind stands.
    pub property: String,
    /// Words of the survey with the plan's word for each.
    pub map: Vec<(String, String)>,
}

const ELEMENTS: [(&str, ElementKind); 5] = [
    ("zone", ElementKind::Zone),
    ("utility", ElementKind::Utility),
    ("luminaire", ElementKind::Luminaire),
    ("supply", ElementKind::Supply),
    ("junction", ElementKind::Junction),
];

/// The kinds of zones and of utilities, and the elements without kinds.
pub struct Vocabulary {
    zones: Vec<String>,
    utilities: Vec<String>,
}

impl Vocabulary {
    /// The words of the plan format, from its schema.
    pub fn new(schema: &Value) -> Self {
        Self { zones: choices(schema, "ZoneKind"), utilities: choices(schema, "UtilityKind") }
    }

    /// What a word of the plan format stands for.
    pub fn kind(&self, word: &str) -> Option<Kind> {
        let named = ELEMENTS.iter().find(|(name, element)| *name == word && !has_kinds(*element));
        let of = |words: &[String], element| {
            words.iter().any(|known| known == word).then(|| Kind { element, word: Some(word.to_owned()) })
        };
        named
            .map(|(_, element)| Kind { element: *element, word: None })
            .or_else(|| of(&self.zones, ElementKind::Zone))
            .or_else(|| of(&self.utilities, ElementKind::Utility))
    }

    /// Every word that a feature can be mapped to.
    pub fn words(&self) -> impl Iterator<Item = &str> + Clone {
        let named = ELEMENTS.iter().filter(|(_, element)| !has_kinds(*element)).map(|(name, _)| *name);
        named.chain(self.zones.iter().map(String::as_str)).chain(self.utilities.iter().map(String::as_str))
    }

    /// What a feature is, or why that can't be told.
    pub fn of(&self, properties: &Map<String, Value>, words: &Words) -> Result<Kind, String> {
        let element = match text(properties, "element") {
            Some(name) => Some(element(&name)?),
            None => None,
        };
        let Some(own) = text(properties, &words.property) else {
            return match element {
                Some(element) if !has_kinds(element) => Ok(Kind { element, word: None }),
                _ => Err(format!(
                    "it does not say what it is: no property `{}`; where the kind stands in another one, name it with `--property`",
                    words.property
                )),
            };
        };
        let mapped = words.map.iter().find(|(word, _)| *word == own).map_or(own.as_str(), |(_, kind)| kind);
        let Some(kind) = self.kind(mapped) else {
            // The kind of an element without kinds is the survey's own.
            if let Some(element) = element.filter(|element| !has_kinds(*element)) {
                return Ok(Kind { element, word: None });
            }
            let near = nearest_name(mapped, self.words());
            let near = near.map_or_else(String::new, |near| format!("; did you mean `{near}`?"));
            return Err(format!("`{own}` is no kind of the plan format{near} (give `--map '{own}=KIND'`)"));
        };
        match element.filter(|element| *element != kind.element) {
            Some(element) => Err(format!(
                "`element` says {}, and `{}` says `{own}`, which is {}",
                element.phrase(),
                words.property,
                kind.element.phrase()
            )),
            None => Ok(kind),
        }
    }
}

/// Whether elements of a sort are of kinds.
fn has_kinds(element: ElementKind) -> bool {
    matches!(element, ElementKind::Zone | ElementKind::Utility)
}

fn element(name: &str) -> Result<ElementKind, String> {
    if name == "run" {
        return Err("routes of runs are not imported: draw them between the nodes of the plan".to_owned());
    }
    ELEMENTS
        .iter()
        .find(|(known, _)| *known == name)
        .map(|(_, element)| *element)
        .ok_or_else(|| format!("`{name}` is no element that is imported: zone, utility, luminaire, supply or junction"))
}

/// A property as text.
pub fn text(properties: &Map<String, Value>, name: &str) -> Option<String> {
    match properties.get(name)? {
        Value::String(text) => Some(text.trim().to_owned()).filter(|text| !text.is_empty()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    }
}

/// The words of an enumeration of the schema.
fn choices(schema: &Value, name: &str) -> Vec<String> {
    let definition = &schema["$defs"][name];
    let plain = definition["enum"].as_array().into_iter().flatten();
    let described = definition["oneOf"].as_array().into_iter().flatten();
    let described =
        described.flat_map(|choice| choice["enum"].as_array().into_iter().flatten().chain(choice.get("const")));
    plain.chain(described).filter_map(Value::as_str).map(str::to_owned).collect()
}

/// The keys that an element of the plan has besides its id, its kind and its place.
pub fn fields(schema: &Value, element: ElementKind) -> Vec<String> {
    let document = match element {
        ElementKind::Zone => "ZoneDoc",
        ElementKind::Utility => "UtilityDoc",
        ElementKind::Luminaire => "LuminaireDoc",
        ElementKind::Supply => "SupplyDoc",
        ElementKind::Junction => "JunctionDoc",
        ElementKind::Run => "RunDoc",
    };
    let own = ["id", "kind", "outline", "path", "at"];
    keys(schema, document).into_iter().filter(|key| !own.contains(&key.as_str())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn of(properties: Value, words: &Words) -> Result<Kind, String> {
        let Value::Object(properties) = properties else { panic!("an object") };
        Vocabulary::new(&lintern_core::plan::schema()).of(&properties, words)
    }

    #[test]
    fn the_words_are_those_of_the_plan_format() {
        let vocabulary = Vocabulary::new(&lintern_core::plan::schema());
        assert_eq!(
            (vocabulary.zones.len(), vocabulary.utilities.len()),
            (14, 7),
            "{:?}",
            vocabulary.words().collect::<Vec<_>>()
        );
        assert_eq!(
            vocabulary.kind("low-ground"),
            Some(Kind { element: ElementKind::Zone, word: Some("low-ground".to_owned()) })
        );
        assert_eq!(vocabulary.kind("zone"), None);
        let schema = lintern_core::plan::schema();
        assert!(fields(&schema, ElementKind::Utility).contains(&"located".to_owned()));
        assert!(!fields(&schema, ElementKind::Zone).contains(&"outline".to_owned()));
    }

    #[test]
    fn a_feature_is_what_its_properties_say() {
        let words = Words {
            property: "kind".to_owned(),
            map: vec![("turf".to_owned(), "lawn".to_owned()), ("lamp".to_owned(), "luminaire".to_owned())],
        };
        let element = |properties| of(properties, &words).map(|kind| kind.element);
        assert_eq!(element(json!({ "kind": "turf" })), Ok(ElementKind::Zone));
        assert_eq!(element(json!({ "kind": "lamp" })), Ok(ElementKind::Luminaire));
        assert_eq!(element(json!({ "element": "luminaire" })), Ok(ElementKind::Luminaire));
        assert_eq!(element(json!({ "element": "luminaire", "kind": "uplight" })), Ok(ElementKind::Luminaire));
        for (properties, says) in [
            (json!({}), "no property `kind`"),
            (json!({ "kind": null }), "no property `kind`"),
            (json!({ "kind": "lawm" }), "did you mean `lawn`?"),
            (json!({ "kind": "zebra" }), "--map 'zebra=KIND'"),
            (json!({ "element": "zone" }), "no property `kind`"),
            (json!({ "element": "utility", "kind": "lawn" }), "which is a zone"),
            (json!({ "element": "run" }), "routes of runs"),
            (json!({ "element": "tree" }), "no element that is imported"),
        ] {
            let problem = element(properties).unwrap_err();
            assert!(problem.contains(says), "{says}: {problem}");
        }
    }
}
