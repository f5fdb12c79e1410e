//! `--format json`: the document itself.

use crate::report::Document;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// The whole document, with a line end. A part of a run carries what is needed to put the parts together.
pub fn render(document: &Document, pages: &BTreeMap<String, String>) -> String {
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
    super::pretty(&*document)
}
