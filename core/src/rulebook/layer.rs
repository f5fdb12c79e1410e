//! Who brings rules: the program, a repository, or a pack.

use crate::plan::Sources;
use crate::repository::{CONFIG_FILE, Pack, Pin, Repository, Rules};
use std::fmt;

/// Where a rule, a file or a setting comes from.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Origin {
    /// lintern itself.
    BuiltIn,
    /// The `lintern.yaml` of the repository.
    Repository,
    /// A pack.
    Pack {
        /// Its name.
        name: String,
        /// Its version.
        version: String,
    },
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BuiltIn => f.write_str("built-in"),
            Self::Repository => f.write_str(CONFIG_FILE),
            Self::Pack { name, version } => write!(f, "pack {name} {version}"),
        }
    }
}

/// One configuration or pack with what it brings.
pub(super) struct Layer<'a> {
    pub(super) origin: Origin,
    pub(super) rules: &'a Rules,
    /// Shown before the name of a file.
    prefix: Option<&'a Pack>,
    pub(super) digests: Digests<'a>,
    pub(super) sources: &'a Sources,
}

/// What files must be.
pub(super) enum Digests<'a> {
    /// Some are pinned.
    Some(&'a [Pin]),
    /// All have a digest.
    All(&'a [Pin]),
}

impl<'a> Layer<'a> {
    pub(super) fn of_repository(repository: &'a Repository) -> Self {
        let rules = &repository.config().rules;
        Self {
            origin: Origin::Repository,
            rules,
            prefix: None,
            digests: Digests::Some(&rules.pins),
            sources: repository.sources(),
        }
    }

    pub(super) fn of_pack(pack: &'a Pack) -> Self {
        Self {
            origin: Origin::Pack { name: pack.name.clone(), version: pack.version.clone() },
            rules: &pack.rules,
            prefix: Some(pack),
            digests: Digests::All(&pack.digests),
            sources: &pack.sources,
        }
    }

    /// How a file of it is shown.
    pub(super) fn shown(&self, name: &str) -> String {
        self.prefix.map_or_else(|| name.to_owned(), |pack| pack.file(name))
    }
}

impl<'a> Digests<'a> {
    pub(super) fn pins(&self) -> &'a [Pin] {
        match self {
            Self::Some(pins) | Self::All(pins) => pins,
        }
    }
}
