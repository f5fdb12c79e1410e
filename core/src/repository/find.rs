//! Which files are plans.
//!
//! A file named on the command line is one. In a folder, YAML files outside hidden folders are looked at,
//! and their top-level keys say what they are.

use super::{CONFIG_FILE, Repository, resolve, root_of, sha256_hex, slashes};
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::yaml::{self, Tree};
use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use walkdir::WalkDir;

/// A plan to load.
#[derive(Debug, Clone)]
pub struct FoundPlan {
    /// The repository that it belongs to.
    pub repository: Arc<Repository>,
    /// Its file, absolute, without links in the way to it.
    pub path: PathBuf,
    /// The same relative to the repository, with `/`.
    pub file: String,
}

/// A file or folder that was passed over, and why; for `--verbose`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Path relative to its repository, with `/`.
    pub file: String,
    /// Why, such as `a shared schedule`.
    pub reason: String,
}

/// A file that looks like a plan and is none, or can't be read.
#[derive(Debug, Clone)]
pub struct Problem {
    /// Path relative to its repository, with `/`; as given where it has none.
    pub file: String,
    /// Its repository, where it has one.
    pub repository: Option<Arc<Repository>>,
    /// What is wrong.
    pub diagnostics: Vec<Diagnostic>,
    /// The text that the diagnostics speak of.
    pub sources: Sources,
}

/// What was found under the paths of the command line.
#[derive(Debug, Clone, Default)]
pub struct Found {
    /// The repositories of everything that was looked at, by root. Their configuration may have diagnostics.
    pub repositories: Vec<Arc<Repository>>,
    /// The plans, by root of the repository and file, each once.
    pub plans: Vec<FoundPlan>,
    /// Files that could not be told, in the same order.
    pub problems: Vec<Problem>,
    /// What was passed over, in the order it was met.
    pub notes: Vec<Note>,
}

/// One of several parts of a search, so that several machines can share the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shard {
    /// Which one, from 1.
    pub number: u32,
    /// Of how many.
    pub of: u32,
}

impl Shard {
    /// Whether a file of a repository is in this part. The digest of its path decides, so that nobody has to know all
    /// files, and a new one moves no other.
    pub fn has(self, file: &str) -> bool {
        let digest = sha256_hex(file.as_bytes());
        let number = u64::from_str_radix(&digest[..15], 16).unwrap_or(0);
        number % u64::from(self.of.max(1)) + 1 == u64::from(self.number)
    }
}

/// Finds the plans under files and folders.
pub fn find<P: AsRef<Path>>(paths: &[P]) -> Found {
    find_part(paths, None)
}

/// Finds the plans under files and folders that are in one part. What can't be read is told by the first part.
pub fn find_part<P: AsRef<Path>>(paths: &[P], shard: Option<Shard>) -> Found {
    let mut search = Search { shard, repositories: BTreeMap::new(), plans: BTreeMap::new(), found: Found::default() };
    for path in paths {
        search.path(path.as_ref());
    }
    let Search { repositories, plans, mut found, .. } = search;
    found.repositories = repositories.into_values().collect();
    found.plans = plans.into_values().collect();
    let root = |problem: &Problem| problem.repository.as_ref().map(|repository| repository.root().to_owned());
    found.problems.sort_by(|a, b| (root(a), &a.file).cmp(&(root(b), &b.file)));
    found
}

/// Whether a name starts with a dot.
pub(super) fn is_hidden(name: &OsStr) -> bool {
    name.as_encoded_bytes().first() == Some(&b'.')
}

struct Search {
    shard: Option<Shard>,
    repositories: BTreeMap<PathBuf, Arc<Repository>>,
    plans: BTreeMap<(PathBuf, String), FoundPlan>,
    found: Found,
}

/// What the top-level keys of a YAML file say of it.
enum Sort {
    Plan,
    PassedOver(&'static str),
    Problem(Vec<Diagnostic>, Sources),
}

impl Search {
    fn path(&mut self, path: &Path) {
        let canonical = match resolve(path) {
            Ok(canonical) => canonical,
            Err(error) => {
                let why = match error.kind() {
                    std::io::ErrorKind::NotFound => "there is no such file or folder".to_owned(),
                    _ => error.to_string(),
                };
                return self.problem(slashes(path), format!("can't read {}: {why}", path.display()));
            }
        };
        if canonical.is_dir() {
            self.folder(&canonical);
        } else if let Some(repository) = self.repository(&canonical) {
            let file = repository.relative(&canonical);
            if self.shard.is_none_or(|shard| shard.has(&file)) {
                self.plan(repository, canonical);
            }
        }
    }

    fn problem(&mut self, file: String, message: String) {
        if self.shard.is_none_or(|shard| shard.number == 1) {
            let diagnostics = vec![Diagnostic::new(None, message)];
            self.found.problems.push(Problem { file, repository: None, diagnostics, sources: Sources::default() });
        }
    }

    fn plan(&mut self, repository: Arc<Repository>, path: PathBuf) {
        let file = repository.relative(&path);
        self.plans.insert((repository.root().to_owned(), file.clone()), FoundPlan { repository, path, file });
    }

    /// The repository of a file or folder without links in its path.
    fn repository(&mut self, path: &Path) -> Option<Arc<Repository>> {
        match root_of(path) {
            // A configuration is read once, however many folders it governs.
            Ok(root) => {
                let known = self.repositories.entry(root.clone());
                Some(known.or_insert_with(|| Arc::new(Repository::at(root))).clone())
            }
            Err(error) => {
                self.problem(slashes(path), format!("can't read {}: {error}", path.display()));
                None
            }
        }
    }

    fn folder(&mut self, folder: &Path) {
        // One look for a repository per folder, not per file.
        let mut of_folder: BTreeMap<PathBuf, Arc<Repository>> = BTreeMap::new();
        let mut walk = WalkDir::new(folder).follow_links(false).sort_by_file_name().into_iter();
        while let Some(entry) = walk.next() {
            let entry = match entry {
                Ok(entry) => entry,
                Err(error) => {
                    let path = error.path().map_or_else(|| folder.to_owned(), Path::to_owned);
                    let why = error.into_io_error().map_or_else(|| "links in a circle".to_owned(), |e| e.to_string());
                    self.problem(slashes(&path), format!("can't read {}: {why}", path.display()));
                    continue;
                }
            };
            if entry.file_type().is_dir() {
                if entry.depth() > 0 && is_hidden(entry.file_name()) {
                    walk.skip_current_dir();
                }
                continue;
            }
            let yaml = entry.path().extension().is_some_and(|e| e == "yaml" || e == "yml");
            if !yaml {
                continue;
            }
            let parent = entry.path().parent().unwrap_or(folder).to_owned();
            let repository = match of_folder.get(&parent) {
                Some(repository) => repository.clone(),
                None => {
                    let Some(repository) = self.repository(&parent) else { continue };
                    of_folder.insert(parent, repository.clone());
                    repository
                }
            };
            self.file(repository, &entry);
        }
    }

    /// A YAML file in a folder.
    fn file(&mut self, repository: Arc<Repository>, entry: &walkdir::DirEntry) {
        let path = entry.path();
        let inside = path.strip_prefix(repository.root()).unwrap_or(path);
        let file = slashes(inside);
        let note = |reason: &str| Note { file: file.clone(), reason: reason.to_owned() };
        if entry.path_is_symlink() {
            return self.found.notes.push(note("a link"));
        }
        if !entry.file_type().is_file() {
            return self.found.notes.push(note("a pipe, device or socket"));
        }
        if inside == Path::new(CONFIG_FILE) {
            return self.found.notes.push(note("the configuration"));
        }
        if repository.config().plans.as_ref().is_some_and(|globs| !globs.iter().any(|g| g.is_match(inside))) {
            return self.found.notes.push(note("outside the `plans` of lintern.yaml"));
        }
        if repository.config().rules.packs.iter().any(|pack| path.starts_with(&pack.path)) {
            return self.found.notes.push(note("part of a pack of rules"));
        }
        if self.shard.is_some_and(|shard| !shard.has(&file)) {
            return;
        }
        match sort(path, &file) {
            Sort::Plan => self.plan(repository, path.to_owned()),
            Sort::PassedOver(reason) => self.found.notes.push(note(reason)),
            Sort::Problem(diagnostics, sources) => {
                self.found.problems.push(Problem { file, repository: Some(repository), diagnostics, sources });
            }
        }
    }
}

/// Tells what a YAML file is.
fn sort(path: &Path, file: &str) -> Sort {
    let mut errors = Diagnostics::default();
    let mut sources = Sources::default();
    let bytes = match yaml::read(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            let diagnostic = Diagnostic::new(None, format!("can't read {file}: {error}"));
            return Sort::Problem(vec![diagnostic], sources);
        }
    };
    // Whatever else is wrong with it is told when it is loaded.
    if yaml::has_key(&bytes, "plan") {
        return Sort::Plan;
    }
    let Some(tree) = yaml::parse(file, &bytes, &mut sources, &mut errors) else {
        return match is_blank(&bytes) {
            true => Sort::PassedOver("an empty file"),
            false => Sort::Problem(errors.into_sorted(), sources),
        };
    };
    let key = |name: &str| key(&tree, name);
    if key("schedule").is_some() {
        return Sort::PassedOver("a shared schedule");
    }
    for (name, what) in [
        ("expressions", "expression rules"),
        ("amendments", "local amendments"),
        ("pack", "the manifest of a pack of rules"),
    ] {
        if key(name).is_some() {
            return Sort::PassedOver(what);
        }
    }
    match key("runs").or_else(|| key("luminaires")) {
        Some(span) => {
            let diagnostic =
                Diagnostic::new(span, "this looks like a plan, but it has no `plan` key: is the key missing?")
                    .help("add `plan: 1` at the top");
            Sort::Problem(vec![diagnostic], sources)
        }
        None => Sort::PassedOver("neither a plan nor a shared schedule"),
    }
}

/// Where a top-level key stands.
fn key(tree: &Tree, name: &str) -> Option<crate::plan::field::Span> {
    tree.entries(tree.root()).iter().find(|e| tree.scalar(e.key) == name).map(|e| tree.span(e.key))
}

/// Whether a file holds nothing but space and comments.
fn is_blank(bytes: &[u8]) -> bool {
    std::str::from_utf8(bytes).is_ok_and(|text| {
        text.trim_start_matches('\u{feff}').lines().all(|line| {
            let line = line.trim();
            line.is_empty() || line.starts_with('#') || line == "---"
        })
    })
}
