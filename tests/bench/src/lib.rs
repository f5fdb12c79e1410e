//! What benchmarks measure on: plans from a seed, and plain structs that hold the same plan for comparison.

pub mod plain;
pub mod sites;
pub mod trees;

use lintern_core::plan::{Loaded, load};
use lintern_core::repository::Repository;
use std::path::PathBuf;

/// The seed, unless the environment names another one.
pub fn seed() -> u64 {
    std::env::var("LINTERN_SEED").ok().and_then(|seed| seed.parse().ok()).unwrap_or(20_260_301)
}

/// Luminaires of the plans that are measured.
pub const SIZES: &[usize] = &[5, 60, 400, 10_000];

/// A plan of a repository of its own.
pub struct Plan {
    /// Its text.
    pub text: String,
    /// Its repository.
    pub repository: Repository,
    /// Its file.
    pub file: PathBuf,
    _folder: tempfile::TempDir,
}

impl Plan {
    /// Makes one of this many luminaires.
    ///
    /// # Panics
    /// When it can't be written.
    pub fn new(seed: u64, luminaires: usize) -> Self {
        Self::of(sites::plan(seed, luminaires))
    }

    /// Lays a text into a repository.
    ///
    /// # Panics
    /// When it can't be written.
    pub fn of(text: String) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let file = folder.path().join("plan.yaml");
        std::fs::write(&file, &text).expect("a file");
        let repository = Repository::of(&file).expect("a repository");
        Self { text, repository, file, _folder: folder }
    }

    /// Loads it.
    pub fn load(&self) -> Loaded {
        load(&self.repository, &self.file)
    }
}
