//! `lintern.yaml`: which files are plans, which rule modules run, and with which settings.
//!
//! It arrives with the plans and is as untrusted as they are: it can name nothing outside the repository.

use super::Repository;
use crate::finding::Level;
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::field::{Field, Span};
use crate::plan::read::{Map, Node};
use crate::plan::{de, elide, yaml};
use globset::{Glob, GlobBuilder, GlobMatcher};
use serde::Deserialize;
use std::path::{Path, PathBuf};
use walkdir::WalkDir;

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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
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

/// Which rules run, and how.
#[derive(Debug, Clone, Default)]
pub struct Rules {
    /// Rule modules in the order of the configuration; the files of one glob in the order of their names.
    pub modules: Vec<RuleFile>,
    /// Digests by module.
    pub pins: Vec<Pin>,
    /// Files of expressions, in the same order as modules.
    pub expressions: Vec<RuleFile>,
    /// Files of local amendments, in the same order as modules.
    pub amendments: Vec<RuleFile>,
    /// Folders of packs.
    pub packs: Vec<RuleFile>,
    /// Settings by rule.
    pub settings: Vec<Settings>,
}

/// A file or folder that the configuration names, inside the repository.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleFile {
    /// Absolute, without links.
    pub path: PathBuf,
    /// Relative to the root with `/`.
    pub name: String,
    /// Where the configuration names it.
    pub span: Span,
}

/// The digest that a module must have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pin {
    /// Module relative to the root with `/`, as written.
    pub module: String,
    /// SHA-256 in lower-case hex.
    pub sha256: String,
    /// Where it stands.
    pub span: Span,
}

/// The settings of one rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Id of the rule.
    pub rule: String,
    /// Where the id stands.
    pub span: Span,
    /// Level in place of the rule's own.
    pub level: Option<Level>,
    /// Why the rule is changed.
    pub reason: Option<String>,
    /// The rule's own settings as written, in the order of the configuration.
    pub values: Vec<Setting>,
}

/// One setting of a rule, as text: only the rule knows its type.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// Name of the setting.
    pub name: String,
    /// Its text.
    pub value: String,
    /// Where the value stands.
    pub span: Span,
}

/// The configuration as written.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, rename_all = "kebab-case")]
struct ConfigDoc {
    lintern: Field<u64>,
    plans: Field<Vec<Field<String>>>,
    rules: Field<RulesDoc>,
    fail_on: Field<FailOn>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default, rename_all = "kebab-case")]
struct RulesDoc {
    modules: Field<Vec<Field<String>>>,
    pins: Field<Map<String>>,
    expressions: Field<Vec<Field<String>>>,
    amendments: Field<Vec<Field<String>>>,
    packs: Field<Vec<Field<String>>>,
    settings: Field<Map<Map<String>>>,
}

impl Node for ConfigDoc {
    const REQUIRED: &'static [&'static str] = &["lintern"];
}
impl Node for RulesDoc {}
impl Node for FailOn {}

/// Reads the configuration of a repository into it.
pub(super) fn read(repository: &mut Repository, file: &Path) {
    let mut errors = Diagnostics::default();
    let mut sources = Sources::default();
    match yaml::read(file) {
        Err(error) => errors.push(|| Diagnostic::new(None, format!("can't read {}: {error}", super::CONFIG_FILE))),
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
    let rules = doc.rules.get().map(|rules| Rules {
        modules: files(&rules.modules, repository, errors),
        pins: pins(&rules.pins, errors),
        expressions: files(&rules.expressions, repository, errors),
        amendments: files(&rules.amendments, repository, errors),
        packs: folders(&rules.packs, repository, errors),
        settings: settings(&rules.settings, errors),
    });
    Config { plans, rules: rules.unwrap_or_default(), fail_on: doc.fail_on.cloned() }
}

/// The items of a list that were read.
fn texts(list: &[Field<String>]) -> impl Iterator<Item = (&str, Span)> {
    list.iter().filter_map(|item| Some((item.get()?.as_str(), item.span?)))
}

/// A glob in which `*` stops at `/`. What leads out of the repository can match nothing, and is reported.
fn glob(text: &str, span: Span, errors: &mut Diagnostics) -> Option<Glob> {
    const LONGEST: usize = 1000;
    let refused = if text.contains('\\') {
        Some("globs are written with `/`")
    } else if text.starts_with('/') || text.split('/').any(|part| part == "..") {
        Some("only files inside the repository are read; write the glob relative to its root")
    } else if text.len() > LONGEST {
        Some("write a shorter glob")
    } else {
        None
    };
    if let Some(help) = refused {
        errors.push(|| {
            Diagnostic::new(span, format!("`{}` is no glob of files in the repository", elide(text))).help(help)
        });
        return None;
    }
    match GlobBuilder::new(text.trim_start_matches("./")).literal_separator(true).build() {
        Ok(glob) => Some(glob),
        Err(error) => {
            errors.push(|| Diagnostic::new(span, format!("`{}` is not a glob: {}", elide(text), error.kind())));
            None
        }
    }
}

/// The files that paths and globs name.
fn files(list: &Field<Vec<Field<String>>>, repository: &Repository, errors: &mut Diagnostics) -> Vec<RuleFile> {
    let mut files: Vec<RuleFile> = Vec::new();
    for (text, span) in texts(list.get().map_or(&[], Vec::as_slice)) {
        let found: Vec<PathBuf> = if text.contains(['*', '?', '[', '{']) {
            match glob(text, span, errors) {
                Some(glob) => matching(&glob.compile_matcher(), repository),
                None => continue,
            }
        } else {
            match repository.inside(repository.root(), text) {
                Ok(path) => vec![path],
                Err(refusal) => {
                    errors.push(|| Diagnostic::new(span, refusal.to_string()).help(refusal.help()));
                    continue;
                }
            }
        };
        if found.is_empty() {
            errors.push(|| {
                Diagnostic::new(span, format!("no file matches `{}`", elide(text)))
                    .help("remove the glob, or add the file")
            });
        }
        for path in found {
            // A file that two globs name is used once.
            if !files.iter().any(|f| f.path == path) {
                files.push(RuleFile { name: repository.relative(&path), path, span });
            }
        }
    }
    files
}

/// The plain files of the repository that match, sorted; links are not followed.
fn matching(glob: &GlobMatcher, repository: &Repository) -> Vec<PathBuf> {
    WalkDir::new(repository.root())
        .sort_by_file_name()
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !super::find::is_hidden(entry.file_name()))
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_file())
        .filter(|entry| entry.path().strip_prefix(repository.root()).is_ok_and(|path| glob.is_match(path)))
        .map(walkdir::DirEntry::into_path)
        .collect()
}

fn folders(list: &Field<Vec<Field<String>>>, repository: &Repository, errors: &mut Diagnostics) -> Vec<RuleFile> {
    let mut folders = Vec::new();
    for (text, span) in texts(list.get().map_or(&[], Vec::as_slice)) {
        match repository.inside(repository.root(), text) {
            Ok(path) if path.is_dir() => folders.push(RuleFile { name: repository.relative(&path), path, span }),
            Ok(_) => errors.push(|| Diagnostic::new(span, format!("`{}` is not a folder", elide(text)))),
            Err(refusal) => errors.push(|| {
                Diagnostic::new(span, refusal.to_string())
                    .help("a pack outside the repository needs `--pack` on the command line")
            }),
        }
    }
    folders
}

fn pins(pins: &Field<Map<String>>, errors: &mut Diagnostics) -> Vec<Pin> {
    let mut all = Vec::new();
    for (module, digest) in pins.get().map_or(&[][..], |map| &map.entries) {
        let (Some(module), Some(text), Some(span)) = (module.get(), digest.get(), digest.span) else { continue };
        let hex = text.strip_prefix("sha256:").unwrap_or("");
        if hex.len() == 64 && hex.bytes().all(|b| b.is_ascii_hexdigit()) {
            all.push(Pin { module: module.clone(), sha256: hex.to_ascii_lowercase(), span });
        } else {
            errors.push(|| {
                Diagnostic::new(span, format!("`{}` is no digest of a module", elide(text)))
                    .help("write `sha256:` and 64 hexadecimal digits")
            });
        }
    }
    all
}

fn settings(settings: &Field<Map<Map<String>>>, errors: &mut Diagnostics) -> Vec<Settings> {
    let mut all = Vec::new();
    for (rule, values) in settings.get().map_or(&[][..], |map| &map.entries) {
        let (Some(rule), Some(span), Some(values)) = (rule.get(), rule.span, values.get()) else { continue };
        let mut one = Settings { rule: rule.clone(), span, level: None, reason: None, values: Vec::new() };
        for (name, value) in &values.entries {
            let (Some(name), Some(text), Some(at)) = (name.get(), value.get(), value.span) else { continue };
            match name.as_str() {
                "level" => match text.as_str() {
                    "violation" => one.level = Some(Level::Violation),
                    "advice" => one.level = Some(Level::Advice),
                    "reminder" => one.level = Some(Level::Reminder),
                    _ => errors.push(|| {
                        Diagnostic::new(at, format!("`{}` is not a level", elide(text)))
                            .help("levels: `violation`, `advice`, `reminder`")
                    }),
                },
                "reason" => one.reason = Some(text.clone()),
                _ => one.values.push(Setting { name: name.clone(), value: text.clone(), span: at }),
            }
        }
        all.push(one);
    }
    all
}
