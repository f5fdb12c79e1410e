//! `--format json`: the document itself.

use crate::report::run::Streamed;
use crate::report::{Document, Plan};
use serde::Serialize;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io;

/// The whole document, with a line end.
pub fn render(document: &Document, pages: &BTreeMap<String, String>) -> String {
    super::pretty(&*shown(document, pages))
}

/// Writes it.
pub fn write(document: &Document, pages: &BTreeMap<String, String>, out: impl io::Write) -> io::Result<()> {
    super::write_pretty(&*shown(document, pages), out)
}

/// A plan as it stands in the list of a document.
pub fn plan(plan: &Plan) -> String {
    #[derive(Serialize)]
    struct As<'a> {
        plans: [&'a Plan; 1],
    }
    let whole = super::pretty(&As { plans: [plan] });
    whole.strip_prefix(HEAD).and_then(|rest| rest.strip_suffix(TAIL)).unwrap_or(&whole).to_owned()
}

/// What a list of plans begins and ends with in a document.
const HEAD: &str = "{\n  \"plans\": [\n    ";
const TAIL: &str = "\n  ]\n}\n";
/// How a list without any is written. No text holds this: a line end in a text is an escape.
const EMPTY: &str = "\n  \"plans\": []";

/// Writes a document whose plans are there as texts, each made by [`plan`].
pub fn write_streamed(streamed: &Streamed, mut out: impl io::Write) -> io::Result<()> {
    let rest = render(&streamed.rest.document, &streamed.rest.pages);
    match rest.split_once(EMPTY) {
        Some((before, after)) if !streamed.plans.is_empty() => {
            let (open, close) = EMPTY.split_at(EMPTY.len() - 1);
            write!(out, "{before}{open}\n    ")?;
            streamed.plans.write(",\n    ", &mut out)?;
            write!(out, "\n  {close}{after}")?;
        }
        _ => out.write_all(rest.as_bytes())?,
    }
    out.flush()
}

/// What is shown of a document: a part of a run carries what is needed to put the parts together.
fn shown<'a>(document: &'a Document, pages: &BTreeMap<String, String>) -> Cow<'a, Document> {
    let is_drawn = document.plans.iter().any(|plan| plan.terminal.is_some())
        || document.errors.iter().any(|failure| failure.terminal.is_some());
    let mut document = Cow::Borrowed(document);
    if document.seal.shard.is_some() {
        for (id, rule) in &mut document.to_mut().rules {
            rule.page = pages.get(id).cloned();
        }
    } else if is_drawn {
        let own = document.to_mut();
        own.plans.iter_mut().for_each(|plan| plan.terminal = None);
        own.errors.iter_mut().for_each(|failure| failure.terminal = None);
    }
    document
}

#[cfg(test)]
mod tests {
    use crate::output::{pretty, write_pretty};
    use serde_json::json;

    #[test]
    fn what_is_written_piece_by_piece_is_what_is_written_at_once() {
        let document = json!({
            "plain": [1, 2.5, null, true, {}],
            "bidirectional \u{202e}": "a\u{202e}b \u{7f} \u{9b}31m \"quoted\" \u{1b}[0m é \n \u{1f4a1}",
        });
        let mut written = Vec::new();
        write_pretty(&document, &mut written).expect("a list takes everything");
        let whole = pretty(&document);
        assert_eq!(String::from_utf8(written).expect("text"), whole);
        assert!(!whole.contains(['\u{202e}', '\u{7f}', '\u{9b}', '\u{1b}']), "{whole}");
    }
}
