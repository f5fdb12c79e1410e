//! The baseline of a plan repository: findings that were there on a day and are let be until their inputs change.

use super::document::{Baseline, Cured, Plan, Standing};
use lintern_core::finding::{Level, Measure};
use lintern_core::identity::without_places;
use lintern_core::plan::{Diagnostic, read_plain};
use lintern_core::repository::{Repository, sha256_hex};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Its file, at the root of the plan repository.
pub const FILE: &str = "lintern-baseline.json";

/// The version of the format.
const FORMAT: u32 = 1;

/// Largest file that is read.
const MOST_BYTES: u64 = 256 << 20;

/// A baseline as its file has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Recorded {
    /// [`FORMAT`].
    pub lintern_baseline: u32,
    /// The version of the program that wrote it.
    pub version: String,
    /// The day that the plans were judged as of.
    pub as_of: String,
    /// The findings, by plan, rule and element.
    pub findings: Vec<Entry>,
}

/// A finding that is let be.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Entry {
    /// The plan, relative to the repository.
    pub file: String,
    /// Id of the rule.
    pub rule: String,
    /// Id of the element.
    pub subject: String,
    /// Route of the field, places in lists left open.
    pub field: String,
    /// The consequence.
    pub level: Level,
    /// What was measured.
    pub measured: Option<Measure>,
    /// Digest of the inputs.
    pub inputs: String,
}

impl Recorded {
    /// An empty one.
    pub fn new(as_of: String) -> Self {
        Self { lintern_baseline: FORMAT, version: env!("CARGO_PKG_VERSION").to_owned(), as_of, findings: Vec::new() }
    }

    /// Records the findings of a plan that count.
    pub fn record(&mut self, plan: &Plan) {
        for finding in plan.findings.iter().filter(|finding| finding.standing() != Standing::Waived) {
            self.findings.push(Entry {
                file: plan.file.clone(),
                rule: finding.rule.clone(),
                subject: finding.subject.clone(),
                field: without_places(&finding.field),
                level: finding.level,
                measured: finding.measured.clone(),
                inputs: finding.inputs.clone(),
            });
        }
    }

    /// Its text. Sorted, so that two versions of the file can be compared.
    pub fn text(mut self) -> String {
        self.findings.sort_by(|a, b| {
            let key =
                |e: &Entry| (e.file.clone(), e.rule.clone(), e.subject.clone(), e.field.clone(), e.inputs.clone());
            key(a).cmp(&key(b))
        });
        crate::output::pretty(&self)
    }
}

/// A baseline that applies.
#[derive(Debug, Clone)]
pub struct InForce {
    /// What it says.
    pub recorded: Recorded,
    /// SHA-256 of its file.
    pub sha256: String,
    /// Indices of its entries by plan.
    by_file: BTreeMap<String, Vec<usize>>,
}

/// Reads the baseline of a repository, where it has one.
pub fn read(repository: &Repository) -> Result<Option<InForce>, Diagnostic> {
    let wrong = |what: String| {
        Diagnostic::new(None, format!("the baseline {FILE} {what}"))
            .help("`lintern baseline` writes it anew; `--no-baseline` checks without it")
    };
    let path = repository.root().join(FILE);
    if std::fs::symlink_metadata(&path).is_err() {
        return Ok(None);
    }
    let path =
        repository.inside(repository.root(), FILE).map_err(|refusal| wrong(format!("can't be read: {refusal}")))?;
    let bytes = read_plain(&path, MOST_BYTES).map_err(|error| wrong(format!("can't be read: {error}")))?;
    let recorded: Recorded = serde_json::from_slice(&bytes).map_err(|error| wrong(format!("is none: {error}")))?;
    if recorded.lintern_baseline != FORMAT {
        return Err(wrong(format!("has format {}; this version reads {FORMAT}", recorded.lintern_baseline)));
    }
    let mut by_file: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (index, entry) in recorded.findings.iter().enumerate() {
        by_file.entry(entry.file.clone()).or_default().push(index);
    }
    Ok(Some(InForce { sha256: sha256_hex(&bytes), recorded, by_file }))
}

fn key(rule: &str, subject: &str, field: &str) -> String {
    format!("{rule}\0{subject}\0{field}")
}

impl InForce {
    /// Plans that it has findings of and that are no longer there.
    pub fn gone(&self, repository: &Repository) -> Vec<String> {
        let there = |file: &str| repository.inside(repository.root(), file).is_ok();
        self.by_file.keys().filter(|file| !there(file)).cloned().collect()
    }

    /// Says of each finding of a plan what the baseline has, and which of its findings are gone.
    pub fn compare(&self, plan: &mut Plan) {
        let mut left: BTreeMap<String, Vec<&Entry>> = BTreeMap::new();
        for index in self.by_file.get(&plan.file).into_iter().flatten() {
            let entry = &self.recorded.findings[*index];
            left.entry(key(&entry.rule, &entry.subject, &entry.field)).or_default().push(entry);
        }
        // Same inputs first, so that of several findings at one place the right ones are known again.
        for same_inputs in [true, false] {
            for finding in plan.findings.iter_mut().filter(|finding| finding.baseline.is_none()) {
                let key = key(&finding.rule, &finding.subject, &without_places(&finding.field));
                let Some(entries) = left.get_mut(&key) else { continue };
                let Some(at) = entries.iter().position(|entry| !same_inputs || entry.inputs == finding.inputs) else {
                    continue;
                };
                let entry = entries.remove(at);
                finding.baseline = Some(match same_inputs {
                    true => Baseline::Known,
                    false => Baseline::Reopened { was: entry.measured.clone() },
                });
            }
        }
        let cured = left.into_values().flatten().map(|entry| {
            let verdict = plan.verdicts.get(&entry.rule);
            Cured {
                rule: entry.rule.clone(),
                subject: entry.subject.clone(),
                field: entry.field.clone(),
                was: entry.measured.clone(),
                sure: verdict.is_some_and(|verdict| verdict.verdict.undetermined == 0),
            }
        });
        plan.cured = cured.collect();
    }
}
