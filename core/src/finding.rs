//! What rules say of a plan: findings and verdicts. No rendering here.

use crate::plan::field::Span;
use crate::plan::scalar::Date;
use serde::{Deserialize, Serialize};

/// The consequence of a finding, from the least to the gravest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Something a person must do or confirm.
    Reminder,
    /// Good practice.
    Advice,
    /// To be cured before the work.
    Violation,
}

impl Level {
    /// The word of the level.
    pub fn word(self) -> &'static str {
        match self {
            Self::Violation => "violation",
            Self::Advice => "advice",
            Self::Reminder => "reminder",
        }
    }
}

/// A number with its unit, as shown to the reader.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Measure {
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: String,
}

/// One line of the arithmetic behind a finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WorkLine {
    /// What the number is.
    pub name: String,
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// Where it comes from.
    pub from: String,
}

/// Where a limit comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BasisKind {
    /// A code or a listing requirement.
    Code,
    /// Common practice.
    Practice,
}

/// The authority behind a finding.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Basis {
    /// Code or practice.
    pub kind: BasisKind,
    /// The document, such as `NFPA 70`; `None` for common practice without one.
    pub document: Option<String>,
    /// Its edition.
    pub edition: Option<String>,
    /// Its section; `None` where it is not confirmed for the edition.
    pub section: Option<String>,
}

/// What a rule found at one element of the plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Id of the rule.
    pub rule: String,
    /// The consequence.
    pub level: Level,
    /// Id of the element; empty for the plan as a whole.
    pub subject: String,
    /// Other elements that matter.
    pub related: Vec<String>,
    /// Route of the field at fault, from the element: `cover`, `feed.breaker`, `type.input.min`; empty for the element.
    pub field: String,
    /// What is wrong: fact and limit.
    pub message: String,
    /// The value at fault.
    pub measured: Option<Measure>,
    /// The limit it breaks.
    pub limit: Option<Measure>,
    /// The arithmetic.
    pub work: Vec<WorkLine>,
    /// The authority behind it.
    pub basis: Basis,
    /// What to do.
    pub help: String,
    /// Where it is in the plan.
    pub span: Span,
    /// The waiver that covers it.
    pub waived: Option<Acceptance>,
}

/// Who accepted a finding, why, and for how long.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Acceptance {
    /// The place of the waiver in the plan's list, from 0.
    pub waiver: usize,
    /// Why it is accepted.
    pub reason: String,
    /// Who accepted it.
    pub approved_by: Option<String>,
    /// The day it was accepted.
    pub on: Option<Date>,
    /// The last day it holds.
    pub until: Option<Date>,
}

/// How a rule ends on a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Everything was checked and nothing is wrong.
    Pass,
    /// Something is wrong.
    Fail,
    /// The plan has nothing that the rule speaks of.
    NotApplicable,
    /// Something could not be checked for want of inputs.
    Undetermined,
}

impl Outcome {
    /// The word that outputs use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::NotApplicable => "not-applicable",
            Self::Undetermined => "undetermined",
        }
    }
}

/// The verdict of one rule on one plan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Verdict {
    /// How it ends.
    pub verdict: Outcome,
    /// Elements that were checked, those that failed included.
    pub checked: u32,
    /// Elements with a finding.
    pub failed: u32,
    /// Elements that could not be checked.
    pub undetermined: u32,
    /// The inputs that were missing, sorted, without repeats.
    pub missing: Vec<String>,
}

impl Verdict {
    /// The verdict that the counts amount to: nothing passes by silence.
    pub fn from_counts(checked: u32, failed: u32, undetermined: u32, missing: Vec<String>) -> Self {
        let verdict = match (checked, failed, undetermined) {
            (_, 1.., _) => Outcome::Fail,
            (_, 0, 1..) => Outcome::Undetermined,
            (0, 0, 0) => Outcome::NotApplicable,
            (1.., 0, 0) => Outcome::Pass,
        };
        Self { verdict, checked, failed, undetermined, missing }
    }
}
