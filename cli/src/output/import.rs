//! What an import tells: what was placed, what was changed, and what was left out and why.

use crate::survey::{Brought, Remark};
use lintern_core::plan::ElementKind;
use std::fmt::Write as _;

/// Changes that are listed before the rest is counted. What is left out is always listed.
const SHOWN: usize = 50;

/// The report for people.
pub fn report(brought: &Brought, types: usize, header: &[String]) -> String {
    let mut out = String::new();
    header.iter().skip(1).for_each(|line| {
        let _ = writeln!(out, "{line}");
    });
    let count = |kind: ElementKind| brought.elements.iter().filter(|(_, element)| element.kind == kind).count();
    let mut placed: Vec<String> = [
        (types, "type", "types"),
        (count(ElementKind::Zone), "zone", "zones"),
        (count(ElementKind::Utility), "utility", "utilities"),
        (count(ElementKind::Supply), "supply", "supplies"),
        (count(ElementKind::Junction), "junction", "junctions"),
        (count(ElementKind::Luminaire), "luminaire", "luminaires"),
    ]
    .into_iter()
    .filter(|(count, ..)| *count > 0)
    .map(|(count, one, many)| format!("{count} {}", if count == 1 { one } else { many }))
    .collect();
    if placed.is_empty() {
        placed.push("nothing".to_owned());
    }
    let _ = writeln!(out, "taken: {}", placed.join(", "));
    for remark in brought.changed.iter().take(SHOWN) {
        line(&mut out, "changed", remark);
    }
    if brought.changed.len() > SHOWN {
        let _ = writeln!(out, "changed: and {} more", brought.changed.len() - SHOWN);
    }
    for note in &brought.notes {
        let _ = writeln!(out, "note: {}", one_line(note));
    }
    for remark in &brought.left_out {
        line(&mut out, "left out", remark);
    }
    let left = match brought.left_out.len() {
        0 => "nothing was left out".to_owned(),
        1 => "1 thing was left out".to_owned(),
        count => format!("{count} things were left out"),
    };
    let _ = writeln!(out, "{left}");
    out
}

fn line(out: &mut String, what: &str, remark: &Remark) {
    let _ = writeln!(out, "{what}: {}: {}", one_line(&remark.origin.shown), one_line(&remark.text));
}

fn one_line(text: &str) -> String {
    text.replace(['\n', '\r', '\t'], " ")
}
