//! Changes to the text: renamed elements, and cures of findings.

use super::{Editor, applied, mark, text_at};
use crate::support::{CLEAN, Site};
use serde_json::{Value, json};

#[test]
fn an_element_is_renamed_everywhere_and_the_plan_still_passes() {
    let plan =
        format!("{CLEAN}readings: {{ taken: [{{ at: 'S1/12', volts: 11.92 V }}, {{ at: L1, volts: 11.8 V }}] }}\n");
    let site = Site::new(&[("a.yaml", &plan)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", &plan);
    let before = editor.findings("a.yaml", Some(1));
    let prepared = editor.at("textDocument/prepareRename", "a.yaml", &mark(&plan, "at: 'S|1/12'"));
    assert_eq!((text_at(&plan, &prepared["range"]), &prepared["placeholder"]), ("S1", &json!("S1")));
    for (version, marked, new, wanted) in [
        (
            2,
            "route: [S|1, L1",
            "7",
            plan.replace("id: S1,", "id: \"7\",").replace("[S1, L1", "[\"7\", L1").replace("'S1/12'", "'7/12'"),
        ),
        (
            3,
            "at: L|1, volts",
            "door",
            plan.replace("id: L1,", "id: door,").replace("S1, L1,", "S1, door,").replace("at: L1,", "at: door,"),
        ),
    ] {
        let params = json!({ "textDocument": { "uri": editor.address("a.yaml") }, "position": mark(&plan, marked), "newName": new });
        let edit = editor.result("textDocument/rename", params);
        let change = &edit["documentChanges"][0];
        assert_eq!(change["textDocument"]["version"], version - 1);
        let renamed = applied(&plan, &change["edits"]);
        assert_eq!(renamed, wanted);
        editor.change("a.yaml", version, &renamed);
        assert_eq!(editor.findings("a.yaml", Some(version)).len(), before.len(), "the same findings as before");
        // Back for the next one.
        if version == 2 {
            let params = json!({ "textDocument": { "uri": editor.address("a.yaml") }, "position": mark(&renamed, "id: \"7|\""), "newName": "S1" });
            let back = editor.result("textDocument/rename", params);
            assert!(applied(&renamed, &back["documentChanges"][0]["edits"]).contains("id: \"S1\""));
            editor.edit("a.yaml", 2, json!([{ "text": plan }]));
        }
    }
}

#[test]
fn what_can_not_be_renamed_is_refused_with_the_reason() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", CLEAN);
    let mut rename = |marked: &str, new: &str| {
        let params = json!({ "textDocument": { "uri": editor.address("a.yaml") }, "position": mark(CLEAN, marked), "newName": new });
        editor.refusal("textDocument/rename", params)
    };
    for (marked, new, wanted) in [
        ("id: L|2", "L1", "`L1` is taken: it is a luminaire of this plan"),
        ("id: L|2", "a b", "is not an id"),
        ("id: L|2", "", "is not an id"),
        ("id: L|2", "\u{1b}[31m", "is not an id"),
        ("cov|er: 8 in", "x", "this is a key"),
        ("cable: burial|-12-2", "x", "this names a type"),
        ("name: Two la|mps", "x", "no element is named here"),
    ] {
        let (code, message) = rename(marked, new);
        assert!(code == -32803 && message.contains(wanted), "{marked} {new}: {code} {message}");
        assert!(!message.contains('\u{1b}'));
    }
    editor.change("a.yaml", 2, &format!("{CLEAN}x: [[["));
    let params = json!({ "textDocument": { "uri": editor.address("a.yaml") }, "position": mark(CLEAN, "id: L|2") });
    assert!(editor.refusal("textDocument/prepareRename", params).1.contains("can't be read at present"));
}

/// The cures that are offered at a mark.
fn cures(editor: &mut Editor, text: &str, marked: &str, context: Value) -> Value {
    let place = mark(text, marked);
    let params = json!({
        "textDocument": { "uri": editor.address("a.yaml") }, "range": { "start": place, "end": place }, "context": context,
    });
    editor.ask("textDocument/codeAction", params)
}

#[test]
fn a_cure_is_offered_as_a_small_change_that_cures() {
    let wrong = CLEAN.replace("cover: 8 in", "cover: 3 in").replace('\n', "\r\n");
    let site = Site::new(&[("a.yaml", &wrong)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", &wrong);
    let before = editor.findings("a.yaml", Some(1));
    assert!(before.iter().any(|finding| finding["code"] == "burial/shallow-cover"), "{before:#?}");
    let answer = cures(
        &mut editor,
        &wrong,
        "cover: 3| in",
        json!({ "diagnostics": before, "only": ["quickfix"], "triggerKind": 1 }),
    );
    let actions = answer["result"].as_array().unwrap();
    assert!(!actions.is_empty());
    // The same cures as on the command line, in its order.
    let listed = site
        .lintern(&["remedy", "a.yaml", "--rule", "burial/shallow-cover", "--as-of", "2026-03-01", "--format", "json"])
        .json();
    let title = actions[0]["title"].as_str().unwrap();
    assert!(title.starts_with(listed["cures"][0]["summary"].as_str().unwrap()), "{title} {listed:#}");
    let mut version = 1;
    for action in actions {
        assert_eq!((&action["kind"], &action["diagnostics"][0]["source"]), (&json!("quickfix"), &json!("lintern")));
        let change = &action["edit"]["documentChanges"][0];
        assert_eq!(change["textDocument"]["version"], 1);
        let cured = applied(&wrong, &change["edits"]);
        assert!(cured.contains("\r\n") && !cured.replace("\r\n", "").contains('\n'), "line ends stay");
        version += 1;
        editor.change("a.yaml", version, &cured);
        let after = editor.findings("a.yaml", Some(version));
        assert!(
            after.len() < before.len() && after.iter().all(|f| f["code"] != "burial/shallow-cover"),
            "{title}: {after:#?}"
        );
    }
}

#[test]
fn cures_are_offered_only_where_they_are_asked_for_and_true() {
    let wrong = CLEAN.replace("cover: 8 in", "cover: 3 in");
    let site = Site::new(&[("a.yaml", &wrong)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", &wrong);
    editor.findings("a.yaml", Some(1));
    let context = || json!({ "diagnostics": [] });
    assert_eq!(cures(&mut editor, &wrong, "grid: f|t", context())["result"], json!([]));
    let refactor = json!({ "diagnostics": [], "only": ["refactor"] });
    assert_eq!(cures(&mut editor, &wrong, "cover: 3| in", refactor)["result"], json!([]));
    // Editors ask at each move of the cursor.
    let by_itself = json!({ "diagnostics": [], "triggerKind": 2 });
    assert_eq!(cures(&mut editor, &wrong, "cover: 3| in", by_itself)["result"], json!([]));

    // The text moves on while the cure is looked for.
    let place = mark(&wrong, "cover: 3| in");
    let range = json!({ "start": place, "end": place });
    let params = json!({ "textDocument": { "uri": editor.address("a.yaml") }, "range": range, "context": context() });
    let id = editor.ask_behind_others("textDocument/codeAction", &params);
    editor.change("a.yaml", 2, &wrong.replace("Two lamps", "Three lamps"));
    assert_eq!(editor.answer(id)["error"]["code"], -32801);
}
