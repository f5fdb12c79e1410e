//! `lintern merge PART…`: the parts of a run as one.

use super::Exit;
use crate::args::Merge;
use crate::output::escape;
use crate::report::{Document, merge};

pub fn run(args: &Merge) -> Exit {
    let mut parts = Vec::new();
    for path in &args.parts {
        let shown = path.display().to_string();
        let document = super::read_report(path).and_then(|bytes| {
            serde_json::from_slice::<Document>(&bytes).map_err(|error| format!("it is no result of a check: {error}"))
        });
        match document {
            Ok(document) if document.format == crate::report::document::FORMAT => parts.push((shown, document)),
            Ok(document) => return failed(&format!("{shown} has format {}, which is not known", document.format)),
            Err(error) => return failed(&format!("can't read {shown}: {error}")),
        }
    }
    match merge::merge(parts) {
        Ok((document, pages)) => {
            let notes = &[];
            super::check::write(&document, &pages, notes, args.format, &args.output, args.quiet)
        }
        Err(error) => failed(&error),
    }
}

fn failed(error: &str) -> Exit {
    eprintln!("lintern: {}", escape::terminal(error));
    Exit::NotChecked
}
