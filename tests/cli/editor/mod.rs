//! `lintern serve`, by messages as an editor sends them.

mod answers;
mod changes;
mod client;
mod findings;
mod protocol;
mod recorded;

use crate::support::Site;
use serde_json::{Value, json};
use std::io::{BufReader, Read as _, Write as _};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

/// Far more than any answer takes; a hang fails.
const LONGEST: Duration = Duration::from_secs(120);

/// What an editor of today can do.
fn capabilities() -> Value {
    json!({
        "workspace": { "workspaceEdit": { "documentChanges": true } },
        "textDocument": {
            "hover": { "contentFormat": ["markdown", "plaintext"] },
            "completion": { "completionItem": { "documentationFormat": ["markdown"] } },
        },
    })
}

/// An editor with one folder open.
pub struct Editor {
    process: Child,
    to: Option<ChildStdin>,
    from: Receiver<Value>,
    folder: String,
    asked: i64,
    /// Notifications that nobody has looked at.
    told: Vec<Value>,
    /// What the server offers.
    pub offered: Value,
}

impl Editor {
    /// Starts the server, without a word to it.
    pub fn silent(site: &Site) -> Self {
        let mut process = Command::new(env!("CARGO_BIN_EXE_lintern"))
            .current_dir(site.path())
            .args(["serve", "--as-of", "2026-03-01"])
            .env("LINTERN_CONFIG", "")
            .env_remove("LINTERN_CACHE")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let to = process.stdin.take();
        let mut stream = BufReader::new(process.stdout.take().unwrap());
        let (send, from) = channel();
        std::thread::spawn(move || {
            while let Some(message) = read(&mut stream) {
                if send.send(message).is_err() {
                    return;
                }
            }
        });
        let folder = format!("file://{}", site.path().canonicalize().unwrap().display());
        Self { process, to, from, folder, asked: 0, told: Vec::new(), offered: Value::Null }
    }

    /// Starts the server and greets it.
    pub fn start(site: &Site) -> Self {
        Self::with(site, capabilities())
    }

    /// The same for an editor that can do other things.
    pub fn with(site: &Site, capabilities: Value) -> Self {
        let mut editor = Self::silent(site);
        let root = editor.folder.clone();
        let params = json!({ "processId": null, "rootUri": root, "capabilities": capabilities });
        editor.offered = editor.result("initialize", params);
        editor.notify("initialized", json!({}));
        editor
    }

    /// The address of a file.
    pub fn address(&self, name: &str) -> String {
        format!("{}/{name}", self.folder)
    }

    /// Sends a message.
    pub fn send(&mut self, message: &Value) {
        let text = message.to_string();
        self.send_bytes(format!("Content-Length: {}\r\n\r\n{text}", text.len()).as_bytes());
    }

    /// Sends anything.
    pub fn send_bytes(&mut self, bytes: &[u8]) {
        let to = self.to.as_mut().unwrap();
        to.write_all(bytes).and_then(|()| to.flush()).unwrap();
    }

    pub fn notify(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    /// Asks, and waits for the answer, whatever it is.
    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        let id = self.ask_without_waiting(method, params);
        self.answer(id)
    }

    pub fn ask_without_waiting(&mut self, method: &str, params: Value) -> i64 {
        self.asked += 1;
        let id = self.asked;
        self.send(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }));
        id
    }

    /// Asks where others of the kind come first, so that what is said next is there before its turn.
    pub fn ask_behind_others(&mut self, method: &str, params: &Value) -> i64 {
        for _ in 0..50 {
            self.ask_without_waiting(method, params.clone());
        }
        self.ask_without_waiting(method, params.clone())
    }

    pub fn answer(&mut self, id: i64) -> Value {
        loop {
            let message = self.from.recv_timeout(LONGEST).expect("an answer in time");
            if message["id"] == id && message.get("method").is_none() {
                return message;
            }
            self.told.push(message);
        }
    }

    /// Asks, and gets a result.
    pub fn result(&mut self, method: &str, params: Value) -> Value {
        let answer = self.ask(method, params);
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer["result"].clone()
    }

    /// Asks, and gets an error: its code and message.
    pub fn refusal(&mut self, method: &str, params: Value) -> (i64, String) {
        let answer = self.ask(method, params);
        let error = answer.get("error").unwrap_or_else(|| panic!("{method}: {answer}"));
        (error["code"].as_i64().unwrap(), error["message"].as_str().unwrap().to_owned())
    }

    /// The next message without an answer, such as one that this client did not ask for.
    pub fn next_told(&mut self, wanted: impl Fn(&Value) -> bool) -> Value {
        if let Some(at) = self.told.iter().position(&wanted) {
            return self.told.remove(at);
        }
        loop {
            let message = self.from.recv_timeout(LONGEST).expect("a message in time");
            if wanted(&message) {
                return message;
            }
            self.told.push(message);
        }
    }

    pub fn open(&mut self, name: &str, text: &str) {
        let uri = self.address(name);
        let item = json!({ "uri": uri, "languageId": "yaml", "version": 1, "text": text });
        self.notify("textDocument/didOpen", json!({ "textDocument": item }));
    }

    /// Another text for an open file.
    pub fn change(&mut self, name: &str, version: i64, text: &str) {
        self.edit(name, version, json!([{ "text": text }]));
    }

    pub fn edit(&mut self, name: &str, version: i64, changes: Value) {
        let document = json!({ "uri": self.address(name), "version": version });
        self.notify("textDocument/didChange", json!({ "textDocument": document, "contentChanges": changes }));
    }

    /// What is shown of a version of an open file; of a file that is not open without one.
    pub fn findings(&mut self, name: &str, version: Option<i64>) -> Vec<Value> {
        let uri = self.address(name);
        let told = self.next_told(|message| {
            message["method"] == "textDocument/publishDiagnostics"
                && message["params"]["uri"] == uri
                && message["params"].get("version").and_then(Value::as_i64) == version
        });
        told["params"]["diagnostics"].as_array().unwrap().clone()
    }

    /// A request about a place.
    pub fn at(&mut self, method: &str, name: &str, position: &Value) -> Value {
        let params = json!({ "textDocument": { "uri": self.address(name) }, "position": position });
        self.result(method, params)
    }

    /// Says goodbye; how the server ended and what it wrote for people.
    pub fn finish(mut self) -> (i32, String) {
        assert_eq!(self.result("shutdown", Value::Null), Value::Null);
        self.notify("exit", Value::Null);
        self.end()
    }

    /// Closes the stream and waits.
    pub fn end(&mut self) -> (i32, String) {
        self.to = None;
        let status = self.process.wait().unwrap();
        let mut said = String::new();
        self.process.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        assert!(!said.contains("panicked"), "{said}");
        (status.code().expect("ended by itself"), said)
    }
}

impl Drop for Editor {
    fn drop(&mut self) {
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// Reads a message; `None` at the end of the stream.
fn read(stream: &mut impl std::io::BufRead) -> Option<Value> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if stream.read_line(&mut line).ok()? == 0 {
            return None;
        }
        match line.trim_end() {
            "" => break,
            header => {
                if let Some(number) = header.strip_prefix("Content-Length: ") {
                    length = number.parse().unwrap();
                }
            }
        }
    }
    let mut bytes = vec![0; length];
    stream.read_exact(&mut bytes).ok()?;
    Some(serde_json::from_slice(&bytes).unwrap())
}

/// The place of a mark `|` in a text, which is no part of it, in UTF-16; and the text.
pub fn mark(text: &str, marked: &str) -> Value {
    let plain = marked.replacen('|', "", 1);
    assert_eq!(text.matches(&plain).count(), 1, "{plain} stands once");
    let at = text.find(&plain).unwrap() + marked.find('|').unwrap();
    let before = &text[..at];
    let line = before.matches('\n').count();
    let start = before.rfind('\n').map_or(0, |newline| newline + 1);
    json!({ "line": line, "character": before[start..].encode_utf16().count() })
}

/// The text at a place that an answer names, in UTF-16.
pub fn text_at<'t>(text: &'t str, range: &Value) -> &'t str {
    &text[byte(text, &range["start"])..byte(text, &range["end"])]
}

/// The byte at a place in UTF-16.
pub fn byte(text: &str, position: &Value) -> usize {
    let line = position["line"].as_u64().unwrap() as usize;
    let start: usize = text.split_inclusive('\n').take(line).map(str::len).sum();
    let mut units = position["character"].as_u64().unwrap() as usize;
    let mut at = start;
    for c in text[start..].chars() {
        if units == 0 {
            break;
        }
        units -= c.len_utf16();
        at += c.len_utf8();
    }
    at
}

/// A text with the changes that an answer asks for.
pub fn applied(text: &str, edits: &Value) -> String {
    let mut edits: Vec<(usize, usize, &str)> = edits
        .as_array()
        .unwrap()
        .iter()
        .map(|edit| {
            let range = &edit["range"];
            (byte(text, &range["start"]), byte(text, &range["end"]), edit["newText"].as_str().unwrap())
        })
        .collect();
    edits.sort_unstable();
    let mut changed = text.to_owned();
    for (start, end, new) in edits.into_iter().rev() {
        changed.replace_range(start..end, new);
    }
    changed
}
