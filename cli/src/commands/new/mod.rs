//! `lintern new FILE`: starts a plan from flags and questions, and says what is still to be decided.

mod questions;
mod text;

use super::{Exit, print, stop, write};
use crate::args::NewPlan;
use crate::output::{escape, terminal};
use lintern_core::layout::{Catalogue, Origin};
use lintern_core::plan::load_text;
use lintern_core::plan::model::{Code, Grid, Occupancy, OutputCurrent};
use std::io::{self, IsTerminal as _};

/// What is known of the job.
#[derive(Debug, Clone, Default)]
struct Answers {
    name: Option<String>,
    designer: Option<String>,
    country: Option<String>,
    region: Option<String>,
    authority: Option<String>,
    code: Option<Code>,
    occupancy: Option<Occupancy>,
    grid: Option<Grid>,
    origin: Option<Origin>,
    volts: Option<u8>,
    current: Option<OutputCurrent>,
    schedules: Vec<String>,
}

pub fn run(args: &NewPlan) -> Exit {
    let path = &args.file;
    if path.symlink_metadata().is_ok() {
        return stop(&format!("{} exists already, and is left as it is; take another name", path.display()));
    }
    let repository = match super::repository(write::folder(path)) {
        Ok(repository) => repository,
        Err(exit) => return exit,
    };
    let mut answers = Answers::of(args);
    if !args.no_questions && io::stdin().is_terminal() && io::stderr().is_terminal() {
        match questions::ask(&mut answers) {
            Ok(()) => {}
            Err(error) => return stop(&format!("nothing is written: {error}")),
        }
    }
    if let (Some(country), Some(region)) = (&answers.country, &answers.region)
        && !region.starts_with(&format!("{country}-"))
    {
        return stop(&format!("the region {region} is not in the country {country}"));
    }
    let absolute = std::path::absolute(path).unwrap_or_else(|_| path.clone());
    // The types at hand are known when the plan is read; the comments about them come after.
    let first = load_text(&repository, &absolute, text::plan(&answers, &Catalogue::default()).text.as_bytes());
    let draft = text::plan(&answers, &first.catalogue);
    let loaded = load_text(&repository, &absolute, draft.text.as_bytes());
    if loaded.layout.is_none() {
        eprint!("{}", terminal::diagnostics(&loaded.diagnostics, &loaded.sources, super::style()));
        return stop("nothing is written: the plan could not be read");
    }
    if let Err(error) = write::new(path, &draft.text) {
        return stop(&format!("can't write {}: {error}", path.display()));
    }
    let mut told = format!("Wrote {}. Still to be decided:\n", path.display());
    let width = draft.open.iter().map(|(what, _)| what.len()).max().unwrap_or(0);
    for (what, why) in &draft.open {
        told.push_str(&format!("  {what:width$}  {why}\n"));
    }
    print(&escape::terminal(&told));
    Exit::Clean
}

impl Answers {
    fn of(args: &NewPlan) -> Self {
        Self {
            name: args.name.clone(),
            designer: args.designer.clone(),
            country: args.country.clone(),
            region: args.region.clone(),
            authority: args.authority.clone(),
            code: args.code,
            occupancy: args.occupancy,
            grid: args.grid.map(Grid::from),
            origin: args.origin.map(|origin| origin.0),
            volts: args.volts.map(|volts| volts as u8),
            current: args.current,
            schedules: args.schedules.clone(),
        }
    }
}
