//! A digest of everything that a built module depends on, the compiler apart.

use crate::topic::Topic;
use anyhow::{Context, Result, bail};
use sha2::{Digest as _, Sha256};
use std::collections::BTreeSet;
use std::path::Path;

/// SHA-256 in lower-case hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Digest of a topic's sources: its crate without `cases/` and tests of its own, the SDK, the
/// interface, the profile, and the resolved versions of what it depends on.
pub fn of_sources(root: &Path, topic: &Topic) -> Result<String> {
    let mut hash = Sha256::new();
    let own = [topic.folder.as_path(), Path::new("rules/sdk"), Path::new("core/wit/v1.0")];
    for folder in own.into_iter().chain(topic.also.iter().map(|folder| folder.as_path())) {
        add_files(&mut hash, root, folder)?;
    }
    let workspace = table(&root.join("Cargo.toml"))?;
    let profiles = workspace.get("profile").and_then(toml::Value::as_table);
    // What one profile inherits from another counts too.
    for name in BTreeSet::from(["guest", topic.profile()]) {
        let profile = profiles.and_then(|profiles| profiles.get(name));
        add(&mut hash, "profile", toml::to_string(&profile)?.as_bytes());
    }
    for package in dependencies(root, &workspace, topic)? {
        add(&mut hash, "package", package.as_bytes());
    }
    Ok(hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
}

/// Name and content, each with its length before it, so that no two inputs look alike.
fn add(hash: &mut Sha256, name: &str, content: &[u8]) {
    for part in [name.as_bytes(), content] {
        hash.update((part.len() as u64).to_le_bytes());
        hash.update(part);
    }
}

fn add_files(hash: &mut Sha256, root: &Path, folder: &Path) -> Result<()> {
    let skipped = |name: &std::ffi::OsStr| name == "cases" || name == "tests" || name == "target";
    let walk = walkdir::WalkDir::new(root.join(folder)).sort_by_file_name();
    for entry in walk.into_iter().filter_entry(|entry| !(entry.file_type().is_dir() && skipped(entry.file_name()))) {
        let entry = entry?;
        if !entry.file_type().is_file() {
            continue;
        }
        let name = entry.path().strip_prefix(root)?.components();
        let name: Vec<_> = name.map(|part| part.as_os_str().to_string_lossy()).collect();
        add(hash, &name.join("/"), &std::fs::read(entry.path())?);
    }
    Ok(())
}

fn table(path: &Path) -> Result<toml::Table> {
    let text = std::fs::read_to_string(path).with_context(|| format!("cannot read {}", path.display()))?;
    text.parse().with_context(|| format!("cannot read {}", path.display()))
}

/// `name version checksum` of every package that the topic is built from, sorted. Of our own crates
/// the manifests are followed, since the lock file does not tell development dependencies apart.
fn dependencies(root: &Path, workspace: &toml::Table, topic: &Topic) -> Result<BTreeSet<String>> {
    let lock = table(&root.join("Cargo.lock"))?;
    let Some(packages) = lock.get("package").and_then(|packages| packages.as_array()) else {
        bail!("Cargo.lock lists no packages")
    };
    let mut wanted: Vec<String> = Vec::new();
    let crates = [topic.folder.as_path(), Path::new("rules/sdk")];
    for folder in crates.into_iter().chain(topic.also.iter().map(|folder| folder.as_path())) {
        let manifest = root.join(folder).join("Cargo.toml");
        if manifest.is_file() {
            wanted.extend(direct(&table(&manifest)?, workspace));
        }
    }
    let mut seen = BTreeSet::new();
    while let Some(reference) = wanted.pop() {
        // `name`, or `name version` where there are several.
        let (name, version) = match reference.split_once(' ') {
            Some((name, version)) => (name, Some(version)),
            None => (reference.as_str(), None),
        };
        let text = |package: &toml::Value, key: &str| package.get(key).and_then(|v| v.as_str()).map(str::to_owned);
        for package in packages.iter().filter(|package| text(package, "name").as_deref() == Some(name)) {
            let found = text(package, "version");
            let registry = text(package, "source").is_some();
            if !registry || (version.is_some() && version != found.as_deref()) {
                continue;
            }
            let checksum = text(package, "checksum").unwrap_or_default();
            if seen.insert(format!("{name} {} {checksum}", found.unwrap_or_default())) {
                let next = package.get("dependencies").and_then(|list| list.as_array()).into_iter().flatten();
                wanted.extend(next.filter_map(|value| value.as_str()).map(str::to_owned));
            }
        }
    }
    Ok(seen)
}

/// Package names that a manifest depends on when it is built.
fn direct(manifest: &toml::Table, workspace: &toml::Table) -> Vec<String> {
    let shared = workspace.get("workspace").and_then(|workspace| workspace.get("dependencies"));
    let renamed = |value: Option<&toml::Value>| Some(value?.get("package")?.as_str()?.to_owned());
    let targets = manifest.get("target").and_then(|targets| targets.as_table());
    let tables = targets.into_iter().flat_map(|targets| targets.values().filter_map(|target| target.as_table()));
    tables
        .chain([manifest])
        .flat_map(|table| ["dependencies", "build-dependencies"].map(|kind| table.get(kind)))
        .flatten()
        .filter_map(|dependencies| dependencies.as_table())
        .flatten()
        .map(|(name, value)| {
            renamed(Some(value)).or_else(|| renamed(shared?.get(name))).unwrap_or_else(|| name.to_owned())
        })
        .collect()
}
