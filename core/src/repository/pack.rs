//! A pack: a company's bundle of modules, expressions, amendments and settings in one folder, with a manifest.
//!
//! ```yaml
//! pack: 1
//! name: fernhollow-lighting
//! version: 1.2.0
//! rules:
//!   modules: [modules/*.wasm]
//!   expressions: [*.rules.yaml]
//!   settings:
//!     voltage/excess-drop: { limit: 3 %, reason: "standard 4.2" }
//! digests:
//!   modules/pathways.wasm: sha256:…
//! ```
//!
//! Every file that it uses has its digest in the manifest, so that the digest of the manifest stands for the pack.

use super::rules::{self, Pin, Rules, RulesDoc};
use super::{Confined, sha256_hex};
use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::field::{Field, Span};
use crate::plan::read::{Map, Node};
use crate::plan::{de, elide, yaml};
use schemars::JsonSchema;
use serde::Deserialize;
use std::path::Path;

/// Name of the manifest in the folder of a pack.
pub const MANIFEST: &str = "pack.yaml";

/// The version of the format that is read.
const FORMAT: u64 = 1;

/// Longest name or version.
const LONGEST: usize = 60;

/// A pack with its manifest read.
#[derive(Debug, Clone)]
pub struct Pack {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
    /// What it is, in a sentence.
    pub about: Option<String>,
    /// Its folder, as it is shown.
    pub shown: String,
    /// Its folder.
    pub folder: Confined,
    /// SHA-256 of its manifest in lower-case hex.
    pub sha256: String,
    /// What it brings.
    pub rules: Rules,
    /// Digests of its files.
    pub digests: Vec<Pin>,
    /// The text of its manifest; spans and diagnostics point into it.
    pub sources: Sources,
    /// What is wrong with its manifest. Nothing of a wrong pack is used.
    pub diagnostics: Vec<Diagnostic>,
}

/// The manifest of a pack, `pack.yaml` in its folder.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, rename_all = "kebab-case")]
#[schemars(deny_unknown_fields, extend("required" = ["pack", "name", "version", "rules"] as [&str; _]))]
pub(crate) struct PackDoc {
    /// Version of the format: 1.
    #[schemars(range(min = 1, max = 1), example = 1)]
    pack: Field<u64>,
    /// Name of the pack: small letters, digits and `-`.
    #[schemars(length(max = LONGEST), regex(pattern = "^[a-z0-9-]+$"), example = &"fernhollow-lighting")]
    name: Field<String>,
    /// Version of the pack.
    #[schemars(schema_with = "rules::plain_schema", example = &"1.2.0")]
    version: Field<String>,
    /// What it is, in a sentence.
    #[schemars(example = &"What our crews ask for")]
    about: Field<String>,
    /// What it brings. A pack has neither `packs` nor `pins`.
    rules: Field<RulesDoc>,
    /// The digest of every file that it uses, by file; written by `lintern rule pin`.
    #[schemars(schema_with = "rules::digests_schema")]
    digests: Field<Map<String>>,
}

impl Node for PackDoc {
    const REQUIRED: &'static [&'static str] = &["pack", "name", "version", "rules"];
}

impl Pack {
    /// Reads the manifest of the pack in a folder that is shown under a name.
    pub fn read(folder: &Path, shown: &str) -> Result<Self, String> {
        let folder = Confined::at(folder).map_err(|error| format!("can't open pack {shown}: {error}"))?;
        let unreadable = |why: String| format!("can't read the manifest {MANIFEST} of pack {shown}: {why}");
        let manifest = folder.inside(folder.root(), MANIFEST).map_err(|refusal| unreadable(refusal.to_string()))?;
        let bytes = yaml::read(&manifest).map_err(|error| unreadable(error.to_string()))?;
        let mut errors = Diagnostics::default();
        let mut pack = Self {
            name: String::new(),
            version: String::new(),
            about: None,
            shown: shown.to_owned(),
            folder,
            sha256: sha256_hex(&bytes),
            rules: Rules::default(),
            digests: Vec::new(),
            sources: Sources::default(),
            diagnostics: Vec::new(),
        };
        let name = pack.file(MANIFEST);
        let tree = yaml::parse(&name, &bytes, &mut pack.sources, &mut errors);
        if let Some(doc) = tree.and_then(|tree| de::read::<PackDoc>(&tree, &mut errors).value) {
            pack.take(&doc, &mut errors);
        }
        pack.diagnostics = errors.into_sorted();
        Ok(pack)
    }

    /// How a file of the pack is shown.
    pub fn file(&self, name: &str) -> String {
        match self.shown.as_str() {
            "" | "." => name.to_owned(),
            shown => format!("{shown}/{name}"),
        }
    }

    fn take(&mut self, doc: &PackDoc, errors: &mut Diagnostics) {
        if let Some(version) = doc.pack.get().filter(|version| **version != FORMAT) {
            errors.push(|| {
                Diagnostic::new(doc.pack.span, format!("format {version} of packs is not known"))
                    .help(format!("this version reads format {FORMAT}"))
            });
        }
        let mut text = |field: &Field<String>, fits: fn(char) -> bool, help: &'static str| {
            let text = field.cloned().unwrap_or_default();
            if field.get().is_some() && (text.is_empty() || text.len() > LONGEST || !text.chars().all(fits)) {
                errors
                    .push(|| Diagnostic::new(field.span, format!("`{}` is not allowed here", elide(&text))).help(help));
            }
            text
        };
        let small = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        self.name = text(&doc.name, small, "a name has small letters, digits and `-`, like `fernhollow-lighting`");
        let of_version = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '+');
        self.version = text(&doc.version, of_version, "a version has letters, digits, `.`, `-` and `+`, like `1.2.0`");
        self.about = doc.about.cloned();
        let Some(given) = doc.rules.get() else { return };
        let refuse = |span: Option<Span>, what: &str, help: &str, errors: &mut Diagnostics| {
            errors.push(|| Diagnostic::new(span, format!("a pack has no `{what}`")).help(help));
        };
        if given.packs.span.is_some() {
            refuse(given.packs.span, "packs", "name the other pack where this one is named", errors);
        }
        if given.pins.span.is_some() {
            refuse(given.pins.span, "pins", "digests of its files stand under `digests`, beside `rules`", errors);
        }
        self.rules = rules::check(given, &self.folder, errors);
        self.digests = rules::pins(&doc.digests, errors);
    }
}
