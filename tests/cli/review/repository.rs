//! A repository of plans with a history, in the way CI works with it.

use super::{committed, git, with_two_violations, with_violation};
use crate::support::{CLEAN, Outcome, Site};

const PLANS: usize = 60;

fn check(site: &Site, more: &[&str]) -> Outcome {
    site.lintern(&[&["check", "--as-of", "2026-03-01", "--no-remedies"], more].concat())
}

/// The life of a repository: taken over with findings, a baseline, a change that adds one and cures one, parts of it
/// checked by several machines, and the comment from which a reviewer decides.
#[test]
fn from_taking_over_to_the_comment_on_a_change() {
    let files: Vec<(String, String)> = (0..PLANS)
        .map(|i| {
            let plan = if i % 3 == 0 { with_violation() } else { CLEAN.to_owned() };
            (format!("sites/{:02}/{i:03}.yaml", i / 10), plan.replace("Two lamps", &format!("Site {i}")))
        })
        .collect();
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    let site = committed(&files);
    assert_eq!(check(&site, &["-q"]).out.lines().count(), 1);
    assert_eq!(check(&site, &["-q"]).code, 1);
    assert_eq!(site.lintern(&["baseline", "--as-of", "2026-03-01"]).code, 0);
    git(&site, &["add", "-A"]);
    git(&site, &["commit", "-q", "-m", "baseline"]);
    assert_eq!(check(&site, &[]).code, 0);
    // The change.
    git(&site, &["checkout", "-q", "-b", "change"]);
    site.write("sites/00/000.yaml", CLEAN.as_bytes());
    site.write("sites/00/001.yaml", with_two_violations().as_bytes());
    git(&site, &["commit", "-q", "-a", "-m", "change"]);
    let touched = check(&site, &["--changed-since", "main", "--format", "json"]);
    assert_eq!(touched.code, 1);
    assert_eq!(touched.json()["summary"]["plans"], 2);
    // A whole run finds the same new findings.
    let whole = check(&site, &["--format", "json"]).json();
    for key in ["violation", "cured"] {
        assert_eq!(whole["summary"][key], touched.json()["summary"][key], "{key}");
    }
    assert_eq!(whole["summary"]["baseline"], PLANS / 3 - 1);
    // By four machines, put together by a fifth.
    let names: Vec<String> = (1..=4).map(|k| format!("part-{k}.json")).collect();
    for (k, name) in (1..).zip(&names) {
        let part = check(&site, &["--shard", &format!("{k}/4"), "--format", "json"]);
        site.write(name, part.out.as_bytes());
    }
    let parts: Vec<&str> = names.iter().map(String::as_str).collect();
    let merged = site.lintern(&[&["merge", "--format", "markdown"], &parts[..]].concat());
    assert_eq!(merged.code, 1);
    names.iter().for_each(|name| std::fs::remove_file(site.path().join(name)).unwrap());
    assert_eq!(merged.out, check(&site, &["--format", "markdown"]).out);
    // Everything that a decision needs is in the comment.
    let comment = site.lintern(&["compare", "main", "--as-of", "2026-03-01", "--format", "markdown"]);
    assert_eq!(comment.code, 1);
    for part in [
        "## lintern: this change adds or worsens 2 violations",
        "`sites/00/001.yaml`",
        "**20 A (passes) → 30 A, limit 20 A**",
        "**8 in (passes) → 3 in, limit 6 in**",
        "NFPA 70 (2023), Table 300.5(A)",
        "Cured",
        "`sites/00/000.yaml`",
        "permission to dig",
    ] {
        assert!(comment.out.contains(part), "{part}:\n{}", comment.out);
    }
}
