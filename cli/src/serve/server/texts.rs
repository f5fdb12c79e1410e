//! Texts that are opened, changed, saved and closed, and what has to be checked then.

use super::{Server, Speaker, Stage, parsed};
use crate::output::escape;
use crate::serve::check::{self, Ask, QUIET};
use crate::serve::options::watch_request;
use crate::serve::publish::Shown;
use crate::serve::server::Failure;
use crate::serve::sync::{Document, Sort};
use crate::serve::{address, aside};
use lsp_server::{ErrorCode, Notification, RequestId};
use lsp_types::{
    DidChangeTextDocumentParams, DidChangeWatchedFilesParams, DidCloseTextDocumentParams, DidOpenTextDocumentParams,
    DidSaveTextDocumentParams, Uri,
};
use serde_json::json;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Instant;

impl Server {
    /// Does what a notification says.
    pub(super) fn notification(&mut self, notification: Notification) {
        if self.stage != Stage::Running {
            return;
        }
        let Notification { method, params } = notification;
        // A notification has no answer, so that one that can't be read is passed over, as the protocol has it.
        let done = match method.as_str() {
            "initialized" => {
                if self.options.watches_files {
                    self.send(json!({
                        "jsonrpc": "2.0", "id": "watch", "method": "client/registerCapability", "params": watch_request(),
                    }));
                }
                Ok(())
            }
            "textDocument/didOpen" => parsed(params).map(|params| self.opened(params)),
            "textDocument/didChange" => parsed(params).map(|params| self.changed(params)),
            "textDocument/didSave" => parsed(params).map(|params: DidSaveTextDocumentParams| {
                self.changed_on_disk(std::slice::from_ref(&params.text_document.uri));
            }),
            "textDocument/didClose" => parsed(params).map(|params| self.closed(&params)),
            "workspace/didChangeWatchedFiles" => parsed(params).map(|params: DidChangeWatchedFilesParams| {
                let files: Vec<Uri> = params.changes.into_iter().map(|change| change.uri).collect();
                self.changed_on_disk(&files);
            }),
            "$/cancelRequest" => {
                if let Some(id) = params.get("id").and_then(|id| serde_json::from_value::<RequestId>(id.clone()).ok())
                    && self.pending.remove(&id)
                {
                    let _ = self.asides.send(aside::Job::Cancel(id.clone()));
                    self.fail(&id, ErrorCode::RequestCanceled, "cancelled");
                }
                Ok(())
            }
            _ => Ok(()),
        };
        if let Err(Failure { message, .. }) = done {
            eprintln!("lintern: {method} is passed over: {}", escape::terminal(&message));
        }
    }

    fn opened(&mut self, params: DidOpenTextDocumentParams) {
        let item = params.text_document;
        let address = item.uri.as_str().to_owned();
        let Some(path) = address::path(&address) else { return };
        let document = Document::new(address, path.clone(), item.version, item.text);
        self.documents.insert(path.clone(), document);
        self.ask_for(&path, Instant::now());
    }

    fn changed(&mut self, params: DidChangeTextDocumentParams) {
        let Some(path) = address::path(params.text_document.uri.as_str()) else { return };
        let Some(document) = self.documents.get_mut(&path) else { return };
        document.change(params.text_document.version, params.content_changes, self.options.encoding);
        self.ask_for(&path, Instant::now() + QUIET);
    }

    fn closed(&mut self, params: &DidCloseTextDocumentParams) {
        let Some(path) = address::path(params.text_document.uri.as_str()) else { return };
        self.documents.remove(&path);
        self.latest.remove(&path);
        self.sound.remove(&path);
        let _ = self.checks.send(check::Job::Forget(path.clone()));
        self.show(Speaker::Plan(path.clone()), Shown::new());
        // What uses it sees the file on the disk again.
        self.ask_for(&path, Instant::now());
    }

    /// Files were saved or changed by others.
    fn changed_on_disk(&mut self, files: &[Uri]) {
        let paths: Vec<PathBuf> = files.iter().filter_map(|file| address::path(file.as_str())).collect();
        let is_of_rules = |path: &PathBuf| match self.documents.get(path) {
            Some(document) => document.sort() == Sort::Other,
            // A schedule can't be told from a file of rules by its name.
            None => true,
        };
        // Open plans and schedules count as they are open, saved or not.
        if !paths.iter().any(is_of_rules) {
            return;
        }
        self.books.clear();
        let _ = self.checks.send(check::Job::Reload);
        let plans: Vec<PathBuf> = self.plans().map(|document| document.path.clone()).collect();
        self.ask(&plans, Instant::now());
    }

    fn plans(&self) -> impl Iterator<Item = &Document> {
        self.documents.values().filter(|document| document.sort() == Sort::Plan)
    }

    /// Has what depends on a text checked.
    fn ask_for(&mut self, path: &Path, due: Instant) {
        let sort = self.documents.get(path).map(Document::sort);
        if sort == Some(Sort::Plan) {
            return self.ask(&[path.to_owned()], due);
        }
        // It may have been a plan before.
        let _ = self.checks.send(check::Job::Forget(path.to_owned()));
        if self.latest.remove(path).is_some() {
            self.sound.remove(path);
            self.show(Speaker::Plan(path.to_owned()), Shown::new());
        }
        let uses = |document: &&Document| match self.latest.get(&document.path) {
            Some(checked) => {
                let root = checked.repository.root();
                checked.report.loaded.layout.is_none()
                    || checked.report.loaded.sources.files().iter().any(|file| root.join(&file.path) == path)
            }
            None => true,
        };
        let plans: Vec<PathBuf> = self.plans().filter(uses).map(|document| document.path.clone()).collect();
        self.ask(&plans, due);
    }

    fn ask(&mut self, plans: &[PathBuf], due: Instant) {
        if plans.is_empty() {
            return;
        }
        let open = self.documents.iter().map(|(path, d)| (path.clone(), (d.version, d.text.clone())));
        let open = Arc::new(open.collect::<BTreeMap<_, _>>());
        for document in plans.iter().filter_map(|path| self.documents.get(path)) {
            if self.checks.send(check::Job::Check(Ask::of(document, &open, due))).is_err() {
                return self.tell("checks have come to an end; start the server again");
            }
        }
    }
}
