//! Which crates are rule modules, and where their built form goes.

use anyhow::{Context, Result, bail};
use std::path::{Path, PathBuf};

/// A crate that is built to a rule module.
#[derive(Debug, Clone)]
pub struct Topic {
    /// Name of its folder, and of the built file.
    pub name: String,
    /// Name of its package.
    pub package: String,
    /// Its folder, from the root of the workspace.
    pub folder: PathBuf,
    /// Where its built form goes, from the root of the workspace.
    pub dist: PathBuf,
    /// What it is built from besides its folder, the SDK and the rule interface: folders, from the root of the workspace.
    pub also: Vec<PathBuf>,
}

impl Topic {
    /// The profile that it is built with: for speed what runs on every plan, for a small module everything else.
    pub fn profile(&self) -> &'static str {
        if self.package == "lintern-builtin" { "guest-fast" } else { "guest" }
    }
}

/// Folders that hold topics, with the folder that their built modules go to.
const HOMES: [(&str, &str); 4] = [
    ("rules", "rules/dist"),
    ("tests/hostile", "tests/hostile/dist"),
    ("tests/contract", "tests/contract/dist"),
    ("plans/packs/fernhollow-lighting/source", "plans/packs/fernhollow-lighting/modules"),
];

/// The root of the workspace that this tool was built in.
pub fn workspace_root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_owned()
}

/// Every crate with a `cdylib` in the folders of topics, sorted by path.
pub fn find(root: &Path) -> Result<Vec<Topic>> {
    let mut topics = Vec::new();
    for (home, dist) in HOMES {
        let Ok(entries) = std::fs::read_dir(root.join(home)) else { continue };
        for entry in entries {
            let name = entry?.file_name().to_string_lossy().into_owned();
            let folder = Path::new(home).join(&name);
            let Ok(manifest) = std::fs::read_to_string(root.join(&folder).join("Cargo.toml")) else { continue };
            let manifest: toml::Table =
                manifest.parse().with_context(|| format!("cannot read {}/Cargo.toml", folder.display()))?;
            let kinds = manifest.get("lib").and_then(|lib| lib.get("crate-type")).and_then(|kinds| kinds.as_array());
            if !kinds.is_some_and(|kinds| kinds.iter().any(|kind| kind.as_str() == Some("cdylib"))) {
                continue;
            }
            let Some(package) = manifest.get("package").and_then(|package| package.get("name")?.as_str()) else {
                bail!("{}/Cargo.toml has no package name", folder.display())
            };
            let mut also = also(&manifest);
            also.extend(parts(&manifest, &folder));
            topics.push(Topic { package: package.to_owned(), name, folder, dist: dist.into(), also });
        }
    }
    topics.sort_by(|a, b| a.folder.cmp(&b.folder));
    Ok(topics)
}

/// `package.metadata.rule-module.sources` of a manifest.
fn also(manifest: &toml::Table) -> Vec<PathBuf> {
    let metadata = manifest.get("package").and_then(|package| package.get("metadata"));
    let sources = metadata.and_then(|metadata| metadata.get("rule-module")?.get("sources")?.as_array());
    sources.into_iter().flatten().filter_map(|source| source.as_str()).map(PathBuf::from).collect()
}

/// Folders of the crates that a manifest names by their paths: the topics of a module that has several.
fn parts(manifest: &toml::Table, folder: &Path) -> Vec<PathBuf> {
    let named = manifest.get("dependencies").and_then(|dependencies| dependencies.as_table());
    let paths = named.into_iter().flatten().filter_map(|(_, dependency)| dependency.get("path")?.as_str());
    // `../voltage` from `rules/builtin`.
    let home = folder.parent().unwrap_or(folder);
    paths.filter_map(|path| Some(home.join(path.strip_prefix("../")?))).collect()
}

impl Topic {
    /// The built module.
    pub fn wasm(&self, root: &Path) -> PathBuf {
        root.join(&self.dist).join(format!("{}.wasm", self.name))
    }

    /// The record of what it was built from.
    pub fn record(&self, root: &Path) -> PathBuf {
        root.join(&self.dist).join(format!("{}.toml", self.name))
    }
}
