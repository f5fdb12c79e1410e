//! One file a command.

pub mod baseline;
pub mod check;
pub mod compare;
pub mod completions;
pub mod config;
pub mod draw;
pub mod explain;
pub mod export;
pub mod import;
pub mod man;
pub mod merge;
pub mod new;
pub mod readings;
pub mod remedy;
pub mod report;
pub mod rule;
pub mod rules;
pub mod schema;
pub mod setup;
pub mod size;
pub mod solve;
pub mod steps;
pub mod verify;
pub mod watch;
mod write;

use lintern_core::plan::{Loaded, load, read_plain};
use lintern_core::repository::Repository;
use std::io::{self, IsTerminal, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

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

/// The repository of a path; says why where there is none.
fn repository(path: &Path) -> Result<Repository, Exit> {
    Repository::of(path).map_err(|error| stop(&format!("can't open {}: {error}", path.display())))
}

/// A plan that could be read, with its repository; says what is wrong with another.
fn plan(path: &Path) -> Result<(Repository, Loaded), Exit> {
    let repository = repository(path)?;
    let loaded = load(&repository, path);
    if loaded.layout.is_none() {
        eprint!("{}", crate::output::terminal::diagnostics(&loaded.diagnostics, &loaded.sources, style()));
        return Err(Exit::NotChecked);
    }
    Ok((repository, loaded))
}

/// Says what could not be loaded, and how the command ends after it has done what it could.
fn report(errors: &[crate::output::RunError]) -> Exit {
    for error in errors {
        let diagnostic = std::slice::from_ref(&error.diagnostic);
        eprint!("{}", crate::output::terminal::diagnostics(diagnostic, &error.sources, style()));
    }
    if errors.is_empty() { Exit::Clean } else { Exit::NotChecked }
}

/// Writes to standard output.
fn print(text: &str) {
    let mut out = io::stdout().lock();
    printed(out.write_all(text.as_bytes()).and_then(|()| out.flush()));
}

/// What became of something printed. A reader that has gone away (`lintern check | head`) is no error; a result that
/// can't be written whole must not pass for one.
pub fn printed(written: io::Result<()>) {
    match written {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => READER_GONE.store(true, Ordering::Relaxed),
        Err(error) => {
            eprintln!("lintern: can't write the result: {error}");
            std::process::exit(Exit::NotChecked as i32);
        }
        Ok(()) => {}
    }
}

/// Whether nobody reads standard output any more.
static READER_GONE: AtomicBool = AtomicBool::new(false);

/// Says why a command could not be carried out.
pub fn stop(message: &str) -> Exit {
    eprintln!("lintern: {}", crate::output::escape::terminal(message));
    Exit::NotChecked
}

/// Reads a report: a plain file of at most a gigabyte.
fn read_report(path: &Path) -> Result<Vec<u8>, String> {
    read_plain(path, 1 << 30).map_err(|error| error.to_string())
}

/// How what is written for other programs is drawn.
fn plain_style() -> crate::output::terminal::Style {
    crate::output::terminal::Style { color: false, width: 100 }
}

/// How standard output is drawn: colours on a terminal unless `NO_COLOR` is set.
fn style() -> crate::output::terminal::Style {
    let terminal = io::stdout().is_terminal();
    let no_color = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
    let width = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok()).unwrap_or(100);
    crate::output::terminal::Style { color: terminal && !no_color, width: std::cmp::Ord::clamp(width, 60, 140) }
}
