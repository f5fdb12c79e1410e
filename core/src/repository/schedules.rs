//! The shared schedules of a repository, for those who look for one to use.

use super::{Repository, find};
use crate::plan::read_text;
use std::path::PathBuf;
use walkdir::WalkDir;

/// The shared schedules of a repository down to a depth, of at most so many YAML files that are looked at.
pub fn schedules(repository: &Repository, depth: usize, files: usize) -> Vec<PathBuf> {
    let walk = WalkDir::new(repository.root()).max_depth(depth).follow_links(false).sort_by_file_name();
    let visible = |entry: &walkdir::DirEntry| entry.depth() == 0 || !find::is_hidden(entry.file_name());
    let is_yaml = |path: &PathBuf| path.extension().is_some_and(|extension| extension == "yaml" || extension == "yml");
    let paths = walk.into_iter().filter_entry(visible).filter_map(Result::ok).map(walkdir::DirEntry::into_path);
    // Its top-level keys tell, which stand at the start of lines: reading each file whole would take long.
    let is_schedule = |path: &PathBuf| {
        let text = read_text(path).unwrap_or_default();
        let has = |key: &str| text.trim_start_matches('\u{feff}').lines().any(|line| line.starts_with(key));
        has("schedule:") && !has("plan:")
    };
    paths.filter(is_yaml).take(files).filter(is_schedule).collect()
}
