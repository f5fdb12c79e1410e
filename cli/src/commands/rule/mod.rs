//! `lintern rule …`: what an author of rules needs.

mod inspect;
mod new;
mod pin;
mod sdk;
mod test;

use super::Exit;
use crate::args::Rule;

pub fn run(args: &Rule) -> Exit {
    match args {
        Rule::New(args) => new::run(args),
        Rule::Test(args) => test::run(args),
        Rule::Inspect(args) => inspect::run(args),
        Rule::Pin(args) => pin::run(args),
    }
}

/// Says what stops a command.
fn stop(message: &str) -> Exit {
    eprintln!("lintern: {}", crate::output::escape::terminal(message));
    Exit::NotChecked
}
