//! `lintern check`.

use super::setup::{Setup, books_by_root};
use super::{Exit, print, style};
use crate::args::{Check, FailOn, Format};
use crate::output::progress::Progress;
use crate::output::{self, Run, RunError, Summary};
use lintern_core::check::{PlanReport, check};
use lintern_core::finding::Level;
use lintern_core::plan::load;
use lintern_core::plan::scalar::Date;
use lintern_core::remedy;
use lintern_core::repository::{self, Found};
use lintern_core::rulebook::Rulebook;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::PathBuf;

pub fn run(args: &Check) -> Exit {
    let as_of = args.as_of.unwrap_or_else(|| Date(jiff::ZonedDateTime::now().date()));
    let found = repository::find(&args.paths);
    let mut setup = Setup::new(&args.rules);
    let rules = books_by_root(&mut setup, &found.repositories);
    let reports = reports(&found, &setup, &rules, as_of, args);
    let fail_on = fail_on(args, &found);

    let mut notes = std::mem::take(&mut setup.notes);
    notes.extend(found.notes.iter().map(|note| format!("passed over {}: {}", note.file, note.reason)));
    let mut errors = std::mem::take(&mut setup.errors);
    let no_plan = reports.is_empty() && found.problems.is_empty();
    for problem in found.problems {
        for diagnostic in problem.diagnostics {
            errors.push(RunError { kind: "plan", diagnostic, sources: problem.sources.clone() });
        }
    }
    let summary = Summary::count(&reports, &errors);
    let Check { margins, near_miss, verbose, .. } = *args;
    let show = args.show.into();
    let run = Run { as_of, show, verbose, margins, near_miss, reports, errors, notes, summary };
    print(&match args.format {
        Format::Terminal => output::terminal::render(&run, style()),
        Format::Json => output::json::render(&run),
    });
    exit(&run.summary, fail_on, no_plan)
}

/// One report a plan, in the order of the plans whatever the number of threads.
fn reports(
    found: &Found,
    setup: &Setup,
    rules: &BTreeMap<PathBuf, Rulebook>,
    as_of: Date,
    args: &Check,
) -> Vec<PlanReport> {
    let prepared: BTreeMap<_, _> =
        rules.iter().map(|(root, rules)| (root, (setup.modules(rules), rules.options(as_of)))).collect();
    let progress = Progress::start(found.plans.len() as u64, "plans");
    found
        .plans
        .par_iter()
        .filter_map(|plan| {
            let (modules, options) = prepared.get(&plan.repository.root().to_owned())?;
            let mut report = check(load(&plan.repository, &plan.path), modules, options);
            report.weigh(args.near_miss);
            if !args.no_remedies {
                remedy::attach(&plan.repository, &mut report, modules, options);
            }
            progress.step();
            Some(report)
        })
        .collect()
}

/// The command line goes before the configuration; of several configurations the strictest counts.
fn fail_on(args: &Check, found: &Found) -> FailOn {
    use lintern_core::repository::FailOn as Configured;
    let strictest = found.repositories.iter().filter_map(|r| r.config().fail_on).map(|configured| match configured {
        Configured::Undetermined => FailOn::Undetermined,
        Configured::Reminder => FailOn::Reminder,
        Configured::Advice => FailOn::Advice,
        Configured::Violation => FailOn::Violation,
    });
    args.fail_on.or_else(|| strictest.max_by_key(|f| *f as u8)).unwrap_or(FailOn::Violation)
}

fn exit(summary: &Summary, fail_on: FailOn, no_plan: bool) -> Exit {
    let found = match fail_on {
        FailOn::Violation => summary.at_or_above(Level::Violation) > 0,
        FailOn::Advice => summary.at_or_above(Level::Advice) > 0,
        FailOn::Reminder => summary.at_or_above(Level::Reminder) > 0,
        FailOn::Undetermined => summary.at_or_above(Level::Violation) > 0 || summary.undetermined > 0,
    };
    match (summary.errors > 0, no_plan, found) {
        (true, _, _) => Exit::NotChecked,
        (false, true, _) => Exit::NoPlan,
        (false, false, true) => Exit::Found,
        (false, false, false) => Exit::Clean,
    }
}
