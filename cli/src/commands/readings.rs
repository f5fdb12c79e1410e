//! `lintern readings`.

use super::{Exit, print};
use crate::args::{Format, Readings};
use crate::output;
use lintern_core::analysis::as_built::{self, Outcome};
use std::collections::BTreeSet;

pub fn run(args: &Readings) -> Exit {
    let loaded = match super::plan(&args.plan) {
        Ok((_, loaded)) => loaded,
        Err(exit) => return exit,
    };
    let Some(layout) = &loaded.layout else { return Exit::NotChecked };
    let Some(result) = as_built::examine(layout) else {
        eprintln!(
            "lintern: {} has no `readings`: add what was read, like `readings: {{ taken: [{{ at: L1, volts: 11.6 V }}] }}`",
            args.plan.display()
        );
        return Exit::NotChecked;
    };
    let assumptions: BTreeSet<&String> = layout.assumptions.iter().chain(&result.assumptions).collect();
    let assumptions: Vec<String> = assumptions.into_iter().cloned().collect();
    print(&match args.format {
        Format::Json => output::readings::json(&loaded.file, layout, &result, &assumptions),
        Format::Terminal => output::readings::table(&loaded.file, layout, &result, &assumptions),
    });
    match result.diagnosis.outcome {
        Outcome::NotCompared => Exit::NotChecked,
        _ if result.comparisons.iter().any(|comparison| comparison.outside) => Exit::Found,
        _ => Exit::Clean,
    }
}
