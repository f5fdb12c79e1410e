//! By how much a verdict passes or fails, in text and in JSON.

use crate::support::{CLEAN, Site};
use serde_json::Value;

const AS_OF: [&str; 2] = ["--as-of", "2026-03-01"];

fn check(plan: &str, arguments: &[&str]) -> crate::support::Outcome {
    let site = Site::new(&[("a.yaml", plan)]);
    site.lintern(&[&["check"][..], &AS_OF, arguments].concat())
}

/// The first cable is too long: both lamps get too few volts.
fn dim() -> String {
    CLEAN.replace("60 ft", "500 ft")
}

/// The text without the line breaks and marks of the drawing.
fn words(text: &str) -> String {
    text.split_whitespace().filter(|word| *word != "│").collect::<Vec<_>>().join(" ")
}

#[test]
fn a_finding_says_by_how_much_it_fails_and_what_would_pass() {
    let json = check(&dim(), &["--format", "json"]).json();
    let findings = json["plans"][0]["findings"].as_array().unwrap();
    let l2 = findings.iter().find(|f| f["rule"] == "voltage/undervoltage" && f["subject"] == "L2").unwrap();
    let margin = &l2["margin"];
    let (measured, limit) = (l2["measured"]["value"].as_f64().unwrap(), l2["limit"]["value"].as_f64().unwrap());
    assert_eq!(margin["value"].as_f64().unwrap(), measured - limit);
    assert_eq!((margin["unit"].as_str().unwrap(), &margin["turn"]), ("V", &Value::from("at")));
    let critical = &margin["critical"];
    assert_eq!((&critical["run"], &critical["from"], &critical["to"]), (&"R1".into(), &"S1/12".into(), &"L1".into()));
    let passes_at = critical["passes-at"]["value"].as_f64().unwrap();
    let text = words(&check(&dim(), &[]).out);
    let said = format!("passes if R1 from S1/12 to L1 is {passes_at:.1} ft or shorter (500 ft now)");
    assert!(text.contains("margin: fails by") && text.contains(&said), "{said}\n{text}");
}

/// What a critical length says is what a plan with that length says.
#[test]
fn a_plan_with_the_critical_length_turns() {
    let json = check(&dim(), &["--format", "json"]).json();
    let findings = json["plans"][0]["findings"].as_array().unwrap();
    let l2 = findings.iter().find(|f| f["rule"] == "voltage/undervoltage" && f["subject"] == "L2").unwrap();
    let at = |key: &str| {
        let length = l2["margin"]["critical"][key]["value"].as_f64().unwrap();
        let json = check(&CLEAN.replace("60 ft", &format!("{length} ft")), &["--format", "json"]).json();
        let found = json["plans"][0]["findings"].as_array().unwrap().clone();
        let own = found.into_iter().find(|f| f["rule"] == "voltage/undervoltage" && f["subject"] == "L2");
        own.map(|own| own["measured"]["value"].as_f64().unwrap())
    };
    assert_eq!(at("passes-at"), None);
    let beyond = at("fails-at").expect("a finding");
    let told = l2["margin"]["critical"]["measured-where-it-fails"].as_f64().unwrap();
    assert!((beyond - told).abs() < 1e-9, "{beyond} V, told {told} V");
}

#[test]
fn near_misses_are_listed_closest_first_and_change_no_exit_code() {
    let outcome = check(CLEAN, &["--near-miss", "60%"]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    let lines: Vec<&str> = outcome.out.lines().filter(|line| line.starts_with("  close  ")).collect();
    assert!(lines.len() > 3, "{}", outcome.out);
    let text = words(&outcome.out);
    assert!(
        text.contains("voltage/undervoltage L2:") && text.contains("fails if R1 from S1/12 to L1 is longer than"),
        "{text}"
    );
    let json = check(CLEAN, &["--near-miss", "60 %", "--format", "json"]).json();
    let near = json["plans"][0]["near-misses"].as_array().unwrap();
    let shares: Vec<f64> = near.iter().map(|own| own["percent"].as_f64().unwrap()).collect();
    assert!(shares.is_sorted() && shares.iter().all(|share| (0.0..=60.0).contains(share)), "{shares:?}");
    assert!(near.iter().all(|own| own["passes"] == true && own["turn"] != "not-sought"));

    let quiet = check(CLEAN, &["--near-miss", "0 %"]);
    assert!(quiet.out.contains("close") && quiet.code == 0, "{}", quiet.out);
    assert!(!check(CLEAN, &[]).out.contains("close"));
}

#[test]
fn a_share_needs_its_unit_and_sense() {
    for wrong in ["5", "-1%", "101 %", "five", "NaN%", "%"] {
        let outcome = check(CLEAN, &[&format!("--near-miss={wrong}")]);
        assert_eq!(outcome.code, 2, "{wrong}");
        assert!(outcome.err.contains("5%"), "{wrong}: {}", outcome.err);
    }
}

#[test]
fn every_verdict_has_its_tightest_and_margins_come_when_asked_for() {
    let json = check(CLEAN, &["--format", "json"]).json();
    let plan = &json["plans"][0];
    assert!(plan.get("margins").is_none() && plan.get("near-misses").is_none());
    let tightest = &plan["verdicts"]["voltage/undervoltage"]["tightest"];
    assert_eq!((&tightest["subject"], &tightest["limit"], &tightest["unit"]), (&"L2".into(), &9.0.into(), &"V".into()));
    assert!(tightest["critical"]["passes-at"]["value"].as_f64().unwrap() > 60.0);
    assert!(plan["verdicts"]["feed/missing-gfci"]["tightest"].is_null());

    let json = check(CLEAN, &["--format", "json", "--margins"]).json();
    let margins = json["plans"][0]["margins"].as_array().unwrap().clone();
    assert!(margins.len() > 20, "{}", margins.len());
    // Each can be computed again from its work.
    for margin in &margins {
        let line = |index: usize| margin["work"][index]["value"].as_f64().unwrap();
        let (measured, limit, room) = (line(0), line(1), line(2));
        assert_eq!((measured, limit), (margin["measured"].as_f64().unwrap(), margin["limit"].as_f64().unwrap()));
        assert!(((measured - limit).abs() - room.abs()).abs() <= 1e-9 * limit.abs(), "{margin}");
    }
}
