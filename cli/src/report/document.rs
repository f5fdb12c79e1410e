//! The document of a check: the JSON output, version 1.

use super::seal::Seal;
use lintern_core::finding::{self, Basis, Level, Measure, WorkLine};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;

/// The version of the format.
pub const FORMAT: u32 = 1;

/// Everything that one check found.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Document {
    /// [`FORMAT`].
    pub format: u32,
    /// The program.
    pub tool: Tool,
    /// The day on which tickets, amendments and waivers were judged.
    pub as_of: String,
    /// One entry a plan, by repository and file.
    pub plans: Vec<Plan>,
    /// Errors that concern no single plan.
    pub errors: Vec<Failure>,
    /// Data that no rule reads, by repository, where it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub coverage: Option<Vec<RepositoryCoverage>>,
    /// The rules that found something.
    pub rules: BTreeMap<String, Rule>,
    /// What the result rests on, so that it can be reproduced.
    pub seal: Seal,
    /// The counts.
    pub summary: Summary,
    /// Ends every output.
    pub caution: String,
}

/// Data of one repository that no rule reads.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RepositoryCoverage {
    /// The folder of the plan repository.
    pub repository: String,
    /// What was found.
    #[serde(flatten)]
    pub coverage: Value,
    /// What a terminal shows of it.
    #[serde(default, skip)]
    pub terminal: Option<String>,
}

/// The program that wrote a document.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tool {
    /// Its name.
    pub name: String,
    /// Its version.
    pub version: String,
}

impl Tool {
    /// This program.
    pub fn this() -> Self {
        Self { name: "lintern".to_owned(), version: env!("CARGO_PKG_VERSION").to_owned() }
    }
}

/// A rule as readers of findings want it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rule {
    /// What is wrong when it finds something.
    pub title: String,
    /// Level of its findings, unless a finding says otherwise.
    pub level: Level,
    /// Whether plans may waive its findings.
    pub waivable: bool,
    /// Its page; only in the parts of a run, where it is needed to put them together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub page: Option<String>,
}

/// The result for one plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Plan {
    /// Its file, relative to the plan repository.
    pub file: String,
    /// The folder of the plan repository, relative to the root of version control; empty where they are one.
    pub repository: String,
    /// Its project: name, code and authority, as far as it says them.
    pub project: Option<String>,
    /// SHA-256 of the file.
    pub sha256: String,
    /// The shared schedules that it uses.
    pub schedules: Vec<Schedule>,
    /// What was assumed.
    pub assumptions: Vec<String>,
    /// Findings by position.
    pub findings: Vec<Finding>,
    /// Verdicts by rule.
    pub verdicts: BTreeMap<String, Verdict>,
    /// All margins, where they were asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub margins: Option<Value>,
    /// What passes narrowly, where it was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub near_misses: Option<Value>,
    /// Margins whose critical length the work allowed for one plan left out.
    pub critical_lengths_left_out: usize,
    /// Findings for which the search for a cure was stopped; null where none was looked for.
    pub remedies_left_out: Option<usize>,
    /// What could not be done.
    pub errors: Vec<Failure>,
    /// What the baseline has and is gone.
    pub cured: Vec<Cured>,
    /// What a terminal shows of it; only in the parts of a run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terminal: Option<String>,
}

impl Failure {
    /// Where it is, relative to the root of version control.
    pub fn path(&self) -> Option<String> {
        let file = self.span.as_ref().map(|span| &span.file).or(self.file.as_ref())?;
        Some(joined(self.repository.as_deref().unwrap_or(""), file))
    }

    /// The same with line and column, where they are known.
    pub fn place(&self) -> Option<String> {
        let path = self.path()?;
        Some(match &self.span {
            Some(span) => format!("{path}:{}:{}", span.line, span.column),
            None => path,
        })
    }
}

impl Plan {
    /// Its file relative to the root of version control.
    pub fn path(&self) -> String {
        joined(&self.repository, &self.file)
    }
}

/// A file below a folder that may be the root.
pub fn joined(folder: &str, file: &str) -> String {
    if folder.is_empty() { file.to_owned() } else { format!("{folder}/{file}") }
}

/// A shared schedule.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Schedule {
    /// Its file, relative to the plan repository.
    pub file: String,
    /// SHA-256 of the file.
    pub sha256: String,
}

/// A finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Finding {
    /// Id of the rule.
    pub rule: String,
    /// The consequence.
    pub level: Level,
    /// Id of the element; empty for the plan as a whole.
    pub subject: String,
    /// Other elements that matter.
    pub related: Vec<String>,
    /// Route of the field at fault.
    pub field: String,
    /// What is wrong.
    pub message: String,
    /// The value at fault.
    pub measured: Option<Measure>,
    /// The limit that it breaks.
    pub limit: Option<Measure>,
    /// The arithmetic.
    pub work: Vec<WorkLine>,
    /// The authority behind it.
    pub basis: Basis,
    /// What to do.
    pub help: String,
    /// The smallest cure that was found.
    pub remedy: Option<Value>,
    /// Where it is.
    pub span: Option<Span>,
    /// Reason of the waiver that covers it.
    pub waived: Option<String>,
    /// The rest of that waiver.
    pub waiver: Option<Acceptance>,
    /// What the baseline says of it; null where it has nothing.
    pub baseline: Option<Baseline>,
    /// The same in every run, whatever moves in the file.
    pub fingerprint: String,
    /// Digest of the inputs that it rests on.
    pub inputs: String,
    /// By how much it fails.
    pub margin: Option<Value>,
}

impl Finding {
    /// Whether it counts, and why not.
    pub fn standing(&self) -> Standing {
        match (&self.waived, &self.baseline) {
            (Some(_), _) => Standing::Waived,
            (None, Some(Baseline::Known)) => Standing::Known,
            (None, Some(Baseline::Reopened { .. }) | None) => Standing::Open,
        }
    }
}

/// Whether a finding counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It counts.
    Open,
    /// A waiver covers it.
    Waived,
    /// The baseline has it, and its inputs are the same.
    Known,
}

/// Who accepted a finding, and for how long; the reason stands beside it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Acceptance {
    /// Who accepted it.
    pub approved_by: Option<String>,
    /// The day it was accepted.
    pub on: Option<String>,
    /// The last day that it holds.
    pub until: Option<String>,
}

/// What the baseline says of a finding that it has.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "state")]
pub enum Baseline {
    /// It is recorded, and its inputs are the same.
    Known,
    /// It is recorded, but its inputs have changed since.
    Reopened {
        /// What was measured then.
        was: Option<Measure>,
    },
}

/// A finding that the baseline has and the check no longer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Cured {
    /// Id of the rule.
    pub rule: String,
    /// Id of the element.
    pub subject: String,
    /// Route of the field.
    pub field: String,
    /// What was measured then.
    pub was: Option<Measure>,
    /// Whether the rule judged it this time; if not, nobody can say that it is cured.
    pub sure: bool,
}

/// A verdict.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Verdict {
    /// Of the rule.
    #[serde(flatten)]
    pub verdict: finding::Verdict,
    /// The tightest number that passes.
    pub tightest: Option<Kept>,
}

/// Data of the document that nothing looks into but some output, kept as compact JSON: as a tree it would take most of
/// the memory of a large repository.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept(Box<str>);

impl Kept {
    /// What serializes to JSON.
    pub fn of(data: &impl Serialize) -> Self {
        Self(serde_json::to_string(data).unwrap_or_else(|_| "null".to_owned()).into())
    }

    /// The data.
    pub fn value(&self) -> Value {
        serde_json::from_str(&self.0).unwrap_or(Value::Null)
    }
}

impl Serialize for Kept {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.value().serialize(serializer)
    }
}

impl<'de> Deserialize<'de> for Kept {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Ok(Self::of(&Value::deserialize(deserializer)?))
    }
}

/// Something that could not be done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Failure {
    /// `plan`, `module` or `config`.
    pub kind: String,
    /// What is wrong.
    pub message: String,
    /// The way out.
    pub help: Option<String>,
    /// Where it is.
    pub span: Option<Span>,
    /// The folder of the plan repository that it is in; null where it is in none.
    pub repository: Option<String>,
    /// The file that it concerns, relative to the plan repository; null where it concerns none.
    pub file: Option<String>,
    /// What a terminal shows of it; only in the parts of a run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terminal: Option<String>,
}

/// A place in a file. Columns count characters, from 1; ends are exclusive.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Span {
    /// The file, relative to the plan repository.
    pub file: String,
    /// First line.
    pub line: u32,
    /// First column.
    pub column: u32,
    /// Last line.
    pub end_line: u32,
    /// Column after the last.
    pub end_column: u32,
    /// First byte.
    pub byte_start: u32,
    /// One past the last byte.
    pub byte_end: u32,
}

/// Counts of findings by level.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counts {
    /// To be cured before the work.
    pub violation: usize,
    /// Good practice.
    pub advice: usize,
    /// To be done or confirmed by somebody.
    pub reminder: usize,
}

impl Counts {
    /// Counts one more.
    pub fn add(&mut self, level: Level) {
        match level {
            Level::Violation => self.violation += 1,
            Level::Advice => self.advice += 1,
            Level::Reminder => self.reminder += 1,
        }
    }

    /// Findings at or above a level.
    pub fn at_or_above(&self, level: Level) -> usize {
        match level {
            Level::Violation => self.violation,
            Level::Advice => self.violation + self.advice,
            Level::Reminder => self.violation + self.advice + self.reminder,
        }
    }
}

/// Counts over all plans.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub struct Summary {
    /// Plans looked at.
    pub plans: usize,
    /// Findings that count, by level.
    #[serde(flatten)]
    pub open: Counts,
    /// Elements that could not be checked, over all rules.
    pub undetermined: usize,
    /// Errors.
    pub errors: usize,
    /// Findings that are waived.
    pub waived: usize,
    /// Findings that the baseline has.
    pub baseline: usize,
    /// Findings that the baseline has and whose inputs have changed since; they count.
    pub reopened: usize,
    /// Findings of the baseline that are gone.
    pub cured: usize,
    /// All findings, waived and recorded ones included: what a reviewer sees who accepts neither.
    pub as_reviewer: Counts,
}

impl Summary {
    /// What counts for the exit code.
    pub fn counting(&self, as_reviewer: bool) -> &Counts {
        if as_reviewer { &self.as_reviewer } else { &self.open }
    }

    /// Adds the counts of others.
    pub fn join(&mut self, other: &Self) {
        self.plans += other.plans;
        self.undetermined += other.undetermined;
        self.errors += other.errors;
        self.waived += other.waived;
        self.baseline += other.baseline;
        self.reopened += other.reopened;
        self.cured += other.cured;
        for (counts, other) in [(&mut self.open, &other.open), (&mut self.as_reviewer, &other.as_reviewer)] {
            counts.violation += other.violation;
            counts.advice += other.advice;
            counts.reminder += other.reminder;
        }
    }

    /// Counts a plan with its errors.
    pub fn add(&mut self, plan: &Plan) {
        self.plans += 1;
        self.errors += plan.errors.len();
        self.undetermined += plan.verdicts.values().map(|v| v.verdict.undetermined as usize).sum::<usize>();
        self.cured += plan.cured.iter().filter(|cured| cured.sure).count();
        for finding in &plan.findings {
            self.as_reviewer.add(finding.level);
            match finding.standing() {
                Standing::Open => self.open.add(finding.level),
                Standing::Waived => self.waived += 1,
                Standing::Known => self.baseline += 1,
            }
            if matches!(finding.baseline, Some(Baseline::Reopened { .. })) && finding.waived.is_none() {
                self.reopened += 1;
            }
        }
    }
}
