//! `--changed-since`: the plans that a change touches, and no others.

use super::{committed, git, with_violation};
use crate::support::{CLEAN, Outcome, Site};

const TYPES: &str = "schedule:\n  splices:\n    gel-cap: { location: wet, direct-burial: true, resistance: 1 mohm }\n";

fn with_schedule() -> String {
    CLEAN
        .replace("schedule:\n", "use: [../types.yaml]\nschedule:\n")
        .replace("  splices:\n    gel-cap: { location: wet, direct-burial: true, resistance: 1 mohm }\n", "")
}

/// Four plans, of which two use a shared schedule.
fn site() -> Site {
    let user = with_schedule();
    committed(&[
        ("types.yaml", TYPES),
        ("s/a.yaml", &user),
        ("s/b.yaml", &user),
        ("s/c.yaml", CLEAN),
        ("s/d.yaml", CLEAN),
    ])
}

fn checked(site: &Site, since: &str) -> (Outcome, Vec<String>) {
    let outcome = site.lintern(&[
        "check",
        "--changed-since",
        since,
        "--as-of",
        "2026-03-01",
        "--format",
        "json",
        "--no-remedies",
    ]);
    let plans =
        outcome.json()["plans"].as_array().unwrap().iter().map(|p| p["file"].as_str().unwrap().to_owned()).collect();
    (outcome, plans)
}

#[test]
fn nothing_changed_is_clean() {
    let site = site();
    let (outcome, plans) = checked(&site, "HEAD");
    assert_eq!((outcome.code, plans.len()), (0, 0), "{outcome:#?}");
    let text = site.lintern(&["check", "--changed-since", "HEAD", "--as-of", "2026-03-01"]).out;
    assert!(text.contains("Only plans that are touched by changes since"), "{text}");
}

#[test]
fn a_plan_is_touched_directly_also_before_it_is_committed_or_known() {
    let site = site();
    site.write("s/c.yaml", with_violation().as_bytes());
    site.write("s/new.yaml", CLEAN.as_bytes());
    let (outcome, plans) = checked(&site, "HEAD");
    assert_eq!(plans, ["s/c.yaml", "s/new.yaml"]);
    assert_eq!(outcome.code, 1);
    git(&site, &["add", "-A"]);
    git(&site, &["commit", "-q", "-m", "second"]);
    assert_eq!(checked(&site, "HEAD~1").1, ["s/c.yaml", "s/new.yaml"]);
    assert_eq!(checked(&site, "HEAD").1, [""; 0]);
}

#[test]
fn a_shared_schedule_touches_the_plans_that_use_it_also_when_it_is_removed() {
    let site = site();
    site.write("types.yaml", TYPES.replace("1 mohm", "2 mohm").as_bytes());
    assert_eq!(checked(&site, "HEAD").1, ["s/a.yaml", "s/b.yaml"]);
    std::fs::remove_file(site.path().join("types.yaml")).unwrap();
    let (outcome, plans) = checked(&site, "HEAD");
    assert_eq!(plans, ["s/a.yaml", "s/b.yaml"]);
    assert_eq!(outcome.code, 2);
}

#[test]
fn the_configuration_a_pack_or_a_file_of_rules_touches_all() {
    let rules = "expressions: 1\nrules:\n  - { id: house/bright, title: Too bright, for: luminaire, require: \"luminaire.id != 'X'\", message: \"{luminaire.id} is too bright\" }\n";
    for (file, text) in [
        ("lintern.yaml", "lintern: 1\nfail-on: advice\n"),
        ("lintern-baseline.json", r#"{"lintern-baseline":1,"version":"0","as-of":"2026-03-01","findings":[]}"#),
    ] {
        let site = site();
        site.write(file, text.as_bytes());
        assert_eq!(checked(&site, "HEAD").1.len(), 4, "{file}");
    }
    let site = site();
    site.write("lintern.yaml", b"lintern: 1\nrules: { expressions: [house/*.rules.yaml] }\n");
    site.write("house/a.rules.yaml", rules.as_bytes());
    git(&site, &["add", "-A"]);
    git(&site, &["commit", "-q", "-m", "rules"]);
    let (outcome, plans) = checked(&site, "HEAD");
    assert_eq!((outcome.code, plans.len()), (0, 0), "{outcome:#?}");
    site.write("house/a.rules.yaml", rules.replace("'X'", "'Y'").as_bytes());
    assert_eq!(checked(&site, "HEAD").1.len(), 4);
    std::fs::remove_file(site.path().join("house/a.rules.yaml")).unwrap();
    assert_eq!(checked(&site, "HEAD").1.len(), 4, "a file of rules that is gone");
}

#[test]
fn a_plan_that_is_removed_touches_no_other() {
    let site = site();
    std::fs::remove_file(site.path().join("s/d.yaml")).unwrap();
    assert_eq!(checked(&site, "HEAD").1.len(), 0);
}

#[test]
fn changes_count_from_where_the_branches_parted() {
    let site = site();
    git(&site, &["checkout", "-q", "-b", "work"]);
    site.write("s/c.yaml", with_violation().as_bytes());
    git(&site, &["commit", "-q", "-a", "-m", "work"]);
    git(&site, &["checkout", "-q", "main"]);
    site.write("s/d.yaml", format!("# main goes on\n{CLEAN}").as_bytes());
    git(&site, &["commit", "-q", "-a", "-m", "main"]);
    git(&site, &["checkout", "-q", "work"]);
    assert_eq!(checked(&site, "main").1, ["s/c.yaml"]);
}

#[test]
fn plans_in_a_repository_of_their_own_below_are_checked_rather_than_passed_over() {
    let site = site();
    site.write("inner/e.yaml", with_violation().as_bytes());
    let inner = site.path().join("inner");
    let git = |arguments: &[&str]| {
        let output = std::process::Command::new("git").current_dir(&inner).args(arguments).output().unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    };
    git(&["init", "-q"]);
    git(&["add", "-A"]);
    git(&["-c", "user.name=R. Quill", "-c", "user.email=quill@example.invalid", "commit", "-q", "-m", "inner"]);
    let (outcome, plans) = checked(&site, "HEAD");
    assert_eq!((outcome.code, plans), (1, vec!["inner/e.yaml".to_owned()]));
}

#[test]
fn without_git_or_with_a_wrong_revision_nothing_passes() {
    let site = site();
    let (outcome, _) = checked(&site, "no-such-revision");
    assert_eq!(outcome.code, 2);
    assert!(outcome.out.contains("git knows no revision `no-such-revision`"), "{}", outcome.out);
    let plain = Site::new(&[("a.yaml", &with_violation())]);
    let (outcome, plans) = checked(&plain, "main");
    assert_eq!((outcome.code, plans.len()), (2, 0));
}
