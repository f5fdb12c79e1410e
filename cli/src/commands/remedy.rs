//! `lintern remedy PLAN`.

use super::setup::Setup;
use super::{Exit, print, write};
use crate::args::{Format, Remedy};
use crate::output::{escape, remedy as output};
use lintern_core::check::{CheckError, PlanReport, check};
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{MAX_BYTES, read_plain};
use lintern_core::remedy::{Effort, Remedies, search};
use lintern_core::repository::sha256_hex;

pub fn run(args: &Remedy) -> Exit {
    let mut setup = Setup::new(&args.rules);
    let (repository, loaded) = match super::plan(&args.plan) {
        Ok(opened) => opened,
        Err(exit) => return exit,
    };
    let rules = setup.repository(&repository);
    // A cure is one only if all rules could be asked.
    if super::report(&setup.errors) != Exit::Clean {
        return Exit::NotChecked;
    }
    let modules = setup.modules(&rules);
    let options = rules.options(args.as_of.unwrap_or_else(|| Date(jiff::ZonedDateTime::now().date())));
    let mut report = check(loaded, &modules, &options);
    let Some(layout) = &report.loaded.layout else { return Exit::NotChecked };
    if let Some(CheckError::Module(problem)) = report.errors.first() {
        return fails(problem);
    }
    if let Some(rule) = &args.rule {
        let known = modules.iter().flat_map(|module| module.rules()).any(|known| known.id == *rule);
        if !known {
            return fails(&format!("there is no rule `{rule}`; `lintern rules` lists the rules"));
        }
    }
    let wanted = |rule: &str| args.rule.as_deref().is_none_or(|only| only == rule);
    let remedies = search(&repository, &report, &modules, &options, Effort::THOROUGH, &wanted);
    if let Some(number) = args.apply {
        return apply(args, &report, &remedies, number);
    }
    print(&match args.format {
        Format::Terminal => output::list(&report, layout, &remedies, options.as_of),
        Format::Json => output::json(&report, &remedies, options.as_of),
    });
    report.findings.retain(|finding| finding.waived.is_none() && wanted(&finding.rule));
    if report.findings.is_empty() { Exit::Clean } else { Exit::Found }
}

/// Writes the plan with a cure, unless the file is no longer the one that was checked.
fn apply(args: &Remedy, report: &PlanReport, remedies: &Remedies, number: usize) -> Exit {
    let Some(cure) = number.checked_sub(1).and_then(|index| remedies.cures.get(index)) else {
        return fails(&format!("there is no cure {number}: the plan has {}", remedies.cures.len()));
    };
    match read_plain(&args.plan, MAX_BYTES) {
        Ok(bytes) if sha256_hex(&bytes) == report.loaded.sha256 => {}
        Ok(_) => return fails("the plan was changed by someone else in the meantime; nothing is written"),
        Err(error) => return fails(&format!("can't read {}: {error}", args.plan.display())),
    }
    match write::over(&args.plan, cure.text.as_bytes()) {
        Ok(()) => {
            print(&escape::terminal(&format!("{}: {}\n", report.loaded.file, cure.summary)));
            Exit::Clean
        }
        Err(error) => fails(&format!("can't write {}: {error}; the plan is as it was", args.plan.display())),
    }
}

fn fails(message: &str) -> Exit {
    eprintln!("lintern: {}", escape::terminal(message));
    Exit::NotChecked
}
