//! `lintern rule …`: what an author of rules needs.

mod inspect;
mod new;
mod pin;
mod sdk;
mod test;

use super::{Exit, style};
use crate::args::Rule;
use crate::output::terminal;
use lintern_core::plan::{Diagnostic, Sources};

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

/// What stops a command before it has a result.
enum Stop {
    Message(String),
    /// Mistakes in a file, with their places.
    Wrong(Vec<Diagnostic>, Sources),
}

impl Stop {
    fn tell(&self) -> Exit {
        match self {
            Self::Message(message) => stop(message),
            Self::Wrong(wrong, sources) => {
                eprint!("{}", terminal::diagnostics(wrong, sources, style()));
                Exit::NotChecked
            }
        }
    }
}

impl From<String> for Stop {
    fn from(message: String) -> Self {
        Self::Message(message)
    }
}
