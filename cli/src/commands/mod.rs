//! One file a command.

pub mod check;
pub mod explain;
pub mod readings;
pub mod remedy;
pub mod rules;
pub mod schema;
mod setup;
pub mod size;
pub mod solve;

use std::io::{self, IsTerminal, Write};
use std::path::Path;

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

/// Writes a file whole or not at all: a new one beside it takes its place, with its permissions. Where the path is a
/// symbolic link, the file that it leads to is written.
fn write_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let target = path.canonicalize()?;
    let folder = target.parent().ok_or(io::ErrorKind::NotFound)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().set_permissions(std::fs::metadata(&target)?.permissions())?;
    file.as_file().sync_all()?;
    file.persist(&target).map_err(|error| error.error)?;
    Ok(())
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
