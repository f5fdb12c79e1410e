//! The record beside each built module, and comparing it with the sources.

use crate::digest;
use crate::guest::{StdFrom, Toolchain};
use crate::topic::{self, Topic};
use anyhow::{Context, Result, bail};
use serde::{Deserialize, Serialize};
use std::path::Path;

/// What a built module was built from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// Digest of the sources.
    pub sources: String,
    /// Digest of the built module.
    pub wasm: String,
    /// The compiler.
    pub rustc: String,
    /// Where std came from.
    pub std: StdFrom,
}

const HEADER: &str =
    "# Written by `cargo run -p lintern-rules-build -- write`: what the module beside it was built from.\n";

/// Target folder of guests, so that neither the flags nor the locks of the host's builds are disturbed.
const TARGET: &str = "target/guest";

/// Builds the named topics, or all, and writes modules and records.
pub fn write(root: &Path, names: &[&str]) -> Result<()> {
    let topics = topic::find(root)?;
    if let Some(unknown) = names.iter().find(|name| topics.iter().all(|topic| topic.name != **name)) {
        let known: Vec<_> = topics.iter().map(|topic| topic.name.as_str()).collect();
        bail!("no topic `{unknown}`; there are: {}", known.join(", "));
    }
    crate::c::write(root)?;
    let toolchain = Toolchain::find(root)?;
    for topic in topics.iter().filter(|topic| names.is_empty() || names.contains(&topic.name.as_str())) {
        let wasm = toolchain.build(root, topic, &root.join(TARGET))?;
        let record = Record {
            sources: digest::of_sources(root, topic)?,
            wasm: digest::sha256(&wasm),
            rustc: toolchain.rustc.clone(),
            std: toolchain.std,
        };
        std::fs::create_dir_all(root.join(&topic.dist))?;
        std::fs::write(topic.wasm(root), &wasm)?;
        std::fs::write(topic.record(root), format!("{HEADER}{}", toml::to_string(&record)?))?;
        println!("{}: {} bytes", topic.folder.display(), wasm.len());
    }
    Ok(())
}

/// Compares every committed module with its record and its record with the sources.
pub fn check(root: &Path) -> Result<()> {
    let topics = topic::find(root)?;
    let mut stale = Vec::new();
    for topic in &topics {
        if let Some(why) = staleness(root, topic)? {
            stale.push(format!("{}: {why}", topic.folder.display()));
        }
    }
    stale.extend(strays(root, &topics)?);
    if !stale.is_empty() {
        bail!("stale rule modules; run `cargo run -p lintern-rules-build -- write`\n  {}", stale.join("\n  "));
    }
    crate::c::check(root)?;
    println!("{} modules match their sources", topics.len());
    Ok(())
}

/// Builds every topic anew and compares the bytes where the compiler is the recorded one.
pub fn rebuild(root: &Path) -> Result<()> {
    let toolchain = Toolchain::find(root)?;
    // Emptied before: what is compared must have been compiled now.
    let target = root.join("target/guest-rebuild");
    if target.exists() {
        std::fs::remove_dir_all(&target)?;
    }
    let mut differ = Vec::new();
    for topic in topic::find(root)? {
        let wasm = toolchain.build(root, &topic, &target)?;
        let record = read(root, &topic)?.context("no record")?;
        let same_compiler = record.rustc == toolchain.rustc && record.std == toolchain.std;
        let same_bytes = record.wasm == digest::sha256(&wasm);
        let name = topic.folder.display();
        match (same_bytes, same_compiler) {
            (true, _) => println!("{name}: rebuilt, byte for byte the committed module"),
            (false, true) => differ.push(name.to_string()),
            (false, false) => println!(
                "{name}: rebuilt; BYTES NOT COMPARED: committed with {} (std from {:?}), here {} (std from {:?})",
                record.rustc, record.std, toolchain.rustc, toolchain.std
            ),
        }
    }
    if !differ.is_empty() {
        bail!("rebuilt with the recorded compiler, these differ from the committed modules: {}", differ.join(", "));
    }
    Ok(())
}

/// Why a committed module is stale; `None` when it is not.
pub fn staleness(root: &Path, topic: &Topic) -> Result<Option<&'static str>> {
    let Some(record) = read(root, topic)? else { return Ok(Some("never built")) };
    let Ok(wasm) = std::fs::read(topic.wasm(root)) else { return Ok(Some("its record stands without a module")) };
    if record.wasm != digest::sha256(&wasm) {
        return Ok(Some("the module is not the one that was recorded"));
    }
    if record.sources != digest::of_sources(root, topic)? {
        return Ok(Some("its sources have changed since it was built"));
    }
    Ok(None)
}

/// Built files of topics that are gone.
fn strays(root: &Path, topics: &[Topic]) -> Result<Vec<String>> {
    let mut strays = Vec::new();
    let mut folders: Vec<_> = topics.iter().map(|topic| &topic.dist).collect();
    folders.dedup();
    for folder in folders {
        let Ok(entries) = std::fs::read_dir(root.join(folder)) else { continue };
        for entry in entries {
            let path = entry?.path();
            let known = topics.iter().any(|topic| topic.wasm(root) == path || topic.record(root) == path);
            if !known {
                strays.push(format!("{}: belongs to no topic", path.strip_prefix(root)?.display()));
            }
        }
    }
    strays.sort();
    Ok(strays)
}

fn read(root: &Path, topic: &Topic) -> Result<Option<Record>> {
    let path = topic.record(root);
    let Ok(text) = std::fs::read_to_string(&path) else { return Ok(None) };
    toml::from_str(&text).map(Some).with_context(|| format!("cannot read {}", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn committed_modules_match_their_sources() {
        check(&topic::workspace_root()).unwrap();
    }
}
