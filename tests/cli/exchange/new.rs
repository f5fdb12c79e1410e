//! `lintern new`, by flags and by questions on a terminal.

use super::{assert_loads, read, yaml};
use crate::support::Site;
use serde_json::json;
use std::process::Command;

fn site() -> Site {
    Site::new(&[("schedules/standard.yaml", include_str!("../../../plans/schedules/standard.yaml"))])
}

#[test]
fn flags_alone_make_a_plan_that_loads() {
    let site = site();
    let told = site.lintern(&[
        "new",
        "a.yaml",
        "--name",
        "Marsh End: \"lower\" garden",
        "--designer",
        "R. Quill",
        "--country",
        "US",
        "--region",
        "US-OR",
        "--authority",
        "Fernhollow County",
        "--code",
        "nec-2023",
        "--occupancy",
        "one-family-dwelling",
        "--grid",
        "ft",
        "--volts",
        "12",
        "--current",
        "ac",
        "--schedule",
        "schedules/standard.yaml",
        "--origin",
        "43.2104,-119.9021",
    ]);
    assert_eq!((told.code, told.err.as_str()), (0, ""), "{}", told.out);
    let text = read(&site, "a.yaml");
    let plan = yaml(&text);
    assert_eq!(
        plan["project"],
        json!({
            "name": "Marsh End: \"lower\" garden", "designer": "R. Quill", "country": "US", "region": "US-OR",
            "authority": "Fernhollow County", "code": "nec-2023", "occupancy": "one-family-dwelling",
        })
    );
    assert_eq!(plan["site"], json!({ "grid": "ft", "origin": { "latitude": 43.2104, "longitude": -119.9021 } }));
    assert!(text.contains("# supply types of 12 V ac at hand: box-150, box-300\n"), "{text}");
    assert!(!told.out.contains("project."), "{}", told.out);
    for open in ["site.zones", "supplies", "luminaires", "runs", "dig", "records"] {
        assert!(
            told.out.contains(&format!("\n  {open} ")) && text.contains(&format!("# decide: {open}: ")),
            "{open}: {}",
            told.out
        );
    }
    assert_loads(&site, "a.yaml");
    // Never over a plan that is there.
    let again = site.lintern(&["new", "a.yaml", "--name", "Other"]);
    assert_eq!((again.code, again.out.as_str()), (2, ""));
    assert!(again.err.contains("exists already"), "{}", again.err);
    assert_eq!(read(&site, "a.yaml"), text);
}

#[test]
fn without_answers_everything_is_still_to_be_decided() {
    let site = site();
    let told = site.lintern(&["new", "a.yaml"]);
    assert_eq!((told.code, told.err.as_str()), (0, ""));
    let text = read(&site, "a.yaml");
    assert_eq!(yaml(&text), json!({ "plan": 1 }), "nothing is invented: {text}");
    for open in ["project.name", "project.code", "schedule", "site.grid"] {
        assert!(told.out.contains(&format!("\n  {open} ")), "{open}: {}", told.out);
    }
    assert_loads(&site, "a.yaml");
    let refused = site.lintern(&["new", "b.yaml", "--schedule", "nowhere.yaml"]);
    assert_eq!((refused.code, refused.out.as_str()), (2, ""));
    assert!(refused.err.contains("nowhere.yaml") && !site.path().join("b.yaml").exists(), "{}", refused.err);
    for wrong in [
        &["--code", "nec-1999"][..],
        &["--country", "usa"],
        &["--region", "Oregon"],
        &["--volts", "230"],
        &["--country", "GB", "--region", "US-OR"],
        &["--schedule", "../outside.yaml"],
    ] {
        let refused = site.lintern(&[&["new", "c.yaml"][..], wrong].concat());
        assert_eq!(refused.code, 2, "{wrong:?}");
        assert!(!site.path().join("c.yaml").exists(), "{wrong:?}");
    }
}

/// Runs the program on a pseudo-terminal; `None` where there is no Python for that.
fn on_a_terminal(site: &Site, questions: &serde_json::Value, arguments: &[&str]) -> Option<(i32, String)> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/../tests/cli/exchange/ask.py");
    let output = Command::new("python3")
        .current_dir(site.path())
        .env("TERM", "xterm")
        .args([script, &questions.to_string(), env!("CARGO_BIN_EXE_lintern")])
        .args(arguments)
        .output();
    let Ok(output) = output else {
        eprintln!("NOT RUN: the questions of `lintern new` were not asked. Install python3 and run again.");
        return None;
    };
    let shown = String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
    Some((output.status.code().unwrap_or(-1), shown))
}

#[test]
fn on_a_terminal_it_asks_for_what_is_missing() {
    let site = site();
    // The choice stands on `later`, the last one; `k` goes up.
    let questions = json!([
        ["Name of the job", "Marsh End\r"],
        ["Designer", "\r"],
        ["State or province", "Oregon\r"],
        ["ISO 3166-2", "US-OR\r"],
        ["Authority", "Fernhollow County\r"],
        ["Electrical code", "kkkk\r"],
        ["Occupancy", "\r"],
        ["Volts", "kkk\r"],
        ["Current", "kk\r"],
        ["Shared schedule", "schedules/standard.yaml\r"]
    ]);
    let Some((code, shown)) = on_a_terminal(&site, &questions, &["new", "a.yaml", "--country", "US", "--grid", "ft"])
    else {
        return;
    };
    assert_eq!(code, 0, "{shown}");
    assert!(shown.contains("Still to be decided") && shown.contains("project.designer"), "{shown}");
    let plan = yaml(&read(&site, "a.yaml"));
    assert_eq!(
        plan["project"],
        json!({ "name": "Marsh End", "country": "US", "region": "US-OR", "authority": "Fernhollow County", "code": "nec-2023" })
    );
    assert_eq!((&plan["site"]["grid"], &plan["use"][0]), (&json!("ft"), &json!("schedules/standard.yaml")));
}

#[test]
fn questions_can_be_switched_off_and_broken_off() {
    let site = site();
    let Some((code, shown)) = on_a_terminal(&site, &json!([]), &["new", "a.yaml", "--no-questions"]) else { return };
    assert_eq!(code, 0, "{shown}");
    assert!(site.path().join("a.yaml").exists() && !shown.contains("Designer (empty"), "{shown}");
    let questions = json!([["Name of the job", "Marsh End\r"], ["Designer", "\u{3}"]]);
    let Some((code, shown)) = on_a_terminal(&site, &questions, &["new", "b.yaml"]) else { return };
    assert_ne!(code, 0, "{shown}");
    assert!(!site.path().join("b.yaml").exists(), "{shown}");
}
