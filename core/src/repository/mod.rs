//! The plan repository: its root, its configuration and the confinement of paths to it.

mod amendments;
mod config;
mod confine;
mod find;
mod pack;
mod pin;
mod rules;
mod schedules;
mod user;

pub use amendments::{AmendedLimit, AmendmentFile, Applies, Fit, read_amendments};
pub use config::{Config, FailOn};
pub use confine::{Confined, Refusal};
pub use find::{Found, FoundPlan, Note, Problem, Shard, find, find_part};
pub use pack::{MANIFEST, Pack};
pub use pin::{CannotPin, Pinned, pin};
pub use rules::{Pin, RuleFile, Rules, Setting, Settings};
pub use schedules::schedules;
pub use user::UserConfig;

/// The files as written, for their schemas.
pub(crate) mod documents {
    pub(crate) use super::amendments::AmendmentsDoc;
    #[cfg(test)]
    pub(crate) use super::amendments::{AppliesDoc, LimitDoc};
    pub(crate) use super::config::ConfigDoc;
    pub(crate) use super::pack::PackDoc;
    #[cfg(test)]
    pub(crate) use super::rules::RulesDoc;
    pub(crate) use super::rules::plain_schema;
    pub(crate) use super::user::UserDoc;
}

use crate::plan::yaml::{self, ReadError};
use crate::plan::{Diagnostic, Sources};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Name of the configuration at the root of a plan repository.
pub const CONFIG_FILE: &str = "lintern.yaml";

/// A folder with plans. Nothing outside it is ever read for a plan inside it.
#[derive(Debug, Clone)]
pub struct Repository {
    folder: Confined,
    config: Config,
    sources: Sources,
    diagnostics: Vec<Diagnostic>,
    unsaved: BTreeMap<PathBuf, Arc<str>>,
}

impl Repository {
    /// The repository that a file or folder belongs to: the folder of the nearest `lintern.yaml` at or above it,
    /// else the nearest folder under version control, else the folder itself or the file's own folder.
    pub fn of(path: &Path) -> io::Result<Self> {
        Ok(Self::at(root_of(path)?))
    }

    /// The repository at a root, with its configuration read.
    fn at(root: PathBuf) -> Self {
        let is_there = fs::symlink_metadata(root.join(CONFIG_FILE)).is_ok();
        let folder = Confined::known(root);
        let mut repository = Self {
            folder,
            config: Config::default(),
            sources: Sources::default(),
            diagnostics: Vec::new(),
            unsaved: BTreeMap::new(),
        };
        if is_there {
            config::read(&mut repository);
        }
        repository
    }

    /// The same with texts that are open in an editor: they count in place of what the disk has at their paths, which
    /// are absolute and without links. What may be read is confined as before.
    #[must_use]
    pub fn with_unsaved(mut self, texts: BTreeMap<PathBuf, Arc<str>>) -> Self {
        self.unsaved = texts;
        self
    }

    /// The bytes of a file that is known to be inside.
    pub(crate) fn read(&self, path: &Path) -> Result<Vec<u8>, ReadError> {
        match self.unsaved.get(path) {
            Some(text) => Ok(text.as_bytes().to_owned()),
            None => yaml::read(path),
        }
    }

    /// What its `lintern.yaml` says; the default where there is none. With diagnostics it may be incomplete.
    pub fn config(&self) -> &Config {
        &self.config
    }

    /// What is wrong with its `lintern.yaml`.
    pub fn diagnostics(&self) -> &[Diagnostic] {
        &self.diagnostics
    }

    /// The text of its `lintern.yaml`; spans of the configuration and its diagnostics point into it.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// Its folder, absolute, without links.
    pub fn root(&self) -> &Path {
        self.folder.root()
    }

    /// Its folder.
    pub fn folder(&self) -> &Confined {
        &self.folder
    }

    /// A path relative to the root with `/`, for display; a path outside is shown as given.
    pub fn relative(&self, path: &Path) -> String {
        self.folder.relative(path)
    }

    /// The file that `text` names from `folder`, without links, provided that it is inside the repository.
    pub fn inside(&self, folder: &Path, text: &str) -> Result<PathBuf, Refusal> {
        self.folder.inside(folder, text)
    }
}

/// A file or folder without links in the way to it. A link that leads out of the repository in which it lies is an error:
/// whoever wrote the repository made it, and what it leads to need not be theirs.
pub fn resolve(path: &Path) -> io::Result<PathBuf> {
    let mut on_the_way = PathBuf::new();
    for part in std::path::absolute(path)?.components() {
        let folder = on_the_way.clone();
        on_the_way.push(part);
        if !fs::symlink_metadata(&on_the_way).is_ok_and(|found| found.is_symlink()) {
            continue;
        }
        let (folder, target) = (fs::canonicalize(folder)?, fs::canonicalize(&on_the_way)?);
        if let Some(root) = marked_root(&folder).filter(|root| !target.starts_with(root)) {
            let name = part.as_os_str().to_string_lossy();
            return Err(io::Error::other(format!(
                "the link `{name}` leads out of the plan repository {}; name what it leads to, where you trust that",
                root.display()
            )));
        }
    }
    fs::canonicalize(path)
}

/// The root of the repository that a file or folder belongs to.
fn root_of(path: &Path) -> io::Result<PathBuf> {
    let path = resolve(path)?;
    let folder = match path.is_dir() {
        true => path.as_path(),
        false => path.parent().unwrap_or(&path),
    };
    Ok(marked_root(folder).unwrap_or(folder).to_owned())
}

/// The nearest folder that says of itself to be the root of a repository.
fn marked_root(folder: &Path) -> Option<&Path> {
    let above = |name: &str| folder.ancestors().find(|f| fs::symlink_metadata(f.join(name)).is_ok());
    above(CONFIG_FILE).or_else(|| above(".git"))
}

/// A path with `/` between its parts.
pub(crate) fn slashes(path: &Path) -> String {
    path.components().map(|c| c.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/")
}

/// SHA-256 in lower-case hex.
pub fn sha256_hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
mod tests;
