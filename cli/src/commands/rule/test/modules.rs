//! What is tested: the crate or the modules of a folder, and its files of expressions.

use super::build;
use crate::args::RuleArgs;
use crate::commands::rule::Stop;
use crate::commands::setup::{Setup, read_module};
use lintern_core::engine::{LoadExpressionsError, Module, limits, refuse_reserved};
use lintern_core::expression;
use std::path::{Path, PathBuf};

/// Loads the file that is named, else what the folder holds; each file of expressions is a module of its own.
pub fn of(folder: &Path, named: Option<&Path>) -> Result<Vec<Module>, Stop> {
    let files = match named {
        Some(file) => vec![file.to_owned()],
        None => files_of(folder)?,
    };
    let setup = Setup::new(&RuleArgs::default());
    if let Some(error) = setup.errors.first() {
        return Err(Stop::Message(error.diagnostic.message.clone()));
    }
    let mut modules: Vec<Module> = Vec::new();
    for file in &files {
        let module = if is_yaml(file) { expressions(&setup, file) } else { compiled(&setup, folder, file) }?;
        admit(&module, &setup, &modules)?;
        modules.push(module);
    }
    Ok(modules)
}

/// The files with rules in a folder, of which the module is built where the folder is a crate.
fn files_of(folder: &Path) -> Result<Vec<PathBuf>, String> {
    if !folder.is_dir() {
        return Err(format!("`{}` is no folder; name the folder of the rule", folder.display()));
    }
    let entries = std::fs::read_dir(folder).map_err(|error| format!("can't list `{}`: {error}", folder.display()))?;
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).filter(|path| path.is_file()).collect();
    paths.sort_unstable();
    let (mut files, modules) = (Vec::new(), |path: &&PathBuf| path.extension().is_some_and(|end| end == "wasm"));
    if folder.join("Cargo.toml").is_file() {
        files.push(build::build(folder)?);
    } else {
        files.extend(paths.iter().filter(modules).cloned());
    }
    files.extend(paths.into_iter().filter(|path| is_rules_file(path)));
    if files.is_empty() {
        return Err(format!(
            "`{}` has neither a Cargo.toml nor a .wasm file nor a .rules.yaml file; `lintern rule new NAME` writes a \
             folder to start from, and with `--expression` one that needs no compiler",
            folder.display()
        ));
    }
    Ok(files)
}

fn is_rules_file(path: &Path) -> bool {
    let name = path.file_name().map(|name| name.to_string_lossy()).unwrap_or_default();
    [".rules.yaml", ".rules.yml"].iter().any(|end| name.ends_with(end))
}

fn is_yaml(path: &Path) -> bool {
    path.extension().is_some_and(|end| end == "yaml" || end == "yml")
}

fn compiled(setup: &Setup, folder: &Path, file: &Path) -> Result<Module, Stop> {
    let shown = file.strip_prefix(folder).unwrap_or(file).display().to_string();
    let bytes = read_module(file).map_err(|error| format!("can't read {}: {error}", file.display()))?;
    setup.engine().load(&shown, &bytes).map_err(|error| Stop::Message(error.to_string()))
}

fn expressions(setup: &Setup, file: &Path) -> Result<Module, Stop> {
    let bytes = read_module(file).map_err(|error| format!("can't read {}: {error}", file.display()))?;
    if bytes.len() > limits::MODULE_BYTES {
        return Err(Stop::Message(format!("{} is too large for a file of rules", file.display())));
    }
    // With the folder, so that an editor finds the place of a mistake.
    let parsed = expression::parse(&file.display().to_string(), &bytes);
    match setup.engine().load_expressions(&parsed) {
        Ok(module) => Ok(module),
        Err(LoadExpressionsError::Wrong(wrong)) => Err(Stop::Wrong(wrong, parsed.sources)),
        Err(LoadExpressionsError::Module(error)) => Err(Stop::Message(error.to_string())),
    }
}

/// Refuses rules that a plan repository would refuse.
fn admit(module: &Module, setup: &Setup, others: &[Module]) -> Result<(), String> {
    for rule in module.rules() {
        let is_of = |other: &&Module| other.rules().iter().any(|known| known.id == rule.id);
        if setup.builtin().iter().any(|other| is_of(&other)) {
            return Err(format!(
                "rule `{}` has the id of a built-in rule; give it another topic, such as `house`",
                rule.id
            ));
        }
        if let Some(other) = others.iter().find(is_of) {
            return Err(format!("rule `{}` is in `{}` and in `{}`", rule.id, other.name(), module.name()));
        }
    }
    refuse_reserved(module).map_err(|error| error.to_string())
}
