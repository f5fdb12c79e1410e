//! `--format gitlab`: the code quality report that merge requests of GitLab show: findings that count, by file and line.

use crate::report::document::{Failure, joined};
use crate::report::{Document, Finding, Plan, shown};
use lintern_core::finding::Level;
use lintern_core::repository::sha256_hex;
use serde::Serialize;

#[derive(Serialize)]
struct Entry {
    description: String,
    check_name: String,
    fingerprint: String,
    severity: &'static str,
    location: Location,
}

#[derive(Serialize)]
struct Location {
    path: String,
    lines: Lines,
}

#[derive(Serialize)]
struct Lines {
    begin: u32,
}

/// The whole list.
pub fn render(document: &Document) -> String {
    let mut entries = Vec::new();
    for failure in &document.errors {
        entries.push(error(failure));
    }
    for plan in &document.plans {
        entries.extend(plan.errors.iter().map(error));
        entries.extend(plan.findings.iter().filter(|f| shown::counts(document, f)).map(|f| entry(plan, f)));
    }
    super::pretty(&entries)
}

fn entry(plan: &Plan, finding: &Finding) -> Entry {
    let basis = super::terminal::basis_text(&finding.basis);
    let (path, begin) = match &finding.span {
        Some(span) => (joined(&plan.repository, &span.file), span.line),
        None => (plan.path(), 1),
    };
    Entry {
        description: format!("{} ({basis})", finding.message),
        check_name: finding.rule.clone(),
        // Of the whole repository of files: the report's own counts from the plan repository.
        fingerprint: sha256_hex(format!("{}\0{}", plan.repository, finding.fingerprint).as_bytes())[..32].to_owned(),
        severity: match finding.level {
            Level::Violation => "critical",
            Level::Advice => "minor",
            Level::Reminder => "info",
        },
        location: Location { path, lines: Lines { begin } },
    }
}

fn error(failure: &Failure) -> Entry {
    let path = failure.path().unwrap_or_else(|| ".".to_owned());
    let begin = failure.span.as_ref().map_or(1, |span| span.line);
    Entry {
        description: format!("could not be checked: {}", failure.message),
        check_name: format!("error/{}", failure.kind),
        fingerprint: sha256_hex(format!("{:?}\0{}\0{}", failure.place(), failure.kind, failure.message).as_bytes())
            [..32]
            .to_owned(),
        severity: "blocker",
        location: Location { path, lines: Lines { begin } },
    }
}
