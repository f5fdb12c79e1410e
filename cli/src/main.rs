//! The `lintern` program: reads the command line, calls the library, prints, and answers with an exit code.

mod args;
mod commands;
mod compare;
mod git;
mod output;
mod report;

use args::{Cli, Command};
use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let cli = Cli::parse();
    let outcome = match cli.command {
        Command::Check(args) => commands::check::run(&args),
        Command::Compare(args) => commands::compare::run(&args),
        Command::Baseline(args) => commands::baseline::run(&args),
        Command::Merge(args) => commands::merge::run(&args),
        Command::Verify(args) => commands::verify::run(&args),
        Command::Solve(args) => commands::solve::run(&args),
        Command::Remedy(args) => commands::remedy::run(&args),
        Command::Size(args) => commands::size::run(&args),
        Command::Readings(args) => commands::readings::run(&args),
        Command::Config(args) => commands::config::run(&args),
        Command::Rules(args) => commands::rules::run(&args),
        Command::Explain(args) => commands::explain::run(&args),
        Command::Schema => commands::schema::run(),
        Command::Rule(args) => commands::rule::run(&args),
    };
    ExitCode::from(outcome as u8)
}
