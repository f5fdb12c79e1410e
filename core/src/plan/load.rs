//! A plan file and its shared schedules to everything that is known of them: [`load`].

use super::diagnostic::{Diagnostic, Diagnostics, Sources};
use super::field::{Field, Span};
use super::locate::{ElementKind, Index};
use super::model::{List, PlanDoc, ScheduleFile, WaiverDoc};
use super::scalar::Date;
use super::yaml::{self, NodeId, Tree, elide};
use super::{de, resolve};
use crate::layout::{Catalogue, Layout};
use crate::repository::{Repository, sha256_hex};
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

/// The version of the plan format that is read.
pub const PLAN_FORMAT: u64 = 1;

/// A plan that has been read, whether or not it was in order.
#[derive(Debug, Clone)]
pub struct Loaded {
    /// Path of the plan relative to its repository, with `/`.
    pub file: String,
    /// SHA-256 of the plan file's bytes in lower-case hex; empty when the file can't be read.
    pub sha256: String,
    /// The plan, then its shared schedules; spans point into these.
    pub sources: Sources,
    /// The plan resolved; `Some` exactly when there are no diagnostics.
    pub layout: Option<Layout>,
    /// The types that the plan's schedules offer, installed or not; empty where there is no layout.
    pub catalogue: Catalogue,
    /// Findings that have been accepted. Those of a plan with errors may be incomplete.
    pub waivers: Vec<Waiver>,
    /// What is wrong, in the order of files and places.
    pub diagnostics: Vec<Diagnostic>,
    /// The plan's tree and those of its shared schedules.
    trees: Vec<Tree>,
    index: OnceLock<Index>,
}

/// A finding that has been accepted.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiver {
    /// Its place in the list of the plan, from 0.
    pub index: usize,
    /// Id of the rule.
    pub rule: String,
    /// Id of the element; empty for the plan as a whole.
    pub subject: String,
    /// Why it is accepted.
    pub reason: Option<String>,
    /// Who has accepted it.
    pub approved_by: Option<String>,
    /// The day it was accepted.
    pub on: Option<Date>,
    /// The last day it holds.
    pub until: Option<Date>,
    /// Where its rule stands in the plan.
    pub span: Span,
}

/// Reads a plan of a repository. Never fails: what is wrong is in [`Loaded::diagnostics`].
pub fn load(repository: &Repository, path: &Path) -> Loaded {
    match yaml::read(path) {
        Ok(bytes) => load_text(repository, path, &bytes),
        Err(error) => {
            let file = repository.relative(path);
            let problem = Diagnostic::new(None, format!("can't read {file}: {error}"));
            Loaded { diagnostics: vec![problem], ..Loaded::nothing(file) }
        }
    }
}

/// Reads a plan from its text as if it stood at `path` in the repository: a plan that is not written yet.
pub fn load_text(repository: &Repository, path: &Path, bytes: &[u8]) -> Loaded {
    let mut loaded = Loaded { sha256: sha256_hex(bytes), ..Loaded::nothing(repository.relative(path)) };
    let mut errors = Diagnostics::default();
    if let Some(tree) = yaml::parse(&loaded.file, bytes, &mut loaded.sources, &mut errors) {
        loaded.read(tree, repository, path, &mut errors);
    }
    loaded.diagnostics = errors.into_sorted();
    loaded
}

/// The tree of a text that is no file yet; `None` where it is not YAML.
pub(crate) fn parse_tree(file: &str, text: &str) -> Option<Tree> {
    let (mut sources, mut errors) = (Sources::default(), Diagnostics::default());
    let tree = yaml::parse(file, text.as_bytes(), &mut sources, &mut errors)?;
    errors.is_empty().then_some(tree)
}

impl Loaded {
    fn nothing(file: String) -> Self {
        Self {
            file,
            sha256: String::new(),
            sources: Sources::default(),
            layout: None,
            catalogue: Catalogue::default(),
            waivers: Vec::new(),
            diagnostics: Vec::new(),
            trees: Vec::new(),
            index: OnceLock::new(),
        }
    }

    /// The plan as written, read again from its tree: few look into it, and it takes more memory than the layout. `None`
    /// when it is no YAML document.
    pub fn doc(&self) -> Option<PlanDoc> {
        de::read(self.tree()?, &mut Diagnostics::default()).value
    }

    /// The document of the plan itself; `None` when it is no YAML document.
    pub(crate) fn tree(&self) -> Option<&Tree> {
        self.trees.first()
    }

    fn read(&mut self, tree: Tree, repository: &Repository, path: &Path, errors: &mut Diagnostics) {
        let plan = de::read::<PlanDoc>(&tree, errors);
        self.trees.push(tree);
        let Some(plan) = plan.value else { return };
        if let Some(version) = plan.plan.get().filter(|v| **v != PLAN_FORMAT) {
            errors.push(|| {
                Diagnostic::new(plan.plan.span, format!("plan format {version} is not known"))
                    .help(format!("this version reads format {PLAN_FORMAT}"))
            });
        }
        let (schedules, complete) = self.shared(&plan.r#use, repository, path, errors);
        let shared: Vec<_> = schedules.iter().filter_map(|file| file.schedule.get()).collect();
        if let Some((layout, catalogue)) = resolve::resolve(&plan, &shared, !complete, errors) {
            (self.layout, self.catalogue) = (Some(layout), catalogue);
        }
        self.waivers = waivers(&plan.waivers);
    }

    /// Reads the shared schedules of a `use` list; also whether all of them could be read.
    fn shared(
        &mut self,
        list: &List<String>,
        repository: &Repository,
        plan: &Path,
        errors: &mut Diagnostics,
    ) -> (Vec<ScheduleFile>, bool) {
        let folder = plan.parent().unwrap_or(Path::new(""));
        let mut seen: Vec<(PathBuf, Span)> = Vec::new();
        let mut schedules = Vec::new();
        let mut wanted = 0;
        for item in list.get().map_or(&[][..], Vec::as_slice) {
            wanted += 1;
            let (Some(text), Some(span)) = (item.get(), item.span) else { continue };
            let found = match repository.inside(folder, text) {
                Ok(found) => found,
                Err(refusal) => {
                    errors.push(|| Diagnostic::new(span, refusal.to_string()).help(refusal.help()));
                    continue;
                }
            };
            if let Some((_, first)) = seen.iter().find(|(path, _)| *path == found) {
                wanted -= 1;
                errors.push(|| {
                    Diagnostic::new(span, "this schedule is named twice")
                        .also(*first, "first here")
                        .help("remove one of them")
                });
                continue;
            }
            seen.push((found.clone(), span));
            let bytes = match repository.read(&found) {
                Ok(bytes) => bytes,
                Err(error) => {
                    errors.push(|| Diagnostic::new(span, format!("can't read `{}`: {error}", elide(text))));
                    continue;
                }
            };
            let name = repository.relative(&found);
            let Some(tree) = yaml::parse(&name, &bytes, &mut self.sources, errors) else { continue };
            if let Some(key) = tree.entries(tree.root()).iter().find(|e| tree.scalar(e.key) == "plan") {
                errors.push(|| {
                    Diagnostic::new(span, format!("`{}` is a plan, not a shared schedule", elide(text)))
                        .also(tree.span(key.key), "its `plan` key")
                });
                continue;
            }
            if let Some(key) = tree.entries(tree.root()).iter().find(|e| tree.scalar(e.key) == "use") {
                errors.push(|| {
                    Diagnostic::new(tree.span(key.key), "a shared schedule can't use other schedules")
                        .help("name them all in the plan's `use`")
                });
                continue;
            }
            schedules
                .extend(de::read::<ScheduleFile>(&tree, errors).value.filter(|file| file.schedule.get().is_some()));
            self.trees.push(tree);
        }
        let complete = schedules.len() == wanted && (list.is_absent() || list.get().is_some());
        (schedules, complete)
    }

    /// Where a field of an element stands. `subject` is an id, or empty for the plan as a whole, whose fields
    /// start at the root of the file. `field` is a route such as `cover`, `feed.breaker`, `route.0` or
    /// `covers.1.cover`; `type.input.min`, `cable.conductor`, `splice.resistance` and `covers.0.zone.kind` lead
    /// through the reference, maybe into another file; `readings.taken.3.volts` starts at the root for every subject. Where the plan leaves the field out, the place is the
    /// nearest one above it; the element itself is shown by its id. `None` only for a subject that is unknown.
    pub fn locate(&self, subject: &str, field: &str) -> Option<Span> {
        self.index().locate(&self.trees, subject, field)
    }

    /// The plan's tree, then those of its shared schedules.
    pub(crate) fn trees(&self) -> &[Tree] {
        &self.trees
    }

    /// What an id of the plan names; `None` for an unknown id.
    pub fn element_kind(&self, subject: &str) -> Option<ElementKind> {
        self.index().kind(subject)
    }

    /// The node of an element in the plan's tree.
    pub(crate) fn element(&self, subject: &str) -> Option<(ElementKind, NodeId)> {
        self.index().element(subject)
    }

    /// The type that a key of an element refers to: the tree and the node of its entry.
    pub(crate) fn referred(&self, kind: ElementKind, key: &str, name: &str) -> Option<(usize, NodeId)> {
        self.index().referred(kind, key, name)
    }

    fn index(&self) -> &Index {
        self.index.get_or_init(|| Index::new(&self.trees))
    }
}

fn waivers(list: &List<WaiverDoc>) -> Vec<Waiver> {
    let waiver = |(index, doc): (usize, &Field<WaiverDoc>)| {
        let doc = doc.get()?;
        Some(Waiver {
            index,
            rule: doc.rule.cloned()?,
            // A subject that is wrong must not widen the waiver to the whole plan.
            subject: match (doc.subject.get(), doc.subject.span) {
                (Some(id), _) => id.0.clone(),
                (None, None) => String::new(),
                (None, Some(_)) => return None,
            },
            reason: doc.reason.cloned(),
            approved_by: doc.approved_by.cloned(),
            on: doc.on.cloned(),
            until: doc.until.cloned(),
            span: doc.rule.span?,
        })
    };
    list.get().map_or(&[][..], Vec::as_slice).iter().enumerate().filter_map(waiver).collect()
}

#[cfg(test)]
mod tests;
