//! What a change does: between files, folders and revisions of git.

use super::{committed, git, with_two_violations, with_violation, words};
use crate::support::{CLEAN, Outcome, Site};

const AS_OF: &str = "2026-03-01";

fn compare(site: &Site, arguments: &[&str]) -> Outcome {
    site.lintern(&[&["compare", "--as-of", AS_OF], arguments].concat())
}

#[test]
fn a_number_before_and_after_is_the_one_computed_by_hand() {
    let limit = "lintern: 1\nrules:\n  settings:\n    voltage/excess-drop: { limit: 1 % }\n";
    let longer = CLEAN.replace("[60 ft, 20 ft]", "[90 ft, 20 ft]");
    let site = Site::new(&[("lintern.yaml", limit), ("old.yaml", CLEAN), ("new.yaml", &longer)]);
    let json = compare(&site, &["old.yaml", "new.yaml", "--format", "json"]).json();
    let worse = json["plans"][0]["worse"].as_array().unwrap();
    let at = |subject: &str| {
        worse.iter().find(|change| change["subject"] == subject && change["rule"] == "voltage/excess-drop").unwrap()
    };
    // 12 AWG stranded: 1.98 ohm/kft at 75 degC (NEC Chapter 9 Table 8), one splice of 1 mohm at the end of a segment
    // that is joined by one. S1 to L1 carries both loads, and a load's own current crosses no splice of its own:
    // L1 and L2 take 7 VA each. Fixed point of V = 12 - I·R by hand below.
    let volts = |first_ft: f64| {
        let ohms = |ft: f64, splices: f64| 2.0 * (1.98 * ft / 1000.0 + splices * 0.001);
        let (source, r1, r2) = (0.012, ohms(first_ft, 1.0), ohms(20.0, 2.0));
        let (mut l1, mut l2) = (12.0, 12.0);
        for _ in 0..200 {
            let (i1, i2) = (7.0 / l1, 7.0 / l2);
            l1 = 12.0 - (source + r1) * (i1 + i2);
            l2 = l1 - r2 * i2;
        }
        [l1, l2]
    };
    for (subject, index) in [("L1", 0), ("L2", 1)] {
        for (key, ft) in [("was", 60.0), ("now", 90.0)] {
            let drop = (12.0 - volts(ft)[index]) / 12.0 * 100.0;
            let told = at(subject)[key]["value"].as_f64().unwrap();
            assert!((told - drop).abs() < 1e-6, "{subject} {key}: {told} and by hand {drop}");
        }
    }
}

#[test]
fn new_cured_worse_better_and_waived_are_told_with_numbers() {
    let site = committed(&[("sites/a.yaml", &with_violation()), ("sites/b.yaml", &with_two_violations())]);
    let waiver = "waivers:\n  - { rule: loading/oversized-branch-circuit, subject: S1, reason: existing, approved-by: Fernhollow County }\n";
    site.write("sites/a.yaml", with_two_violations().replace("breaker: 30 A", "breaker: 40 A").as_bytes());
    site.write("sites/b.yaml", format!("{}{waiver}", with_violation()).as_bytes());
    site.write("sites/c.yaml", with_violation().as_bytes());
    let outcome = compare(&site, &["HEAD"]);
    assert_eq!(outcome.code, 1, "{outcome:#?}");
    let text = words(&outcome.out);
    for part in [
        "sites/a.yaml new violation burial/shallow-cover R1: 8 in (passes) → 3 in, limit 6 in:",
        "worse violation loading/oversized-branch-circuit S1: 30 A → 40 A, limit 20 A:",
        "sites/b.yaml cured violation burial/shallow-cover R1: 3 in → 8 in (passes), limit 6 in",
        "waived violation loading/oversized-branch-circuit S1: 30 A, limit 20 A:",
        "(waived by Fernhollow County: existing)",
        "sites/c.yaml (new plan) new violation loading/oversized-branch-circuit S1: 30 A, limit 20 A:",
        "HEAD to .: 3 of 3 plans changed: 2 new, 1 worse, 0 better, 1 cured, 1 waived, 0 unchanged.",
    ] {
        assert!(text.contains(part), "{part}\n{}", outcome.out);
    }
    // The other way round.
    git(&site, &["add", "-A"]);
    git(&site, &["commit", "-q", "-m", "second"]);
    let back = compare(&site, &["HEAD", "HEAD~1", "--format", "json"]);
    let summary = &back.json()["summary"];
    for (key, n) in [("new", 2), ("worse", 0), ("better", 1), ("cured", 2), ("waived", 0)] {
        assert_eq!(summary[key], n, "{key}: {summary}");
    }
    let comment = compare(&site, &["HEAD~1", "HEAD", "--format", "markdown"]).out;
    assert!(comment.starts_with("## lintern: this change adds or worsens 3 violations\n"), "{comment}");
    assert!(comment.contains("**30 A → 40 A, limit 20 A**"), "{comment}");
    assert!(comment.contains("### Waived in this change") && comment.contains("by Fernhollow County"), "{comment}");
}

#[test]
fn a_change_that_makes_nothing_worse_ends_with_0() {
    let site = committed(&[("a.yaml", &with_two_violations())]);
    site.write("a.yaml", with_violation().as_bytes());
    let outcome = compare(&site, &["HEAD", "--format", "markdown"]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    assert!(outcome.out.starts_with("## lintern: this change makes nothing worse\n"), "{}", outcome.out);
    let same = compare(&site, &["a.yaml", "a.yaml"]);
    assert_eq!(same.code, 0);
    assert!(same.out.contains("0 of 1 plan changed: 0 new"), "{}", same.out);
}

#[test]
fn what_can_no_longer_be_judged_is_told() {
    let site = committed(&[("a.yaml", CLEAN)]);
    site.write("a.yaml", CLEAN.replace(", cover: 8 in", "").as_bytes());
    let outcome = compare(&site, &["HEAD"]);
    assert_eq!(outcome.code, 0);
    assert!(
        words(&outcome.out).contains("? burial/shallow-cover can't judge 1 element (0 before), for want of"),
        "{}",
        outcome.out
    );
    assert_eq!(compare(&site, &["HEAD", "--fail-on", "undetermined"]).code, 1);
}

#[test]
fn schedules_packs_and_configurations_are_those_of_their_own_revision() {
    let plan = CLEAN
        .replace("schedule:\n", "use: [types.yaml]\nschedule:\n")
        .replace("  splices:\n    gel-cap: { location: wet, direct-burial: true, resistance: 1 mohm }\n", "");
    let types = "schedule:\n  splices:\n    gel-cap: { location: wet, direct-burial: true, resistance: 1 mohm }\n";
    let site = committed(&[("types.yaml", types), ("a.yaml", &plan), ("lintern.yaml", "lintern: 1\n")]);
    site.write("types.yaml", types.replace("direct-burial: true", "direct-burial: false").as_bytes());
    site.write("lintern.yaml", b"lintern: 1\nrules:\n  settings:\n    voltage/excess-drop: { limit: 1 % }\n");
    let json = compare(&site, &["HEAD", ".", "--format", "json"]).json();
    let new: Vec<_> =
        json["plans"][0]["new"].as_array().unwrap().iter().map(|c| c["rule"].as_str().unwrap().to_owned()).collect();
    assert!(new.contains(&"wet-location/unsuitable-splice".to_owned()), "{new:?}");
    assert!(new.contains(&"voltage/excess-drop".to_owned()), "{new:?}");
}

#[test]
fn plans_that_can_not_be_checked_are_told_and_a_wrong_name_is_an_error() {
    let site = committed(&[("a.yaml", CLEAN)]);
    site.write("a.yaml", b"plan: 1\nruns: 3\n");
    let broken = compare(&site, &["HEAD"]);
    assert_eq!(broken.code, 2);
    assert!(broken.out.contains("(could not be checked now)") && broken.out.contains("a.yaml:2:7:"), "{}", broken.out);
    for (name, told) in [
        ("no-such-thing", "`no-such-thing` is neither a file, nor a folder, nor a revision of git"),
        ("--help-me", "unexpected argument"),
    ] {
        let outcome = compare(&site, &[name]);
        assert_eq!(outcome.code, 2, "{outcome:#?}");
        assert!(outcome.err.contains(told), "{}", outcome.err);
    }
    let no_git = Site::new(&[("a.yaml", CLEAN)]);
    assert_eq!(compare(&no_git, &["main"]).code, 2);
}

#[cfg(unix)]
#[test]
fn links_of_a_revision_lead_nowhere_outside() {
    let outside = Site::new(&[("secret.yaml", "schedule:\n  splices:\n    gel-cap: { location: wet }\n")]);
    let plan = CLEAN.replace("schedule:\n", "use: [types.yaml]\nschedule:\n");
    let site = Site::new(&[("a.yaml", &plan)]);
    std::os::unix::fs::symlink(outside.path().join("secret.yaml"), site.path().join("types.yaml")).unwrap();
    git(&site, &["init", "-q"]);
    git(&site, &["add", "-A"]);
    git(&site, &["commit", "-q", "-m", "first"]);
    let outcome = compare(&site, &["HEAD", "HEAD"]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.out.contains("outside the plan repository"), "{}", outcome.out);
}

#[test]
fn hooks_checkout_filters_and_text_conversions_do_not_run() {
    let site = committed(&[("a.yaml", CLEAN)]);
    let touched = site.path().join("ran");
    let script = format!("#!/bin/sh\ntouch {}\ncat\n", touched.display());
    site.write("filter.sh", script.as_bytes());
    git(&site, &["config", "filter.x.smudge", &format!("sh {}", site.path().join("filter.sh").display())]);
    git(&site, &["config", "diff.x.textconv", &format!("sh {}", site.path().join("filter.sh").display())]);
    git(&site, &["config", "core.fsmonitor", &format!("sh {}", site.path().join("filter.sh").display())]);
    site.write(".gitattributes", b"*.yaml filter=x diff=x\n");
    assert_eq!(compare(&site, &["HEAD", "HEAD"]).code, 0);
    let changed = site.lintern(&["check", "--changed-since", "HEAD", "--as-of", AS_OF]);
    assert_eq!(changed.code, 0, "{changed:#?}");
    assert!(!touched.exists(), "something of the repository was run");
}

const WAIVER: &str =
    "waivers:\n  - { rule: burial/shallow-cover, subject: R1, reason: rock, approved-by: Fernhollow County }\n";

#[test]
fn a_baseline_that_the_change_writes_hides_nothing() {
    let site = committed(&[("a.yaml", &with_violation())]);
    site.write("a.yaml", with_two_violations().replace("breaker: 30 A", "breaker: 40 A").as_bytes());
    assert_eq!(site.lintern(&["baseline", "--as-of", AS_OF]).code, 0);
    assert_eq!(site.lintern(&["check", "--as-of", AS_OF]).code, 0, "check goes by the baseline");
    let outcome = compare(&site, &["HEAD"]);
    assert_eq!(outcome.code, 1, "{outcome:#?}");
    let text = words(&outcome.out);
    assert!(text.contains("new violation burial/shallow-cover R1: 8 in (passes) → 3 in"), "{text}");
    assert!(text.contains("worse violation loading/oversized-branch-circuit S1: 30 A → 40 A"), "{text}");
    assert!(text.contains("The baseline, which lets findings be in `lintern check`, had 0 and has 2"), "{text}");
}

#[test]
fn what_gets_worse_under_a_waiver_and_a_waiver_that_changes_are_told() {
    let waived =
        |cover: &str, waiver: &str| format!("{}{waiver}", CLEAN.replace("cover: 8 in", &format!("cover: {cover}")));
    let site = committed(&[("a.yaml", &waived("3 in", WAIVER))]);
    let summary = |site: &Site| compare(site, &["HEAD", "--format", "json"]).json()["summary"].clone();
    assert_eq!(summary(&site)["waived"], 0);
    site.write("a.yaml", waived("1 in", WAIVER).as_bytes());
    let worse = compare(&site, &["HEAD"]);
    assert_eq!(worse.code, 0);
    assert!(
        words(&worse.out).contains("waived violation burial/shallow-cover R1: 3 in → 1 in, limit 6 in"),
        "{}",
        worse.out
    );
    site.write("a.yaml", waived("3 in", &WAIVER.replace("Fernhollow County", "R. Quill")).as_bytes());
    assert_eq!(summary(&site)["waived"], 1, "somebody else accepts it");
    site.write("a.yaml", waived("3 in", "").as_bytes());
    let open = compare(&site, &["HEAD"]);
    assert_eq!(open.code, 1);
    assert!(words(&open.out).contains("new violation burial/shallow-cover R1: 3 in, limit 6 in:"), "{}", open.out);
    assert!(words(&open.out).contains("(its waiver is gone: rock)"), "{}", open.out);
}

#[test]
fn an_input_that_is_taken_away_and_a_plan_that_can_not_be_read_cure_nothing() {
    let site = committed(&[("s/a.yaml", &with_two_violations()), ("s/b.yaml", CLEAN)]);
    site.write("s/a.yaml", with_two_violations().replace(", cover: 3 in", "").as_bytes());
    let json = compare(&site, &["HEAD", "--format", "json"]).json();
    assert_eq!((&json["summary"]["cured"], &json["summary"]["gone"]), (&0.into(), &1.into()), "{}", json["summary"]);
    site.write("s/a.yaml", b"plan: [\n");
    let broken = compare(&site, &["HEAD"]);
    assert_eq!(broken.code, 2);
    let text = words(&broken.out);
    assert!(
        text.contains("s/a.yaml (could not be checked now)") && text.contains(" 0 cured, 2 no longer judged"),
        "{text}"
    );
    // The other way round nothing is called new without a word.
    git(&site, &["add", "-A"]);
    git(&site, &["commit", "-q", "-m", "broken"]);
    site.write("s/a.yaml", with_two_violations().as_bytes());
    let text = words(&compare(&site, &["HEAD"]).out);
    assert!(text.contains("s/a.yaml (could not be checked before)"), "{text}");
}

#[test]
fn a_renamed_plan_is_the_same_plan_and_a_removed_one_is_told() {
    let site = committed(&[("s/a.yaml", &with_violation()), ("s/b.yaml", CLEAN)]);
    git(&site, &["mv", "s/a.yaml", "s/z.yaml"]);
    let renamed = compare(&site, &["HEAD"]);
    assert_eq!(renamed.code, 0, "{renamed:#?}");
    assert!(renamed.out.contains("s/z.yaml (was s/a.yaml)"), "{}", renamed.out);
    let removed = compare(&site, &["HEAD", "--path", "s/a.yaml"]);
    assert_eq!(removed.code, 0, "{removed:#?}");
    assert!(removed.out.contains("s/a.yaml (plan removed)"), "{}", removed.out);
}

#[test]
fn three_dots_are_where_the_branches_parted() {
    let site = committed(&[("a.yaml", &with_violation())]);
    git(&site, &["checkout", "-q", "-b", "work"]);
    git(&site, &["checkout", "-q", "main"]);
    site.write("a.yaml", CLEAN.as_bytes());
    git(&site, &["commit", "-q", "-a", "-m", "cured on main"]);
    git(&site, &["checkout", "-q", "work"]);
    assert_eq!(compare(&site, &["main"]).code, 1);
    for name in ["main...", "main...HEAD"] {
        assert_eq!(compare(&site, &[name]).code, 0, "{name}");
    }
}

#[test]
fn the_number_of_another_place_is_not_taken_for_that_of_a_finding() {
    let plan = |drive: &str| {
        let zones = "site:\n  grid: ft\n  soil: loam\n  zones:\n    - { id: drive, kind: driveway, outline: [[10, -5], [20, -5], [20, 5], [10, 5]] }\n    - { id: lot, kind: parking, outline: [[22, -5], [30, -5], [30, 5], [22, 5]] }";
        let covers =
            format!("cover: 8 in, covers: [{{ zone: drive, cover: {drive} }}, {{ zone: lot, cover: 40 in }}], riser");
        CLEAN.replace("site: { grid: ft, soil: loam }", zones).replace("cover: 8 in, riser", &covers)
    };
    let site = committed(&[("a.yaml", &plan("9 in"))]);
    site.write("a.yaml", plan("30 in").as_bytes());
    // Two covers pass now, 30 in and 40 in: neither is told for the place.
    let cured = words(&compare(&site, &["HEAD"]).out);
    assert!(cured.contains("cured violation burial/shallow-cover R1: was 9 in, limit 18 in"), "{cured}");
    git(&site, &["commit", "-q", "-a", "-m", "second"]);
    site.write("a.yaml", plan("9 in").as_bytes());
    let new = words(&compare(&site, &["HEAD"]).out);
    assert!(new.contains("new violation burial/shallow-cover R1: 9 in, limit 18 in:"), "{new}");
}
