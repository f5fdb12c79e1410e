//! `lintern config`: the resolved configuration with where each part of it comes from.

use super::setup::{Setup, user_config};
use super::{Exit, print};
use crate::args::{Format, Rules};
use crate::output::{self, config};

pub fn run(args: &Rules) -> Exit {
    let mut setup = Setup::new(&args.rules);
    let repository = match super::repository(&args.path) {
        Ok(repository) => repository,
        Err(exit) => return exit,
    };
    let book = setup.repository(&repository);
    let resolved =
        config::Resolved { repository: &repository, user: user_config(), book: &book, builtin: setup.shared().builtin };
    print(&match args.format {
        Format::Terminal => config::text(&resolved),
        Format::Json => output::pretty(&config::json(&resolved)),
    });
    super::report(&setup.errors)
}
