//! `lintern config`: the resolved configuration with where each part of it comes from.

use super::setup::{Setup, user_config};
use super::{Exit, print};
use crate::args::{Format, Rules};
use crate::output::{self, config};
use crate::report::baseline;
use lintern_core::plan::Sources;

pub fn run(args: &Rules) -> Exit {
    let mut setup = Setup::new(&args.rules);
    let repository = match super::repository(&args.path) {
        Ok(repository) => repository,
        Err(exit) => return exit,
    };
    let book = setup.repository(&repository);
    let baseline = baseline::read(&repository).unwrap_or_else(|wrong| {
        setup.errors.push(output::RunError { kind: "config", diagnostic: wrong, sources: Sources::default() });
        None
    });
    let resolved = config::Resolved {
        repository: &repository,
        user: user_config(),
        book: &book,
        builtin: setup.builtin(),
        baseline: baseline.as_ref(),
    };
    print(&match args.format {
        Format::Terminal => config::text(&resolved),
        Format::Json => output::pretty(&config::json(&resolved)),
    });
    super::report(&setup.errors)
}
