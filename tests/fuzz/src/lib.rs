//! What the fuzz targets share: the built-in modules, a plan repository to load from, what must hold of every answer,
//! and changes to plans that keep them YAML.

pub mod change;
pub mod elements;
pub mod oracle;

use lintern_core::check::CheckOptions;
use lintern_core::engine::{Engine, EngineOptions, Module};
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{Loaded, load_text};
use lintern_core::repository::Repository;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The engine. Compiled modules are kept beside the fuzzers, since libFuzzer starts anew after every crash.
pub fn engine() -> &'static Engine {
    static ENGINE: OnceLock<Engine> = OnceLock::new();
    ENGINE.get_or_init(|| {
        let mut options = EngineOptions::default();
        options.cache_dir = Some(here().join("target/modules"));
        Engine::new(options).0
    })
}

/// The built-in modules.
///
/// # Panics
/// When one of them can't be loaded.
pub fn builtin_modules() -> &'static [Module] {
    static MODULES: OnceLock<Vec<Module>> = OnceLock::new();
    MODULES.get_or_init(|| vec![engine().load_builtin().unwrap_or_else(|error| panic!("{error}"))])
}

/// The built-in modules as a check wants them.
pub fn modules() -> Vec<&'static Module> {
    builtin_modules().iter().collect()
}

/// What is asked of plans where no configuration is read. The day is that of the demo plans.
pub fn options() -> CheckOptions {
    let as_of = Date(jiff::civil::date(2026, 3, 5));
    CheckOptions { as_of, settings: Default::default(), amendments: Vec::new() }
}

/// The demo repository: its shared schedule can be used by what is fuzzed.
///
/// # Panics
/// When it is not there.
pub fn repository() -> &'static Repository {
    static REPOSITORY: OnceLock<Repository> = OnceLock::new();
    REPOSITORY.get_or_init(|| Repository::of(&plans()).expect("the demo repository"))
}

/// Loads a text as a plan of the demo repository.
pub fn loaded(text: &[u8]) -> Loaded {
    load_text(repository(), &repository().root().join("quarry-lane/fuzzed.yaml"), text)
}

/// A demo plan.
///
/// # Panics
/// When it is not there.
pub fn demo(name: &str) -> Loaded {
    let text = std::fs::read(plans().join(name)).expect("a demo plan");
    let loaded = loaded(&text);
    assert!(loaded.layout.is_some(), "{name}: {:?}", loaded.diagnostics);
    loaded
}

fn here() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Where the demo plans are.
pub fn plans() -> PathBuf {
    here().join("../../plans")
}
