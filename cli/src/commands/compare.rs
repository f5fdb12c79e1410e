//! `lintern compare OLD [NEW]`.

use super::{Exit, print, style};
use crate::args::{Compare, CompareFormat, FailOn};
use crate::compare::side::{Asked, Side, state};
use crate::compare::{Comparison, markdown, text};
use crate::output::escape;
use lintern_core::finding::Level;
use std::path::{Path, PathBuf};

pub fn run(args: &Compare) -> Exit {
    let as_of = args.as_of.unwrap_or_else(super::check::today);
    let present = || Side::Path(args.path.clone().unwrap_or_else(|| PathBuf::from(".")));
    let (old, new) = (Side::of(&args.old), args.new.as_deref().map_or_else(present, Side::of));
    // A revision is looked at where the files of the other state are.
    let path = match (&args.path, &old, &new) {
        (Some(path), ..) => path.as_path(),
        (None, Side::Revision(_), Side::Path(path)) | (None, Side::Path(path), Side::Revision(_)) => path,
        (None, ..) => Path::new("."),
    };
    let asked = Asked { as_of, rules: &args.rules, progress: true, path };
    let states = state(&old, &asked).and_then(|old| Ok((old, state(&new, &asked)?)));
    let ((old, old_state), (new, new_state)) = match states {
        Ok(states) => states,
        Err(error) => {
            eprintln!("lintern: {}", escape::terminal(&error));
            return Exit::NotChecked;
        }
    };
    let comparison = Comparison::of((old, &old_state), (new, &new_state));
    print(&match args.format {
        CompareFormat::Terminal => text::render(&comparison, style()),
        CompareFormat::Json => crate::output::pretty(&comparison),
        CompareFormat::Markdown => markdown::render(&comparison),
    });
    let least = match args.fail_on.unwrap_or(new_state.document().seal.options.fail_on) {
        FailOn::Violation | FailOn::Undetermined => Level::Violation,
        FailOn::Advice => Level::Advice,
        FailOn::Reminder => Level::Reminder,
    };
    let unjudged = args.fail_on == Some(FailOn::Undetermined) && comparison.summary.unjudged > 0;
    let empty = old_state.document().plans.is_empty() && new_state.document().plans.is_empty();
    match (comparison.summary.errors > 0, empty, comparison.fails(least) || unjudged) {
        (true, _, _) => Exit::NotChecked,
        (false, true, _) => Exit::NoPlan,
        (false, false, true) => Exit::Found,
        (false, false, false) => Exit::Clean,
    }
}
