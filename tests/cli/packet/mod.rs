//! The permit packet and the site drawing: the same numbers as the check and the solver, in a real browser and in a
//! real reader of PDF.

mod browser;
mod drawing;
mod pdf;
mod text;

use crate::support::{Outcome, demo, run};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const DAY: [&str; 2] = ["--as-of", "2026-03-04"];

/// The demo plans.
const PLANS: [&str; 6] = [
    "fernhollow-court/front-garden.yaml",
    "marlpit-green/green.yaml",
    "quarry-lane/back-garden.yaml",
    "quarry-lane/path-as-built.yaml",
    "quarry-lane/side-yard.yaml",
    "saltmarsh-terrace/pool-terrace.yaml",
];

/// A report of a demo plan in a folder of its own.
struct Made {
    folder: TempDir,
    file: PathBuf,
}

impl Made {
    fn of(plan: &str, name: &str) -> Self {
        let folder = TempDir::new().unwrap();
        let file = folder.path().join(name);
        let made = report(&demo(), plan, &file, &[]);
        assert_eq!(made.err, "");
        assert!(made.code == 0 && made.out.starts_with("Wrote "), "{made:#?}");
        Self { folder, file }
    }

    fn text(&self) -> String {
        std::fs::read_to_string(&self.file).unwrap()
    }
}

fn report(folder: &Path, plan: &str, file: &Path, more: &[&str]) -> Outcome {
    let file = file.to_str().unwrap();
    run(folder, &[&["report", plan, "-o", file], &DAY[..], more].concat(), &[])
}

/// Runs a program of the system; `None` and a loud word where it is not there, a failure where it must be.
fn tool(name: &str, arguments: &[&str], required: &str) -> Option<String> {
    match std::process::Command::new(name).args(arguments).output() {
        Ok(done) => {
            let err = String::from_utf8_lossy(&done.stderr).into_owned();
            assert!(done.status.success(), "{name} {arguments:?}: {err}");
            Some(String::from_utf8_lossy(&done.stdout).into_owned())
        }
        Err(error) => {
            assert!(std::env::var_os(required).is_none(), "{name} is required and can't be run: {error}");
            eprintln!("NOT RUN: {name} is not there ({error})");
            None
        }
    }
}
