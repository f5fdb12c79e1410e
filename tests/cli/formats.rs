//! What is printed: snapshots for people and for machines, and text that must not harm a terminal.

use crate::support::{CLEAN, Site, demo, run};

#[test]
fn the_demo_with_mistakes_on_a_terminal() {
    let outcome = run(&demo(), &["check", "--as-of", "2026-03-05", "quarry-lane"], &[("COLUMNS", "100")]);
    insta::assert_snapshot!(outcome.out);
}

#[test]
fn the_demo_with_mistakes_as_json() {
    let outcome = run(&demo(), &["check", "--as-of", "2026-03-05", "--format", "json", "quarry-lane"], &[]);
    let version = format!("\"version\": \"{}\"", env!("CARGO_PKG_VERSION"));
    // The digests of the seal change with every module.
    let (before, rest) = outcome.out.split_once("  \"seal\": {").unwrap();
    let (_, after) = rest.split_once("\n  \"summary\"").unwrap();
    let document = format!("{before}  \"seal\": {{ … }},\n  \"summary\"{after}");
    insta::assert_snapshot!(document.replace(&version, "\"version\": \"[version]\""));
}

#[test]
fn the_clean_demo_plans_on_a_terminal() {
    let outcome =
        run(&demo(), &["check", "--as-of", "2026-03-05", "fernhollow-court", "marlpit-green"], &[("COLUMNS", "100")]);
    insta::assert_snapshot!(outcome.out);
}

#[test]
fn solve_as_a_table_and_as_json() {
    let plan = "marlpit-green/green.yaml";
    insta::assert_snapshot!("solve_table", run(&demo(), &["solve", plan], &[]).out);
    insta::assert_snapshot!(
        "solve_json",
        run(&demo(), &["solve", plan, "--format", "json", "--case", "soil"], &[]).out
    );
}

#[test]
fn readings_as_a_table_and_as_json() {
    let plan = "quarry-lane/path-as-built.yaml";
    let table = run(&demo(), &["readings", plan], &[]);
    assert_eq!(table.code, 1);
    insta::assert_snapshot!("readings_table", table.out);
    insta::assert_snapshot!("readings_json", run(&demo(), &["readings", plan, "--format", "json"], &[]).out);
}

#[test]
fn readings_end_with_0_when_all_are_inside_and_with_2_when_there_are_none() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let none = site.lintern(&["readings", "a.yaml"]);
    assert_eq!(none.code, 2);
    assert!(none.err.contains("has no `readings`"), "{}", none.err);
    let good = format!("{CLEAN}readings: {{ taken: [{{ at: S1, volts: 11.98 V }}] }}\n");
    let outcome = Site::new(&[("a.yaml", &good)]).lintern(&["readings", "a.yaml", "--format", "json"]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    assert_eq!(outcome.json()["outcome"], "within-tolerance");
    let wrong = format!("{CLEAN}readings: {{ taken: [{{ at: L9, volts: 11.98 V }}] }}\n");
    assert_eq!(Site::new(&[("a.yaml", &wrong)]).lintern(&["readings", "a.yaml"]).code, 2);
}

#[test]
fn solve_ends_with_1_when_a_part_has_no_answer() {
    let site = Site::new(&[("a.yaml", &CLEAN.replace("60 ft", "9000 ft"))]);
    let outcome = site.lintern(&["solve", "a.yaml", "--format", "json"]);
    assert_eq!(outcome.code, 1);
    let json = outcome.json();
    assert_eq!(json["operating"], false);
    assert_eq!(json["nodes"]["L1"]["volts"], serde_json::Value::Null);
    assert!(json["unsolved"][0]["reason"].as_str().unwrap().starts_with("no operating point"));
}

#[test]
fn rules_and_explain() {
    let site = Site::new(&[]);
    insta::assert_snapshot!(site.lintern(&["rules"]).out);
    let page = site.lintern(&["explain", "voltage/undervoltage"]);
    assert_eq!(page.code, 0);
    assert!(page.out.contains("110.3(B)") && page.out.contains("## When to waive"), "{}", page.out);
    let wrong = site.lintern(&["explain", "voltage/undervoltag"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("did you mean `voltage/undervoltage`?"), "{}", wrong.err);
}

#[test]
fn the_schema_accepts_the_demo_plans_shape() {
    let schema = Site::new(&[]).lintern(&["schema"]).json();
    assert_eq!(schema["required"], serde_json::json!(["plan"]));
    assert!(schema["properties"]["runs"]["description"].is_string());
}

#[test]
fn names_from_a_plan_can_not_steer_a_terminal() {
    let site = Site::new(&[(
        "a.yaml",
        &CLEAN.replace("circuit: LT-3", r#"circuit: "\e[2J\e]0;x\a""#).replace("breaker: 20 A", "breaker: 0.1 A"),
    )]);
    let outcome = site.lintern(&["check", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 1, "{outcome:#?}");
    assert!(!outcome.out.contains('\u{1b}') && !outcome.out.contains('\u{7}'), "{:?}", outcome.out);
    assert!(outcome.out.contains("\\u{1b}[2J"), "{}", outcome.out);
}
