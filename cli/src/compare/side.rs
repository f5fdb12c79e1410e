//! A state of the plans: files, or a revision of git, whose files are written into a folder of their own.

use super::Named;
use crate::args::RuleArgs;
use crate::git::Git;
use crate::report::baseline;
use crate::report::document::Document;
use crate::report::folders::Base;
use crate::report::run::{self, Request};
use lintern_core::finding::Level;
use lintern_core::plan::scalar::Date;
use lintern_core::repository::{Repository, resolve};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

/// What a state was named by.
pub enum Side {
    /// Files.
    Path(PathBuf),
    /// A revision of git.
    Revision(String),
}

impl Side {
    /// Of an argument: a path that is there, else a revision.
    pub fn of(text: &str) -> Self {
        let path = PathBuf::from(text);
        if path.exists() { Self::Path(path) } else { Self::Revision(text.to_owned()) }
    }
}

/// A state that was checked.
pub struct State {
    document: Document,
    base: Base,
    /// What was given, absolute: plans are told apart by where they are below it.
    root: PathBuf,
    /// The files of a revision; removed with the state.
    _files: Option<TempDir>,
}

impl State {
    /// What was found.
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// Where a plan is below what was given; empty where that is the plan itself.
    pub fn key(&self, path: &str) -> String {
        let absolute = self.base.path().join(path);
        let inside = absolute.strip_prefix(&self.root).unwrap_or(&absolute);
        inside.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/")
    }
}

/// How both states are checked.
pub struct Asked<'a> {
    /// The day.
    pub as_of: Date,
    /// Rules from outside.
    pub rules: &'a RuleArgs,
    /// Whether progress is shown.
    pub progress: bool,
    /// The folder or file of a revision that is looked at.
    pub path: &'a Path,
}

/// Checks a state.
pub fn state(side: &Side, asked: &Asked<'_>) -> Result<(Named, State), String> {
    let here = asked.path.canonicalize().map_err(|error| format!("can't read {}: {error}", asked.path.display()));
    let (mut named, root, files) = match side {
        Side::Path(path) => {
            // A plan that was removed may be asked for by its former path.
            let root = match path.exists() {
                true => resolve(path),
                false => std::path::absolute(path),
            };
            let root = root.map_err(|error| format!("can't read {}: {error}", path.display()))?;
            (Named { name: path.to_string_lossy().into_owned(), commit: None, in_baseline: 0 }, root, None)
        }
        Side::Revision(revision) => {
            let folder = nearest_folder(asked.path)?;
            let git = Git::of(&folder).map_err(|error| {
                format!("`{revision}` is neither a file nor a folder, and no revision can be looked up: {error}")
            })?;
            let commit = commit_of(&git, revision)?;
            let files = TempDir::new().map_err(|error| format!("no folder for the files of {revision}: {error}"))?;
            git.write_files(&commit, files.path())?;
            let top = files.path().canonicalize().map_err(|error| error.to_string())?;
            // So that paths count from here, as they do from the root of version control.
            std::fs::create_dir(top.join(".git")).map_err(|error| error.to_string())?;
            let absolute = here.or_else(|_| std::path::absolute(asked.path).map_err(|error| error.to_string()))?;
            let inside = absolute.strip_prefix(git.root()).map_err(|_| "the path is not in this repository of git")?;
            (Named { name: revision.clone(), commit: Some(commit), in_baseline: 0 }, top.join(inside), Some(files))
        }
    };
    let there = root.exists();
    let request = Request {
        paths: if there { vec![root.clone()] } else { Vec::new() },
        as_of: asked.as_of,
        fail_on: None,
        show: Level::Reminder,
        as_reviewer: false,
        baseline: false,
        remedies: false,
        margins: true,
        near_miss_percent: None,
        shard: None,
        changed_since: None,
        rules: asked.rules,
        style: None,
        progress: asked.progress,
        coverage: false,
    };
    let checked = run::run(&request);
    named.in_baseline = in_baseline(&checked);
    Ok((named, State { document: checked.document, base: checked.base, root, _files: files }))
}

/// The commit of a revision; of `A...` and `A...B` the one at which the two parted.
fn commit_of(git: &Git, revision: &str) -> Result<String, String> {
    if let Some((one, other)) = revision.split_once("...") {
        return git.fork_of(one, if other.is_empty() { "HEAD" } else { other });
    }
    git.commit(revision).map_err(|_| format!("`{revision}` is neither a file, nor a folder, nor a revision of git"))
}

/// Findings that the baselines of a state have.
fn in_baseline(checked: &run::Checked) -> usize {
    let repositories = checked.document.seal.repositories.iter();
    let roots = repositories.filter_map(|r| Repository::of(&checked.base.path().join(&r.folder)).ok());
    let baselines = roots.filter_map(|repository| baseline::read(&repository).ok().flatten());
    baselines.map(|known| known.recorded.findings.len()).sum()
}

/// The folder of a path, which may be one that is no longer there.
fn nearest_folder(path: &Path) -> Result<PathBuf, String> {
    let absolute = std::path::absolute(path).map_err(|error| error.to_string())?;
    let folder = absolute.ancestors().find(|folder| folder.is_dir());
    folder.map(Path::to_owned).ok_or_else(|| format!("there is no {}", path.display()))
}
