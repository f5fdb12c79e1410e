//! What a result rests on: with the same files, modules, options and version, a check gives the same bytes again.

use crate::args::FailOn;
use crate::report::document::joined;
use crate::report::{Document, Plan};
use lintern_core::finding::Level;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};

/// Inputs of a run, by digest.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Seal {
    /// The version of lintern.
    pub version: String,
    /// The day on which tickets, amendments and waivers were judged.
    pub as_of: String,
    /// What was checked, relative to the root of version control, `.` for itself.
    pub paths: Vec<String>,
    /// How it was checked.
    pub options: Options,
    /// Which part of the run this is, like `2/4`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shard: Option<String>,
    /// The revision since which plans were looked at; the others were left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub changed_since: Option<String>,
    /// The built-in modules.
    pub modules: Vec<Digest>,
    /// Packs of the command line and of the user's configuration: the digests of their manifests.
    pub packs: Vec<Digest>,
    /// The plan repositories.
    pub repositories: Vec<RepositoryDigests>,
}

/// How plans were checked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Options {
    /// Findings below this level are left out.
    pub show: Level,
    /// From which level on findings change the exit code.
    pub fail_on: FailOn,
    /// Whether waivers and baselines were ignored.
    pub as_reviewer: bool,
    /// Whether baselines were used.
    pub baseline: bool,
    /// Whether cures were looked for.
    pub remedies: bool,
    /// Whether all margins are told.
    pub margins: bool,
    /// What passes by no more than this share of its limit is listed, %.
    pub near_miss_percent: Option<f64>,
    /// Whether data that no rule reads was looked for.
    pub coverage: bool,
}

/// A file with its digest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Digest {
    /// Its name.
    pub name: String,
    /// SHA-256 in lower-case hex.
    pub sha256: String,
}

/// What a plan repository brings besides its plans.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RepositoryDigests {
    /// Its folder, relative to the root of version control; empty where they are one.
    pub folder: String,
    /// Its `lintern.yaml`.
    pub configuration: Option<String>,
    /// Its baseline.
    pub baseline: Option<BaselineUse>,
    /// Packs that it names: the digests of their manifests.
    pub packs: Vec<Digest>,
    /// Modules, expressions and amendments.
    pub files: Vec<Digest>,
}

/// The baseline of a plan repository.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct BaselineUse {
    /// SHA-256 of its file.
    pub sha256: String,
    /// The day that it was recorded for.
    pub as_of: String,
    /// The findings that it has.
    pub findings: usize,
    /// Plans that it has findings of and that are no longer there.
    pub gone: Vec<String>,
}

/// What a report rests on, as far as its format tells.
#[derive(Debug, Clone, PartialEq)]
pub struct Rests {
    /// The inputs of the run.
    pub seal: Seal,
    /// Digests of plans and schedules by path; `None` where the format does not have them.
    pub files: Option<Digests>,
}

/// Digests by name.
pub type Digests = BTreeMap<String, String>;

impl Rests {
    /// Of a document.
    pub fn of(document: &Document) -> Self {
        let schedules = |plan: &Plan| {
            let folder = plan.repository.clone();
            plan.schedules.iter().map(move |s| (joined(&folder, &s.file), s.sha256.clone())).collect::<Vec<_>>()
        };
        let plans = document.plans.iter().map(|plan| (plan.path(), plan.sha256.clone()));
        let files = plans.chain(document.plans.iter().flat_map(schedules)).collect();
        Self { seal: document.seal.clone(), files: Some(files) }
    }

    /// What has changed since, in sentences.
    pub fn differences(&self, now: &Self) -> Vec<String> {
        let mut told = Vec::new();
        let (then, new) = (&self.seal, &now.seal);
        differ(&mut told, "the version of lintern", Some(&then.version), Some(&new.version));
        each(&mut told, "built-in module ", &digests(&then.modules), &digests(&new.modules));
        each(&mut told, "pack ", &digests(&then.packs), &digests(&new.packs));
        each(&mut told, "", &of_repositories(then), &of_repositories(new));
        if let (Some(then), Some(now)) = (&self.files, &now.files) {
            each(&mut told, "", then, now);
        }
        if then.changed_since != new.changed_since {
            told.push("the plans were chosen by changes since another revision".to_owned());
        }
        told
    }
}

fn differ(told: &mut Vec<String>, what: &str, then: Option<&String>, now: Option<&String>) {
    match (then, now) {
        (Some(then), Some(now)) if then != now => told.push(format!("{what} has changed: {then} then, {now} now")),
        (Some(then), None) => told.push(format!("{what} is no longer there or no longer used ({then} then)")),
        (None, Some(now)) => told.push(format!("{what} was not there or not used then ({now} now)")),
        _ => {}
    }
}

fn each(told: &mut Vec<String>, what: &str, then: &Digests, now: &Digests) {
    let names: BTreeSet<&String> = then.keys().chain(now.keys()).collect();
    for name in names {
        differ(told, &format!("{what}{name}"), then.get(name), now.get(name));
    }
}

fn digests(list: &[Digest]) -> Digests {
    list.iter().map(|digest| (digest.name.clone(), digest.sha256.clone())).collect()
}

fn of_repositories(seal: &Seal) -> Digests {
    let mut all = Digests::new();
    for repository in &seal.repositories {
        let name = |file: &str| joined(&repository.folder, file);
        if let Some(sha256) = &repository.configuration {
            all.insert(name(lintern_core::repository::CONFIG_FILE), sha256.clone());
        }
        if let Some(baseline) = &repository.baseline {
            all.insert(name(super::baseline::FILE), baseline.sha256.clone());
        }
        for digest in repository.packs.iter().chain(&repository.files) {
            all.insert(name(&digest.name), digest.sha256.clone());
        }
    }
    all
}
