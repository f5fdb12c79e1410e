//! `lintern check`.

use super::{Exit, plain_style, print, printed, style, write as file};
use crate::args::{Check, CheckFormat, Output};
use crate::output::{self, escape};
use crate::report::document::Verdict;
use crate::report::run::{Checked, Request};
use crate::report::{Document, Plan, run, shown};
use lintern_core::finding::Outcome;
use lintern_core::plan::scalar::Date;
use std::collections::BTreeMap;
use std::io::Write as _;
use std::path::Path;

pub fn run(args: &Check) -> Exit {
    // Parts are read by programs, whatever this one writes to.
    let style = if args.shard.is_some() { plain_style() } else { style() };
    let shown_in = |format: CheckFormat| format == CheckFormat::Terminal;
    let is_shown =
        args.shard.is_some() || shown_in(args.format) || args.output.iter().any(|output| shown_in(output.format));
    let request = Request {
        paths: args.paths.clone(),
        as_of: args.as_of.unwrap_or_else(today),
        fail_on: args.fail_on,
        show: args.show.into(),
        as_reviewer: args.as_reviewer,
        baseline: !args.no_baseline,
        remedies: !args.no_remedies,
        margins: args.margins,
        near_miss_percent: args.near_miss,
        shard: args.shard,
        changed_since: args.changed_since.as_deref(),
        rules: &args.rules,
        style: is_shown.then_some(style),
        progress: !args.quiet,
        coverage: args.coverage,
    };
    let told = |notes: Vec<String>| if args.verbose { notes } else { Vec::new() };
    match (args.format, &args.output[..]) {
        (CheckFormat::Json, []) => {
            let streamed = run::run_to_texts(&request, output::json::plan);
            printed(output::json::write_streamed(&streamed, stdout()));
            exit(&streamed.rest.document)
        }
        (CheckFormat::Terminal, []) => {
            let mut streamed =
                run::run_to_texts(&request, |plan| output::terminal::of_plan(plan, args.quiet).to_owned());
            let notes = told(std::mem::take(&mut streamed.rest.notes));
            printed(output::terminal::write_streamed(&streamed, &notes, style, args.quiet, stdout()));
            exit(&streamed.rest.document)
        }
        _ => {
            let formats: Vec<CheckFormat> =
                std::iter::once(args.format).chain(args.output.iter().map(|output| output.format)).collect();
            let Checked { document, notes, pages, .. } = run::run_lightly(&request, |plan| lighten(plan, &formats));
            write(&document, &pages, &told(notes), args.format, &args.output, args.quiet)
        }
    }
}

/// Takes out of a plan what none of the formats shows: for most of them that is nearly all that its rules say.
fn lighten(plan: &mut Plan, formats: &[CheckFormat]) {
    if formats.iter().any(|format| matches!(format, CheckFormat::Json | CheckFormat::Terminal)) {
        return;
    }
    plan.verdicts.values_mut().for_each(|verdict| verdict.tightest = None);
    // A rule is a case of JUnit, whatever it says.
    if !formats.contains(&CheckFormat::Junit) {
        plan.verdicts
            .retain(|_, Verdict { verdict, .. }| verdict.undetermined > 0 || verdict.verdict == Outcome::Undetermined);
    }
}

fn stdout() -> impl std::io::Write {
    std::io::BufWriter::with_capacity(64 << 10, std::io::stdout().lock())
}

/// The present day.
pub fn today() -> Date {
    Date(jiff::ZonedDateTime::now().date())
}

/// Prints a document and writes it to files, and says how the program ends.
pub fn write(
    document: &Document,
    pages: &BTreeMap<String, String>,
    notes: &[String],
    format: CheckFormat,
    outputs: &[Output],
    quiet: bool,
) -> Exit {
    match format {
        CheckFormat::Json => printed(output::json::write(document, pages, std::io::stdout().lock())),
        _ => print(&rendered(document, pages, format, notes, quiet)),
    }
    let mut written = true;
    for Output { format, file: path } in outputs {
        let text = rendered(document, pages, *format, notes, quiet);
        let put = if is_ours(path) {
            Err(std::io::Error::other("it is a plan, a rule or a configuration; reports have other names"))
        } else {
            file::put(path, text.as_bytes())
        };
        if let Err(error) = put {
            eprintln!("lintern: can't write {}: {error}", escape::terminal(&path.display().to_string()));
            written = false;
        }
    }
    if format == CheckFormat::Github
        && let Some(summary) = std::env::var_os("GITHUB_STEP_SUMMARY").filter(|file| !file.is_empty())
        && let Err(error) = append(Path::new(&summary), &output::markdown::render(document))
    {
        eprintln!("lintern: can't write the summary of the job: {error}");
        written = false;
    }
    if written { exit(document) } else { Exit::NotChecked }
}

/// Whether a file that is there is one that checks read, which no report may replace.
fn is_ours(path: &Path) -> bool {
    let of_plans = path.extension().is_some_and(|e| e == "yaml" || e == "yml" || e == "wasm");
    path.exists() && (of_plans || path.file_name().is_some_and(|name| name == crate::report::baseline::FILE))
}

/// The text of a document in a format.
pub fn rendered(
    document: &Document,
    pages: &BTreeMap<String, String>,
    format: CheckFormat,
    notes: &[String],
    quiet: bool,
) -> String {
    match format {
        CheckFormat::Terminal => output::terminal::render(document, notes, style(), quiet),
        CheckFormat::Json => output::json::render(document, pages),
        CheckFormat::Sarif => output::sarif::render(document, pages),
        CheckFormat::Junit => output::junit::render(document),
        CheckFormat::Github => output::github::render(document),
        CheckFormat::Gitlab => output::gitlab::render(document),
        CheckFormat::Markdown => output::markdown::render(document),
    }
}

/// The summary of a job belongs to all its steps: it is added to, in one write.
fn append(path: &Path, text: &str) -> std::io::Result<()> {
    std::fs::OpenOptions::new().append(true).create(true).open(path)?.write_all(text.as_bytes())
}

/// How a document makes the program end.
pub fn exit(document: &Document) -> Exit {
    let whole = document.seal.shard.is_none() && document.seal.changed_since.is_none();
    match (document.summary.errors > 0, document.summary.plans == 0 && whole, shown::fails(document)) {
        (true, _, _) => Exit::NotChecked,
        (false, true, _) => Exit::NoPlan,
        (false, false, true) => Exit::Found,
        (false, false, false) => Exit::Clean,
    }
}
