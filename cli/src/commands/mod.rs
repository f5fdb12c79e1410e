//! One file a command.

pub mod check;
pub mod explain;
pub mod rules;
pub mod schema;
mod setup;
pub mod solve;

use std::io::{self, IsTerminal, Write};

/// How a command ends; the numbers are part of the contract.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub enum Exit {
    /// Nothing at or above `--fail-on`.
    Clean = 0,
    /// Something is.
    Found = 1,
    /// Something could not be checked.
    NotChecked = 2,
    /// No plan was found.
    NoPlan = 3,
}

/// Writes to standard output. A reader that has gone away (`lintern check | head`) is no error.
fn print(text: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// How standard output is drawn: colours on a terminal unless `NO_COLOR` is set.
fn style() -> crate::output::terminal::Style {
    let terminal = io::stdout().is_terminal();
    let no_color = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
    let width = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok()).unwrap_or(100);
    crate::output::terminal::Style { color: terminal && !no_color, width: std::cmp::Ord::clamp(width, 60, 140) }
}
