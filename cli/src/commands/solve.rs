//! `lintern solve`.

use super::{Exit, print, printed};
use crate::args::{Format, Solve};
use crate::output;
use lintern_core::analysis::network;
use std::collections::BTreeSet;

pub fn run(args: &Solve) -> Exit {
    let loaded = match super::plan(&args.plan) {
        Ok((_, loaded)) => loaded,
        Err(exit) => return exit,
    };
    let Some(layout) = &loaded.layout else { return Exit::NotChecked };
    let solution = network::solve(layout, args.case.into());
    let assumptions: BTreeSet<&String> = layout.assumptions.iter().chain(&*solution.assumptions).collect();
    let assumptions: Vec<String> = assumptions.into_iter().cloned().collect();
    match args.format {
        Format::Json => {
            let out = std::io::stdout().lock();
            printed(output::solve::write_json(&loaded.file, layout, &solution, &assumptions, out));
        }
        Format::Terminal => print(&output::solve::table(&loaded.file, layout, &solution, &assumptions)),
    }
    if solution.unsolved.is_empty() { Exit::Clean } else { Exit::Found }
}
