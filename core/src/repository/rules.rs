//! The `rules:` of a configuration or of a pack: which modules, expressions and amendments, and which settings.

use super::{CONFIG_FILE, Confined, MANIFEST};
use crate::finding::Level;
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::elide;
use crate::plan::field::{Field, Span};
use crate::plan::read::{Map, Node};
use globset::{Glob, GlobBuilder, GlobMatcher};
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::Deserialize;
use std::path::{Path, PathBuf};
use walkdir::WalkDir;

/// Which rules run, and how.
#[derive(Debug, Clone, Default)]
pub struct Rules {
    /// Rule modules in the order of the configuration; the files of one glob in the order of their names.
    pub modules: Vec<RuleFile>,
    /// Digests by file; that of a pack is the digest of its manifest.
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

/// A file or folder that a configuration or a pack names, inside its folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RuleFile {
    /// Absolute, without links.
    pub path: PathBuf,
    /// Relative to the root of its folder with `/`.
    pub name: String,
    /// Where the configuration names it.
    pub span: Span,
}

/// The digest that a file must have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pin {
    /// The file, or the folder of a pack, relative to the root with `/`, as written.
    pub file: String,
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
    /// Whether plans may waive its findings.
    pub waivable: Option<bool>,
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

const MODULES_EXAMPLE: [&str; 1] = ["house/*.wasm"];
const EXPRESSIONS_EXAMPLE: [&str; 1] = ["house/*.rules.yaml"];
const AMENDMENTS_EXAMPLE: [&str; 1] = ["county/*.yaml"];
const PACKS_EXAMPLE: [&str; 1] = ["packs/company"];

/// Which rules run, and how. Paths and globs count from the folder of the file, and lead to nothing outside it.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, rename_all = "kebab-case")]
#[schemars(deny_unknown_fields)]
pub(crate) struct RulesDoc {
    /// Rule modules, by path or glob.
    #[schemars(example = MODULES_EXAMPLE)]
    modules: Field<Vec<Field<String>>>,
    /// The digests that modules, files of expressions, amendments and packs must have, by file; written by
    /// `lintern rule pin`.
    #[schemars(schema_with = "digests_schema")]
    pub(super) pins: Field<Map<String>>,
    /// Files of expressions, by path or glob.
    #[schemars(example = EXPRESSIONS_EXAMPLE)]
    expressions: Field<Vec<Field<String>>>,
    /// Files of local amendments, by path or glob.
    #[schemars(example = AMENDMENTS_EXAMPLE)]
    amendments: Field<Vec<Field<String>>>,
    /// Folders of packs inside the repository.
    #[schemars(example = PACKS_EXAMPLE)]
    pub(super) packs: Field<Vec<Field<String>>>,
    /// What is set for a rule, by the id of the rule. `lintern explain RULE` shows what can be set.
    #[schemars(schema_with = "settings_schema")]
    settings: Field<Map<Map<String>>>,
}

/// Files with their digests.
pub(super) fn digests_schema(_: &mut SchemaGenerator) -> Schema {
    let example = format!("sha256:{}", "0123456789abcdef".repeat(4));
    json_schema!({
        "type": "object",
        "additionalProperties": { "type": "string", "pattern": "^sha256:[0-9a-fA-F]{64}$" },
        "examples": [{ "house/pathways.wasm": example }],
    })
}

/// Rules with what is set for them.
fn settings_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({
        "type": "object",
        "additionalProperties": {
            "type": "object",
            "properties": {
                "level": {
                    "description": "Level of its findings in place of the rule's own.",
                    "enum": ["violation", "advice", "reminder"],
                },
                "reason": {
                    "description": "Why the rule is changed. A limit that is made looser, or a limit of a code that is changed, needs one.",
                    "type": ["string", "number"],
                    "examples": ["company standard 4.2"],
                },
                "waivable": {
                    "description": "Whether plans may waive its findings.",
                    "type": "boolean",
                    "examples": [false],
                },
            },
            "additionalProperties": {
                "description": "A setting of the rule, with its unit.",
                "type": ["string", "number", "boolean"],
                "examples": ["3 %"],
            },
        },
        "propertyNames": { "pattern": "^[a-z0-9-]+/[a-z0-9-]+$" },
        "examples": [{ "voltage/excess-drop": { "limit": "3 %", "level": "violation", "reason": "company standard 4.2" } }],
    })
}

/// A text that may look like a number or a flag to a reader of YAML.
pub(crate) fn plain_schema(_: &mut SchemaGenerator) -> Schema {
    json_schema!({ "type": ["string", "number", "boolean"] })
}

impl Node for RulesDoc {}

/// Takes over what is right and reports the rest.
pub(super) fn check(doc: &RulesDoc, folder: &Confined, errors: &mut Diagnostics) -> Rules {
    Rules {
        modules: files(&doc.modules, folder, errors),
        pins: pins(&doc.pins, errors),
        expressions: files(&doc.expressions, folder, errors),
        amendments: files(&doc.amendments, folder, errors),
        packs: folders(&doc.packs, folder, errors),
        settings: settings(&doc.settings, errors),
    }
}

/// The items of a list that were read.
pub(super) fn texts(list: &[Field<String>]) -> impl Iterator<Item = (&str, Span)> {
    list.iter().filter_map(|item| Some((item.get()?.as_str(), item.span?)))
}

/// A glob in which `*` stops at `/`. What leads out of the repository can match nothing, and is reported.
pub(super) fn glob(text: &str, span: Span, errors: &mut Diagnostics) -> Option<Glob> {
    const LONGEST: usize = 1000;
    let refused = if text.contains('\\') {
        Some("globs are written with `/`")
    } else if text.starts_with('/') || text.split('/').any(|part| part == "..") {
        Some("only files below this file are read; write the glob relative to its folder")
    } else if text.len() > LONGEST {
        Some("write a shorter glob")
    } else {
        None
    };
    if let Some(help) = refused {
        errors.push(|| {
            Diagnostic::new(span, format!("`{}` is no glob of files below this file", elide(text))).help(help)
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
fn files(list: &Field<Vec<Field<String>>>, folder: &Confined, errors: &mut Diagnostics) -> Vec<RuleFile> {
    let mut files: Vec<RuleFile> = Vec::new();
    for (text, span) in texts(list.get().map_or(&[], Vec::as_slice)) {
        let found: Vec<PathBuf> = if text.contains(['*', '?', '[', '{']) {
            match glob(text, span, errors) {
                Some(glob) => matching(&glob.compile_matcher(), folder),
                None => continue,
            }
        } else {
            match folder.inside(folder.root(), text) {
                Ok(path) if names_rules(&path, folder) => {
                    errors.push(|| {
                        Diagnostic::new(span, format!("`{}` says which rules run and holds none", elide(text)))
                            .help("name the files with the rules")
                    });
                    continue;
                }
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
                files.push(RuleFile { name: folder.relative(&path), path, span });
            }
        }
    }
    files
}

/// Whether a file is a configuration or a manifest, which names files of rules: it is none of them, and can't hold its own
/// digest.
fn names_rules(path: &Path, folder: &Confined) -> bool {
    [CONFIG_FILE, MANIFEST].iter().any(|name| path == folder.root().join(name))
}

/// The plain files of the folder that match, but for what names them, sorted; links are not followed.
fn matching(glob: &GlobMatcher, folder: &Confined) -> Vec<PathBuf> {
    WalkDir::new(folder.root())
        .sort_by_file_name()
        .into_iter()
        .filter_entry(|entry| entry.depth() == 0 || !super::find::is_hidden(entry.file_name()))
        .filter_map(Result::ok)
        .filter(|entry| entry.file_type().is_file())
        .filter(|entry| entry.path().strip_prefix(folder.root()).is_ok_and(|path| glob.is_match(path)))
        .map(walkdir::DirEntry::into_path)
        .filter(|path| !names_rules(path, folder))
        .collect()
}

fn folders(list: &Field<Vec<Field<String>>>, folder: &Confined, errors: &mut Diagnostics) -> Vec<RuleFile> {
    let mut folders = Vec::new();
    for (text, span) in texts(list.get().map_or(&[], Vec::as_slice)) {
        match folder.inside(folder.root(), text) {
            Ok(path) if path.is_dir() => folders.push(RuleFile { name: folder.relative(&path), path, span }),
            Ok(_) => errors.push(|| Diagnostic::new(span, format!("`{}` is not a folder", elide(text)))),
            Err(refusal) => errors.push(|| {
                Diagnostic::new(span, refusal.to_string())
                    .help("a pack outside the repository needs `--pack` on the command line")
            }),
        }
    }
    folders
}

pub(super) fn pins(pins: &Field<Map<String>>, errors: &mut Diagnostics) -> Vec<Pin> {
    let mut all = Vec::new();
    for (module, digest) in pins.get().map_or(&[][..], |map| &map.entries) {
        let (Some(module), Some(text), Some(span)) = (module.get(), digest.get(), digest.span) else { continue };
        let hex = text.strip_prefix("sha256:").unwrap_or("");
        if hex.len() == 64 && hex.bytes().all(|b| b.is_ascii_hexdigit()) {
            all.push(Pin { file: module.clone(), sha256: hex.to_ascii_lowercase(), span });
        } else {
            errors.push(|| {
                Diagnostic::new(span, format!("`{}` is no digest of a file", elide(text)))
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
        let mut one =
            Settings { rule: rule.clone(), span, level: None, waivable: None, reason: None, values: Vec::new() };
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
                "waivable" => match text.as_str() {
                    "true" => one.waivable = Some(true),
                    "false" => one.waivable = Some(false),
                    _ => errors.push(|| {
                        Diagnostic::new(at, format!("`{}` is neither `true` nor `false`", elide(text)))
                            .help("`waivable: false` lets no plan waive the rule's findings")
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
