//! `lintern remedy`: cures, ranked, as a list for people and as JSON.

use super::{CAUTION, escape, terminal};
use lintern_core::check::PlanReport;
use lintern_core::finding::WorkLine;
use lintern_core::layout::Layout;
use lintern_core::plan::scalar::Date;
use lintern_core::remedy::{Cost, Cure, Key, NoCure, Remedies, Sort};
use serde::Serialize;
use std::fmt::Write as _;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    format: u32,
    file: &'a str,
    sha256: &'a str,
    as_of: String,
    findings: usize,
    cures: Vec<Ranked<'a>>,
    uncured: Vec<JsonUncured<'a>>,
    checks: usize,
    caution: &'static str,
}

#[derive(Serialize)]
struct Ranked<'a> {
    rank: usize,
    #[serde(flatten)]
    cure: JsonCure<'a>,
}

/// A cure as JSON.
#[derive(Serialize)]
pub struct JsonCure<'a> {
    sort: Sort,
    summary: &'a str,
    cures: Vec<JsonKey<'a>>,
    cost: JsonCost,
    work: &'a [WorkLine],
    unsure: &'a [String],
}

#[derive(Serialize)]
struct JsonKey<'a> {
    rule: &'a str,
    subject: &'a str,
    field: &'a str,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct JsonCost {
    cable_added_m: f64,
    trench_added_m: f64,
    parts_changed: usize,
    cable_replaced_m: f64,
}

#[derive(Serialize)]
struct JsonUncured<'a> {
    #[serde(flatten)]
    finding: JsonKey<'a>,
    reason: String,
}

/// A cure as JSON.
pub fn json_cure(cure: &Cure) -> JsonCure<'_> {
    let Cost { cable_added_m, trench_added_m, parts_changed, cable_replaced_m, .. } = cure.cost;
    JsonCure {
        sort: cure.sort,
        summary: &cure.summary,
        cures: cure.cures.iter().map(key).collect(),
        cost: JsonCost { cable_added_m, trench_added_m, parts_changed, cable_replaced_m },
        work: &cure.work,
        unsure: &cure.unsure,
    }
}

fn key(key: &Key) -> JsonKey<'_> {
    JsonKey { rule: &key.rule, subject: &key.subject, field: &key.field }
}

/// The whole document, with a line end.
pub fn json(report: &PlanReport, remedies: &Remedies, as_of: Date) -> String {
    let document = Document {
        format: 1,
        file: &report.loaded.file,
        sha256: &report.loaded.sha256,
        as_of: as_of.to_string(),
        findings: report.findings.iter().filter(|finding| finding.waived.is_none()).count(),
        cures: remedies
            .cures
            .iter()
            .enumerate()
            .map(|(i, cure)| Ranked { rank: i + 1, cure: json_cure(cure) })
            .collect(),
        uncured: remedies
            .uncured
            .iter()
            .map(|uncured| JsonUncured { finding: key(&uncured.finding), reason: reason(uncured.reason) })
            .collect(),
        checks: remedies.checks,
        caution: CAUTION,
    };
    super::pretty(&document)
}

/// Why there is no cure, in words.
fn reason(reason: NoCure) -> String {
    match reason {
        NoCure::NotComputed => "no change is computed for this sort of finding".to_owned(),
        NoCure::NoneHelps(tried) => {
            format!(
                "nothing that was tried ({tried} changes and solved networks) cures it without raising another finding"
            )
        }
        NoCure::Stopped(tried) => {
            format!(
                "the search was stopped after {tried} changes and solved networks, to bound the work; `--rule` looks further for one rule"
            )
        }
    }
}

/// Lines of arithmetic of one cure that are shown.
const MOST_WORK: usize = 7;

/// The list for people.
pub fn list(report: &PlanReport, layout: &Layout, remedies: &Remedies, as_of: Date) -> String {
    let mut out = String::new();
    let findings = report.findings.iter().filter(|finding| finding.waived.is_none()).count();
    let _ = writeln!(
        out,
        "{}: {}, {}; the least cable first, then the least trench, then the fewest parts. As of {as_of}.\n",
        report.loaded.file,
        super::terminal::count(findings, "finding", "findings"),
        super::terminal::count(remedies.cures.len(), "cure", "cures")
    );
    for (index, cure) in remedies.cures.iter().enumerate() {
        let _ = writeln!(out, "{:>3}  {}", index + 1, cure.summary);
        let _ = writeln!(out, "     {}", cure.cost.phrase(layout.is_in_feet()));
        for (rule, subjects) in by_rule(&cure.cures) {
            let _ = writeln!(out, "     cures  {rule}: {}", subjects.join(", "));
        }
        for text in &cure.unsure {
            let _ = writeln!(out, "     but    {text}");
        }
        for line in cure.work.iter().take(MOST_WORK) {
            let value = terminal::number(line.value);
            let _ = writeln!(out, "     {}: {value} {}  ({})", line.name, line.unit, line.from);
        }
        if let Some(more) = cure.work.len().checked_sub(MOST_WORK).filter(|more| *more > 0) {
            let _ = writeln!(out, "     and {more} more lines of arithmetic: see `--format json`");
        }
        out.push('\n');
    }
    for uncured in &remedies.uncured {
        let key = &uncured.finding;
        let _ = writeln!(out, "  -  {}  {}: {}", key.rule, named(key), reason(uncured.reason));
    }
    if !remedies.cures.is_empty() {
        let _ = writeln!(
            out,
            "\nEach cure was checked with all rules and raises no other finding. `--apply N` writes the plan with cure N."
        );
    }
    let _ = writeln!(out, "\n{CAUTION}");
    escape::terminal(&out).into_owned()
}

/// What is cured, by rule, in the order of the findings.
fn by_rule(cures: &[Key]) -> Vec<(&str, Vec<String>)> {
    let mut rules: Vec<(&str, Vec<String>)> = Vec::new();
    for key in cures {
        match rules.iter_mut().find(|(rule, _)| *rule == key.rule) {
            Some((_, subjects)) => subjects.push(named(key)),
            None => rules.push((&key.rule, vec![named(key)])),
        }
    }
    rules
}

fn named(key: &Key) -> String {
    match (key.subject.is_empty(), key.field.is_empty()) {
        (true, _) => "the plan".to_owned(),
        (false, true) => key.subject.clone(),
        (false, false) => format!("{} `{}`", key.subject, key.field),
    }
}
