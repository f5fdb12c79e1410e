//! `lintern steps`.

use super::setup::Setup;
use super::{Exit, print};
use crate::args::{Format, Steps};
use crate::output;
use lintern_core::analysis::calendar::work_calendar;
use lintern_core::plan::scalar::Date;
use lintern_core::steps::{Job, notice, steps};

pub fn run(args: &Steps) -> Exit {
    let (repository, loaded) = match super::plan(&args.plan) {
        Ok(read) => read,
        Err(exit) => return exit,
    };
    let Some(layout) = &loaded.layout else { return Exit::NotChecked };
    let as_of = args.as_of.unwrap_or_else(|| Date(jiff::ZonedDateTime::now().date()));
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
