//! The baseline: what was there is let be, what is new fails, what is gone is told, what changed counts again.

use super::{open, with_two_violations, with_violation, words};
use crate::support::{CLEAN, Outcome, Site};

fn check(site: &Site, more: &[&str]) -> Outcome {
    site.lintern(&[&["check", "--as-of", "2026-03-01", "--no-remedies", "--format", "json"], more].concat())
}

fn baseline(site: &Site) -> Outcome {
    site.lintern(&["baseline", "--as-of", "2026-03-01"])
}

#[test]
fn what_is_recorded_does_not_count_and_what_is_new_does() {
    let site = Site::new(&[("a.yaml", &with_violation())]);
    assert_eq!(check(&site, &[]).code, 1);
    let wrote = baseline(&site);
    assert_eq!(wrote.code, 0, "{wrote:#?}");
    assert_eq!(wrote.out, "wrote lintern-baseline.json: 1 finding of 1 plan\n");
    let known = check(&site, &[]);
    assert_eq!(known.code, 0, "{known:#?}");
    assert_eq!(known.json()["plans"][0]["findings"][0]["baseline"]["state"], "known");
    assert_eq!(known.json()["summary"]["baseline"], 1);
    let comment = site.lintern(&["check", "--as-of", "2026-03-01", "--no-remedies", "--format", "markdown"]).out;
    let heading = "## lintern: nothing that counts stands against it, 1 in the baseline (1 violation)\n";
    assert!(comment.starts_with(heading), "{comment}");
    assert_eq!(check(&site, &["--no-baseline"]).code, 1);
    assert_eq!(check(&site, &["--as-reviewer"]).code, 1);
    site.write("a.yaml", with_two_violations().as_bytes());
    let new = check(&site, &[]);
    assert_eq!(new.code, 1);
    assert_eq!(open(&new), ["burial/shallow-cover R1"]);
}

#[test]
fn layout_comments_and_the_day_do_not_open_a_finding_again_but_its_inputs_do() {
    let site = Site::new(&[("a.yaml", &with_violation())]);
    baseline(&site);
    // Lines move, keys change places, another spelling of the same quotes.
    let moved = format!("# a remark\n\n{}", with_violation())
        .replace("{ circuit: LT-3, breaker: 30 A,", "{ breaker: \"30 A\", circuit: LT-3,");
    site.write("a.yaml", moved.as_bytes());
    let same = check(&site, &[]);
    assert_eq!(same.code, 0, "{same:#?}");
    let later = site.lintern(&["check", "--as-of", "2026-03-02", "--no-remedies", "--format", "json"]);
    assert_eq!(later.json()["plans"][0]["findings"][0]["baseline"]["state"], "known");
    site.write("a.yaml", with_violation().replace("breaker: 30 A", "breaker: 25 A").as_bytes());
    let changed = check(&site, &[]);
    assert_eq!(changed.code, 1);
    let finding = &changed.json()["plans"][0]["findings"][0];
    assert_eq!(finding["baseline"]["state"], "reopened");
    assert_eq!(finding["baseline"]["was"], serde_json::json!({ "value": 30.0, "unit": "A" }));
    assert_eq!(changed.json()["summary"]["reopened"], 1);
    let text = site.lintern(&["check", "--as-of", "2026-03-01", "--no-remedies"]).out;
    let text = words(&text);
    assert!(text.contains("(in the baseline, but its inputs have changed, was 30 A)"), "{text}");
    assert!(text.contains("baseline lintern-baseline.json: 1 finding as of 2026-03-01"), "{text}");
}

#[test]
fn what_is_gone_is_told_as_cured_only_where_the_rule_could_judge_it() {
    let site = Site::new(&[("a.yaml", &with_two_violations())]);
    baseline(&site);
    site.write("a.yaml", with_violation().as_bytes());
    let cured = check(&site, &[]);
    assert_eq!(cured.code, 0);
    assert_eq!(cured.json()["summary"]["cured"], 1);
    let told = &cured.json()["plans"][0]["cured"][0];
    assert_eq!((told["rule"].as_str(), told["sure"].as_bool()), (Some("burial/shallow-cover"), Some(true)));
    assert_eq!(told["was"], serde_json::json!({ "value": 3.0, "unit": "in" }));
    site.write("a.yaml", with_violation().replace(", cover: 8 in", "").as_bytes());
    let unsure = check(&site, &[]).json();
    assert_eq!(unsure["summary"]["cured"], 0);
    assert_eq!(unsure["plans"][0]["cured"][0]["sure"], false);
}

#[test]
fn two_findings_of_one_rule_at_one_element_are_told_apart_by_their_inputs() {
    // Two zones that R1 crosses with too little cover; the first is cured.
    let site_of = |drive: &str, walk: &str| {
        CLEAN
            .replace("site: { grid: ft, soil: loam }", "site:\n  grid: ft\n  soil: loam\n  zones:\n    - { id: drive, kind: driveway, outline: [[10, -5], [20, -5], [20, 5], [10, 5]] }\n    - { id: lot, kind: parking, outline: [[22, -5], [30, -5], [30, 5], [22, 5]] }")
            .replace("cover: 8 in, riser", &format!("cover: 8 in, covers: [{{ zone: drive, cover: {drive} }}, {{ zone: lot, cover: {walk} }}], riser"))
    };
    let site = Site::new(&[("a.yaml", &site_of("9 in", "10 in"))]);
    let before = check(&site, &[]);
    let shallow = |outcome: &Outcome| open(outcome).iter().filter(|name| *name == "burial/shallow-cover R1").count();
    assert_eq!(shallow(&before), 2, "{:?}", open(&before));
    baseline(&site);
    assert_eq!(check(&site, &[]).code, 0);
    site.write("a.yaml", site_of("30 in", "10 in").as_bytes());
    let after = check(&site, &[]).json();
    let findings = after["plans"][0]["findings"].as_array().unwrap();
    let left: Vec<_> = findings.iter().filter(|f| f["rule"] == "burial/shallow-cover").collect();
    assert_eq!(left.len(), 1);
    assert_eq!(left[0]["measured"]["value"], 10.0);
}

#[test]
fn a_baseline_of_a_part_keeps_the_rest_and_forgets_plans_that_are_gone() {
    let site =
        Site::new(&[("a.yaml", &with_violation()), ("b.yaml", &with_violation()), ("c.yaml", &with_violation())]);
    baseline(&site);
    std::fs::remove_file(site.path().join("c.yaml")).unwrap();
    let told = check(&site, &[]).json();
    assert_eq!(told["seal"]["repositories"][0]["baseline"]["gone"], serde_json::json!(["c.yaml"]));
    let again = site.lintern(&["baseline", "a.yaml", "--as-of", "2026-03-01"]);
    assert_eq!(again.out, "wrote lintern-baseline.json: 1 finding of 1 plan, 1 finding of other plans kept\n");
    let file = std::fs::read_to_string(site.path().join("lintern-baseline.json")).unwrap();
    assert!(file.contains("\"a.yaml\"") && file.contains("\"b.yaml\"") && !file.contains("c.yaml"), "{file}");
}

#[test]
fn a_baseline_that_can_not_be_trusted_is_an_error_and_none_is_written_over_errors() {
    let site = Site::new(&[("a.yaml", &with_violation()), ("lintern-baseline.json", "{}")]);
    let outcome = check(&site, &[]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.out.contains("the baseline lintern-baseline.json is none"), "{}", outcome.out);
    assert_eq!(open(&outcome), ["loading/oversized-branch-circuit S1"]);
    site.write("lintern-baseline.json", br#"{"lintern-baseline":2,"version":"9","as-of":"2026-03-01","findings":[]}"#);
    assert!(check(&site, &[]).out.contains("has format 2; this version reads 1"));
    std::fs::remove_file(site.path().join("lintern-baseline.json")).unwrap();
    site.write("b.yaml", b"plan: 1\nruns: 3\n");
    let refused = baseline(&site);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("no baseline is written"), "{}", refused.err);
    assert!(!site.path().join("lintern-baseline.json").exists());
}

#[cfg(unix)]
#[test]
fn a_baseline_outside_of_the_repository_is_not_read() {
    let outside = Site::new(&[("a.yaml", &with_violation())]);
    baseline(&outside);
    let site = Site::new(&[("a.yaml", &with_violation())]);
    std::os::unix::fs::symlink(outside.path().join("lintern-baseline.json"), site.path().join("lintern-baseline.json"))
        .unwrap();
    let outcome = check(&site, &[]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.out.contains("outside the plan repository"), "{}", outcome.out);
}
