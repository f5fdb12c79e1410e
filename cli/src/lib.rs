//! The `lintern` program as a library, for its own `main` and for benchmarks.

/// Writes to standard error like the macro of the standard library, which panics where that is full or its reader has
/// gone away. The exit code tells the same.
macro_rules! eprint {
    ($($text:tt)*) => {{
        let _ = std::io::Write::write_fmt(&mut std::io::stderr().lock(), format_args!($($text)*));
    }};
}

/// The same with a line end.
macro_rules! eprintln {
    ($($text:tt)*) => {
        eprint!("{}\n", format_args!($($text)*))
    };
}

mod args;
mod commands;
mod compare;
mod drawing;
mod git;
mod mistyped;
mod output;
mod packet;
mod report;
mod serve;
mod survey;
mod threads;

use args::{Cli, Command};
use clap::Parser;
use std::io::Write as _;
use std::process::ExitCode;

/// Reads the command line, calls the core, prints, and answers with an exit code.
pub fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => return told(&mistyped::explain(error)),
    };
    if let Err(why) = threads::start(matches!(cli.command, Command::Serve(_))) {
        return ExitCode::from(commands::stop(&why) as u8);
    }
    let outcome = match cli.command {
        Command::Check(args) if args.watch => commands::watch::run(&args),
        Command::Check(args) => commands::check::run(&args),
        Command::New(args) => commands::new::run(&args),
        Command::Import(args) => commands::import::run(&args),
        Command::Export(args) => commands::export::run(&args),
        Command::Compare(args) => commands::compare::run(&args),
        Command::Baseline(args) => commands::baseline::run(&args),
        Command::Merge(args) => commands::merge::run(&args),
        Command::Verify(args) => commands::verify::run(&args),
        Command::Solve(args) => commands::solve::run(&args),
        Command::Remedy(args) => commands::remedy::run(&args),
        Command::Size(args) => commands::size::run(&args),
        Command::Readings(args) => commands::readings::run(&args),
        Command::Report(args) => commands::report::run_report(&args),
        Command::Draw(args) => commands::draw::run(&args),
        Command::Steps(args) => commands::steps::run(&args),
        Command::Config(args) => commands::config::run(&args),
        Command::Rules(args) => commands::rules::run(&args),
        Command::Explain(args) => commands::explain::run(&args),
        Command::Schema(args) => commands::schema::run(&args),
        Command::Completions(args) => commands::completions::run(&args),
        Command::Man(args) => commands::man::run(&args),
        Command::Serve(args) => serve::run(&args),
        Command::Rule(args) => commands::rule::run(&args),
    };
    ExitCode::from(outcome as u8)
}

/// Prints what is wrong with the command line, or the help that it asks for.
fn told(error: &clap::Error) -> ExitCode {
    let written = error.print().and_then(|()| std::io::stdout().flush());
    if !error.use_stderr() {
        commands::printed(written);
    }
    ExitCode::from(error.exit_code() as u8)
}

/// The part of a document that one plan takes, as JSON: what benchmarks measure as output.
pub fn plan_as_json(checked: &lintern_core::check::PlanReport) -> String {
    let wanted = report::make::Wanted { margins: false, near_miss_percent: None };
    output::pretty(&report::make::plan(checked, String::new(), &wanted))
}
