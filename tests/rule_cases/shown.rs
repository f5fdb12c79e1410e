//! A result as a person reads it, for the snapshots: message, underlined text, arithmetic, authority, remedy.

use crate::case::{Case, Outcome};
use serde_json::Value;
use std::fmt::Write as _;

/// The result of a case as text.
pub fn text(case: &Case, outcome: &Outcome) -> String {
    let mut text = format!("{}: {}\n", case.rule, outcome.verdict);
    for missing in &outcome.missing {
        writeln!(text, "  missing: {missing}").expect("a string takes text");
    }
    for finding in &outcome.findings {
        write_finding(&mut text, case, finding).expect("a string takes text");
    }
    text
}

fn write_finding(text: &mut String, case: &Case, finding: &Value) -> std::fmt::Result {
    let word = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    writeln!(text, "\n{}: {}", word(&finding["level"]), word(&finding["message"]))?;
    let span = &finding["span"];
    let (line, column) = (span["line"].as_u64().unwrap_or(0), span["column"].as_u64().unwrap_or(0));
    let source = case.text.lines().nth(usize::try_from(line).unwrap_or(0).saturating_sub(1)).unwrap_or_default();
    let width = case.underlined(finding).map_or(0, |at| at.lines().next().unwrap_or_default().chars().count());
    let indent = usize::try_from(column).unwrap_or(0).saturating_sub(1);
    writeln!(text, "  {line:>3} | {source}")?;
    writeln!(text, "      | {}{}", " ".repeat(indent), "^".repeat(width.max(1)))?;
    for work in finding["work"].as_array().into_iter().flatten() {
        let value = number(work["value"].as_f64().unwrap_or(f64::NAN));
        writeln!(text, "  {} = {value} {} ({})", word(&work["name"]), word(&work["unit"]), word(&work["from"]))?;
    }
    let related: Vec<String> = finding["related"].as_array().into_iter().flatten().map(&word).collect();
    if !related.is_empty() {
        writeln!(text, "  related: {}", related.join(", "))?;
    }
    let basis = &finding["basis"];
    let parts = ["kind", "document", "edition", "section"].map(|name| basis[name].as_str().unwrap_or("-").to_owned());
    writeln!(text, "  basis: {}", parts.join(" | "))?;
    writeln!(text, "  help: {}", word(&finding["help"]))
}

/// Six decimals are more than the voltages of a plan are good for and fewer than floating point wobbles in.
fn number(value: f64) -> String {
    let text = format!("{value:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
