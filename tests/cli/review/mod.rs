//! What a reviewer does with a repository of plans: formats for CI, waivers, baselines, comparisons, parts and seals.

mod baseline;
mod compare;
mod escaping;
mod formats;
mod recipes;
mod repository;
mod seal;
mod shards;
mod touched;
mod waivers;

use crate::support::{CLEAN, Outcome, Site};
use std::process::Command;

/// A plan with one violation: the breaker is too large for a low-voltage lighting supply.
pub fn with_violation() -> String {
    CLEAN.replace("breaker: 20 A", "breaker: 30 A")
}

/// A plan in which the breaker and the cover of R1 are wrong.
pub fn with_two_violations() -> String {
    with_violation().replace("cover: 8 in", "cover: 3 in")
}

/// The rules, subjects and levels of what counts in a check.
pub fn open(outcome: &Outcome) -> Vec<String> {
    let json = outcome.json();
    let plans = json["plans"].as_array().unwrap().iter();
    let findings = plans.flat_map(|plan| plan["findings"].as_array().unwrap().clone());
    let counts = |f: &serde_json::Value| f["waived"].is_null() && f["baseline"]["state"] != "known";
    let name = |f: serde_json::Value| format!("{} {}", f["rule"].as_str().unwrap(), f["subject"].as_str().unwrap());
    findings.filter(counts).map(name).collect()
}

/// A text without its line breaks, also those that frames make.
pub fn words(text: &str) -> String {
    text.replace('│', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Runs git in the folder of a site, as somebody.
pub fn git(site: &Site, arguments: &[&str]) -> String {
    let output = Command::new("git")
        .current_dir(site.path())
        .args(["-c", "user.name=R. Quill", "-c", "user.email=quill@example.invalid", "-c", "init.defaultBranch=main"])
        .args(["-c", "commit.gpgsign=false", "-c", "core.autocrlf=false"])
        .args(arguments)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_SYSTEM", "/dev/null")
        .output()
        .expect("git is installed");
    assert!(output.status.success(), "git {arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap().trim().to_owned()
}

/// A repository of git with these files committed.
pub fn committed(files: &[(&str, &str)]) -> Site {
    let site = Site::new(files);
    git(&site, &["init", "-q"]);
    git(&site, &["add", "-A"]);
    git(&site, &["commit", "-q", "-m", "first"]);
    site
}
