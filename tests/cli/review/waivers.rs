//! Waivers: what they waive, what is wrong with them, and the two verdicts of a plan that has some.

use super::{open, with_violation, words};
use crate::support::{CLEAN, Site};

const AS_OF: [&str; 4] = ["check", "--as-of", "2026-03-01", "--no-remedies"];

fn site(waivers: &str) -> Site {
    Site::new(&[("a.yaml", &format!("{}waivers:\n{waivers}", with_violation()))])
}

fn check(site: &Site, more: &[&str]) -> crate::support::Outcome {
    site.lintern(&[&AS_OF[..], more].concat())
}

const GOOD: &str = "  - { rule: loading/oversized-branch-circuit, subject: S1, reason: existing circuit, approved-by: Fernhollow County, on: 2026-02-25, until: 2026-12-31 }\n";

#[test]
fn a_waiver_is_shown_with_who_accepted_it_and_the_finding_does_not_count() {
    let site = site(GOOD);
    let json = check(&site, &["--format", "json"]);
    assert_eq!(json.code, 0, "{json:#?}");
    let document = json.json();
    let finding = &document["plans"][0]["findings"][0];
    assert_eq!(finding["waived"], "existing circuit");
    assert_eq!(
        finding["waiver"],
        serde_json::json!({ "approved-by": "Fernhollow County", "on": "2026-02-25", "until": "2026-12-31" })
    );
    assert_eq!(document["summary"]["waived"], 1);
    assert_eq!(document["summary"]["violation"], 0);
    assert_eq!(document["summary"]["as-reviewer"]["violation"], 1);
    assert_eq!(document["plans"][0]["verdicts"]["waivers/unused"]["verdict"], "pass");
    let text = check(&site, &[]).out;
    let text = words(&text);
    assert!(text.contains("(waived by Fernhollow County on 2026-02-25, until 2026-12-31: existing circuit)"), "{text}");
    assert!(text.contains("; 1 waived. As of"), "{text}");
}

#[test]
fn a_reviewer_accepts_no_waiver_and_sees_both_verdicts() {
    let site = site(GOOD);
    let outcome = check(&site, &["--as-reviewer"]);
    assert_eq!(outcome.code, 1, "{outcome:#?}");
    let text = words(&outcome.out);
    assert!(text.contains("as the designer has it: 0 violations"), "{text}");
    assert!(text.contains("as a reviewer has it: 1 violation"), "{text}");
    assert!(text.contains("As a reviewer, waivers and baselines not accepted: 1 violation,"), "{text}");
    for format in ["json", "sarif", "junit", "github", "gitlab", "markdown"] {
        assert_eq!(check(&site, &["--as-reviewer", "--format", format]).code, 1, "{format}");
        assert_eq!(check(&site, &["--format", format]).code, 0, "{format}");
    }
}

#[test]
fn a_rule_is_made_not_waivable_by_its_repository() {
    let site = site(GOOD);
    site.write(
        "lintern.yaml",
        b"lintern: 1\nrules:\n  settings:\n    loading/oversized-branch-circuit: { waivable: false }\n",
    );
    let outcome = check(&site, &["--format", "json"]);
    assert_eq!(outcome.code, 1, "{outcome:#?}");
    assert_eq!(open(&outcome), ["loading/oversized-branch-circuit S1", "waivers/forbidden S1"]);
    let config = site.lintern(&["config"]).out;
    assert!(config.contains("waivable") && config.contains("> false  lintern.yaml"), "{config}");
    site.write(
        "lintern.yaml",
        b"lintern: 1\nrules:\n  settings:\n    voltage/no-operating-point: { waivable: true }\n",
    );
    let refused = check(&site, &[]);
    assert_eq!(refused.code, 2);
    assert!(refused.out.contains("can't be made waivable"), "{}", refused.out);
    site.write("lintern.yaml", b"lintern: 1\nrules:\n  settings:\n    voltage/undervoltage: { waivable: maybe }\n");
    let wrong = check(&site, &[]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.out.contains("`maybe` is neither `true` nor `false`"), "{}", wrong.out);
}

#[test]
fn the_level_of_a_rule_about_waivers_is_set_like_any_other() {
    let site = site(&GOOD.replace("until: 2026-12-31", "until: 2026-02-28"));
    let advice = check(&site, &["--format", "json"]).json();
    let levels = |document: &serde_json::Value| {
        let findings = document["plans"][0]["findings"].as_array().unwrap().clone();
        findings
            .iter()
            .map(|f| format!("{} {}", f["rule"].as_str().unwrap(), f["level"].as_str().unwrap()))
            .collect::<Vec<_>>()
    };
    assert_eq!(levels(&advice), ["loading/oversized-branch-circuit violation", "waivers/expired advice"]);
    site.write("lintern.yaml", b"lintern: 1\nrules:\n  settings:\n    waivers/expired: { level: violation }\n");
    let violation = check(&site, &["--format", "json"]).json();
    assert_eq!(levels(&violation)[1], "waivers/expired violation");
    let page = site.lintern(&["explain", "waivers/expired"]);
    assert_eq!(page.code, 0);
    assert!(page.out.contains("can't be waived") && page.out.contains("## Remedy"), "{}", page.out);
}

#[test]
fn a_cure_is_offered_although_it_leaves_a_waiver_without_work() {
    // The waiver covers what is found at R1; the cure of the breaker must not be held against it.
    let plan = format!(
        "{}waivers:\n{GOOD}",
        CLEAN.replace("breaker: 20 A", "breaker: 30 A").replace("cover: 8 in", "cover: 3 in")
    );
    let site = Site::new(&[("a.yaml", &plan)]);
    let outcome = site.lintern(&["check", "--as-of", "2026-03-01", "--format", "json"]);
    let document = outcome.json();
    let findings = document["plans"][0]["findings"].as_array().unwrap();
    let shallow = findings.iter().find(|f| f["rule"] == "burial/shallow-cover").unwrap();
    assert!(shallow["remedy"]["summary"].as_str().unwrap().contains("cover"), "{shallow}");
}
