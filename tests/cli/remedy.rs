//! `lintern remedy`, and cures in what `check` prints.

use crate::support::{CLEAN, Outcome, Site};
use serde_json::Value;

/// The clean plan with a long run: both get less than their 11.2 V, and 5 % is lost.
fn starved() -> String {
    CLEAN
        .replace("lengths: [60 ft, 20 ft]", "lengths: [300 ft, 20 ft]")
        .replace("backfill: screened-soil }", "backfill: screened-soil }   # measured on site")
        .replace("input: { min: 9 V", "input: { min: 11.2 V")
}

fn json(out: &Outcome) -> Value {
    serde_json::from_str(&out.out).unwrap_or_else(|e| panic!("{e}: {}", out.err))
}

#[test]
fn a_cure_is_listed_applied_and_gone() {
    let site = Site::new(&[("plan.yaml", &starved())]);
    let listed = site.lintern(&["remedy", "plan.yaml", "--as-of", "2026-03-01", "--format", "json"]);
    assert_eq!(listed.code, 1);
    let listed = json(&listed);
    let first = &listed["cures"][0];
    assert_eq!((&first["rank"], &first["sort"]), (&Value::from(1), &Value::from("conductor")));
    assert_eq!(first["cost"]["cable-added-m"], 0.0);
    assert!(first["cures"].as_array().is_some_and(|keys| keys.iter().any(|key| key["rule"] == "voltage/undervoltage")));

    let applied = site.lintern(&["remedy", "plan.yaml", "--as-of", "2026-03-01", "--apply", "1"]);
    assert_eq!(applied.code, 0, "{}", applied.err);
    let text = std::fs::read_to_string(site.path().join("plan.yaml")).unwrap();
    assert!(text.contains("# measured on site") && text.contains("8 AWG"), "{text}");
    let left = json(&site.lintern(&["check", "plan.yaml", "--as-of", "2026-03-01", "--format", "json"]));
    for key in first["cures"].as_array().unwrap() {
        let gone = |f: &Value| f["rule"] != key["rule"] || f["subject"] != key["subject"];
        assert!(left["plans"][0]["findings"].as_array().unwrap().iter().all(gone), "{key}");
    }
    // Nothing else is left in the folder.
    let names: Vec<_> = std::fs::read_dir(site.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert_eq!(names.len(), 2, "{names:?}");
}

#[test]
fn a_check_tells_the_smallest_cure_with_each_finding() {
    let site = Site::new(&[("plan.yaml", &starved())]);
    let checked = json(&site.lintern(&["check", "--as-of", "2026-03-01", "--format", "json"]));
    let findings = checked["plans"][0]["findings"].as_array().unwrap();
    let low = findings.iter().find(|f| f["rule"] == "voltage/undervoltage").expect("an undervoltage");
    let summary = low["remedy"]["summary"].as_str().expect("a cure");
    assert!(low["help"].as_str().unwrap().contains(summary), "{low}");
    assert!(low["remedy"]["work"].as_array().is_some_and(|work| !work.is_empty()));
    let without = json(&site.lintern(&["check", "--as-of", "2026-03-01", "--format", "json", "--no-remedies"]));
    assert!(without["plans"][0]["findings"].as_array().unwrap().iter().all(|f| f["remedy"].is_null()));
}

#[test]
fn what_can_t_be_applied_leaves_the_plan_alone() {
    let text = starved();
    let site = Site::new(&[("plan.yaml", &text)]);
    for number in ["0", "999"] {
        let out = site.lintern(&["remedy", "plan.yaml", "--as-of", "2026-03-01", "--apply", number]);
        assert_eq!(out.code, 2);
        assert!(out.err.contains(&format!("there is no cure {number}")), "{}", out.err);
    }
    let out = site.lintern(&["remedy", "plan.yaml", "--rule", "voltage/no-such-rule"]);
    assert_eq!(out.code, 2);
    assert_eq!(std::fs::read_to_string(site.path().join("plan.yaml")).unwrap(), text);
}

#[cfg(unix)]
#[test]
fn a_plan_behind_a_link_keeps_its_link_and_permissions() {
    use std::os::unix::fs::PermissionsExt;
    let site = Site::new(&[("real.yaml", &starved())]);
    let (real, link) = (site.path().join("real.yaml"), site.path().join("link.yaml"));
    std::fs::set_permissions(&real, std::fs::Permissions::from_mode(0o640)).unwrap();
    std::os::unix::fs::symlink("real.yaml", &link).unwrap();
    let out = site.lintern(&["remedy", "link.yaml", "--as-of", "2026-03-01", "--apply", "1"]);
    assert_eq!(out.code, 0, "{}", out.err);
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(std::fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
    assert!(std::fs::read_to_string(&real).unwrap().contains("8 AWG"));
}

#[test]
fn a_plan_without_findings_has_nothing_to_cure() {
    let site = Site::new(&[("plan.yaml", CLEAN)]);
    let out = site.lintern(&["remedy", "plan.yaml", "--as-of", "2026-03-01"]);
    assert!(out.out.contains("0 cures"), "{}", out.out);
}
