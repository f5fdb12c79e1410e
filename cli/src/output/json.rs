//! `--format json`: the document itself.

use crate::report::Document;
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
