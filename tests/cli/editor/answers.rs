//! Hovers, completions, definitions, references and the outline.

use super::{Editor, applied, byte, mark, text_at};
use crate::support::{CLEAN, Site};
use serde_json::{Value, json};

/// The clean plan, open and checked.
fn opened(site: &Site, text: &str) -> Editor {
    let mut editor = Editor::start(site);
    editor.open("a.yaml", text);
    editor.findings("a.yaml", Some(1));
    editor
}

fn hover(editor: &mut Editor, text: &str, marked: &str) -> String {
    let hover = editor.at("textDocument/hover", "a.yaml", &mark(text, marked));
    hover["contents"]["value"].as_str().unwrap_or("").to_owned()
}

/// What `lintern solve` prints of the same plan.
fn solved(site: &Site) -> Value {
    site.lintern(&["solve", "a.yaml", "--format", "json"]).json()
}

/// Waits for what is worked out after the findings.
fn until(mut tried: impl FnMut() -> String, wanted: &str) -> String {
    for _ in 0..600 {
        let text = tried();
        if text.contains(wanted) {
            return text;
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    panic!("{wanted} does not come: {}", tried());
}

#[test]
fn a_hover_tells_volts_draw_loss_and_load_as_solve_does() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = opened(&site, CLEAN);
    let solved = solved(&site);
    let number = |value: &Value| lintern_number(value.as_f64().unwrap());

    let luminaire = hover(&mut editor, CLEAN, "id: L|2");
    let node = &solved["nodes"]["L2"];
    for wanted in [
        format!("- volts: {} V with conductors at 75 degC, the judged case; ", number(&node["volts"])),
        "V with conductors at 30 degC, the soil case".to_owned(),
        format!("- drop: {} %", number(&node["drop-percent"])),
        format!("- draw: {} A", number(&node["amps"])),
        "- fed by: S1/12".to_owned(),
    ] {
        assert!(luminaire.contains(&wanted), "{wanted} is not in {luminaire}");
    }
    // A place in it that has nothing better to say of itself.
    assert!(hover(&mut editor, CLEAN, "L2, type: well-6, at: [55|, 0]").contains("- fed by: S1/12"));

    let run = hover(&mut editor, CLEAN, "id: R|1");
    let second = &solved["segments"][1];
    for wanted in [
        "- length of cable: 80 ft".to_owned(),
        format!(
            "- L1 to L2: 20 ft, {} ohm, {} A, {} W lost",
            number(&second["ohms"]),
            number(&second["amps"]),
            number(&second["loss-w"])
        ),
    ] {
        assert!(run.contains(&wanted), "{wanted} is not in {run}");
    }

    let supply = hover(&mut editor, CLEAN, "route: [S|1, L1");
    let load = &solved["supplies"]["S1"];
    for wanted in [
        format!("- loading: {} % of 150 VA; the usual limit is 80 %", number(&load["loading-percent"])),
        format!(
            "- output S1/12: {} V, {} A, feeds 2 luminaires",
            number(&load["outputs"]["12"]["volts"]),
            number(&load["outputs"]["12"]["amps"])
        ),
    ] {
        assert!(supply.contains(&wanted), "{wanted} is not in {supply}");
    }
    // By how much each limit is kept follows when it is worked out.
    until(|| hover(&mut editor, CLEAN, "id: L|2"), "passes by");
}

/// As outputs round: four significant digits.
fn lintern_number(value: f64) -> String {
    let digits = (3 - value.abs().log10().floor() as i32).clamp(0, 6) as usize;
    let text = format!("{value:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

#[test]
fn a_hover_tells_keys_words_types_rules_and_findings() {
    let text = CLEAN.replace("breaker: 20 A", "breaker: 30 A")
        + "waivers:\n  - { rule: burial/shallow-cover, subject: R1, reason: none, approved-by: nobody }\n";
    let site = Site::new(&[("a.yaml", &text)]);
    let mut editor = opened(&site, &text);
    let key = hover(&mut editor, &text, "met|hod: direct-burial");
    assert!(
        key.contains("**method**\n\nHow the run is laid.") && key.contains("accepted: `direct-burial`, `pvc-conduit`"),
        "{key}"
    );
    let quantity = hover(&mut editor, &text, "cove|r: 8 in");
    assert!(quantity.contains("Units: m, cm, mm, ft, in.") && quantity.contains("written like: `42 ft`"), "{quantity}");
    let word = hover(&mut editor, &text, "code: nec-20|23");
    assert!(word.contains("- nec-2023: NFPA 70, 2023 edition."), "{word}");
    let of_type = hover(&mut editor, &text, "cable: burial|-12-2");
    assert!(of_type.contains("**burial-12-2: a cable type**") && of_type.contains("- conductor: 12 AWG"), "{of_type}");
    let rule = hover(&mut editor, &text, "rule: burial|/shallow");
    assert!(rule.contains("**burial/shallow-cover**") && rule.contains("level: violation"), "{rule}");
    let finding = until(|| hover(&mut editor, &text, "breaker: 3|0 A"), "margin");
    for wanted in [
        "**violation loading/oversized-branch-circuit**",
        "- basis: NFPA 70 (2023)",
        "- margin: fails by 10 A",
        "- help: ",
    ] {
        assert!(finding.contains(wanted), "{wanted} is not in {finding}");
    }
    // What a plan says can't become a link, a picture or a control sequence.
    let hostile = CLEAN.replace(
        "burial-12-2: { conductor",
        "burial-12-2: { house: { note: \"![x](http://x.example) <b>\\u202e\" }, conductor",
    );
    editor.change("a.yaml", 2, &hostile);
    let of_type = hover(&mut editor, &hostile, "cable: burial|-12-2");
    assert!(
        of_type.contains("note")
            && !of_type.contains("![x]")
            && !of_type.contains("<b>")
            && !of_type.contains('\u{202e}'),
        "{of_type}"
    );
}

#[test]
fn a_hover_says_when_its_values_are_old_or_missing() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = opened(&site, CLEAN);
    let misspelt = CLEAN.replace("method: direct-burial", "methd: direct-burial");
    editor.change("a.yaml", 2, &misspelt);
    editor.findings("a.yaml", Some(2));
    let old = hover(&mut editor, &misspelt, "id: L|2");
    assert!(
        old.contains("- drop: ") && old.contains("Values are of the last text that loaded; the present one does not."),
        "{old}"
    );
    let new = misspelt.replace("id: L2,", "id: L3,").replace("L1, L2]", "L1, L3]");
    editor.change("a.yaml", 3, &new);
    editor.findings("a.yaml", Some(3));
    assert!(hover(&mut editor, &new, "id: L|3").contains("the last text that was checked does not have it"));

    editor.open("b.yaml", &misspelt);
    editor.findings("b.yaml", Some(1));
    let none = editor.at("textDocument/hover", "b.yaml", &mark(&misspelt, "id: L|2"));
    assert!(
        none["contents"]["value"].as_str().unwrap().contains("The plan does not load, so no values are computed"),
        "{none}"
    );
    // No YAML at all.
    editor.change("a.yaml", 4, &format!("{CLEAN}x: [[["));
    let text = format!("{CLEAN}x: [[[");
    assert!(hover(&mut editor, &text, "id: L|2").contains("can't be read at present"));
}

/// Labels of what is offered at the mark of a text, and the text with the first of a label put in.
fn offered(editor: &mut Editor, version: i64, marked: &str) -> Vec<String> {
    let at = marked.find('|').unwrap();
    let text = marked.replacen('|', "", 1);
    editor.change("a.yaml", version, &text);
    let line = text[..at].matches('\n').count();
    let column = text[..at].rsplit('\n').next().unwrap().encode_utf16().count();
    let list = editor.at("textDocument/completion", "a.yaml", &json!({ "line": line, "character": column }));
    let items = list["items"].as_array().cloned().unwrap_or_default();
    for item in &items {
        // Each puts in at least its label, where the cursor is.
        let changed = applied(&text, &json!([item["textEdit"]]));
        assert!(changed.contains(item["label"].as_str().unwrap()), "{item}");
        let range = &item["textEdit"]["range"];
        assert!(byte(&text, &range["start"]) <= at && at <= byte(&text, &range["end"]), "{item}");
    }
    items.iter().map(|item| item["label"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn completion_offers_keys_words_units_ids_types_rules_and_schedules() {
    let site = Site::new(&[
        ("a.yaml", CLEAN),
        (
            "shared/types.yaml",
            "schedule:\n  cables:\n    thick: { conductor: 8 AWG }\n  supplies:\n    twin:\n      output-current: ac\n      outputs: [{ name: \"12\", volts: 12 V }, { name: \"15\", volts: 15 V }]\n",
        ),
        ("shared/other.yaml", "services: []\n"),
    ]);
    let mut editor = opened(&site, CLEAN);
    let mut version = 1;
    let mut at = |from: &str, to: &str| {
        version += 1;
        assert_eq!(CLEAN.matches(from).count(), 1, "{from}");
        offered(&mut editor, version, &CLEAN.replace(from, to))
    };
    // Keys that are not there yet, required ones first.
    let keys = at("riser: pvc-conduit, ", "|, ");
    assert!(keys.contains(&"riser".to_owned()) && keys.contains(&"covers".to_owned()), "{keys:?}");
    assert!(!keys.contains(&"cover".to_owned()) && !keys.contains(&"id".to_owned()), "{keys:?}");
    assert_eq!(at("  - { id: R1, cable", "  - { |\n  - { id: R1, cable")[..3], ["id", "cable", "route"]);
    let top = at("site: { grid", "ju|\nsite: { grid");
    assert!(top.contains(&"junctions".to_owned()) && !top.contains(&"runs".to_owned()), "{top:?}");
    // Words, units.
    assert!(at("method: direct-burial", "method: d|").contains(&"direct-burial".to_owned()));
    assert_eq!(at("gfci: true", "gfci: |"), ["true", "false"]);
    assert_eq!(at("cover: 8 in", "cover: 8 |"), ["m", "cm", "mm", "ft", "in"]);
    assert_eq!(at("conductor: 12 AWG", "conductor: 12 |"), ["AWG", "mm2"]);
    // Ids: the supply with its output, and the other elements a run leads to.
    assert_eq!(at("route: [S1, L1, L2]", "route: [|, L1, L2]"), ["S1/12", "S1", "L1", "L2"]);
    assert_eq!(
        at("site: { grid: ft, soil: loam }", "site: { grid: ft, zones: [{ id: lawn, kind: l| }] }")[..1],
        ["lawn"]
    );
    assert_eq!(
        at("backfill: screened-soil }", "backfill: screened-soil, covers: [{ zone: | }] }\nsite2: {}"),
        [""; 0],
        "there are no zones"
    );
    // Types, those of shared schedules with their outputs.
    assert_eq!(at("cable: burial-12-2, route", "cable: |, route"), ["burial-12-2"]);
    let uses = "use: [shared/types.yaml]\nproject: { name";
    let with_use = CLEAN.replace("project: { name", uses);
    version += 1;
    let types = offered(&mut editor, version, &with_use.replace("cable: burial-12-2, route", "cable: b|, route"));
    assert_eq!(types, ["burial-12-2", "thick"]);
    version += 1;
    let twin =
        with_use.replace("id: S1, type: box-150", "id: S1, type: twin").replace("[S1, L1, L2]", "[S1/|, L1, L2]");
    assert_eq!(offered(&mut editor, version, &twin), ["S1/12", "S1/15", "L1", "L2"]);
    version += 1;
    assert_eq!(
        offered(&mut editor, version, &CLEAN.replace("project: { name", "use: [|]\nproject: { name")),
        ["shared/types.yaml"]
    );
    // Rules and subjects of waivers.
    version += 1;
    let rules = offered(&mut editor, version, &format!("{CLEAN}waivers:\n  - rule: bur|\n"));
    assert!(rules.contains(&"burial/shallow-cover".to_owned()), "{rules:?}");
    version += 1;
    let subjects = offered(&mut editor, version, &format!("{CLEAN}waivers:\n  - {{ rule: x/y, subject: |\n"));
    assert_eq!(subjects, ["S1", "L1", "L2", "R1"]);
    // Not in comments, and none of what is free text.
    version += 1;
    assert_eq!(offered(&mut editor, version, &format!("{CLEAN}# me|\n")), [""; 0]);
    version += 1;
    assert_eq!(offered(&mut editor, version, &CLEAN.replace("name: Two lamps", "name: T|")), [""; 0]);
}

#[test]
fn completion_works_while_the_text_is_broken() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = opened(&site, CLEAN);
    // The list above is not closed, so that the text is no YAML whatever stands at the cursor.
    let broken = CLEAN.replace("outputs: [{ name", "outputs: [[{ name");
    for (version, from, to, wanted) in [
        (2, "method: direct-burial, ", "method: |", "pvc-conduit"),
        (3, "route: [S1, L1, L2]", "route: [S1, |", "L2"),
        (4, "cable: burial-12-2, route", "cable: |", "burial-12-2"),
        (5, "riser: pvc-conduit, ", "ri|", "riser"),
    ] {
        let labels = offered(&mut editor, version, &broken.replace(from, to));
        assert!(labels.contains(&wanted.to_owned()), "{wanted} is not in {labels:?}");
    }
}

#[test]
fn definitions_and_references_of_elements_and_types() {
    let (before, rest) = CLEAN.split_once("  splices:\n").unwrap();
    let (splices, after) = rest.split_once("site:").unwrap();
    let plan = format!("{before}site:{after}").replace("project: {", "use: [shared/types.yaml]\nproject: {")
        + "readings: { taken: [{ at: S1/12, volts: 11.9 V }] }\n";
    let types = format!("# Ω\nschedule:\n  splices:\n{splices}");
    let site = Site::new(&[("a.yaml", &plan), ("shared/types.yaml", &types)]);
    let mut editor = opened(&site, &plan);
    let mut definition = |marked: &str| editor.at("textDocument/definition", "a.yaml", &mark(&plan, marked));
    let own = definition("route: [S1, L1, L|2]");
    assert_eq!(plan[byte(&plan, &own["range"]["start"])..].split(' ').next(), Some("L2,"));
    assert_eq!(text_at(&plan, &definition("at: S1/1|2")["range"]), "S1");
    assert_eq!(text_at(&plan, &definition("cable: bur|ial")["range"]), "burial-12-2");
    let other = definition("L1, type: well-6, at: [40, 0], placement: in-ground, splice: gel|-cap");
    assert!(other["uri"].as_str().unwrap().ends_with("/shared/types.yaml"), "{other}");
    assert_eq!(text_at(&types, &other["range"]), "gel-cap");
    assert!(definition("use: [shared/|types").to_string().contains("/shared/types.yaml"));
    assert_eq!(definition("cov|er: 8 in"), Value::Null);

    let place = mark(&plan, "id: S|1");
    let mut references = |position: &Value, own: bool| {
        let params = json!({
            "textDocument": { "uri": editor.address("a.yaml") }, "position": position,
            "context": { "includeDeclaration": own },
        });
        editor.result("textDocument/references", params).as_array().unwrap().clone()
    };
    let texts: Vec<&str> = references(&place, true).iter().map(|found| text_at(&plan, &found["range"])).collect();
    assert_eq!(texts, ["S1", "S1", "S1/12"]);
    assert_eq!(references(&place, false).len(), 2);
    let of_type =
        references(&mark(&plan, "id: L2, type: well-6, at: [55, 0], placement: in-ground, splice: gel|-cap"), true);
    let files: Vec<&str> =
        of_type.iter().map(|found| found["uri"].as_str().unwrap().rsplit('/').next().unwrap()).collect();
    assert_eq!(files, ["a.yaml", "a.yaml", "types.yaml"]);
}

#[test]
fn the_outline_lists_elements_and_types() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let mut editor = opened(&site, CLEAN);
    let symbols =
        editor.result("textDocument/documentSymbol", json!({ "textDocument": { "uri": editor.address("a.yaml") } }));
    let names: Vec<String> = symbols
        .as_array()
        .unwrap()
        .iter()
        .map(|s| format!("{} ({})", s["name"].as_str().unwrap(), s["detail"].as_str().unwrap()))
        .collect();
    assert_eq!(
        names,
        [
            "S1 (supply box-150)",
            "L1 (luminaire well-6)",
            "L2 (luminaire well-6)",
            "R1 (run burial-12-2)",
            "well-6 (type of luminaires)",
            "burial-12-2 (type of cables)",
            "box-150 (type of supplies)",
            "gel-cap (type of splices)",
        ]
    );
    for symbol in symbols.as_array().unwrap() {
        assert!(text_at(CLEAN, &symbol["range"]).contains(text_at(CLEAN, &symbol["selectionRange"])), "{symbol}");
    }
}
