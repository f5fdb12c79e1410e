//! What every command that runs rules needs: the engine, the built-in rules, packs from outside of the repositories,
//! and the rulebook of each repository.

use crate::args::RuleArgs;
use crate::output::RunError;
use lintern_core::engine::{Engine, EngineOptions, Module};
use lintern_core::plan::{Diagnostic, ReadError, Sources, read_plain};
use lintern_core::repository::{Pack, Repository, UserConfig};
use lintern_core::rulebook::{Problem, Rulebook, Shared, outside_packs};
use std::path::{Path, PathBuf};

/// What all repositories share.
pub struct Setup {
    engine: Engine,
    builtin: Option<Module>,
    packs: Vec<Pack>,
    /// What could not be loaded.
    pub errors: Vec<RunError>,
    /// Remarks for `--verbose`.
    pub notes: Vec<String>,
}

impl Setup {
    /// Starts the engine, loads the built-in rules and reads the packs of the user and of the command line.
    pub fn new(args: &RuleArgs) -> Self {
        let (engine, notes) = start_engine();
        let mut errors = Vec::new();
        let builtin = engine.load_builtin();
        if let Err(error) = &builtin {
            let diagnostic = Diagnostic::new(None, error.to_string());
            errors.push(RunError { kind: "module", diagnostic, sources: Sources::default() });
        }
        let user = user_config().map(|file| UserConfig::read(&file)).unwrap_or_default();
        errors.extend(user.diagnostics.iter().map(|d| Problem::config(d.clone(), &user.sources).into()));
        let folders = user.packs.iter().chain(&args.packs);
        let (packs, wrong) = outside_packs(folders.map(PathBuf::as_path));
        errors.extend(wrong.into_iter().map(RunError::from));
        Self { engine, builtin: builtin.ok(), packs, errors, notes }
    }

    /// The rules of a repository. What is wrong is recorded; the rest applies.
    pub fn repository(&mut self, repository: &Repository) -> Rulebook {
        let mut book = Rulebook::of(repository, self.shared());
        self.errors.extend(std::mem::take(&mut book.problems).into_iter().map(RunError::from));
        book
    }

    /// What a rulebook is put together from.
    pub fn shared(&self) -> Shared<'_> {
        Shared { engine: &self.engine, builtin: self.builtin(), packs: &self.packs }
    }

    /// The engine that the modules were loaded with.
    pub fn engine(&self) -> &Engine {
        &self.engine
    }

    /// Packs of the user's configuration and of the command line.
    pub fn packs(&self) -> &[Pack] {
        &self.packs
    }

    /// The module of the built-in rules, where it could be loaded.
    pub fn builtin(&self) -> &[Module] {
        self.builtin.as_slice()
    }

    /// The modules that run on plans of a repository.
    pub fn modules<'a>(&'a self, book: &'a Rulebook) -> Vec<&'a Module> {
        book.all(self.builtin())
    }
}

/// Reads a module of at most the size that the engine takes.
pub fn read_module(path: &Path) -> Result<Vec<u8>, ReadError> {
    read_plain(path, lintern_core::engine::limits::MODULE_BYTES as u64)
}

/// Compiled modules are kept in the folder that the environment names, else in that of the user.
fn start_engine() -> (Engine, Vec<String>) {
    let cache_dir = std::env::var_os("LINTERN_CACHE").map(PathBuf::from);
    let mut options = EngineOptions::default();
    options.cache_dir = cache_dir.map(|folder| std::path::absolute(&folder).unwrap_or(folder));
    Engine::new(options)
}

/// The user's configuration: the file that the environment names (an empty name is none), else the usual one where it
/// exists.
pub fn user_config() -> Option<PathBuf> {
    use etcetera::BaseStrategy as _;
    match std::env::var_os("LINTERN_CONFIG") {
        Some(file) if file.is_empty() => None,
        Some(file) => Some(PathBuf::from(file)),
        None => {
            let usual = etcetera::choose_base_strategy().ok()?.config_dir().join("lintern").join("config.yaml");
            Path::exists(&usual).then_some(usual)
        }
    }
}
