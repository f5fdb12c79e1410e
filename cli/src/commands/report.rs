//! `lintern report`: the permit packet of one plan, as HTML or PDF.

use super::{Exit, check, print, steps, stop, write};
use crate::args::Report;
use crate::drawing::paper::Paper;
use crate::output::escape;
use crate::output::terminal::count;
use crate::packet::{Source, content, html, pdf};
use crate::report::run::{Request, run};
use lintern_core::finding::Level;
use std::path::Path;

pub fn run_report(args: &Report) -> Exit {
    let (repository, loaded) = match super::plan(&args.plan) {
        Ok(plan) => plan,
        Err(exit) => return exit,
    };
    let as_of = args.as_of.unwrap_or_else(check::today);
    let request = Request {
        paths: vec![args.plan.clone()],
        as_of,
        fail_on: None,
        show: Level::Reminder,
        as_reviewer: args.as_reviewer,
        // What a baseline lets be, a permit desk wants to see.
        baseline: false,
        remedies: true,
        margins: true,
        near_miss_percent: None,
        shard: None,
        changed_since: None,
        rules: &args.rules,
        style: None,
        progress: false,
        coverage: false,
    };
    let checked = run(&request);
    let document = &checked.document;
    let Some(layout) = &loaded.layout else { return Exit::NotChecked };
    let steps = match steps::told(&repository, layout, as_of, &args.rules) {
        Ok(steps) => steps,
        Err(problem) => return stop(&problem),
    };
    let source = match Source::new(&loaded, document, steps) {
        Some(source) if source.plan.sha256 == loaded.sha256 => source,
        Some(_) => return stop("the plan changed while it was read; run the command again"),
        None => {
            return stop(
                &document.errors.first().map_or("the plan can't be checked".to_owned(), |e| e.message.clone()),
            );
        }
    };
    if let Err(refusal) = write::apart(&args.output, repository.root(), &loaded, &["html", "htm", "pdf"]) {
        return stop(&refusal);
    }
    let packet = content::packet(&source, args.sheet);
    let paper = args.paper.or_else(|| Paper::usual(source.layout).first().copied()).unwrap_or(Paper::A4);
    let made = match kind(&args.output) {
        Some(Kind::Html) => html::render(&packet).map(String::into_bytes).map_err(|error| error.to_string()),
        Some(Kind::Pdf) => pdf::render(&packet, paper),
        None => return stop("the name of a report ends in .html or .pdf"),
    };
    let written = made.and_then(|bytes| write::put(&args.output, &bytes).map_err(|error| error.to_string()));
    let shown = args.output.display().to_string();
    if let Err(error) = written {
        return stop(&format!("can't write {shown}: {error}"));
    }
    let open = document.summary.counting(args.as_reviewer);
    print(&format!(
        "Wrote {}: {}, {} could not be checked, {}.\n",
        escape::terminal(&shown),
        crate::report::shown::levels(open),
        count(document.summary.undetermined, "element", "elements"),
        count(document.summary.errors, "error", "errors")
    ));
    if document.summary.errors > 0 { Exit::NotChecked } else { Exit::Clean }
}

enum Kind {
    Html,
    Pdf,
}

fn kind(path: &Path) -> Option<Kind> {
    match path.extension()?.to_str()?.to_ascii_lowercase().as_str() {
        "html" | "htm" => Some(Kind::Html),
        "pdf" => Some(Kind::Pdf),
        _ => None,
    }
}
