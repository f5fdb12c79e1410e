//! The user's own configuration: packs that apply to every repository that they check.
//!
//! ```yaml
//! lintern: 1
//! packs: [company-pack, /srv/lighting/county-pack]
//! ```
//!
//! It belongs to the person who runs the program and not to the plans, so that it may name any folder.

use crate::plan::diagnostic::{Diagnostic, Diagnostics, Sources};
use crate::plan::field::Field;
use crate::plan::read::Node;
use crate::plan::{de, yaml};
use schemars::JsonSchema;
use serde::Deserialize;
use std::path::{Path, PathBuf};

/// The version of the format that is read.
const FORMAT: u64 = 1;

/// What the user's configuration says.
#[derive(Debug, Clone, Default)]
pub struct UserConfig {
    /// Folders of packs.
    pub packs: Vec<PathBuf>,
    /// Its text; diagnostics point into it.
    pub sources: Sources,
    /// What is wrong with it.
    pub diagnostics: Vec<Diagnostic>,
}

const PACKS_EXAMPLE: [&str; 1] = ["/srv/lighting/company-pack"];

/// The user's own configuration, for every repository that the user checks.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(default, rename_all = "kebab-case")]
#[schemars(deny_unknown_fields, extend("required" = ["lintern"] as [&str; _]))]
pub(crate) struct UserDoc {
    /// Version of the format: 1.
    #[schemars(range(min = 1, max = 1), example = 1)]
    lintern: Field<u64>,
    /// Folders of packs; relative ones count from the folder of this file.
    #[schemars(example = PACKS_EXAMPLE)]
    packs: Field<Vec<Field<String>>>,
}

impl Node for UserDoc {
    const REQUIRED: &'static [&'static str] = &["lintern"];
}

impl UserConfig {
    /// Reads it. Paths count from its folder.
    pub fn read(file: &Path) -> Self {
        let mut config = Self::default();
        let mut errors = Diagnostics::default();
        let shown = file.to_string_lossy();
        match yaml::read(file) {
            Err(error) => errors.push(|| Diagnostic::new(None, format!("can't read {shown}: {error}"))),
            Ok(bytes) => {
                let tree = yaml::parse(&shown, &bytes, &mut config.sources, &mut errors);
                if let Some(doc) = tree.and_then(|tree| de::read::<UserDoc>(&tree, &mut errors).value) {
                    if let Some(version) = doc.lintern.get().filter(|version| **version != FORMAT) {
                        errors.push(|| {
                            Diagnostic::new(doc.lintern.span, format!("configuration format {version} is not known"))
                                .help(format!("this version reads format {FORMAT}"))
                        });
                    }
                    let folder = file.parent().unwrap_or(Path::new(""));
                    let packs = doc.packs.get().map_or(&[][..], Vec::as_slice);
                    config.packs = packs.iter().filter_map(Field::get).map(|pack| folder.join(pack)).collect();
                }
            }
        }
        config.diagnostics = errors.into_sorted();
        config
    }
}
