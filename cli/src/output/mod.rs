//! What a check prints: one file a format, all from the same [`Run`].

pub mod config;
pub mod escape;
pub mod json;
pub mod limits;
pub mod margin;
pub mod progress;
pub mod readings;
pub mod remedy;
pub mod rules;
pub mod size;
pub mod solve;
pub mod terminal;

use lintern_core::check::{CheckError, PlanReport};
use lintern_core::finding::Level;
use lintern_core::plan::scalar::Date;
use lintern_core::plan::{Diagnostic, Sources};
use serde::Serialize;
use std::fmt::Write as _;

/// Ends every output.
pub const CAUTION: &str = "lintern computes from what the plan says and can be wrong. It does not replace the adopted code, the authority having jurisdiction, the makers' instructions or a licensed electrician, and nothing it prints is permission to dig: wait for every operator's answer to the locate request, and de-energize and test before touching conductors.";

/// Everything that one check produced.
pub struct Run {
    /// The day against which tickets and waivers were judged.
    pub as_of: Date,
    /// Findings below this level are not shown.
    pub show: Level,
    /// Whether to tell what was passed over.
    pub verbose: bool,
    /// Whether the JSON has all margins.
    pub margins: bool,
    /// What passes by no more than this share of its limit is listed, %.
    pub near_miss: Option<f64>,
    /// One report a plan, in the order of the paths.
    pub reports: Vec<PlanReport>,
    /// Errors that concern no single plan.
    pub errors: Vec<RunError>,
    /// Remarks for `--verbose`.
    pub notes: Vec<String>,
    /// The counts.
    pub summary: Summary,
}

/// An error that concerns no single plan.
pub struct RunError {
    /// `module` or `config`.
    pub kind: &'static str,
    /// What and where.
    pub diagnostic: Diagnostic,
    /// The files that the diagnostic points into.
    pub sources: Sources,
}

impl From<lintern_core::rulebook::Problem> for RunError {
    fn from(problem: lintern_core::rulebook::Problem) -> Self {
        Self { kind: problem.kind.word(), diagnostic: problem.diagnostic, sources: problem.sources }
    }
}

/// A document as JSON, with a line end.
///
/// # Panics
/// Never: serialization fails only for maps whose keys are no texts, and no document has one.
pub fn pretty(document: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(document).expect("documents are plain data");
    text.push('\n');
    escape::json(text)
}

/// Counts over all plans.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Summary {
    /// Plans looked at.
    pub plans: usize,
    /// Findings that are not waived, by level.
    pub violation: usize,
    /// As above.
    pub advice: usize,
    /// As above.
    pub reminder: usize,
    /// Elements that could not be checked, over all rules.
    pub undetermined: usize,
    /// Errors.
    pub errors: usize,
    /// Findings that are waived.
    pub waived: usize,
}

impl Summary {
    /// Counts reports and errors.
    pub fn count(reports: &[PlanReport], errors: &[RunError]) -> Self {
        let mut summary = Self { plans: reports.len(), errors: errors.len(), ..Self::default() };
        for report in reports {
            summary.errors += report.errors.len();
            summary.undetermined += report.verdicts.values().map(|v| v.undetermined as usize).sum::<usize>();
            for finding in &report.findings {
                match (finding.waived.is_some(), finding.level) {
                    (true, _) => summary.waived += 1,
                    (false, Level::Violation) => summary.violation += 1,
                    (false, Level::Advice) => summary.advice += 1,
                    (false, Level::Reminder) => summary.reminder += 1,
                }
            }
        }
        summary
    }

    /// Findings at or above a level that are not waived.
    pub fn at_or_above(&self, level: Level) -> usize {
        match level {
            Level::Violation => self.violation,
            Level::Advice => self.violation + self.advice,
            Level::Reminder => self.violation + self.advice + self.reminder,
        }
    }
}

/// Texts of errors for people: a plan's own, then its modules'.
pub fn module_errors(report: &PlanReport) -> impl Iterator<Item = &str> {
    report.errors.iter().filter_map(|e| match e {
        CheckError::Module(message) => Some(message.as_str()),
        CheckError::Plan(_) => None,
    })
}

/// Columns two spaces apart: the first to the left, numbers to the right.
pub fn columns<const N: usize>(out: &mut String, rows: &[[String; N]]) {
    if rows.len() < 2 {
        return;
    }
    let mut widths = [0; N];
    for row in rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    for row in rows {
        let mut line = String::new();
        for (i, (cell, width)) in row.iter().zip(widths).enumerate() {
            let pad = " ".repeat(width - cell.chars().count());
            let right = cell.starts_with(|c: char| c.is_ascii_digit() || c == '-') && cell.contains(' ');
            let gap = if i == 0 { "" } else { "  " };
            let _ = if right { write!(line, "{gap}{pad}{cell}") } else { write!(line, "{gap}{cell}{pad}") };
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out.push('\n');
}
