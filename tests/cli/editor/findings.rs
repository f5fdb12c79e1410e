//! Findings while somebody types.

use super::{Editor, text_at};
use crate::support::{CLEAN, Site};
use serde_json::{Value, json};

fn codes(findings: &[Value]) -> Vec<&str> {
    findings.iter().map(|finding| finding["code"].as_str().unwrap_or("")).collect()
}

#[test]
fn findings_come_and_go_with_the_open_text_which_is_not_saved() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", CLEAN);
    assert_eq!(editor.findings("a.yaml", Some(1)), [] as [Value; 0]);

    let wrong = CLEAN.replace("breaker: 20 A", "breaker: 30 A");
    editor.change("a.yaml", 2, &wrong);
    let found = editor.findings("a.yaml", Some(2));
    assert_eq!(codes(&found), ["loading/oversized-branch-circuit"]);
    let finding = &found[0];
    assert_eq!((&finding["severity"], &finding["source"]), (&json!(1), &json!("lintern")));
    assert_eq!(text_at(&wrong, &finding["range"]), "30 A");
    let message = finding["message"].as_str().unwrap();
    // The same words as on a terminal: what is wrong, the basis, the way out.
    assert!(
        message.contains("30 A") && message.contains("NFPA 70 (2023)") && message.lines().count() >= 3,
        "{message}"
    );

    editor.change("a.yaml", 3, CLEAN);
    assert_eq!(editor.findings("a.yaml", Some(3)), [] as [Value; 0]);
    assert_eq!(std::fs::read_to_string(site.path().join("a.yaml")).unwrap(), CLEAN);
    assert_eq!(editor.finish().0, 0);
}

#[test]
fn levels_waivers_and_the_baseline_show_in_severity_and_tags() {
    let waived = CLEAN.replace("breaker: 20 A", "breaker: 30 A")
        + "waivers:\n  - { rule: loading/oversized-branch-circuit, subject: S1, reason: agreed \u{202e}so, approved-by: Fernhollow County, on: 2026-02-25, until: 2026-12-31 }\n";
    let site = Site::new(&[("a.yaml", &waived), ("b.yaml", &CLEAN.replace("cover: 8 in", "cover: 3 in"))]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", &waived);
    let found = editor.findings("a.yaml", Some(1));
    assert_eq!(codes(&found), ["loading/oversized-branch-circuit"]);
    assert_eq!((&found[0]["severity"], &found[0]["tags"]), (&json!(4), &json!([1])));
    let message = found[0]["message"].as_str().unwrap();
    assert!(message.contains("waived by Fernhollow County on 2026-02-25"), "{message}");
    assert!(message.contains("agreed \\u{202e}so"), "foreign text can't reorder what is shown: {message}");

    let shallow = CLEAN.replace("cover: 8 in", "cover: 3 in").replace("mock-up: 2026-02-20, ", "");
    editor.open("b.yaml", &shallow);
    let found = editor.findings("b.yaml", Some(1));
    let severity = |code: &str| found.iter().find(|f| f["code"] == code).map(|f| f["severity"].clone());
    assert_eq!(severity("burial/shallow-cover"), Some(json!(1)));
    assert!(
        found.iter().any(|finding| finding["severity"] == 3),
        "a record that is left out is a reminder: {found:#?}"
    );

    assert_eq!(site.lintern(&["baseline", ".", "--as-of", "2026-03-01"]).code, 0);
    let uri = editor.address("lintern-baseline.json");
    editor.notify("workspace/didChangeWatchedFiles", json!({ "changes": [{ "uri": uri, "type": 1 }] }));
    let found = editor.findings("b.yaml", Some(1));
    let known = found.iter().find(|f| f["code"] == "burial/shallow-cover").unwrap();
    assert_eq!((&known["severity"], &known["tags"]), (&json!(4), &json!([1])));
    assert!(known["message"].as_str().unwrap().contains("in the baseline"));
}

#[test]
fn a_text_that_does_not_load_shows_why_and_where() {
    let site = Site::new(&[]);
    let mut editor = Editor::start(&site);
    // The file is not on the disk at all.
    let twice = CLEAN.replace("id: L2", "id: L1");
    editor.open("new.yaml", &twice);
    let found = editor.findings("new.yaml", Some(1));
    assert_eq!(found[0]["severity"], 1);
    assert_eq!(text_at(&twice, &found[0]["range"]), "L1");
    let other = &found[0]["relatedInformation"][0];
    assert_eq!(other["location"]["uri"], editor.address("new.yaml"));
    assert_eq!(text_at(&twice, &other["location"]["range"]), "L1");

    let misspelt = CLEAN.replace("method: direct-burial", "methd: direct-burial");
    editor.change("new.yaml", 2, &misspelt);
    let found = editor.findings("new.yaml", Some(2));
    assert_eq!(text_at(&misspelt, &found[0]["range"]), "methd");
    assert!(found[0]["message"].as_str().unwrap().ends_with("did you mean `method`?"), "{}", found[0]);

    editor.change("new.yaml", 3, &format!("{CLEAN}runs: [[[\n"));
    let found = editor.findings("new.yaml", Some(3));
    assert_eq!(found.len(), 1, "{found:#?}");
    editor.change("new.yaml", 4, CLEAN);
    assert_eq!(editor.findings("new.yaml", Some(4)), [] as [Value; 0]);
}

/// The clean plan with its types in a shared schedule.
fn shared() -> (String, String) {
    let (before, rest) = CLEAN.split_once("schedule:\n").unwrap();
    let (types, after) = rest.split_once("site:").unwrap();
    (format!("{before}use: [types.yaml]\nsite:{after}"), format!("schedule:\n{types}"))
}

#[test]
fn an_open_schedule_counts_before_the_file_and_shows_its_own_errors() {
    let (plan, types) = shared();
    let site = Site::new(&[("a.yaml", &plan), ("types.yaml", &types)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", &plan);
    assert_eq!(editor.findings("a.yaml", Some(1)), [] as [Value; 0]);
    editor.open("types.yaml", &types);
    assert_eq!(editor.findings("a.yaml", Some(1)), [] as [Value; 0], "checked again with the open schedule");

    let small = types.replace("rating: 150 VA", "rating: 15 VA");
    editor.change("types.yaml", 2, &small);
    let found = editor.findings("a.yaml", Some(1));
    assert!(codes(&found).contains(&"loading/overloaded-supply"), "{found:#?}");

    let broken = types.replace("conductor: 12 AWG", "conductor: 12 gauge");
    editor.change("types.yaml", 3, &broken);
    let found = editor.findings("types.yaml", Some(3));
    assert_eq!(text_at(&broken, &found[0]["range"]), "12 gauge");
    let found = editor.findings("a.yaml", Some(1));
    assert_eq!(found.len(), 1, "what is wrong is in the other file, and the plan says so: {found:#?}");
    assert!(found[0]["message"].as_str().unwrap().contains("not checked: there are errors in"), "{found:#?}");

    // Closed without saving: the file on the disk counts again, and the error is taken back.
    let uri = editor.address("types.yaml");
    editor.notify("textDocument/didClose", json!({ "textDocument": { "uri": uri } }));
    assert_eq!(editor.findings("types.yaml", None), [] as [Value; 0]);
}

#[test]
fn a_schedule_outside_of_the_repository_stays_outside() {
    let (plan, types) = shared();
    let outside = Site::new(&[("types.yaml", &types)]);
    let folder = outside.path().file_name().unwrap().to_str().unwrap().to_owned();
    let plan = plan.replace("use: [types.yaml]", &format!("use: [../{folder}/types.yaml]"));
    let site = Site::new(&[("a.yaml", &plan)]);
    let mut editor = Editor::start(&site);
    // Even where the editor has it open.
    let uri = format!("file://{}/types.yaml", outside.path().canonicalize().unwrap().display());
    let item = json!({ "uri": uri, "languageId": "yaml", "version": 1, "text": types });
    editor.notify("textDocument/didOpen", json!({ "textDocument": item }));
    editor.open("a.yaml", &plan);
    let found = editor.findings("a.yaml", Some(1));
    assert!(found[0]["message"].as_str().unwrap().contains("is outside the plan repository"), "{found:#?}");
}

#[test]
fn no_version_is_shown_after_a_newer_one() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", CLEAN);
    for version in 2..60 {
        editor.change("a.yaml", version, &CLEAN.replace("breaker: 20 A", &format!("breaker: {} A", 20 + version % 3)));
        std::thread::sleep(std::time::Duration::from_millis(7 * (version as u64 % 9)));
    }
    let mut versions = Vec::new();
    while versions.last() != Some(&59) {
        let told = editor.next_told(|message| message["method"] == "textDocument/publishDiagnostics");
        versions.push(told["params"]["version"].as_i64().unwrap());
    }
    assert!(versions.is_sorted(), "{versions:?}");
    assert!(versions.len() < 40, "superseded versions are not checked: {versions:?}");
}

#[test]
fn a_wrong_configuration_is_shown_in_its_own_file_and_read_again_when_saved() {
    let site = Site::new(&[
        ("a.yaml", CLEAN),
        ("lintern.yaml", "lintern: 1\nrules: { settings: { voltage/excess-dropp: { limit: 3 % } } }\n"),
    ]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", CLEAN);
    let found = editor.findings("lintern.yaml", None);
    assert!(found[0]["message"].as_str().unwrap().contains("voltage/excess-dropp"), "{found:#?}");
    assert_eq!(editor.findings("a.yaml", Some(1)), [] as [Value; 0], "the plan is checked with the other rules");

    site.write("lintern.yaml", b"lintern: 1\nrules: { settings: { loading/overloaded-supply: { limit: 5 % } } }\n");
    let uri = editor.address("lintern.yaml");
    editor.notify("textDocument/didSave", json!({ "textDocument": { "uri": uri } }));
    assert_eq!(editor.findings("lintern.yaml", None), [] as [Value; 0]);
    let found = editor.findings("a.yaml", Some(1));
    assert!(codes(&found).contains(&"loading/overloaded-supply"), "{found:#?}");
}

#[test]
fn files_of_other_sorts_are_not_spoken_of() {
    let site = Site::new(&[]);
    let mut editor = Editor::start(&site);
    editor.open("compose.yaml", "services:\n  plan: x\n  a: [\n");
    let hover = editor.at("textDocument/hover", "compose.yaml", &json!({ "line": 0, "character": 2 }));
    let completion = editor.at("textDocument/completion", "compose.yaml", &json!({ "line": 1, "character": 3 }));
    assert_eq!((hover, completion), (Value::Null, Value::Null));
    // A plan that is checked afterwards is the first that anything is said of.
    editor.open("a.yaml", CLEAN);
    let told = editor.next_told(|message| message["method"] == "textDocument/publishDiagnostics");
    assert_eq!(told["params"]["uri"], editor.address("a.yaml"));
    // What was a plan is held for one while it is open: its key is being typed.
    editor.change("a.yaml", 2, &CLEAN.replace("breaker: 20 A", "breaker: 30 A"));
    assert_eq!(editor.findings("a.yaml", Some(2)).len(), 1);
    editor.change("a.yaml", 3, &CLEAN.replacen("plan: 1", "pan: 1", 1));
    let found = editor.findings("a.yaml", Some(3));
    assert!(found.iter().any(|told| told["message"].as_str().unwrap().contains("`plan`")), "{found:#?}");
}

#[test]
fn a_text_that_is_opened_anew_is_not_shown_what_was_found_before() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = Editor::start(&site);
    let wrong = CLEAN.replace("breaker: 20 A", "breaker: 30 A");
    let uri = editor.address("a.yaml");
    for _ in 0..5 {
        editor.open("a.yaml", &wrong);
        editor.notify("textDocument/didClose", json!({ "textDocument": { "uri": uri } }));
    }
    // The versions of what was closed have the same number.
    editor.open("a.yaml", CLEAN);
    assert_eq!(editor.findings("a.yaml", Some(1)), [] as [Value; 0]);
    editor.change("a.yaml", 2, &wrong);
    assert_eq!(editor.findings("a.yaml", Some(2)).len(), 1);
}
