//! The CI recipes of the README: their commands run as they stand, in a repository with a change, and what they write
//! is what the steps after them take.

use super::{committed, git, with_two_violations, with_violation};
use crate::support::{CLEAN, Site};
use serde_json::Value;
use std::path::Path;
use std::process::Command;

/// The recipe with this file name, from the README.
fn recipe(file: &str) -> serde_yaml::Value {
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md")).unwrap();
    let start = readme.find(&format!("```yaml\n# {file}\n")).unwrap_or_else(|| panic!("{file} is not in the README"));
    let text = &readme[start + "```yaml\n".len()..];
    serde_yaml::from_str(&text[..text.find("\n```").unwrap()]).unwrap()
}

/// Runs a command of a recipe as a runner does: by bash, stopping at the first failure. Gives the exit code.
fn bash(site: &Site, script: &str, environment: &[(&str, &str)]) -> i32 {
    let bin = Path::new(env!("CARGO_BIN_EXE_lintern")).parent().unwrap();
    let path = format!("{}:{}", bin.display(), std::env::var("PATH").unwrap());
    let status = Command::new("bash")
        .args(["-e", "-o", "pipefail", "-c", script])
        .current_dir(site.path())
        .env("PATH", path)
        .env("LINTERN_CONFIG", "")
        .env_remove("GITHUB_STEP_SUMMARY")
        .envs(environment.iter().copied())
        .stdout(std::fs::File::create(site.path().join(".out")).unwrap())
        .stderr(std::fs::File::create(site.path().join(".err")).unwrap())
        .status()
        .unwrap();
    status.code().unwrap()
}

/// A branch that makes one plan of three worse, with the main branch known as that of the origin.
fn site() -> Site {
    let site = committed(&[("a.yaml", CLEAN), ("b.yaml", &with_violation()), ("c.yaml", CLEAN)]);
    git(&site, &["update-ref", "refs/remotes/origin/main", "HEAD"]);
    git(&site, &["checkout", "-q", "-b", "change"]);
    site.write("a.yaml", with_two_violations().as_bytes());
    git(&site, &["commit", "-q", "-a", "-m", "change"]);
    site
}

#[test]
fn the_workflow_for_pull_requests() {
    let workflow = recipe(".github/workflows/plans.yml");
    let steps = workflow["jobs"]["check"]["steps"].as_sequence().unwrap();
    let run = |name: &str| {
        let step = steps.iter().find(|step| step["name"] == name).unwrap();
        step["run"].as_str().unwrap().to_owned()
    };
    let site = site();
    let summary = site.path().join(".summary");
    let environment = [("GITHUB_BASE_REF", "main"), ("GITHUB_STEP_SUMMARY", summary.to_str().unwrap())];
    assert_eq!(bash(&site, &run("Check what the change touches"), &environment), 1);
    let log = std::fs::read_to_string(site.path().join(".out")).unwrap();
    assert!(log.contains("::error file=a.yaml,") && !log.contains("file=b.yaml"), "{log}");
    assert!(std::fs::read_to_string(&summary).unwrap().contains("## lintern: not ready"));
    let sarif: Value = serde_json::from_slice(&std::fs::read(site.path().join("lintern.sarif")).unwrap()).unwrap();
    assert_eq!(sarif["version"], "2.1.0");
    assert_eq!(bash(&site, &run("Say what the change does"), &environment), 1);
    let comment = std::fs::read_to_string(site.path().join("comment.md")).unwrap();
    assert!(comment.starts_with("## lintern: this change adds or worsens 2 violations"), "{comment}");
    // What is uploaded and posted is what the commands wrote.
    let text = serde_json::to_string(&steps).unwrap();
    assert!(text.contains("\"sarif_file\":\"lintern.sarif\"") && text.contains("--body-file comment.md"), "{text}");
}

#[test]
fn the_job_for_merge_requests() {
    let job = &recipe(".gitlab-ci.yml")["plans"];
    let site = site();
    let script: Vec<&str> = job["script"].as_sequence().unwrap().iter().map(|line| line.as_str().unwrap()).collect();
    assert_eq!(bash(&site, &script.join("\n"), &[]), 1);
    for (report, kind) in [("codequality", "json"), ("junit", "xml")] {
        let file = job["artifacts"]["reports"][report].as_str().unwrap();
        let text = std::fs::read_to_string(site.path().join(file)).unwrap();
        match kind {
            "json" => {
                assert!(serde_json::from_str::<Value>(&text).unwrap().as_array().is_some_and(|all| !all.is_empty()))
            }
            _ => assert_eq!(quick_junit::Report::deserialize_from_str(&text).unwrap().failures, 3),
        }
    }
}

#[test]
fn the_workflow_over_several_machines() {
    let workflow = recipe(".github/workflows/all-plans.yml");
    let run = |job: &str| {
        let steps = workflow["jobs"][job]["steps"].as_sequence().unwrap();
        steps.iter().find_map(|step| step["run"].as_str()).unwrap().to_owned()
    };
    let site = site();
    let whole = site.lintern(&["check", ".", "--format", "github"]);
    for part in workflow["jobs"]["part"]["strategy"]["matrix"]["part"].as_sequence().unwrap() {
        let number = part.as_u64().unwrap().to_string();
        assert_eq!(bash(&site, &run("part").replace("${{ matrix.part }}", &number), &[]), 0, "{number}");
    }
    assert_eq!(bash(&site, &run("whole"), &[]), 1);
    assert_eq!(std::fs::read_to_string(site.path().join(".out")).unwrap(), whole.out);
}
