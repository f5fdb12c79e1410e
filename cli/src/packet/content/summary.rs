//! The first page: what the job is, and what the check says in one glance.

use super::super::words::{NONE, word};
use super::super::{Block, Section, Source};
use super::part;
use crate::output::terminal::count;
use crate::report::shown;
use lintern_core::finding::{Level, Outcome};

/// To be filled in by hand.
const BLANK: &str = "________________________________";
/// Violations that the first page names.
const MOST: usize = 8;
/// How the check says that a limit was set, see `core/src/settings.rs`.
const SETS: [&str; 3] = [" loosens ", " in place of what the code or the law asks for", " sets "];

pub fn section(source: &Source<'_>) -> Section {
    let project = &source.layout.project;
    let said = |value: &Option<String>| value.clone().unwrap_or_else(|| "not stated".to_owned());
    let code = project.code.map_or_else(
        || "not stated: limits that differ by code are not judged".to_owned(),
        |code| code.to_string().to_uppercase().replace('-', " "),
    );
    let facts = vec![
        ("Job", said(&project.name)),
        ("Designer", said(&project.designer)),
        ("Place", [&project.region, &project.country].into_iter().flatten().next().cloned().unwrap_or(NONE.to_owned())),
        ("Authority having jurisdiction", said(&project.authority)),
        ("Code", code),
        ("Occupancy", word(project.occupancy)),
        ("Judged as of", source.document.as_of.clone()),
        ("Plan file", source.plan.path()),
        ("SHA-256 of the plan", source.plan.sha256.clone()),
        ("Permit number", BLANK.to_owned()),
        ("Reviewed by, on", BLANK.to_owned()),
        ("Decision", BLANK.to_owned()),
    ];
    let facts = facts.into_iter().map(|(name, value)| (name.to_owned(), value)).collect();
    part("summary", "Summary", vec![notice(source), Block::Facts(facts), Block::List(sizes(source))])
}

/// What the check amounts to. It never says that the plan is approved: that is not for a program.
fn notice(source: &Source<'_>) -> Block {
    let counts = &source.document.summary;
    let open = counts.counting(source.document.seal.options.as_reviewer);
    let layout = source.layout;
    let waived = counts.as_reviewer.violation.saturating_sub(open.violation);
    let title = match open.violation {
        0 if counts.errors > 0 => "NOT FULLY CHECKED: see the errors".to_owned(),
        0 if layout.luminaires.is_empty() && layout.runs.is_empty() => {
            "NOTHING TO CHECK: the plan has neither luminaires nor runs".to_owned()
        }
        0 if waived > 0 => {
            format!("{}, waived by the plan: for the authority to judge", count(waived, "VIOLATION", "VIOLATIONS"))
        }
        0 => "No violation was found by the rules that could be applied".to_owned(),
        n => format!("{}: to be cured before the work", count(n, "VIOLATION", "VIOLATIONS")),
    };
    let with = |outcome| source.plan.verdicts.values().filter(|v| v.verdict.verdict == outcome).count();
    let mut lines = vec![
        format!(
            "{}; {}; {} could not be checked; {} waived.",
            count(open.advice, "piece of advice", "pieces of advice"),
            count(open.reminder, "reminder", "reminders"),
            count(counts.undetermined, "element", "elements"),
            counts.waived
        ),
        format!(
            "Of {} rules {} passed, {} failed, {} could not be decided and {} do not apply.",
            source.plan.verdicts.len(),
            with(Outcome::Pass),
            with(Outcome::Fail),
            with(Outcome::Undetermined),
            with(Outcome::NotApplicable)
        ),
    ];
    if counts.as_reviewer != counts.open {
        lines.push(format!("Without the plan's waivers: {}.", shown::levels(&counts.as_reviewer)));
    }
    for error in source.document.errors.iter().chain(&source.plan.errors) {
        lines.push(format!("NOT CHECKED: {}", error.message));
    }
    let worst = source.findings.iter().filter(|(_, finding)| finding.level == Level::Violation);
    for (number, finding) in worst.take(MOST) {
        let waived = finding.waived.as_ref().map(|reason| format!(" (waived: {reason})")).unwrap_or_default();
        lines.push(format!("#{number}: {}{waived}", finding.message));
    }
    if counts.as_reviewer.violation > MOST {
        lines.push(format!("and {} more violations, in the list of findings", counts.as_reviewer.violation - MOST));
    }
    // What a company or an amendment sets stands among the assumptions of a check.
    let set = source.plan.assumptions.iter().filter(|assumed| SETS.iter().any(|words| assumed.contains(words)));
    lines.extend(set.map(|assumed| format!("Limits: {assumed}")));
    Block::Notice { title, lines }
}

/// How large the job is.
fn sizes(source: &Source<'_>) -> Vec<String> {
    let layout = source.layout;
    let cable_m: f64 =
        layout.runs.iter().flat_map(|run| &run.segments).map(|segment| segment.length_m).sum::<f64>() + 0.0;
    let power_w: f64 = layout.luminaires.iter().map(|luminaire| luminaire.kind.power.si()).sum::<f64>() + 0.0;
    vec![
        format!(
            "{} of {}, {} W by their nameplates",
            count(layout.luminaires.len(), "luminaire", "luminaires"),
            count(crate::drawing::site::installed(layout).len(), "type", "types"),
            crate::output::terminal::number(power_w)
        ),
        format!(
            "{} and {}",
            count(layout.supplies.len(), "supply", "supplies"),
            count(layout.junctions.len(), "junction", "junctions")
        ),
        format!(
            "{} with {} of cable",
            count(layout.runs.len(), "run", "runs"),
            super::super::words::length(layout, cable_m)
        ),
    ]
}
