//! Builds rule modules: `cargo run -p lintern-rules-build -- write`.
//!
//! Exit codes: 0 done, 1 a committed module is stale or a build failed, 2 wrong usage, 3 this machine
//! has no WASM target and cannot get the source of std.

use lintern_rules_build::{guest::NoStd, record, topic};
use std::process::ExitCode;

const USAGE: &str = "\
usage: lintern-rules-build write [TOPIC...]      build modules (all without a name) and record what they were built from
       lintern-rules-build check                 compare the recorded digests with the sources
       lintern-rules-build check --rebuild       also build them anew, and compare bytes where the compiler is the same";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let root = topic::workspace_root();
    let done = match arguments[..] {
        ["write", ref names @ ..] => record::write(&root, names),
        ["check"] => record::check(&root),
        ["check", "--rebuild"] => record::check(&root).and_then(|()| record::rebuild(&root)),
        _ => {
            eprintln!("{USAGE}");
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::from(if error.is::<NoStd>() { 3 } else { 1 })
        }
    }
}
