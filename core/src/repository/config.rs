//! `lintern.yaml`: which files are plans, which rule modules run, and with which settings.
//!
//! It arrives with the plans and is as untrusted as they are: it can name nothing outside the repository.

use super::Repository;
use super::rules::{self, Rules, RulesDoc, glob, texts};
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::field::Field;
use crate::plan::read::Node;
use crate::plan::{de, yaml};
use globset::GlobMatcher;
use schemars::JsonSchema;
use serde::Deserialize;

/// The version of the configuration format that is read.
const CONFIG_FORMAT: u64 = 1;

/// What a `lintern.yaml` says.
#[derive(Debug, Clone, Default)]
pub struct Config {
    /// Globs of the files that may be plans, relative to the root; `None` means every YAML file.
    pub plans: Option<Vec<GlobMatcher>>,
    /// Rule modules, expressions, packs and settings.
    pub rules: Rules,
    /// From which level on findings change the exit code.
    pub fail_on: Option<FailOn>,
}

/// From which level on findings change the exit code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FailOn {
    /// Also what could not be checked.
    Undetermined,
    /// Reminders and more.
    Reminder,
    /// Advice and more.
    Advice,
    /// Violations.
    Violation,
}

const PLANS_EXAMPLE: [&str; 1] = ["sites/**/*.yaml"];

/// The configuration of a plan repository, `lintern.yaml` at its root.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, rename_all = "kebab-case")]
#[schemars(deny_unknown_fields, extend("required" = ["lintern"] as [&str; _]))]
pub(crate) struct ConfigDoc {
    /// Version of the format: 1.
    #[schemars(range(min = 1, max = 1), example = 1)]
    lintern: Field<u64>,
    /// Globs of the files that may be plans, relative to this file; without them every YAML file may be one.
    #[schemars(example = PLANS_EXAMPLE)]
    plans: Field<Vec<Field<String>>>,
    /// Which rules run, and with which settings.
    rules: Field<RulesDoc>,
    /// From which level on findings change the exit code; default `violation`.
    #[schemars(example = &"advice")]
    fail_on: Field<FailOn>,
}

impl Node for ConfigDoc {
    const REQUIRED: &'static [&'static str] = &["lintern"];
}
impl Node for FailOn {}

/// Reads the configuration of a repository into it.
pub(super) fn read(repository: &mut Repository) {
    let mut errors = Diagnostics::default();
    let mut sources = Sources::default();
    // A link may lead out of the repository.
    let read = match repository.inside(repository.root(), super::CONFIG_FILE) {
        Ok(file) => yaml::read(&file).map_err(|error| (error.to_string(), None)),
        Err(refusal) => Err((refusal.to_string(), Some(refusal.help()))),
    };
    match read {
        Err((error, help)) => errors.push(|| {
            let problem = Diagnostic::new(None, format!("can't read {}: {error}", super::CONFIG_FILE));
            help.map_or(problem.clone(), |help| problem.help(help))
        }),
        Ok(bytes) => {
            if let Some(tree) = yaml::parse(super::CONFIG_FILE, &bytes, &mut sources, &mut errors)
                && let Some(doc) = de::read::<ConfigDoc>(&tree, &mut errors).value
            {
                repository.config = check(&doc, repository, &mut errors);
            }
        }
    }
    repository.sources = sources;
    repository.diagnostics = errors.into_sorted();
}

fn check(doc: &ConfigDoc, repository: &Repository, errors: &mut Diagnostics) -> Config {
    if let Some(version) = doc.lintern.get().filter(|v| **v != CONFIG_FORMAT) {
        errors.push(|| {
            Diagnostic::new(doc.lintern.span, format!("configuration format {version} is not known"))
                .help(format!("this version reads format {CONFIG_FORMAT}"))
        });
    }
    let plans = doc.plans.get().map(|list| {
        texts(list).filter_map(|(text, span)| glob(text, span, errors)).map(|g| g.compile_matcher()).collect()
    });
    let rules = doc.rules.get().map(|rules| rules::check(rules, &repository.folder, errors));
    Config { plans, rules: rules.unwrap_or_default(), fail_on: doc.fail_on.cloned() }
}
