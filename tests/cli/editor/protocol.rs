//! The conversation itself: its order, what makes no sense, and its end.

use super::{Editor, applied, capabilities, mark, text_at};
use crate::support::{CLEAN, Site};
use serde_json::{Value, json};

#[test]
fn the_order_of_the_conversation_is_kept() {
    let site = Site::new(&[]);
    let mut editor = Editor::silent(&site);
    let hover =
        json!({ "textDocument": { "uri": "file:///nowhere/a.yaml" }, "position": { "line": 0, "character": 0 } });
    assert_eq!(editor.refusal("textDocument/hover", hover.clone()).0, -32002);
    let offered = editor.result("initialize", json!({ "capabilities": {} }));
    assert_eq!(offered["capabilities"]["positionEncoding"], "utf-16");
    assert_eq!(offered["serverInfo"]["name"], "lintern");
    assert_eq!(editor.refusal("initialize", json!({ "capabilities": {} })).0, -32600);
    // A text that is not open.
    assert_eq!(editor.result("textDocument/hover", hover.clone()), Value::Null);
    assert_eq!(editor.result("shutdown", Value::Null), Value::Null);
    assert_eq!(editor.refusal("textDocument/hover", hover).0, -32600);
    editor.notify("exit", Value::Null);
    assert_eq!(editor.end(), (0, String::new()));
}

#[test]
fn requests_that_make_no_sense_are_answered_and_the_server_goes_on() {
    let site = Site::new(&[]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", CLEAN);
    for (method, params, code) in [
        ("textDocument/nothing", json!({}), -32601),
        ("workspace/symbol", json!({ "query": "" }), -32601),
        ("textDocument/hover", json!({}), -32602),
        ("textDocument/hover", json!({ "textDocument": { "uri": 7 } }), -32602),
        ("textDocument/rename", Value::Null, -32602),
        ("textDocument/codeAction", json!({ "textDocument": {} }), -32602),
        (
            "textDocument/completion",
            json!({ "textDocument": { "uri": editor.address("a.yaml") }, "position": 3 }),
            -32602,
        ),
    ] {
        assert_eq!(editor.refusal(method, params).0, code, "{method}");
    }
    // Notifications have no answer, whatever they hold.
    for (method, params) in [
        ("textDocument/didChange", json!({ "textDocument": 3 })),
        ("textDocument/didOpen", Value::Null),
        ("textDocument/didClose", json!([])),
        ("$/cancelRequest", json!({ "id": "none" })),
        ("$/cancelRequest", Value::Null),
        ("workspace/didChangeConfiguration", json!({ "settings": null })),
        ("nothing", json!({})),
    ] {
        editor.notify(method, params);
    }
    editor.send_bytes(b"Content-Length: 9\r\n\r\n{\"a\": [}}");
    let told = editor.next_told(|message| message.get("error").is_some());
    assert_eq!((&told["id"], &told["error"]["code"]), (&Value::Null, &json!(-32700)));
    // A place far outside.
    let far = json!({ "line": 4_000_000_000_u32, "character": 4_000_000_000_u32 });
    let _ = editor.at("textDocument/hover", "a.yaml", &far);
    assert_eq!(editor.at("textDocument/definition", "a.yaml", &far), Value::Null);
    editor.edit(
        "a.yaml",
        2,
        json!([{ "range": { "start": far, "end": { "line": 0, "character": 0 } }, "text": CLEAN }]),
    );
    assert_eq!(editor.findings("a.yaml", Some(2)), [] as [Value; 0]);
    let (code, said) = editor.finish();
    assert_eq!(code, 0);
    assert_eq!(said.lines().filter(|line| line.contains("is passed over")).count(), 3, "{said}");
}

#[test]
fn a_stream_that_ends_or_breaks_ends_the_server() {
    let site = Site::new(&[]);
    // Gone without a word.
    assert_eq!(Editor::start(&site).end(), (1, String::new()));
    // `exit` without `shutdown`.
    let mut editor = Editor::start(&site);
    editor.notify("exit", Value::Null);
    assert_eq!(editor.end(), (1, String::new()));
    for broken in [
        &b"GET / HTTP/1.1\r\n\r\n"[..],
        b"Content-Length: 99999999999999999999\r\n\r\n",
        b"Content-Length: 50\r\n\r\n{}",
        b"Content-Length: -3\r\n\r\n{}",
    ] {
        let mut editor = Editor::silent(&site);
        editor.send_bytes(broken);
        let (code, said) = editor.end();
        assert!(code == 2 && said.contains("can't be read"), "{code} {said}");
    }
}

#[test]
fn a_cancelled_request_is_answered_as_cancelled() {
    let wrong = CLEAN.replace("cover: 8 in", "cover: 3 in");
    let site = Site::new(&[("a.yaml", &wrong)]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", &wrong);
    assert!(!editor.findings("a.yaml", Some(1)).is_empty());
    let place = mark(&wrong, "cover: 3| in");
    let range = json!({ "start": place, "end": place });
    let params = json!({ "textDocument": { "uri": editor.address("a.yaml") }, "range": range, "context": { "diagnostics": [] } });
    let id = editor.ask_behind_others("textDocument/codeAction", &params);
    editor.notify("$/cancelRequest", json!({ "id": id }));
    assert_eq!(editor.answer(id)["error"]["code"], -32800);
    // The server goes on.
    assert!(!editor.at("textDocument/hover", "a.yaml", &place).is_null());
}

#[test]
fn columns_count_what_was_agreed_on_with_marks_and_all_line_ends() {
    let text =
        format!("\u{feff}# 🌳\r\n{}", CLEAN.replace("name: Two lamps", "name: \"🌳✓ lamps\"").replace('\n', "\r\n"));
    let text = text.replace("breaker: 20 A", "breaker: 30 A").replace("id: L1, type", "id: L1 , type");
    let site = Site::new(&[]);
    let mut editor = Editor::start(&site);
    editor.open("a.yaml", &text);
    let found = editor.findings("a.yaml", Some(1));
    assert_eq!(text_at(&text, &found[0]["range"]), "30 A");
    let place = mark(&text, "lamps\", coun|try");
    let hover = editor.at("textDocument/hover", "a.yaml", &place);
    assert_eq!(text_at(&text, &hover["range"]), "country");

    let mut able = capabilities();
    able["general"] = json!({ "positionEncodings": ["utf-32", "utf-8", "utf-16"] });
    let mut editor = Editor::with(&site, able);
    assert_eq!(editor.offered["capabilities"]["positionEncoding"], "utf-8");
    editor.open("a.yaml", &text);
    let line = text.lines().position(|line| line.contains("country")).unwrap();
    let column = text.lines().nth(line).unwrap().find("country").unwrap();
    let hover = editor.at("textDocument/hover", "a.yaml", &json!({ "line": line, "character": column + 2 }));
    assert_eq!(hover["range"]["start"], json!({ "line": line, "character": column }));
    // Bytes in changes too: the tree is four of them.
    let tree = json!({ "line": 0, "character": 5 });
    let behind = json!({ "line": 0, "character": 9 });
    editor.edit("a.yaml", 2, json!([{ "range": { "start": tree, "end": behind }, "text": "oak" }]));
    let symbols =
        editor.result("textDocument/documentSymbol", json!({ "textDocument": { "uri": editor.address("a.yaml") } }));
    assert!(symbols.as_array().unwrap().iter().any(|symbol| symbol["name"] == "L1"), "{symbols}");
}

#[test]
fn an_old_client_gets_plain_text_and_plain_changes() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = Editor::with(&site, json!({}));
    editor.open("a.yaml", CLEAN);
    let hover = editor.at("textDocument/hover", "a.yaml", &mark(CLEAN, "meth|od: direct-burial"));
    assert_eq!(hover["contents"]["kind"], "plaintext");
    let text = hover["contents"]["value"].as_str().unwrap();
    assert!(text.starts_with("method\nHow the run is laid.\n") && !text.contains("**"), "{text}");
    let uri = editor.address("a.yaml");
    let params = json!({ "textDocument": { "uri": uri }, "position": mark(CLEAN, "id: L|2"), "newName": "far" });
    let edit = editor.result("textDocument/rename", params);
    let changed = applied(CLEAN, &edit["changes"][&uri]);
    assert_eq!(changed, CLEAN.replace("id: L2", "id: far").replace("L1, L2]", "L1, far]"));
}
