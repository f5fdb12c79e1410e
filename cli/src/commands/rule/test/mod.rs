//! `lintern rule test DIR`: the rules of a folder against the plans in its `cases`.

mod build;
mod cases;
mod lacks;
mod output;
mod trial;

use super::stop;
use crate::args::{Format, RuleArgs, RuleTest};
use crate::commands::setup::{Setup, read_module};
use crate::commands::{Exit, print};
use cases::CaseFile;
use lintern_core::engine::Module;
use std::path::{Path, PathBuf};
use trial::{Ending, Trial};

/// What came of a folder.
struct Result {
    module: Module,
    trials: Vec<Trial>,
    /// Rules without any case.
    untested: Vec<String>,
    /// What the rules should bring and don't.
    lacks: Vec<String>,
    /// Files in `cases` that are no plans.
    passed_over: Vec<String>,
}

pub fn run(args: &RuleTest) -> Exit {
    let result = match test(args) {
        Ok(result) => result,
        Err(problem) => return stop(&problem),
    };
    match args.format {
        Format::Terminal => print(&output::text(&result)),
        Format::Json => print(&format!("{:#}\n", output::document(&result))),
    }
    result.exit()
}

fn test(args: &RuleTest) -> std::result::Result<Result, String> {
    let file = match &args.module {
        Some(file) => file.clone(),
        None => module_of(&args.folder)?,
    };
    let shown = file.strip_prefix(&args.folder).unwrap_or(&file).display().to_string();
    let bytes = read_module(&file).map_err(|error| format!("can't read {}: {error}", file.display()))?;
    let setup = Setup::new(&RuleArgs::default());
    if let Some(error) = setup.errors.first() {
        return Err(error.diagnostic.message.clone());
    }
    let module = setup.engine().load(&shown, &bytes).map_err(|error| error.to_string())?;
    let builtin = || setup.builtin().iter().flat_map(Module::rules);
    if let Some(rule) = module.rules().iter().find(|rule| builtin().any(|other| other.id == rule.id)) {
        return Err(format!(
            "rule `{}` has the id of a built-in rule; give it another topic, such as `house`",
            rule.id
        ));
    }
    let cases::Found { cases, passed_over } = cases::find(&args.folder, &module)?;
    let trials: Vec<Trial> = cases.iter().map(|case| trial::run(case, &module)).collect();
    let tested = |id: &str| cases.iter().any(|case: &CaseFile| case.rule.as_deref().is_ok_and(|rule| rule == id));
    let untested = module.rules().iter().map(|rule| rule.id.clone()).filter(|id| !tested(id)).collect();
    let lacks = lacks::of(&module, &trials);
    Ok(Result { module, trials, untested, lacks, passed_over })
}

/// The module of a folder, built where the folder is a crate.
fn module_of(folder: &Path) -> std::result::Result<PathBuf, String> {
    if !folder.is_dir() {
        return Err(format!("`{}` is no folder; name the folder of the rule", folder.display()));
    }
    if folder.join("Cargo.toml").is_file() {
        return build::build(folder);
    }
    let entries = std::fs::read_dir(folder).map_err(|error| format!("can't list `{}`: {error}", folder.display()))?;
    let paths = entries.flatten().map(|entry| entry.path());
    let mut modules: Vec<PathBuf> = paths.filter(|path| path.extension().is_some_and(|e| e == "wasm")).collect();
    match (modules.pop(), modules.len()) {
        (Some(module), 0) => Ok(module),
        (Some(_), more) => {
            Err(format!("`{}` has {} modules; name the one to test with `--module FILE`", folder.display(), more + 1))
        }
        (None, _) => Err(format!(
            "`{}` has neither a Cargo.toml nor a .wasm file; `lintern rule new NAME` writes a folder to start from",
            folder.display()
        )),
    }
}

impl Result {
    fn exit(&self) -> Exit {
        let any = |wanted: fn(&Ending) -> bool| self.trials.iter().any(|trial| wanted(&trial.ending));
        if any(|ending| matches!(ending, Ending::NotRun(_))) {
            Exit::NotChecked
        } else if !self.untested.is_empty() || any(|ending| !matches!(ending, Ending::Agrees)) {
            Exit::Found
        } else {
            Exit::Clean
        }
    }
}
