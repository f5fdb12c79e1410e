//! The header of a schedule: what each column is, and the unit that it names.

use crate::survey::values::keys;
use crate::survey::{Brought, Origin};
use serde_json::Value;

/// A column.
pub struct Column {
    /// The name as it stands in the file.
    pub shown: String,
    /// What it means; `None` for one that is left out.
    pub meaning: Option<Meaning>,
    /// The unit of bare numbers in it.
    pub unit: Option<String>,
}

/// What a column means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Meaning {
    /// Name of the type.
    Type,
    /// What the luminaires are called.
    Tag,
    /// How many there are.
    Count,
    /// A field of the type.
    OfType(String),
    /// A field of each luminaire.
    OfLuminaire(String),
}

/// The columns of a header. Those that mean nothing here, or come twice, are told.
pub fn read_header(header: &csv::StringRecord, schema: &Value, brought: &mut Brought) -> Vec<Column> {
    let of_type = with_range(keys(schema, "LuminaireTypeDoc"));
    let of_luminaire = keys(schema, "LuminaireDoc");
    let mut columns: Vec<Column> = Vec::new();
    for cell in header {
        let (name, unit) = split(cell);
        let mut meaning = meaning(&name, &of_type, &of_luminaire);
        let origin = Origin { number: 1, shown: "line 1".to_owned() };
        let shown: String = cell.chars().take(60).collect();
        if meaning.is_none() && !cell.is_empty() {
            let told = format!("the column `{shown}` is no field of a luminaire or its type");
            let all = of_type.iter().chain(&of_luminaire).map(String::as_str).chain(["type", "tag", "count"]);
            let near = lintern_core::plan::nearest_name(&name, all);
            brought.leave(
                &origin,
                match (other(&name), near) {
                    (Some(why), _) => format!("the column `{shown}` is left out: {why}"),
                    (None, Some(near)) => format!("{told}; did you mean `{near}`?"),
                    (None, None) => told,
                },
            );
        }
        if meaning.is_some() && columns.iter().any(|column| column.meaning == meaning) {
            brought.leave(&origin, format!("the column `{shown}` comes twice: the first one counts"));
            meaning = None;
        }
        columns.push(Column { shown, meaning, unit });
    }
    columns
}

/// `Power (W)` as the key `power` and its unit.
fn split(cell: &str) -> (String, Option<String>) {
    let (name, unit) = match cell.strip_suffix(')').and_then(|rest| rest.rsplit_once('(')) {
        Some((name, unit)) => (name, Some(unit.trim().to_owned()).filter(|unit| !unit.is_empty())),
        None => (cell, None),
    };
    (name.trim().to_lowercase().replace([' ', '_'], "-"), unit)
}

fn meaning(name: &str, of_type: &[String], of_luminaire: &[String]) -> Option<Meaning> {
    match name {
        "type" => Some(Meaning::Type),
        "tag" => Some(Meaning::Tag),
        "count" => Some(Meaning::Count),
        _ if other(name).is_some() => None,
        _ if of_type.iter().any(|key| key == name) => Some(Meaning::OfType(name.to_owned())),
        _ if of_luminaire.iter().any(|key| key == name) => Some(Meaning::OfLuminaire(name.to_owned())),
        _ => None,
    }
}

/// Why a field of the plan format is not taken from a column.
fn other(name: &str) -> Option<&'static str> {
    match name {
        "id" => Some("luminaires are called by their `tag`"),
        "at" => Some("places come from a survey"),
        "input" => Some("its ends are `input-min` and `input-max`"),
        "excavation" | "house" => Some("it does not fit into one cell"),
        "replaces" => Some("whether a type stands in for another one is said in the plan"),
        _ => None,
    }
}

/// The two ends of the input range have columns of their own.
fn with_range(mut keys: Vec<String>) -> Vec<String> {
    keys.extend(["input-min".to_owned(), "input-max".to_owned()]);
    keys
}

/// Puts the two ends of the input range together.
pub fn gather(fields: &mut Vec<(String, String)>) {
    let mut ends = Vec::new();
    fields.retain(|(key, value)| match key.strip_prefix("input-") {
        Some(end) => {
            ends.push((end.to_owned(), value.clone()));
            false
        }
        None => true,
    });
    if !ends.is_empty() {
        fields.push(("input".to_owned(), lintern_core::plan::additions::flow_mapping(&ends)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_fields_with_or_without_a_unit() {
        let header = csv::StringRecord::from(vec![
            "Type",
            "tag",
            "count",
            "Power (W)",
            "apparent_power",
            "input-min (V)",
            "scene",
            "powr",
            "power",
            "",
            "excavation",
        ]);
        let mut brought = Brought::default();
        let columns = read_header(&header, &lintern_core::plan::schema(), &mut brought);
        let meanings: Vec<_> = columns.iter().map(|column| column.meaning.clone()).collect();
        let of_type = |key: &str| Some(Meaning::OfType(key.to_owned()));
        assert_eq!(
            meanings,
            [
                Some(Meaning::Type),
                Some(Meaning::Tag),
                Some(Meaning::Count),
                of_type("power"),
                of_type("apparent-power"),
                of_type("input-min"),
                Some(Meaning::OfLuminaire("scene".to_owned())),
                None,
                None,
                None,
                None,
            ]
        );
        assert_eq!(columns[3].unit.as_deref(), Some("W"));
        let told: Vec<_> = brought.left_out.iter().map(|remark| remark.text.as_str()).collect();
        let [typo, twice, other] = told[..] else { panic!("{told:?}") };
        assert!(
            typo.contains("did you mean `power`?") && twice.contains("comes twice") && other.contains("`excavation`")
        );
    }
}
