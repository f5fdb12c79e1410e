//! Which plans a change touches: directly, through a shared schedule, or through what governs the whole repository.

use super::baseline;
use super::folders::{parent, version_control};
use crate::git::Git;
use lintern_core::plan::{Diagnostic, load};
use lintern_core::repository::{CONFIG_FILE, Found, FoundPlan, Repository};
use rayon::prelude::*;
use std::collections::BTreeSet;
use std::path::{Component, Path, PathBuf};

/// The plans that are to be checked.
pub struct Selection {
    /// The commit that the choice rests on.
    pub since: String,
    /// Their files.
    pub wanted: BTreeSet<PathBuf>,
}

/// Chooses the plans that changes since a revision touch.
pub fn since(revision: &str, found: &Found, paths: &[PathBuf]) -> Result<Selection, Diagnostic> {
    choose(revision, found, paths).map_err(|message| {
        Diagnostic::new(None, format!("can't tell what changed since `{revision}`: {message}"))
            .help("leave `--changed-since` out to check everything")
    })
}

fn choose(revision: &str, found: &Found, paths: &[PathBuf]) -> Result<Selection, String> {
    let first = paths.first().and_then(|path| path.canonicalize().ok()).ok_or("there is nothing to check")?;
    let git = Git::of(if first.is_dir() { &first } else { parent(&first) })?;
    if let Some(other) = found.repositories.iter().find(|repository| !repository.root().starts_with(git.root())) {
        return Err(format!("{} is not in the repository of git of the first path", other.root().display()));
    }
    let since = git.fork(revision)?;
    let changed: BTreeSet<PathBuf> = git.changed(&since)?.into_iter().collect();
    let plans: BTreeSet<&Path> = found.plans.iter().map(|plan| plan.path.as_path()).collect();
    let mut wanted = BTreeSet::new();
    for repository in &found.repositories {
        let own: Vec<&FoundPlan> =
            found.plans.iter().filter(|plan| plan.repository.root() == repository.root()).collect();
        let inside = changed.iter().filter(|file| file.starts_with(repository.root()));
        let (mut all, mut schedules) = (false, false);
        for file in inside.filter(|file| !plans.contains(file.as_path())) {
            match reach(repository, file, &git, &since) {
                Reach::Nothing => {}
                Reach::Users => schedules = true,
                Reach::Everything => all = true,
            }
        }
        let touched = own.into_par_iter().filter(|plan| {
            // What is in a repository of its own below this one is nothing that this one tells of.
            let elsewhere = version_control(plan.path.parent().unwrap_or(&plan.path)) != git.root();
            all || elsewhere
                || changed.contains(&plan.path)
                || (schedules && uses(plan).iter().any(|file| changed.contains(file)))
        });
        wanted.extend(touched.map(|plan| plan.path.clone()).collect::<Vec<_>>());
    }
    Ok(Selection { since, wanted })
}

/// What a changed file that is no plan reaches.
enum Reach {
    Nothing,
    /// The plans that use it.
    Users,
    /// All plans of the repository.
    Everything,
}

fn reach(repository: &Repository, file: &Path, git: &Git, since: &str) -> Reach {
    let rules = &repository.config().rules;
    let own = |name: &str| file == repository.root().join(name);
    let named = rules.modules.iter().chain(&rules.expressions).chain(&rules.amendments).any(|rule| rule.path == file);
    if own(CONFIG_FILE) || own(baseline::FILE) || named || rules.packs.iter().any(|pack| file.starts_with(&pack.path)) {
        return Reach::Everything;
    }
    let extension = file.extension().and_then(|extension| extension.to_str()).unwrap_or_default();
    let yaml = matches!(extension, "yaml" | "yml");
    match (std::fs::symlink_metadata(file).is_ok(), yaml) {
        (true, true) => Reach::Users,
        // A file of rules that is gone is named by nothing any more.
        (false, true) => match git.text_at(since, file) {
            Some(text) if has_key(&text, "plan") => Reach::Nothing,
            Some(text) if has_key(&text, "schedule") => Reach::Users,
            _ => Reach::Everything,
        },
        (false, false) if extension == "wasm" => Reach::Everything,
        _ => Reach::Nothing,
    }
}

/// Whether a file has a key at the top level, as far as its lines show.
fn has_key(text: &str, key: &str) -> bool {
    text.lines().any(|line| line.trim_end().strip_prefix(key).is_some_and(|rest| rest.trim_start().starts_with(':')))
}

/// The shared schedules that a plan names, whether they are there or not.
fn uses(plan: &FoundPlan) -> Vec<PathBuf> {
    let loaded = load(&plan.repository, &plan.path);
    let folder = plan.path.parent().unwrap_or(&plan.path);
    let doc = loaded.doc();
    let list = doc.as_ref().and_then(|doc| doc.r#use.get()).map_or(&[][..], Vec::as_slice);
    let named = list.iter().filter_map(|item| item.get());
    named
        .flat_map(|text| {
            let plain = without_dots(&folder.join(text));
            // The same through links.
            let canonical = plain.canonicalize().ok();
            [Some(plain), canonical].into_iter().flatten()
        })
        .collect()
}

fn without_dots(path: &Path) -> PathBuf {
    let mut plain = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                plain.pop();
            }
            part => plain.push(part),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    use super::{has_key, without_dots};
    use std::path::Path;

    #[test]
    fn keys_at_the_top_level() {
        assert!(has_key("# a\nplan: 1\n", "plan") && has_key("plan : 1", "plan"));
        assert!(!has_key("project:\n  plan: 1\nplans: 2\n", "plan"));
    }

    #[test]
    fn paths_without_dots() {
        assert_eq!(without_dots(Path::new("/a/b/../c/./d.yaml")), Path::new("/a/c/d.yaml"));
    }
}
