//! `lintern size`: the comparison, its JSON, the plan that it writes.

use crate::support::{Site, run};
use serde_json::Value;

/// A sketch: luminaires with places, a house, and the shared schedule of the demo plans.
const SKETCH: &str = r#"# An orchard walk, not wired yet.
plan: 1
project: { name: Saltmarsh orchard, country: US, region: US-OR, code: nec-2023, occupancy: one-family-dwelling }
use: [schedules/standard.yaml]
site:
  grid: ft
  zones:
    - { id: house, kind: building, outline: [[0, -20], [70, -20], [70, 0], [0, 0]] }
luminaires:
  - { id: A1, type: path-3, at: [10, 12], splice: gel-cap }
  - { id: A2, type: path-3, at: [10, 24], splice: gel-cap }
  - { id: A3, type: path-3, at: [10, 36], splice: gel-cap }
  - { id: A4, type: path-3, at: [22, 44], splice: gel-cap }
  - { id: A5, type: path-3, at: [34, 44], splice: gel-cap }
  - { id: B1, type: well-6, at: [50, 20], splice: gel-cap }
  - { id: B2, type: well-6, at: [58, 30], splice: gel-cap }
"#;

fn sketch() -> Site {
    let schedule = include_str!("../../plans/schedules/standard.yaml");
    Site::new(&[("orchard.yaml", SKETCH), ("schedules/standard.yaml", schedule)])
}

const SIZE: [&str; 4] = ["size", "orchard.yaml", "--as-of", "2026-03-01"];

fn with<'a>(more: &[&'a str]) -> Vec<&'a str> {
    SIZE.iter().chain(more).copied().collect()
}

#[test]
fn the_comparison_on_a_terminal() {
    let outcome = sketch().lintern(&with(&["--topology", "tee"]));
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    insta::assert_snapshot!(outcome.out);
}

#[test]
fn the_comparison_as_json() {
    let site = sketch();
    let outcome = site.lintern(&with(&["--format", "json"]));
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    let json = outcome.json();
    assert_eq!(json["format"], 1);
    // 5 x 3.6 VA + 2 x 7 VA = 32 VA; over 0.8 that is 40 VA.
    assert_eq!(json["demands"][0]["nameplate-va"], 32.0);
    assert_eq!(json["demands"][0]["least-rating-va"], 40.0);
    assert_eq!(json["demands"][0]["rating-va"], 150.0);
    let topologies = json["topologies"].as_array().unwrap();
    let names: Vec<&str> = topologies.iter().map(|result| result["topology"].as_str().unwrap()).collect();
    assert_eq!(names, ["star", "hub", "chain", "tee", "loop"]);
    for result in topologies {
        let proposal = &result["proposal"];
        if result["topology"] == "chain" {
            // One run of 10 AWG through all of them loses 5.04 %: this schedule has no larger cable.
            assert!(proposal.is_null() && result["rank"].is_null());
            assert!(result["unfit"]["reason"].as_str().unwrap().contains("5.04 %"), "{result:#}");
            continue;
        }
        let sum = |lines: &Value, key: &str| -> f64 {
            lines.as_array().unwrap().iter().map(|line| line[key].as_f64().unwrap()).sum()
        };
        assert!((sum(&proposal["runs"], "length-m") - proposal["cable-m"].as_f64().unwrap()).abs() < 1e-9);
        assert!((sum(&proposal["cable-by-type"], "length-m") - proposal["cable-m"].as_f64().unwrap()).abs() < 1e-9);
        assert_eq!(proposal["findings"], serde_json::json!([]));
        assert!(proposal["lowest"]["work"].as_array().unwrap().len() >= 3);
    }
    assert!(json["assumptions"].as_array().unwrap().len() > 3);
    assert!(json["caution"].is_string());
    let again: Vec<String> = ["1", "2"]
        .iter()
        .map(|n| run(site.path(), &with(&["--format", "json"]), &[("RAYON_NUM_THREADS", n)]).out)
        .collect();
    assert!(again.iter().all(|out| *out == outcome.out), "equal input, equal bytes");
}

#[test]
fn the_written_plan_is_the_sketch_with_the_proposal() {
    let site = sketch();
    let outcome = site.lintern(&with(&["--topology", "tee", "--write", "tee.yaml"]));
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    let written = std::fs::read_to_string(site.path().join("tee.yaml")).unwrap();
    for line in SKETCH.lines() {
        assert!(written.contains(line), "{line}\n{written}");
    }
    let solved = site.lintern(&["solve", "tee.yaml", "--format", "json"]).json();
    let sized = site.lintern(&with(&["--format", "json"])).json();
    let tee = &sized["topologies"][3]["proposal"];
    let lowest = tee["lowest"]["luminaire"].as_str().unwrap();
    assert_eq!(solved["nodes"][lowest]["volts"], tee["lowest"]["value"], "solve and size agree to the last digit");
    // The rules of volts and loads pass; the sketch leaves much else open.
    let checked = site.lintern(&["check", "tee.yaml", "--format", "json", "--as-of", "2026-03-01"]).json();
    let found = checked["plans"][0]["findings"].as_array().unwrap();
    let rules = found.iter().map(|finding| finding["rule"].as_str().unwrap());
    assert_eq!(rules.filter(|rule| rule.starts_with("voltage/") || rule.starts_with("loading/")).count(), 0);
    // Nothing is overwritten, and nothing is left beside.
    let again = site.lintern(&with(&["--topology", "star", "--write", "tee.yaml"]));
    assert_eq!(again.code, 2);
    assert!(again.err.contains("can't write tee.yaml"), "{}", again.err);
    assert_eq!(std::fs::read_to_string(site.path().join("tee.yaml")).unwrap(), written);
    let files = std::fs::read_dir(site.path()).unwrap().count();
    assert_eq!(files, 4, "lintern.yaml, orchard.yaml, schedules, tee.yaml");
    // Elsewhere the shared schedule would not be found.
    let elsewhere = site.lintern(&with(&["--write", "schedules/tee.yaml"]));
    assert_eq!(elsewhere.code, 2);
    assert!(elsewhere.err.contains("beside orchard.yaml"), "{}", elsewhere.err);
}

#[test]
fn house_limits_and_options_count() {
    let site = sketch();
    let usual = site.lintern(&with(&["--format", "json"])).json();
    assert_eq!(usual["drop-limit-percent"], 5.0);
    site.write(
        "lintern.yaml",
        b"lintern: 1\nrules: { settings: { voltage/excess-drop: { limit: 2 %, reason: standard 4.2 } } }\n",
    );
    let strict = site.lintern(&with(&["--format", "json"])).json();
    assert_eq!(strict["drop-limit-percent"], 2.0);
    // The loop loses 2.32 % with 12 AWG throughout, and less with what 2 % ask for.
    let drop = |outcome: &Value| outcome["topologies"][4]["proposal"]["largest-drop"]["value"].as_f64().unwrap();
    assert!(drop(&usual) > 2.0 && drop(&strict) <= 2.0, "{} {}", drop(&usual), drop(&strict));
    let from = site.lintern(&with(&["--format", "json", "--from", "30,2.5", "--slack", "2 ft"])).json();
    assert_eq!((from["start"]["x"].as_f64(), from["start"]["y"].as_f64()), (Some(30.0), Some(2.5)));
    let run = &from["topologies"][0]["proposal"]["runs"][0];
    let longer = run["length-m"].as_f64().unwrap() - run["straight-m"].as_f64().unwrap();
    assert!((longer - 0.6096).abs() < 1e-9, "2 ft on the one segment: {longer}");
    let weighted =
        site.lintern(&with(&["--format", "json", "--trench-weight", "10", "--cable-weight", "burial-10-2=2"])).json();
    assert_eq!(weighted["weighted"], true);
    for wrong in [&["--slack", "5"][..], &["--from", "3"], &["--trench-weight", "-1"], &["--volts", "13"]] {
        assert_eq!(site.lintern(&with(wrong)).code, 2, "{wrong:?}");
    }
}

#[test]
fn a_plan_that_can_not_be_sized_ends_with_2() {
    let site = sketch();
    site.write("bare.yaml", b"plan: 1\n");
    let bare = site.lintern(&["size", "bare.yaml"]);
    assert_eq!(bare.code, 2);
    assert!(bare.err.contains("the plan has no luminaires"), "{}", bare.err);
    site.write("broken.yaml", b"plan: 1\nluminaires: [{ id: L1, type: none }]\n");
    let broken = site.lintern(&["size", "broken.yaml"]);
    assert_eq!(broken.code, 2);
    assert!(broken.err.contains("none"), "{}", broken.err);
    assert_eq!(site.lintern(&["size", "missing.yaml"]).code, 2);
}

#[test]
fn settings_and_weights_that_allow_nothing_are_told() {
    let site = sketch();
    let twice = site.lintern(&with(&["--cable-weight", "=2"]));
    assert_eq!(twice.code, 2);
    assert!(twice.err.contains("before `=` is empty"), "{}", twice.err);
    site.write(
        "lintern.yaml",
        b"lintern: 1\nrules: { settings: { loading/overloaded-supply: { limit: 0 %, reason: standard 4.2 } } }\n",
    );
    let nothing = site.lintern(&with(&[]));
    assert_eq!(nothing.code, 2);
    assert!(nothing.err.contains("loading/overloaded-supply"), "{}", nothing.err);
}
