//! Data that no rule reads, for people.

use super::terminal::{count, wrap};
use lintern_core::coverage::{Coverage, Idle, Place, Unread};
use std::fmt::Write as _;

/// The section of one repository; `folder` is that of the repository, shown before its files.
pub fn text(coverage: &Coverage, folder: &str, width: usize) -> String {
    let mut out = String::new();
    let at = |place: &Place| {
        format!("{}:{}:{}", crate::report::document::joined(folder, &place.file), place.line, place.column)
    };
    let line = |out: &mut String, text: String, mark: &str| {
        let _ = writeln!(out, "{}", wrap(&super::escape::terminal(&text), mark, width));
    };
    let _ = writeln!(out, "data on which no answer depends: dead, or a rule is missing");
    for Unread { route, occurrences, plans, plans_tried, first } in &coverage.fields {
        let places = count(*occurrences, "place", "places");
        let tried =
            if plans_tried < plans { format!(", tried in {plans_tried} of {plans} plans") } else { String::new() };
        line(&mut out, format!("{route}  {places}{tried}, first {}", at(first)), "  field    ");
    }
    for Idle { place, kind, id } in &coverage.elements {
        let what = match kind.as_str() {
            "zone" | "utility" => format!("{kind} {id}: nothing that is judged is in it or near it"),
            table => format!("type {id} of {table}: installed nowhere"),
        };
        line(&mut out, format!("{what}, {}", at(place)), "  element  ");
    }
    if coverage.fields.is_empty() && coverage.elements.is_empty() {
        let _ = writeln!(out, "  none");
    }
    let people: Vec<&str> = coverage.for_people.iter().map(|field| field.route.as_str()).collect();
    if !people.is_empty() {
        line(&mut out, format!("read by people and by no rule: {}", people.join(", ")), "  ");
    }
    for (n, what) in [
        (coverage.elements_not_tried, "zones and lines were not tried, to bound the work"),
        (coverage.plans_not_loaded, "plans can't be loaded: nothing is said of them"),
    ] {
        if n > 0 {
            line(&mut out, format!("{n} {what}"), "  ? ");
        }
    }
    out.push('\n');
    out
}
