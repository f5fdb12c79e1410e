//! `lintern verify REPORT`: runs the check of a report again and compares the bytes.

use super::{Exit, print};
use crate::args::{CheckFormat, Verify};
use crate::output::escape;
use crate::report::folders::version_control;
use crate::report::run::{self, Request};
use crate::report::seal::{Rests, Seal};
use crate::report::{Document, sealed};
use std::path::PathBuf;

pub fn run(args: &Verify) -> Exit {
    let shown = args.report.display().to_string();
    let text = match super::read_report(&args.report)
        .and_then(|bytes| String::from_utf8(bytes).map_err(|_| "it is no text".to_owned()))
    {
        Ok(text) => text,
        Err(error) => return failed(&format!("can't read {shown}: {error}")),
    };
    let Some((format, rests)) = sealed::read(&text) else {
        return failed(&format!(
            "{shown} carries no seal: only reports in json, sarif, junit and markdown of `lintern check` can be verified"
        ));
    };
    let folder = args.folder.clone().unwrap_or_else(|| version_control(&here()));
    match again(args, &rests.seal, format, &folder) {
        Ok((now, again)) => verdict(&shown, &text, &rests, &now, &again),
        Err(error) => failed(&error),
    }
}

/// The same report of the present files.
fn again(
    args: &Verify,
    seal: &Seal,
    format: CheckFormat,
    folder: &std::path::Path,
) -> Result<(Document, String), String> {
    let as_of =
        seal.as_of.parse().map_err(|_| format!("the day `{}` of the report is none", escape::terminal(&seal.as_of)))?;
    let shard = seal.shard.as_deref().map(crate::args::shard).transpose()?;
    let options = &seal.options;
    let request = Request {
        paths: seal.paths.iter().map(|path| folder.join(path)).collect(),
        as_of,
        fail_on: Some(options.fail_on),
        show: options.show,
        as_reviewer: options.as_reviewer,
        baseline: options.baseline,
        remedies: options.remedies,
        margins: options.margins,
        near_miss_percent: options.near_miss_percent,
        shard,
        changed_since: seal.changed_since.as_deref(),
        rules: &args.rules,
        // The part of a run carries what a terminal shows of it, without colours.
        style: shard.map(|_| super::plain_style()),
        progress: true,
        coverage: options.coverage,
    };
    let checked = run::run(&request);
    let text = super::check::rendered(&checked.document, &checked.pages, format, &[], true);
    Ok((checked.document, text))
}

fn verdict(shown: &str, then: &str, rests: &Rests, now: &Document, again: &str) -> Exit {
    if then == again {
        print(&format!("{}: reproduced byte for byte\n", escape::terminal(shown)));
        return Exit::Clean;
    }
    let mut out = format!("{shown}: not reproduced\n");
    let differences = rests.differences(&Rests::of(now));
    for difference in &differences {
        out.push_str(&format!("  {difference}\n"));
    }
    if differences.is_empty() {
        out.push_str(
            "  nothing that it rests on has changed: the report itself was changed, or is of another program\n",
        );
    }
    if let Some((line, (then, now))) = (1..).zip(lines(then).zip(lines(again))).find(|(_, (then, now))| then != now) {
        let cut = |line: Option<&str>| line.map_or("(ends)".to_owned(), |line| line.trim().chars().take(160).collect());
        out.push_str(&format!(
            "  first difference in line {line}:\n    report: {}\n    now:    {}\n",
            cut(then),
            cut(now)
        ));
    }
    print(&escape::terminal(&out));
    Exit::Found
}

/// The lines of a text, and then none.
fn lines(text: &str) -> impl Iterator<Item = Option<&str>> {
    text.lines().map(Some).chain(std::iter::repeat_n(None, 1_000_000_000))
}

fn here() -> PathBuf {
    std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."))
}

fn failed(error: &str) -> Exit {
    eprintln!("lintern: {}", escape::terminal(error));
    Exit::NotChecked
}
