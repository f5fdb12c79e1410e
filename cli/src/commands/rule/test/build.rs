//! Builds a crate to a rule module with cargo, whose output passes through.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const TARGET: &str = "wasm32-unknown-unknown";

/// Builds the crate in a folder and gives the module.
pub fn build(folder: &Path) -> Result<PathBuf, String> {
    let mut cargo = Command::new("cargo");
    cargo.current_dir(folder).stdout(Stdio::piped());
    // On standard output stands what was made, on standard error what a person reads.
    cargo.args(["build", "--release", "--lib", "--target", TARGET, "--message-format", "json-render-diagnostics"]);
    if !Path::new(&rustc(folder, &["--print", "target-libdir", "--target", TARGET])?).is_dir() {
        let source =
            Path::new(&rustc(folder, &["--print", "sysroot"])?).join("lib/rustlib/src/rust/library/Cargo.lock");
        if !source.is_file() {
            return Err(format!(
                "this machine can't build for {TARGET}: install it by `rustup target add {TARGET}`; without rustup, \
                 `rules/build/rust-src.sh` of lintern's sources gets the source of the standard library, from which \
                 it is built"
            ));
        }
        eprintln!("lintern: {TARGET} is not installed; its standard library is built from source");
        cargo.arg("-Zbuild-std=std,panic_abort").env("RUSTC_BOOTSTRAP", "1");
    }
    let output = cargo.stderr(Stdio::inherit()).output().map_err(|error| format!("can't run cargo: {error}"))?;
    if !output.status.success() {
        return Err(format!("cargo can't build `{}`; its errors stand above", folder.display()));
    }
    let manifest =
        folder.join("Cargo.toml").canonicalize().map_err(|error| format!("can't find Cargo.toml: {error}"))?;
    made(&String::from_utf8_lossy(&output.stdout), &manifest).ok_or_else(|| {
        format!(
            "`{}` is no rule module: its Cargo.toml needs `[lib]` with `crate-type = [\"cdylib\"]`",
            folder.display()
        )
    })
}

/// The module among what cargo says that it has made.
fn made(messages: &str, manifest: &Path) -> Option<PathBuf> {
    let messages = messages.lines().filter_map(|line| serde_json::from_str::<serde_json::Value>(line).ok());
    let own = messages.filter(|message| {
        let of = message["manifest_path"].as_str().map(Path::new).and_then(|path| path.canonicalize().ok());
        message["reason"] == "compiler-artifact" && of.as_deref() == Some(manifest)
    });
    own.flat_map(|message| message["filenames"].as_array().cloned().unwrap_or_default())
        .filter_map(|file| file.as_str().map(PathBuf::from))
        .find(|file| file.extension().is_some_and(|extension| extension == "wasm"))
}

fn rustc(folder: &Path, arguments: &[&str]) -> Result<String, String> {
    let output = Command::new("rustc").current_dir(folder).args(arguments).output();
    let output = output.map_err(|error| format!("can't run rustc: {error}; a crate needs a Rust toolchain"))?;
    if !output.status.success() {
        return Err(format!(
            "rustc {} failed: {}",
            arguments.join(" "),
            String::from_utf8_lossy(&output.stderr).trim()
        ));
    }
    Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}
