//! The `lintern` program as the end-to-end tests run it.

use serde_json::Value;
use std::path::Path;
use std::process::{Command, Output};

/// The root of the source tree.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("the crate stands in the source tree")
}

/// Runs the program at the root of the source tree with nothing in its environment that changes output.
///
/// # Panics
/// When it can't be started.
pub fn run<S: AsRef<std::ffi::OsStr>>(arguments: impl IntoIterator<Item = S>) -> Output {
    Command::new(env!("CARGO_BIN_EXE_lintern"))
        .args(arguments)
        .current_dir(root())
        .env("NO_COLOR", "1")
        .env("LINTERN_CONFIG", "")
        .env_remove("CI")
        .env_remove("RUST_BACKTRACE")
        .output()
        .expect("the program starts")
}

/// The JSON that a run printed; its errors where it printed none.
pub fn json(output: &Output) -> Result<Value, String> {
    serde_json::from_slice(&output.stdout).map_err(|error| {
        format!(
            "printed no JSON ({error}), exit {:?}:\n{}",
            output.status.code(),
            String::from_utf8_lossy(&output.stderr)
        )
    })
}
