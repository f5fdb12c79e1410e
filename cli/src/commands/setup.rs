//! What every command that runs rules needs: the repositories, their modules and their settings.

use crate::output::RunError;
use lintern_core::check::CheckOptions;
use lintern_core::engine::{Engine, EngineOptions, Module, builtin, refuse_reserved};
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{Diagnostic, Sources};
use lintern_core::repository::{Repository, sha256_hex};
use lintern_core::settings::{self, Amendment, RuleSettings};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The engine and the built-in modules.
pub struct Setup {
    engine: Engine,
    builtin: Vec<Module>,
    /// What could not be loaded.
    pub errors: Vec<RunError>,
    /// Remarks for `--verbose`.
    pub notes: Vec<String>,
}

/// Modules and settings of one repository.
pub struct Rules {
    house: Vec<Module>,
    /// Settings by rule.
    pub settings: BTreeMap<String, RuleSettings>,
    /// Local amendments.
    pub amendments: Vec<Amendment>,
}

impl Setup {
    /// Starts the engine and loads the built-in modules.
    pub fn new() -> Self {
        // Compiled modules are kept in the folder that the environment names, else in that of the user.
        let cache_dir = std::env::var_os("LINTERN_CACHE").map(PathBuf::from);
        let mut options = EngineOptions::default();
        options.cache_dir = cache_dir.map(|folder| std::path::absolute(&folder).unwrap_or(folder));
        let (engine, notes) = Engine::new(options);
        let mut setup = Self { engine, builtin: Vec::new(), errors: Vec::new(), notes };
        for loaded in setup.engine.load_all(builtin()) {
            match loaded {
                Ok(module) => setup.builtin.push(module),
                Err(error) => setup.errors.push(module_error(error.to_string(), None, Sources::default())),
            }
        }
        setup
    }

    /// Loads what a repository's configuration names. Errors are recorded; the rest is still loaded.
    pub fn repository(&mut self, repository: &Repository) -> Rules {
        let sources = repository.sources();
        let errors = &mut self.errors;
        errors.extend(repository.diagnostics().iter().map(|d| config_error(d.clone(), sources)));
        let rules = &repository.config().rules;
        for (what, files) in [("expressions", &rules.expressions), ("packs", &rules.packs)] {
            for file in files {
                let message = format!("`rules.{what}`: `{}` is not run: this version has no {what} yet", file.name);
                errors.push(config_error(Diagnostic::new(file.span, message), sources));
            }
        }
        let mut house: Vec<Module> = Vec::new();
        for file in &rules.modules {
            let bytes = match read_module(&file.path) {
                Ok(bytes) => bytes,
                Err(error) => {
                    let message = format!("can't read module `{}`: {error}", file.name);
                    errors.push(module_error(message, Some(file.span), sources.clone()));
                    continue;
                }
            };
            let digest = sha256_hex(&bytes);
            if let Some(pin) = rules.pins.iter().find(|pin| pin.module == file.name && pin.sha256 != digest) {
                let message = format!("module `{}` is not the pinned one: its SHA-256 is {digest}", file.name);
                let diagnostic = Diagnostic::new(pin.span, message)
                    .help("find out who changed the module; change the pin only if you trust the new one");
                errors.push(RunError { kind: "module", diagnostic, sources: sources.clone() });
                continue;
            }
            let loaded = self.engine.load(&file.name, &bytes);
            match loaded.and_then(|module| refuse_reserved(&module).map(|()| module)) {
                Ok(module) => {
                    let known = self.builtin.iter().chain(&house);
                    let mut taken = known.flat_map(|m| m.rules().iter().map(move |rule| (m.name(), &rule.id)));
                    let clash = module.rules().iter().find_map(|rule| taken.find(|(_, id)| **id == rule.id));
                    match clash {
                        Some((other, id)) => errors.push(module_error(
                            format!("module `{}` brings rule `{id}`, which module `{other}` has already", file.name),
                            Some(file.span),
                            sources.clone(),
                        )),
                        None => house.push(module),
                    }
                }
                Err(error) => errors.push(module_error(error.to_string(), Some(file.span), sources.clone())),
            }
        }
        for pin in &rules.pins {
            if !rules.modules.iter().any(|file| file.name == pin.module) {
                let message = format!("`{}` is pinned, but `rules.modules` does not name it", pin.module);
                errors.push(config_error(Diagnostic::new(pin.span, message), sources));
            }
        }
        let known: Vec<_> = self.builtin.iter().chain(&house).flat_map(Module::rules).collect();
        let (settings, wrong) = settings::resolve(&rules.settings, &known);
        errors.extend(wrong.into_iter().map(|d| config_error(d, sources)));
        let files = repository.amendments();
        let (amendments, wrong) = settings::amendments(&files, &known);
        errors.extend(wrong.into_iter().map(|(file, d)| config_error(d, &files[file].sources)));
        errors.extend(files.iter().flat_map(|f| f.diagnostics.iter().map(|d| config_error(d.clone(), &f.sources))));
        Rules { house, settings, amendments }
    }

    /// The modules that run on plans of a repository.
    pub fn modules<'a>(&'a self, rules: &'a Rules) -> Vec<&'a Module> {
        self.builtin.iter().chain(&rules.house).collect()
    }
}

impl Rules {
    /// What is asked of the plans of the repository.
    pub fn options(&self, as_of: Date) -> CheckOptions {
        CheckOptions { as_of, settings: self.settings.clone(), amendments: self.amendments.clone() }
    }
}

/// Reads a module of at most the size that the engine takes.
fn read_module(path: &Path) -> std::io::Result<Vec<u8>> {
    use std::io::Read as _;
    let mut bytes = Vec::new();
    let most = lintern_core::engine::limits::MODULE_BYTES as u64;
    // One byte more than allowed lets the engine say that it is too large.
    std::fs::File::open(path)?.take(most + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn module_error(message: String, span: Option<lintern_core::plan::field::Span>, sources: Sources) -> RunError {
    RunError { kind: "module", diagnostic: Diagnostic::new(span, message), sources }
}

fn config_error(diagnostic: Diagnostic, sources: &Sources) -> RunError {
    RunError { kind: "config", diagnostic, sources: sources.clone() }
}

/// Repositories by root, each with its rules.
pub fn rules_by_root(setup: &mut Setup, repositories: &[Arc<Repository>]) -> BTreeMap<PathBuf, Rules> {
    repositories.iter().map(|repository| (repository.root().to_owned(), setup.repository(repository))).collect()
}
