//! `lintern baseline [PATH…]`: records what is found now, so that `check` speaks of what is new.

use super::{Exit, print, style, write};
use crate::args::Baseline;
use crate::output::escape;
use crate::output::terminal::count;
use crate::report::baseline::{FILE, Recorded};
use crate::report::run::{self, Request};
use crate::report::{Document, document::joined};
use lintern_core::finding::Level;
use std::collections::BTreeSet;

pub fn run(args: &Baseline) -> Exit {
    let as_of = args.as_of.unwrap_or_else(super::check::today);
    let request = Request {
        paths: args.paths.clone(),
        as_of,
        fail_on: None,
        show: Level::Reminder,
        as_reviewer: false,
        baseline: false,
        remedies: false,
        margins: false,
        near_miss_percent: None,
        shard: None,
        changed_since: None,
        rules: &args.rules,
        style: Some(style()),
        progress: true,
        coverage: false,
    };
    let checked = run::run(&request);
    let document = &checked.document;
    if document.summary.errors > 0 {
        let of_plans =
            document.plans.iter().filter(|plan| !plan.errors.is_empty()).filter_map(|p| p.terminal.as_deref());
        let of_run = document.errors.iter().filter_map(|failure| failure.terminal.as_deref());
        of_run.chain(of_plans).for_each(|text| eprint!("{text}"));
        let errors = count(document.summary.errors, "error", "errors");
        eprintln!("lintern: no baseline is written: {errors} would leave it incomplete");
        return Exit::NotChecked;
    }
    if document.plans.is_empty() {
        eprintln!("lintern: no plan was found");
        return Exit::NoPlan;
    }
    let folders: BTreeSet<&String> = document.plans.iter().map(|plan| &plan.repository).collect();
    for folder in folders {
        match record(document, folder, checked.base.path()) {
            Ok(told) => print(&format!("{}\n", escape::terminal(&told))),
            Err(error) => {
                eprintln!("lintern: {}", escape::terminal(&error));
                return Exit::NotChecked;
            }
        }
    }
    Exit::Clean
}

/// Writes the baseline of one repository. What it has of plans that were not looked at stays, if they are still there.
fn record(document: &Document, folder: &str, base: &std::path::Path) -> Result<String, String> {
    let root = base.join(folder);
    let file = root.join(FILE);
    let shown = joined(folder, FILE);
    let repository = lintern_core::repository::Repository::of(&root).map_err(|error| error.to_string())?;
    let before = crate::report::baseline::read(&repository).map_err(|wrong| wrong.message)?;
    let mut recorded = Recorded::new(document.as_of.clone());
    let plans: Vec<_> = document.plans.iter().filter(|plan| plan.repository == folder).collect();
    plans.iter().for_each(|plan| recorded.record(plan));
    let (own, looked_at) = (recorded.findings.len(), plans.len());
    let known: BTreeSet<&str> = plans.iter().map(|plan| plan.file.as_str()).collect();
    if let Some(before) = before {
        let there = |file: &str| repository.inside(repository.root(), file).is_ok();
        let others = before.recorded.findings.into_iter().filter(|entry| !known.contains(&*entry.file));
        recorded.findings.extend(others.filter(|entry| there(&entry.file)));
    }
    let kept = recorded.findings.len() - own;
    write::put(&file, recorded.text().as_bytes()).map_err(|error| format!("can't write {shown}: {error}"))?;
    let kept =
        if kept > 0 { format!(", {} of other plans kept", count(kept, "finding", "findings")) } else { String::new() };
    Ok(format!("wrote {shown}: {} of {}{kept}", count(own, "finding", "findings"), count(looked_at, "plan", "plans")))
}
