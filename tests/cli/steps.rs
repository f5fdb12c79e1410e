//! `lintern steps`: what remains of a job, in the order of the work.

use crate::support::{CLEAN, Site, demo, run};
use serde_json::Value;

fn states(document: &Value) -> Vec<(String, String)> {
    let of = |step: &Value, key: &str| step[key].as_str().unwrap().to_owned();
    document["steps"].as_array().unwrap().iter().map(|step| (of(step, "id"), of(step, "state"))).collect()
}

fn state<'a>(states: &'a [(String, String)], id: &str) -> &'a str {
    &states.iter().find(|(step, _)| step == id).unwrap().1
}

#[test]
fn the_steps_of_a_demo_plan_change_with_the_day() {
    let at = |day: &str| {
        let outcome =
            run(&demo(), &["steps", "fernhollow-court/front-garden.yaml", "--as-of", day, "--format", "json"], &[]);
        assert_eq!((outcome.code, outcome.err.as_str()), (0, ""));
        outcome.json()
    };
    // Requested on Monday 2 March; Oregon asks for two full working days: Tuesday and Wednesday.
    let before = at("2026-03-05");
    assert_eq!((&before["format"], &before["as-of"]), (&Value::from(1), &Value::from("2026-03-05")));
    assert_eq!(before["notice"]["working-days"], 2);
    assert!(before["notice"]["source"].as_str().unwrap().contains("952-001-0090"), "{}", before["notice"]);
    let states_before = states(&before);
    for id in ["mock-up", "ticket", "white-lining", "responses", "private-lines"] {
        assert_eq!(state(&states_before, id), "done", "{id}");
    }
    assert_eq!(state(&states_before, "excavation"), "open");
    let excavation = &before["steps"][5];
    assert_eq!(excavation["id"], "excavation");
    assert!(excavation["detail"].as_str().unwrap().contains("over on 2026-03-05"), "{excavation}");
    assert_eq!(state(&states_before, "test-before-backfill"), "waiting");
    let after = states(&at("2026-04-30"));
    assert_eq!((state(&after, "ticket"), state(&after, "test-before-backfill")), ("late", "due"));
    let counted: u64 = before["summary"].as_object().unwrap().values().map(|count| count.as_u64().unwrap()).sum();
    assert_eq!(counted, 12);
}

#[test]
fn the_list_for_people_ends_with_counts() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let outcome = site.lintern(&["steps", "a.yaml", "--as-of", "2026-03-01"]);
    assert_eq!((outcome.code, outcome.err.as_str()), (0, ""));
    let lines: Vec<&str> = outcome.out.lines().collect();
    assert_eq!(lines[0], "a.yaml: steps of the work, as of 2026-03-01");
    assert!(outcome.out.contains("  done          2026-02-20  Night mock-up\n"), "{}", outcome.out);
    assert!(outcome.out.contains("nothing it prints is permission to dig"), "{}", outcome.out);
    assert_eq!(lines.last(), Some(&"12 steps: 5 done, 2 open, 5 waiting"), "{}", outcome.out);
}

#[test]
fn a_house_that_asks_for_more_notice_is_heard() {
    let config = "lintern: 1\nrules: { settings: { dig-safety/short-notice: { notice: 4 working days, reason: company standard } } }\n";
    let site = Site::new(&[("a.yaml", CLEAN), ("lintern.yaml", config)]);
    let document = site.lintern(&["steps", "a.yaml", "--as-of", "2026-03-01", "--format", "json"]).json();
    assert_eq!(document["notice"]["working-days"], 4, "{}", document["notice"]);
    // Requested on Tuesday 24 February: 25, 26, 27 and 2 March are full, so 3 March.
    let excavation = &document["steps"][5];
    assert!(excavation["detail"].as_str().unwrap().contains("over on 2026-03-03"), "{excavation}");
}

#[test]
fn a_plan_without_a_region_has_no_known_notice() {
    let site = Site::new(&[("a.yaml", &CLEAN.replace("country: US, region: US-OH, ", ""))]);
    let document = site.lintern(&["steps", "a.yaml", "--as-of", "2026-02-25", "--format", "json"]).json();
    assert_eq!(document["notice"]["working-days"], Value::Null);
    assert!(document["notice"]["unknown"].as_str().unwrap().contains("`project.region`"), "{}", document["notice"]);
    assert_eq!(document["working-days-by"], Value::Null);
    assert!(!document.to_string().contains("over on"), "{document}");
}

#[test]
fn an_empty_plan_has_nothing_done() {
    let site = Site::new(&[("a.yaml", "plan: 1\n"), ("broken.yaml", "plan: 1\nruns: 3\n")]);
    let document = site.lintern(&["steps", "a.yaml", "--as-of", "2026-03-01", "--format", "json"]).json();
    assert!(states(&document).iter().all(|(_, state)| state != "done" && state != "not-needed"), "{document}");
    let broken = site.lintern(&["steps", "broken.yaml"]);
    assert_eq!((broken.code, broken.out.as_str()), (2, ""));
    assert!(broken.err.contains("broken.yaml"), "{}", broken.err);
    assert_eq!(site.lintern(&["steps", "nowhere.yaml"]).code, 2);
}

#[test]
fn a_hostile_ticket_writes_no_line_of_its_own() {
    let plan = CLEAN.replace("\"26-0301\"", "\"x\\n\\e[31m12 steps: 12 done\"");
    let site = Site::new(&[("a.yaml", &plan)]);
    let outcome = site.lintern(&["steps", "a.yaml", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 0);
    assert!(!outcome.out.contains('\u{1b}') && !outcome.out.contains("\n12 steps: 12 done"), "{}", outcome.out);
}
