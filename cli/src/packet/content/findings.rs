//! All findings in full, and the verdict of every rule.

use super::super::words::NONE;
use super::super::{Block, Finding, Section, Source, Table};
use super::part;
use crate::output::terminal::{self, basis_text, measure_text};
use crate::report::{self, shown};
use lintern_core::finding::{Level, Outcome};

/// From so many findings of one rule on, one stands in full and the others in a table.
const MANY: usize = 4;

pub fn section(source: &Source<'_>) -> Section {
    let mut blocks = Vec::new();
    for group in groups(source) {
        match group.split_first() {
            Some((first, others)) if group.len() >= MANY => {
                blocks.push(Block::Finding(Box::new(finding(source, first.0, first.1))));
                blocks.push(more(source, others));
            }
            _ => blocks.extend(group.iter().map(|(number, f)| Block::Finding(Box::new(finding(source, *number, f))))),
        }
    }
    if blocks.is_empty() {
        blocks.push(Block::Text("No rule found anything.".to_owned()));
    }
    blocks.extend(source.plan.cured.iter().map(|cured| Block::Text(shown::cured(cured))));
    part("findings", "Findings", blocks)
}

/// A finding with its number.
type Numbered<'a> = (usize, &'a report::Finding);

/// Findings of one rule, level, basis and standing, in the order of their first ones.
fn groups<'a>(source: &Source<'a>) -> Vec<Vec<Numbered<'a>>> {
    let mut groups: Vec<Vec<Numbered<'a>>> = Vec::new();
    for (number, found) in &source.findings {
        let is_same = |group: &&mut Vec<Numbered<'a>>| {
            group.first().is_some_and(|(_, first)| {
                (&first.rule, first.level, &first.basis) == (&found.rule, found.level, &found.basis)
                    && shown::standing(first) == shown::standing(found)
            })
        };
        match groups.iter_mut().find(is_same) {
            Some(group) => group.push((*number, found)),
            None => groups.push(vec![(*number, found)]),
        }
    }
    groups
}

/// The others of a group, whose basis and work are those of the first.
fn more(source: &Source<'_>, others: &[Numbered<'_>]) -> Block {
    let rule = others.first().map_or("", |(_, found)| found.rule.as_str());
    let caption = format!("More of {rule}: basis and work as above, the work of each in the JSON of the check");
    let mut table = Table::new(&caption, &["#No.", "Element", "What is wrong", "Numbers", "Way out", "#Line"]);
    for (number, found) in others {
        let fails = shown::counts(source.document, found) && found.level == Level::Violation;
        table.row(
            [
                format!("#{number}"),
                if found.subject.is_empty() { "the plan".to_owned() } else { found.subject.clone() },
                found.message.clone(),
                shown::numbers(found).unwrap_or_else(|| NONE.to_owned()),
                found.help.clone(),
                found.span.as_ref().map_or_else(|| NONE.to_owned(), |span| span.line.to_string()),
            ],
            fails,
        );
    }
    Block::Table(table)
}

fn finding(source: &Source<'_>, number: usize, finding: &report::Finding) -> Finding {
    let counts = shown::counts(source.document, finding);
    let subject = if finding.subject.is_empty() { "the plan" } else { &finding.subject };
    let mut facts: Vec<(String, String)> = Vec::new();
    let mut fact = |name: &str, value: Option<String>| {
        facts.extend(value.filter(|value| !value.is_empty()).map(|value| (name.to_owned(), value)));
    };
    fact("Standing", shown::standing(finding));
    fact("Numbers", shown::numbers(finding));
    fact("Basis", Some(basis_text(&finding.basis)));
    fact("Way out", Some(finding.help.clone()));
    fact("Concerns too", (!finding.related.is_empty()).then(|| finding.related.join(", ")));
    let work: Vec<String> = finding
        .work
        .iter()
        .map(|line| format!("{}: {} {} ({})", line.name, terminal::number(line.value), line.unit, line.from))
        .collect();
    fact("Work", Some(work.join("; ")));
    fact("Where", finding.span.as_ref().map(|span| format!("{}:{}:{}", span.file, span.line, span.column)));
    Finding {
        number,
        fails: counts && finding.level == Level::Violation,
        heading: format!("{}  {}  {subject}", finding.level.word(), finding.rule),
        message: finding.message.clone(),
        facts,
    }
}

pub fn verdicts(source: &Source<'_>) -> Section {
    let mut table = Table::new(
        "Verdicts by rule",
        &[
            "Rule",
            "Verdict",
            "#Checked",
            "#Failed",
            "#Undecided",
            "Findings, what is missing, or the tightest that passes",
        ],
    );
    let mut idle = Vec::new();
    for (rule, verdict) in &source.plan.verdicts {
        let counts = &verdict.verdict;
        let word = match counts.verdict {
            Outcome::Pass => "pass",
            Outcome::Fail => "FAIL",
            Outcome::Undetermined => "UNDECIDED",
            Outcome::NotApplicable => {
                idle.push(rule.as_str());
                continue;
            }
        };
        let numbers = || {
            let own = source.findings.iter().filter(|(_, finding)| finding.rule == *rule);
            own.map(|(number, _)| format!("#{number}")).collect::<Vec<_>>().join(" ")
        };
        let missing = || format!("missing: {}", counts.missing.join("; "));
        let more = match (counts.verdict, counts.missing.is_empty()) {
            (Outcome::Fail, true) => numbers(),
            (Outcome::Fail, false) => format!("{}; {}", numbers(), missing()),
            (_, true) => {
                verdict.tightest.as_ref().and_then(|kept| tightest(&kept.value())).unwrap_or_else(|| NONE.to_owned())
            }
            (_, false) => missing(),
        };
        table.row(
            [
                rule.clone(),
                word.to_owned(),
                counts.checked.to_string(),
                counts.failed.to_string(),
                counts.undetermined.to_string(),
                more,
            ],
            counts.verdict == Outcome::Fail,
        );
    }
    let mut blocks = vec![table.or("No rule applies.")];
    if !idle.is_empty() {
        blocks.push(Block::Text(format!("These rules have nothing to judge in this plan: {}.", idle.join(", "))));
    }
    part("verdicts", "Verdicts and margins", blocks)
}

/// The number that comes nearest to its limit.
fn tightest(tightest: &serde_json::Value) -> Option<String> {
    let subject = tightest["subject"].as_str()?;
    let subject = if subject.is_empty() { "the plan" } else { subject };
    let unit = tightest["unit"].as_str()?;
    let measure = |key: &str| {
        let value = tightest[key].as_f64()?;
        Some(measure_text(&lintern_core::finding::Measure { value, unit: unit.to_owned() }))
    };
    Some(format!("{subject}: {} against {}, margin {}", measure("measured")?, measure("limit")?, measure("margin")?))
}
