//! `lintern completions SHELL`: what a shell needs to complete the command line, from the definition of the command line.

use super::{Exit, print};
use crate::args::{Cli, Completions};
use clap::CommandFactory as _;

pub fn run(args: &Completions) -> Exit {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "lintern", &mut script);
    print(&String::from_utf8_lossy(&script));
    Exit::Clean
}
