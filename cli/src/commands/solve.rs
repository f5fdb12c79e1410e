//! `lintern solve`.

use super::{Exit, print, style};
use crate::args::{Format, Solve};
use crate::output;
use lintern_core::analysis::network;
use lintern_core::plan;
use lintern_core::repository::Repository;
use std::collections::BTreeSet;

pub fn run(args: &Solve) -> Exit {
    let repository = match Repository::of(&args.plan) {
        Ok(repository) => repository,
        Err(error) => {
            eprintln!("lintern: can't open {}: {error}", args.plan.display());
            return Exit::NotChecked;
        }
    };
    let loaded = plan::load(&repository, &args.plan);
    let Some(layout) = &loaded.layout else {
        eprint!("{}", output::terminal::diagnostics(&loaded.diagnostics, &loaded.sources, style()));
        return Exit::NotChecked;
    };
    let solution = network::solve(layout, args.case.into());
    let assumptions: BTreeSet<&String> = layout.assumptions.iter().chain(&solution.assumptions).collect();
    let assumptions: Vec<String> = assumptions.into_iter().cloned().collect();
    print(&match args.format {
        Format::Json => output::solve::json(&loaded.file, layout, &solution, &assumptions),
        Format::Terminal => output::solve::table(&loaded.file, layout, &solution, &assumptions),
    });
    if solution.unsolved.is_empty() { Exit::Clean } else { Exit::Found }
}
