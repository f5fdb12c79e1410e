//! The features of a survey: GeoJSON by RFC 7946, each feature read by itself so that a wrong one costs no other.

use super::Origin;
use geojson::{Feature, GeometryValue};
use lintern_core::plan::field::Span;
use lintern_core::plan::{Diagnostic, Sources};
use serde_json::{Map, Value};

/// More features than this are no survey of one property.
const MOST_FEATURES: usize = 100_000;

/// One feature, or why it could not be read.
pub struct Found {
    /// Its number and its own id.
    pub origin: Origin,
    /// What it says of itself.
    pub properties: Map<String, Value>,
    /// Its id, by the property `id` or by the member of that name.
    pub id: Option<String>,
    /// Its geometry.
    pub geometry: Result<GeometryValue, String>,
}

/// What a file holds.
pub struct Survey {
    /// In the order of the file.
    pub features: Vec<Found>,
    /// What concerns the whole file.
    pub notes: Vec<String>,
}

/// What is wrong with the file as a whole.
pub struct NotRead {
    /// What, and where.
    pub diagnostic: Diagnostic,
    /// The text.
    pub sources: Sources,
}

/// Reads the text of a survey.
pub fn read(name: &str, text: &str) -> Result<Survey, Box<NotRead>> {
    let text = text.trim_start_matches('\u{feff}');
    let mut sources = Sources::default();
    sources.add(name, text);
    let refuse = |diagnostic| Box::new(NotRead { diagnostic, sources: sources.clone() });
    let mut document: Value = serde_json::from_str(text).map_err(|error| {
        let problem = Diagnostic::new(place(text, error.line(), error.column()), format!("it is not JSON: {error}"));
        refuse(problem.help("a survey is a file of GeoJSON, RFC 7946"))
    })?;
    let whole = |message: String| refuse(Diagnostic::new(None, format!("{name}: {message}")));
    let mut notes = Vec::new();
    match document.get("crs") {
        None | Some(Value::Null) => {}
        Some(crs) => match is_wgs84(crs) {
            true => notes.push("the member `crs` is not used: it says WGS 84, as RFC 7946 has it anyway".to_owned()),
            false => {
                return Err(whole(
                    "the member `crs` names another reference system, which RFC 7946 does not have; convert the survey to WGS 84 longitude and latitude first"
                        .to_owned(),
                ));
            }
        },
    }
    let kind = document.get("type").and_then(Value::as_str).map(str::to_owned);
    let features = match kind.as_deref() {
        Some("FeatureCollection") => match document.get_mut("features").map(Value::take) {
            Some(Value::Array(features)) => features,
            _ => return Err(whole("a FeatureCollection without a list of `features`".to_owned())),
        },
        Some("Feature") => vec![document],
        Some(other) => return Err(whole(format!("`{other}` is no collection of features: nothing says what it is"))),
        None => return Err(whole("it is JSON, but no GeoJSON: it has no `type`".to_owned())),
    };
    if features.len() > MOST_FEATURES {
        return Err(whole(format!("{} features; at most {MOST_FEATURES} are read", features.len())));
    }
    let features = features.into_iter().enumerate().map(|(index, feature)| found(index + 1, feature)).collect();
    Ok(Survey { features, notes })
}

/// A feature by itself.
fn found(number: usize, mut feature: Value) -> Found {
    let properties = match feature.get_mut("properties").map(Value::take) {
        Some(Value::Object(properties)) => properties,
        _ => Map::new(),
    };
    let as_text = |value: Option<&Value>| match value? {
        Value::String(text) => Some(text.clone()).filter(|text| !text.trim().is_empty()),
        Value::Number(number) => Some(number.to_string()),
        _ => None,
    };
    let id = as_text(properties.get("id")).or_else(|| as_text(feature.get("id")));
    let named = id.as_ref().map_or_else(String::new, |id| format!(" `{}`", short(id)));
    let origin = Origin { number, shown: format!("feature {number}{named}") };
    let geometry = match serde_json::from_value::<Feature>(feature) {
        Err(error) => Err(format!("it is no feature of GeoJSON: {error}")),
        Ok(Feature { geometry: None, .. }) => Err("it has no geometry".to_owned()),
        Ok(Feature { geometry: Some(geometry), .. }) => Ok(geometry.value),
    };
    Found { origin, properties, id, geometry }
}

/// The start of an id, on one line.
fn short(id: &str) -> String {
    id.chars().take(60).map(|c| if c.is_whitespace() { ' ' } else { c }).collect()
}

/// Whether an old member `crs` names what RFC 7946 has: longitude and latitude of WGS 84.
fn is_wgs84(crs: &Value) -> bool {
    let name = crs["properties"]["name"].as_str().unwrap_or_default();
    ["urn:ogc:def:crs:OGC:1.3:CRS84", "urn:ogc:def:crs:OGC::CRS84", "urn:ogc:def:crs:EPSG::4326", "EPSG:4326"]
        .contains(&name)
}

/// The place of a line and column, which counts bytes from 1.
fn place(text: &str, line: usize, column: usize) -> Option<Span> {
    let start: usize = text.split_inclusive('\n').take(line.checked_sub(1)?).map(str::len).sum();
    let mut at = (start + column.saturating_sub(1)).min(text.len().saturating_sub(1));
    while !text.is_char_boundary(at) {
        at = at.checked_sub(1)?;
    }
    let end = at + text.get(at..)?.chars().next().map_or(0, char::len_utf8);
    Some(Span { file: 0, start: u32::try_from(at).ok()?, end: u32::try_from(end).ok()? })
}
