//! The messages of a real editor, recorded once, sent again: the answers stay what they were.
//!
//! `tests/editor/record` makes the recording with Neovim. Only the folder, the process and the versions of the editor
//! are replaced in it.

use super::Editor;
use crate::support::{CLEAN, Site};
use serde_json::{Value, json};

const RECORDED: &str = include_str!("recorded.jsonl");

/// A message with the folder of this run.
fn placed(line: &str, folder: &str) -> Value {
    serde_json::from_str(&line.replace("file://FOLDER", folder).replace("FOLDER", folder.trim_start_matches("file://")))
        .unwrap()
}

#[test]
fn the_answers_to_a_recorded_editor() {
    let site = Site::new(&[("garden.yaml", CLEAN)]);
    let mut editor = Editor::silent(&site);
    let folder = editor.address("").trim_end_matches('/').to_owned();
    let mut told: Vec<Value> = Vec::new();
    let mut version = 0;
    for line in RECORDED.lines() {
        let message = placed(line, &folder);
        editor.send(&message);
        let method = message["method"].as_str().unwrap_or("").to_owned();
        match (method.as_str(), message.get("id").and_then(Value::as_i64)) {
            (_, Some(id)) if !method.is_empty() => {
                let answer = editor.answer(id);
                let mut result = answer.get("result").or_else(|| answer.get("error")).unwrap().clone();
                if let Some(Value::String(text)) = result.pointer_mut("/contents/value") {
                    // Margins follow when they are worked out, which may be before or after the question.
                    *text = text.split('\n').filter(|line| !line.contains("s by ")).collect::<Vec<_>>().join("\n");
                }
                told.push(json!({ "answer to": method, "is": result }));
            }
            ("textDocument/didOpen" | "textDocument/didChange", _) => {
                version = message["params"]["textDocument"]["version"].as_i64().unwrap();
                // As slow as somebody who reads, so that each version is checked.
                let findings = editor.findings("garden.yaml", Some(version));
                told.push(json!({ "after": method, "version": version, "findings": findings }));
            }
            _ => {}
        }
    }
    assert!(version > 1, "something was typed");
    assert_eq!(editor.end(), (0, String::new()));
    let text = serde_json::to_string_pretty(&told).unwrap().replace(&folder, "file://FOLDER");
    insta::assert_snapshot!("recorded", text.replace(env!("CARGO_PKG_VERSION"), "VERSION"));
}
