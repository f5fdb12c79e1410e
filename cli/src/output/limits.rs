//! The limits of a rule on one plan, layer by layer: code, state or country, local amendments, house.

use super::escape;
use super::terminal::{basis_text, measure_text};
use lintern_core::check::{CheckOptions, settings_of};
use lintern_core::engine::{AppliedLimit, Layer, RuleDescription};
use lintern_core::finding::Measure;
use lintern_core::layout::Layout;
use lintern_core::settings::{is_of_code, plain_limits};
use std::fmt::Write as _;

/// Elements that are named before the rest is counted.
const NAMED: usize = 6;

pub fn render(
    rule: &RuleDescription,
    layout: &Layout,
    applied: &[AppliedLimit],
    file: &str,
    options: &CheckOptions,
) -> String {
    let authority = rule
        .citations
        .iter()
        .find(|citation| Some(citation.code) == layout.project.code)
        .map_or_else(|| "common practice".to_owned(), |citation| basis_text(&citation.basis));
    let mut plain = plain_limits(rule, &settings_of(&rule.id, layout, options), &authority);
    // A setting that a limit has read is shown with that limit.
    plain.retain(|limit| !applied.iter().any(|a| limit.settings.iter().all(|name| a.settings.contains(name))));
    let mut out = format!("{}\n{}\nlimits for {file}, as of {}\n", rule.id, rule.title, options.as_of);
    for limit in applied.iter().chain(&plain) {
        let _ = writeln!(out, "\n  {}{}", limit.name, elements(&limit.subjects));
        let rows: Vec<_> = limit
            .layers
            .iter()
            .map(|(layer, value, source)| {
                // The first number of a rule that rests on no code is its own.
                let own = *layer == Layer::Code && !is_of_code(rule);
                let word = if own { "rule" } else { layer.word() };
                (word, measure_text(&Measure { value: *value, unit: limit.unit.clone() }), source)
            })
            .collect();
        let width = rows.iter().map(|(_, value, _)| value.chars().count()).max().unwrap_or(0);
        for (index, (layer, value, source)) in rows.iter().enumerate() {
            let mark = if index == limit.governing { "governs" } else { "" };
            let _ = writeln!(out, "    {mark:7}  {layer:6}  {value:>width$}  {source}");
        }
    }
    if applied.is_empty() && plain.is_empty() {
        out.push_str("\n  No limit of this rule applies to the plan.\n");
    }
    out.push_str("\nThe adopted code and the authority having jurisdiction decide.\n");
    escape::terminal(&out).into_owned()
}

/// The elements that a limit was applied to.
fn elements(subjects: &[String]) -> String {
    let names: Vec<&str> = subjects.iter().map(|s| if s.is_empty() { "the plan" } else { s }).take(NAMED).collect();
    match subjects.len() {
        0 => String::new(),
        count if count > NAMED => format!(": {} and {} more", names.join(", "), count - NAMED),
        _ => format!(": {}", names.join(", ")),
    }
}
