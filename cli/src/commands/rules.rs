//! `lintern rules`.

use super::setup::Setup;
use super::{Exit, print};
use crate::args::{self, Format};
use crate::output::{self, rules};

pub fn run(args: &args::Rules) -> Exit {
    let mut setup = Setup::new(&args.rules);
    let repository = match super::repository(&args.path) {
        Ok(repository) => repository,
        Err(exit) => return exit,
    };
    let book = setup.repository(&repository);
    let listed: Vec<_> = book.rules(setup.shared().builtin).collect();
    print(&match args.format {
        Format::Terminal => rules::table(&book, &listed),
        Format::Json => output::pretty(&rules::json(&book, &listed)),
    });
    super::report(&setup.errors)
}
