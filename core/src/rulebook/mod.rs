//! The rules that apply to the plans of one repository, put together: the built-in modules, what its `lintern.yaml`
//! names, what packs bring, and the settings of all of them in the order in which they count.
//!
//! Later layers count before earlier ones: packs that the repository names, its `lintern.yaml`, packs of the user's own
//! configuration, packs of the command line. Who runs the program has the last word, since a configuration arrives with
//! the plans. A later number or level that is looser than an earlier one counts only with a reason.

mod applied;
mod files;
mod layer;

pub use applied::{AppliedSetting, GivenValue};
pub use layer::Origin;

use crate::check::CheckOptions;
use crate::engine::{Engine, Module, RuleDescription};
use crate::plan::field::Span;
use crate::plan::scalar::Date;
use crate::plan::{Diagnostic, Sources};
use crate::repository::{Pack, Repository};
use crate::settings::{self, Amendment, RuleSettings};
use crate::waivers;
use files::Files;
use layer::Layer;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// The rules of one repository.
#[derive(Debug)]
pub struct Rulebook {
    /// House modules in the order in which they run; the built-in ones run before them.
    pub modules: Vec<HouseModule>,
    /// Settings by rule.
    pub settings: BTreeMap<String, RuleSettings>,
    /// Local amendments.
    pub amendments: Vec<Amendment>,
    /// Packs in the order in which they count.
    pub packs: Vec<Pack>,
    /// The files that were read for it, with their digests.
    pub files: Vec<UsedFile>,
    /// What is wrong. The rest still applies.
    pub problems: Vec<Problem>,
}

/// A module that a repository or a pack brings.
#[derive(Debug)]
pub struct HouseModule {
    /// The module.
    pub module: Module,
    /// Where it comes from.
    pub origin: Origin,
}

/// A file that rules were read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UsedFile {
    /// As it is shown.
    pub name: String,
    /// What it is.
    pub kind: FileKind,
    /// Who names it.
    pub origin: Origin,
    /// SHA-256 in lower-case hex.
    pub sha256: String,
    /// Whether somebody pinned that digest.
    pub pinned: bool,
}

/// What a file of rules is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// A WASM module.
    Module,
    /// Rules in expressions.
    Expressions,
    /// Local amendments.
    Amendments,
}

impl ProblemKind {
    /// The word that outputs use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Config => "config",
            Self::Module => "module",
        }
    }
}

impl FileKind {
    /// The word for it, as the key of a configuration.
    pub fn word(self) -> &'static str {
        match self {
            Self::Module => "modules",
            Self::Expressions => "expressions",
            Self::Amendments => "amendments",
        }
    }
}

/// Something that can't be used.
#[derive(Debug, Clone)]
pub struct Problem {
    /// What it concerns.
    pub kind: ProblemKind,
    /// What is wrong.
    pub diagnostic: Diagnostic,
    /// The files that it speaks of.
    pub sources: Sources,
}

/// What a problem concerns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProblemKind {
    /// A configuration, a pack, a file of expressions or amendments.
    Config,
    /// A rule module.
    Module,
}

/// What every repository shares.
#[derive(Clone, Copy)]
pub struct Shared<'a> {
    /// The engine.
    pub engine: &'a Engine,
    /// The built-in modules.
    pub builtin: &'a [Module],
    /// Packs of the user's configuration and of the command line, in the order in which they count.
    pub packs: &'a [Pack],
}

impl Rulebook {
    /// Puts the rules of a repository together.
    pub fn of(repository: &Repository, shared: Shared<'_>) -> Self {
        let mut book = Self {
            modules: Vec::new(),
            settings: BTreeMap::new(),
            amendments: Vec::new(),
            packs: Vec::new(),
            files: Vec::new(),
            problems: Vec::new(),
        };
        let mut own_packs = book.own_packs(repository);
        book.drop_repeated(&mut own_packs, shared.packs);
        let layers = own_packs
            .iter()
            .map(Layer::of_pack)
            .chain([Layer::of_repository(repository)])
            .chain(shared.packs.iter().map(Layer::of_pack));
        let layers: Vec<Layer<'_>> = layers.collect();
        let mut amendments = Vec::new();
        for layer in &layers {
            let mut files = Files::new(layer, shared, &mut book);
            files.modules();
            files.expressions();
            amendments.extend(files.amendments());
            files.pins();
        }
        let known: Vec<&RuleDescription> = book.known(shared.builtin).collect();
        let given: Vec<_> = layers.iter().map(|layer| (&layer.origin, &layer.rules.settings[..])).collect();
        let (settings, wrong) = settings::resolve(&given, &known);
        let (amended, wrong_amendments) = settings::amendments(&amendments, &known);
        let wrong = wrong.into_iter().map(|(layer, d)| Problem::config(d, layers[layer].sources));
        let wrong_amendments =
            wrong_amendments.into_iter().map(|(file, d)| Problem::config(d, &amendments[file].sources));
        let problems: Vec<Problem> = wrong.chain(wrong_amendments).collect();
        book.problems.extend(problems);
        book.settings = settings;
        book.amendments = amended;
        drop(layers);
        book.packs = own_packs;
        book.packs.extend(shared.packs.iter().cloned());
        book
    }

    /// The modules that run on a plan, the built-in ones first.
    pub fn all<'a>(&'a self, builtin: &'a [Module]) -> Vec<&'a Module> {
        builtin.iter().chain(self.modules.iter().map(|house| &house.module)).collect()
    }

    /// Every rule with the module that it is in, and where that comes from. Rules about waivers are in no module: they
    /// speak of what all the others found.
    pub fn rules<'a>(
        &'a self,
        builtin: &'a [Module],
    ) -> impl Iterator<Item = (Option<&'a Module>, &'a Origin, &'a RuleDescription)> {
        let built_in = builtin.iter().map(|module| (module, &Origin::BuiltIn));
        let house = self.modules.iter().map(|house| (&house.module, &house.origin));
        let in_modules = built_in
            .chain(house)
            .flat_map(|(module, origin)| module.rules().iter().map(move |rule| (Some(module), origin, rule)));
        in_modules.chain(waivers::rules().iter().map(|rule| (None, &Origin::BuiltIn, rule)))
    }

    /// What is asked of the plans of the repository.
    pub fn options(&self, as_of: Date) -> CheckOptions {
        CheckOptions { as_of, settings: self.settings.clone(), amendments: self.amendments.clone() }
    }

    fn known<'a>(&'a self, builtin: &'a [Module]) -> impl Iterator<Item = &'a RuleDescription> {
        self.rules(builtin).map(|(_, _, rule)| rule)
    }

    /// The packs that a repository names, and what is wrong with its configuration or with them.
    fn own_packs(&mut self, repository: &Repository) -> Vec<Pack> {
        let sources = repository.sources();
        self.problems.extend(repository.diagnostics().iter().map(|d| Problem::config(d.clone(), sources)));
        let rules = &repository.config().rules;
        let mut packs = Vec::new();
        for named in &rules.packs {
            let pack = match Pack::read(&named.path, &named.name) {
                Ok(pack) => pack,
                Err(message) => {
                    self.problems.push(Problem::config(Diagnostic::new(named.span, message), sources));
                    continue;
                }
            };
            if let Some(pin) = rules.pins.iter().find(|pin| pin.file == named.name && pin.sha256 != pack.sha256) {
                let message = format!(
                    "pack `{}` is not the pinned one: the SHA-256 of its manifest is {}",
                    named.name, pack.sha256
                );
                let diagnostic = Diagnostic::new(pin.span, message)
                    .help("find out who changed the pack; change the pin only if you trust the new one");
                self.problems.push(Problem::config(diagnostic, sources));
                continue;
            }
            if pack.diagnostics.is_empty() {
                packs.push(pack);
            } else {
                self.problems.extend(pack.diagnostics.iter().map(|d| Problem::config(d.clone(), &pack.sources)));
            }
        }
        packs
    }

    /// A pack that somebody brings a second time is used once, provided that it is the same.
    fn drop_repeated(&mut self, own: &mut Vec<Pack>, outside: &[Pack]) {
        let mut seen: BTreeMap<&str, &Pack> = BTreeMap::new();
        for pack in outside {
            seen.insert(&pack.name, pack);
        }
        let mut names = BTreeSet::new();
        own.retain(|pack| {
            let other = seen.get(pack.name.as_str()).copied();
            let repeated = !names.insert(pack.name.clone());
            if let Some(other) = other.filter(|other| other.sha256 != pack.sha256) {
                self.problems.push(Problem::config(two_of_one_name(pack, other), &pack.sources));
            } else if repeated {
                let message = format!("the repository names two packs `{}`", pack.name);
                let diagnostic = Diagnostic::new(None, message).help("name it once under `rules.packs`");
                self.problems.push(Problem::config(diagnostic, &pack.sources));
            }
            other.is_none() && !repeated
        });
    }
}

fn two_of_one_name(pack: &Pack, other: &Pack) -> Diagnostic {
    Diagnostic::new(
        None,
        format!(
            "pack `{}` is there twice and differs: version {} in {} and version {} in {}",
            pack.name, pack.version, pack.shown, other.version, other.shown
        ),
    )
    .help("the second is used; bring the same version, or name it once")
}

impl Problem {
    /// Of a configuration.
    pub fn config(diagnostic: Diagnostic, sources: &Sources) -> Self {
        Self { kind: ProblemKind::Config, diagnostic, sources: sources.clone() }
    }

    fn module(message: String, span: Option<Span>, sources: &Sources) -> Self {
        Self { kind: ProblemKind::Module, diagnostic: Diagnostic::new(span, message), sources: sources.clone() }
    }
}

/// Reads packs from outside of any repository: of the user's configuration and of the command line, in this order.
pub fn outside_packs<'a>(folders: impl IntoIterator<Item = &'a Path>) -> (Vec<Pack>, Vec<Problem>) {
    let mut packs: Vec<Pack> = Vec::new();
    let mut problems = Vec::new();
    for folder in folders {
        let shown = folder.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/");
        let pack = match Pack::read(folder, &shown) {
            Ok(pack) => pack,
            Err(message) => {
                problems.push(Problem::config(Diagnostic::new(None, message), &Sources::default()));
                continue;
            }
        };
        problems.extend(pack.diagnostics.iter().map(|d| Problem::config(d.clone(), &pack.sources)));
        if !pack.diagnostics.is_empty() {
            continue;
        }
        // The later one counts, as with settings.
        if let Some(index) = packs.iter().position(|other| other.name == pack.name) {
            let earlier = packs.remove(index);
            if earlier.sha256 != pack.sha256 {
                problems.push(Problem::config(two_of_one_name(&earlier, &pack), &pack.sources));
            }
        }
        packs.push(pack);
    }
    (packs, problems)
}
