//! `lintern readings`: what was read beside what was computed, and what explains a difference.

use super::{CAUTION, columns, escape, terminal};
use lintern_core::analysis::as_built::{AsBuilt, Comparison, Diagnosis, Quantity, Suspect};
use lintern_core::layout::Layout;
use serde::Serialize;
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Stands before every result that sends somebody to a joint.
const LIVE: &str = "Readings are taken live: switch the supply off and test before a splice is opened. The line-voltage side belongs to licensed people.";
/// Suspects that the terminal shows in full; JSON has them all.
const SHOWN: usize = 12;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    format: u32,
    file: &'a str,
    on: Option<String>,
    conductor_temperature_c: f64,
    outcome: Value,
    statement: &'a str,
    readings: Vec<Value>,
    suspects: Vec<Value>,
    further: Value,
    tried: usize,
    notes: &'a [String],
    assumptions: &'a [String],
    caution: String,
}

/// The JSON document, with a line end.
pub fn json(file: &str, layout: &Layout, result: &AsBuilt, assumptions: &[String]) -> String {
    let diagnosis = &result.diagnosis;
    let document = Document {
        format: 1,
        file,
        on: day(layout),
        conductor_temperature_c: temperature_c(layout),
        outcome: json!(diagnosis.outcome),
        statement: &diagnosis.statement,
        readings: result.comparisons.iter().map(reading).collect(),
        suspects: diagnosis.suspects.iter().map(suspect).collect(),
        further: diagnosis.further.as_ref().map_or(Value::Null, |further| {
            json!({
                "at": further.place, "quantity": further.quantity, "unit": further.quantity.unit(),
                "expected": further.expected, "phrase": further.phrase,
            })
        }),
        tried: diagnosis.tried,
        notes: &diagnosis.notes,
        assumptions,
        caution: format!("{LIVE} {CAUTION}"),
    };
    super::pretty(&document)
}

fn day(layout: &Layout) -> Option<String> {
    layout.readings.as_ref().and_then(|readings| readings.on).map(|day| day.to_string())
}

/// Conductor temperature of the computed values, °C.
fn temperature_c(layout: &Layout) -> f64 {
    let stated = layout.readings.as_ref().and_then(|readings| readings.conductor_temperature);
    stated.or(layout.analysis.soil_temperature).map_or(30.0, |temperature| temperature.si())
}

fn reading(comparison: &Comparison) -> Value {
    json!({
        "at": comparison.place, "subject": comparison.subject, "quantity": comparison.quantity,
        "unit": comparison.quantity.unit(), "read": comparison.read, "computed": comparison.computed,
        "difference": comparison.computed.map(|computed| comparison.read - computed),
        "allowed": comparison.allowed, "instrument": comparison.tolerance, "outside": comparison.outside,
    })
}

fn suspect(suspect: &Suspect) -> Value {
    let estimates: Vec<Value> = suspect
        .estimates
        .iter()
        .map(|e| json!({ "name": e.name, "value": e.value, "uncertainty": e.uncertainty, "unit": e.unit }))
        .collect();
    json!({
        "kinds": suspect.kinds, "subjects": suspect.subjects, "place": suspect.place, "phrase": suspect.phrase,
        "estimates": estimates, "chi-square": suspect.chi_square, "degrees": suspect.degrees,
        "chi-square-limit": suspect.chi_square_limit, "work": suspect.work,
    })
}

/// The table for people.
pub fn table(file: &str, layout: &Layout, result: &AsBuilt, assumptions: &[String]) -> String {
    let mut out = String::new();
    let on = day(layout).map_or_else(String::new, |day| format!(" of {day}"));
    let _ = writeln!(out, "{file}: readings{on}, conductors at {} degC\n", terminal::number(temperature_c(layout)));
    let mut rows = vec![["at", "read", "computed", "difference", "allowed", ""].map(str::to_owned)];
    rows.extend(result.comparisons.iter().map(row));
    columns(&mut out, &rows);
    diagnosis(&mut out, &result.diagnosis);
    for assumption in assumptions {
        let _ = writeln!(out, "assumed: {}", escape::terminal(assumption));
    }
    let _ = writeln!(out, "\n{LIVE} {CAUTION}");
    out
}

fn row(comparison: &Comparison) -> [String; 6] {
    let word = match (comparison.outside, comparison.computed) {
        (true, _) => "outside",
        (false, None) => "nothing to compare with",
        (false, Some(_)) => "",
    };
    let place = match comparison.quantity {
        Quantity::InputVolts => format!("{} input", comparison.place),
        _ => comparison.place.clone(),
    };
    if comparison.quantity == Quantity::Lit {
        let seen = |value: f64| if value > 0.5 { "lit" } else { "dark" }.to_owned();
        let computed = comparison.computed.map_or_else(|| "-".to_owned(), seen);
        return [place, seen(comparison.read), computed, String::new(), String::new(), word.to_owned()];
    }
    let unit = comparison.quantity.unit();
    // Rounded before it is printed, so that no zero has a sign.
    let round = |value: f64| (value * 1000.0).round() / 1000.0 + 0.0;
    let number = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |v| format!("{:.3} {unit}", round(v)));
    let difference = comparison.computed.map(|computed| comparison.read - computed);
    [
        place,
        number(Some(comparison.read)),
        number(comparison.computed),
        number(difference),
        number(Some(comparison.allowed)),
        word.to_owned(),
    ]
}

fn diagnosis(out: &mut String, diagnosis: &Diagnosis) {
    let outcome = json!(diagnosis.outcome);
    let outcome = outcome.as_str().unwrap_or_default().replace('-', " ");
    let _ = writeln!(out, "{outcome}: {}\n", escape::terminal(&diagnosis.statement));
    for (index, suspect) in diagnosis.suspects.iter().take(SHOWN).enumerate() {
        let _ = writeln!(out, "{}. {}", index + 1, escape::terminal(&suspect.phrase));
        for line in &suspect.work {
            let number = terminal::number(line.value);
            let value = if line.unit.is_empty() { number } else { format!("{number} {}", line.unit) };
            let (name, from) = (escape::terminal(&line.name), escape::terminal(&line.from));
            let _ = writeln!(out, "     {name} = {value} ({from})");
        }
    }
    if diagnosis.suspects.len() > SHOWN {
        let _ = writeln!(out, "and {} more; --format json has them all", diagnosis.suspects.len() - SHOWN);
    }
    if let Some(further) = &diagnosis.further {
        let _ = writeln!(out, "\nnext: {}", escape::terminal(&further.phrase));
    }
    for note in &diagnosis.notes {
        let _ = writeln!(out, "note: {}", escape::terminal(note));
    }
    out.push('\n');
}
