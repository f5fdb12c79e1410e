//! What was found, to the client: never of a version that is no longer there.

use super::{Server, Speaker};
use crate::serve::check::{Book, Checked};
use crate::serve::publish::{self, Shown};
use crate::serve::sync::Sort;
use crate::serve::{address, aside};
use lintern_core::margin::Margins;
use serde_json::json;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

impl Server {
    /// Takes in the rules of a repository.
    pub(super) fn book(&mut self, book: Arc<Book>) {
        let (shown, told) = publish::book(&book, self.options.encoding, &|path| self.spelt(path));
        let root = book.repository.root().to_owned();
        self.books.insert(root.clone(), book);
        self.show(Speaker::Book(root), shown);
        for message in told {
            self.tell(&message);
        }
    }

    /// Takes in what a check found, and shows it unless something newer is there.
    pub(super) fn checked(&mut self, checked: Arc<Checked>) {
        let Some(document) = self.documents.get(&checked.path) else { return };
        // A text that was opened anew may count its versions from the start.
        let is_another = document.version == checked.version && !Arc::ptr_eq(&document.text, &checked.text);
        if document.sort() != Sort::Plan || is_another {
            return;
        }
        let root = checked.repository.root();
        let is_old = |file: &Path| {
            let present = self.documents.get(file).map(|document| document.version);
            present != checked.open.get(file).copied()
        };
        let files = checked.report.loaded.sources.files();
        let old = document.version != checked.version || files.iter().any(|file| is_old(&root.join(&file.path)));
        self.latest.insert(checked.path.clone(), checked.clone());
        if checked.report.loaded.layout.is_some() {
            self.sound.insert(checked.path.clone(), (checked.clone(), Margins::default()));
            let _ = self.asides.send(aside::Job::Weigh(checked.clone()));
        }
        // A newer version is waiting for its check.
        if old {
            return;
        }
        let mut shown = publish::plan(&checked, self.options.encoding, &|path| self.spelt(path));
        // Also where nothing was found.
        shown.entry(checked.path.clone()).or_default();
        self.show(Speaker::Plan(checked.path.clone()), shown);
    }

    /// Shows what somebody says now, and takes back what it said before.
    pub(super) fn show(&mut self, speaker: Speaker, shown: Shown) {
        let before = self.shown.remove(&speaker).unwrap_or_default();
        let files: BTreeSet<PathBuf> = before.keys().chain(shown.keys()).cloned().collect();
        if !shown.is_empty() {
            self.shown.insert(speaker, shown);
        }
        for file in files {
            let all: Vec<&lsp_types::Diagnostic> =
                self.shown.values().filter_map(|shown| shown.get(&file)).flatten().collect();
            let mut params = json!({ "uri": self.spelt(&file), "diagnostics": all });
            if let Some(document) = self.documents.get(&file)
                && let Some(params) = params.as_object_mut()
            {
                params.insert("version".to_owned(), json!(document.version));
            }
            self.send(json!({ "jsonrpc": "2.0", "method": "textDocument/publishDiagnostics", "params": params }));
        }
    }

    /// The address of a file, as the client spells it where it has it open.
    pub(super) fn spelt(&self, path: &Path) -> String {
        self.documents.get(path).map_or_else(|| address::address(path), |document| document.address.clone())
    }
}
