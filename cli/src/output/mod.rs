//! What is printed: one file a format, those of a check all from the same [`Document`](crate::report::Document).

pub mod config;
pub mod coverage;
pub mod escape;
pub mod github;
pub mod gitlab;
pub mod import;
pub mod json;
pub mod junit;
pub mod limits;
pub mod margin;
pub mod markdown;
pub mod progress;
pub mod readings;
pub mod remedy;
pub mod rules;
pub mod sarif;
pub mod size;
pub mod solve;
pub mod steps;
pub mod terminal;

use lintern_core::check::{CheckError, PlanReport};
use lintern_core::plan::{Diagnostic, Sources};
use serde::Serialize;
use std::fmt::Write as _;
use std::io::{self, Write};

/// Ends every output.
pub const CAUTION: &str = "lintern computes from what the plan says and can be wrong. It does not replace the adopted code, the authority having jurisdiction, the makers' instructions or a licensed electrician, and nothing it prints is permission to dig: wait for every operator's answer to the locate request, and de-energize and test before touching conductors.";

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

/// Writes what [`pretty`] makes, piece by piece: the text of a large repository is never in memory as a whole.
pub fn write_pretty(document: &impl Serialize, out: impl Write) -> io::Result<()> {
    let mut out = Escaped(io::BufWriter::with_capacity(64 << 10, out));
    serde_json::to_writer_pretty(&mut out, document)?;
    out.write_all(b"\n")?;
    out.flush()
}

/// Writes JSON with what [`escape::json`] makes of it. What it gets at once is a whole text or a part that ends with a
/// character.
struct Escaped<W>(W);

impl<W: Write> Write for Escaped<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let text = std::str::from_utf8(bytes).map_err(io::Error::other)?;
        self.0.write_all(escape::part_of_json(text).as_bytes())?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        self.0.flush()
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
