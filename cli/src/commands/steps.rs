//! `lintern steps`.

use super::setup::Setup;
use super::{Exit, check, print};
use crate::args::{Format, RuleArgs, Steps};
use crate::output;
use lintern_core::analysis::calendar::work_calendar;
use lintern_core::layout::Layout;
use lintern_core::plan::scalar::Date;
use lintern_core::repository::Repository;
use lintern_core::steps::{Job, Step, notice, steps};

pub fn run(args: &Steps) -> Exit {
    let (repository, loaded) = match super::plan(&args.plan) {
        Ok(read) => read,
        Err(exit) => return exit,
    };
    let Some(layout) = &loaded.layout else { return Exit::NotChecked };
    let as_of = args.as_of.unwrap_or_else(check::today);
    let mut setup = Setup::new(&args.rules);
    let book = setup.repository(&repository);
    // A wrong configuration could hide an amendment of the notice.
    let told = super::report(&setup.errors);
    let notice = match notice(layout, &setup.modules(&book), &book.options(as_of)) {
        Ok(notice) => notice,
        Err(problem) => {
            eprintln!("lintern: {}", output::escape::terminal(&problem));
            return Exit::NotChecked;
        }
    };
    let calendar = work_calendar(layout, as_of.0);
    let job = Job { layout, calendar: calendar.as_ref(), notice: &notice, as_of };
    let steps = steps(&job);
    print(&match args.format {
        Format::Json => output::steps::json(&loaded.file, &job, &steps),
        Format::Terminal => output::steps::list(&loaded.file, &job, &steps),
    });
    told
}

/// The steps of a plan for its packet, with the notice before digging in words. What can't be loaded is told by the
/// check of the same plan.
pub fn told(
    repository: &Repository,
    layout: &Layout,
    as_of: Date,
    rules: &RuleArgs,
) -> Result<(Vec<Step>, String), String> {
    let mut setup = Setup::new(rules);
    let book = setup.repository(repository);
    let notice = notice(layout, &setup.modules(&book), &book.options(as_of))?;
    let calendar = work_calendar(layout, as_of.0);
    let steps = steps(&Job { layout, calendar: calendar.as_ref(), notice: &notice, as_of });
    Ok((steps, output::steps::notice_text(&notice)))
}
