//! What the client can do, and what this server offers it.

use super::position::Encoding;
use serde_json::{Value, json};

/// What the client can do, as far as answers depend on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// What columns count.
    pub encoding: Encoding,
    /// Whether hovers may be Markdown.
    pub markdown_hover: bool,
    /// Whether the documentation of what is completed may be Markdown.
    pub markdown_completion: bool,
    /// Whether changes may say which version they are for.
    pub versioned_changes: bool,
    /// Whether it tells of changed files when it is asked to.
    pub watches_files: bool,
}

impl Options {
    /// From the parameters of `initialize`. What is missing or makes no sense is what the client can't do.
    pub fn of(parameters: &Value) -> Self {
        let capability = |path: &str| parameters.pointer(&format!("/capabilities/{path}"));
        let is = |path: &str| capability(path).and_then(Value::as_bool).unwrap_or(false);
        let lists = |path: &str, word: &str| {
            capability(path).and_then(Value::as_array).is_some_and(|list| list.iter().any(|own| own == word))
        };
        let utf8 = lists("general/positionEncodings", "utf-8");
        Self {
            encoding: if utf8 { Encoding::Utf8 } else { Encoding::Utf16 },
            markdown_hover: lists("textDocument/hover/contentFormat", "markdown"),
            markdown_completion: lists("textDocument/completion/completionItem/documentationFormat", "markdown"),
            versioned_changes: is("workspace/workspaceEdit/documentChanges"),
            watches_files: is("workspace/didChangeWatchedFiles/dynamicRegistration"),
        }
    }

    /// The answer to `initialize`.
    pub fn offered(self) -> Value {
        let encoding = match self.encoding {
            Encoding::Utf8 => "utf-8",
            Encoding::Utf16 => "utf-16",
        };
        json!({
            "capabilities": {
                "positionEncoding": encoding,
                "textDocumentSync": { "openClose": true, "change": 2, "save": { "includeText": false } },
                "hoverProvider": true,
                "completionProvider": { "triggerCharacters": [" ", ":", "/", "[", "{", ",", "\""] },
                "definitionProvider": true,
                "referencesProvider": true,
                "documentSymbolProvider": true,
                "renameProvider": { "prepareProvider": true },
                "codeActionProvider": { "codeActionKinds": ["quickfix"] },
            },
            "serverInfo": { "name": "lintern", "version": env!("CARGO_PKG_VERSION") },
        })
    }
}

/// Asks the client to tell of changes of the files that checks read.
pub fn watch_request() -> Value {
    let watchers: Vec<Value> = ["**/*.yaml", "**/*.yml", "**/*.wasm", "**/lintern-baseline.json"]
        .iter()
        .map(|glob| json!({ "globPattern": glob }))
        .collect();
    json!({
        "registrations": [{
            "id": "files",
            "method": "workspace/didChangeWatchedFiles",
            "registerOptions": { "watchers": watchers },
        }],
    })
}
