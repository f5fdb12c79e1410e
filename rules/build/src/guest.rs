//! Compiles a topic to a WASM component.

use crate::topic::Topic;
use anyhow::{Context, Result, bail};
use std::ffi::OsString;
use std::path::{Path, PathBuf};
use std::process::Command;

const TARGET: &str = "wasm32-unknown-unknown";

/// Bytes of stack that a module gets. Every instance zeroes it, once for each plan.
const STACK_BYTES: u32 = 64 << 10;

/// The machine can compile no WASM.
#[derive(Debug)]
pub struct NoStd;

impl std::fmt::Display for NoStd {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "THIS MACHINE CANNOT BUILD RULE MODULES: `{TARGET}` is not installed (`rustup target add {TARGET}`), \
             and the source of std cannot be had from its package mirrors either"
        )
    }
}

impl std::error::Error for NoStd {}

/// How guests are compiled here.
#[derive(Debug, Clone)]
pub struct Toolchain {
    /// `rustc --version`.
    pub rustc: String,
    /// Where std comes from: `target` as installed, or `source` when it is compiled along.
    pub std: StdFrom,
    rustflags: OsString,
}

/// Where std comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum StdFrom {
    /// The installed target.
    Target,
    /// Its source, compiled along.
    Source,
}

impl Toolchain {
    /// Finds out how to compile guests here; gets the source of std where the target is missing.
    pub fn find(root: &Path) -> Result<Self> {
        let rustc = output(Command::new("rustc").arg("--version"))?;
        let sysroot = PathBuf::from(output(Command::new("rustc").args(["--print", "sysroot"]))?);
        let std = if sysroot.join("lib/rustlib").join(TARGET).exists() {
            StdFrom::Target
        } else {
            eprintln!("no installed {TARGET}: compiling std from its source");
            let status = Command::new("sh").arg(root.join("rules/build/rust-src.sh")).status()?;
            if !status.success() {
                return Err(NoStd.into());
            }
            StdFrom::Source
        };
        let rustflags = rustflags(root, &sysroot)?;
        Ok(Self { rustc, std, rustflags })
    }

    /// Compiles a topic in this target folder and returns the component.
    pub fn build(&self, root: &Path, topic: &Topic, target: &Path) -> Result<Vec<u8>> {
        let mut cargo = Command::new(std::env::var_os("CARGO").unwrap_or("cargo".into()));
        cargo.current_dir(root).args(["build", "--locked", "--lib", "--profile", topic.profile(), "--target", TARGET]);
        cargo.args(["--package", &topic.package]).arg("--target-dir").arg(target);
        cargo.env("CARGO_ENCODED_RUSTFLAGS", &self.rustflags).env_remove("RUSTFLAGS");
        if self.std == StdFrom::Source {
            cargo.arg("-Zbuild-std=std,panic_abort").env("RUSTC_BOOTSTRAP", "1");
        }
        if !cargo.status()?.success() {
            bail!("cannot compile `{}` for {TARGET}", topic.package);
        }
        let file = format!("{}.wasm", topic.package.replace('-', "_"));
        let core = target.join(TARGET).join(topic.profile()).join(file);
        let core = std::fs::read(&core).with_context(|| format!("cannot read {}", core.display()))?;
        wit_component::ComponentEncoder::default()
            .module(&core)
            .and_then(|encoder| encoder.validate(true).encode())
            .with_context(|| format!("`{}` is no rule module: does it call `lintern_rule::module!`?", topic.package))
    }
}

/// Flags that keep this machine's paths out of panic messages, so that the bytes depend on the
/// sources and the compiler alone.
fn rustflags(root: &Path, sysroot: &Path) -> Result<OsString> {
    let mut flags: Vec<OsString> = vec![format!("-Clink-arg=-zstack-size={STACK_BYTES}").into()];
    let mut remap = |from: &Path, to: &str| {
        let mut flag = OsString::from("--remap-path-prefix=");
        flag.push(from);
        flag.push("=");
        flag.push(to);
        flags.push(flag);
    };
    remap(root, "/lintern");
    let source = sysroot.join("lib/rustlib/src/rust");
    remap(&source, "/rust");
    if let Ok(linked) = source.canonicalize() {
        remap(&linked, "/rust");
    }
    let home = std::env::var_os("CARGO_HOME").map(PathBuf::from).or_else(|| Some(std::env::home_dir()?.join(".cargo")));
    // One folder for each registry, named after its host.
    let registries = home.map(|home| home.join("registry/src"));
    for registry in registries.and_then(|folder| folder.read_dir().ok()).into_iter().flatten() {
        remap(&registry?.path(), "/registry");
    }
    Ok(flags.join(std::ffi::OsStr::new("\u{1f}")))
}

fn output(command: &mut Command) -> Result<String> {
    let output = command.output().with_context(|| format!("cannot run {command:?}"))?;
    if !output.status.success() {
        bail!("{command:?} failed");
    }
    Ok(String::from_utf8(output.stdout)?.trim().to_owned())
}
