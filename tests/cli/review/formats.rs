//! The formats of CI against what their public schemas and their documentation ask for.

use super::{git, with_two_violations, with_violation};
use crate::support::{CLEAN, Outcome, Site, demo, run};
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::Command;

const DAY: [&str; 2] = ["--as-of", "2026-03-05"];

fn check(folder: &Path, more: &[&str]) -> Outcome {
    run(folder, &[&["check"], &DAY[..], more].concat(), &[])
}

/// The schema of SARIF 2.1.0 by OASIS, as the crate serde-sarif carries it.
fn sarif_schema() -> Value {
    let version = Command::new("rustc").arg("-vV").output().unwrap();
    let version = String::from_utf8(version.stdout).unwrap();
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).unwrap();
    let metadata = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version",
            "1",
            "--locked",
            "--offline",
            "--filter-platform",
            host,
            "--manifest-path",
        ])
        .arg(Path::new(env!("CARGO_MANIFEST_DIR")).join("Cargo.toml"))
        .output()
        .unwrap();
    assert!(metadata.status.success(), "{}", String::from_utf8_lossy(&metadata.stderr));
    let metadata: Value = serde_json::from_slice(&metadata.stdout).unwrap();
    let packages = metadata["packages"].as_array().unwrap();
    let package = packages.iter().find(|package| package["name"] == "serde-sarif").unwrap();
    let folder = Path::new(package["manifest_path"].as_str().unwrap()).parent().unwrap();
    let text = std::fs::read_to_string(folder.join("src/schema.json")).unwrap();
    // One pattern has a bracket too many, which only some dialects of expressions take as the bracket itself.
    let schema: Value = serde_json::from_str(&text.replace("[a-zA-Z]{2}]?$", "[a-zA-Z]{2}\\\\]?$")).unwrap();
    assert!(schema["title"].as_str().unwrap().contains("2.1.0"), "{}", schema["title"]);
    schema
}

fn assert_sarif(text: &str) -> Value {
    let log: Value = serde_json::from_str(text).unwrap();
    let validator = jsonschema::validator_for(&sarif_schema()).unwrap();
    let errors: Vec<String> = validator.iter_errors(&log).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert_eq!(errors, Vec::<String>::new());
    // The schema really refuses something.
    let mut wrong = log.clone();
    wrong["runs"][0]["tool"]["driver"]["name"] = Value::Null;
    assert!(!validator.is_valid(&wrong));
    log
}

#[test]
fn sarif_of_the_demo_is_valid_and_says_everything() {
    let log = assert_sarif(&check(&demo(), &["--format", "sarif"]).out);
    let json = check(&demo(), &["--format", "json"]).json();
    let run = &log["runs"][0];
    let results = run["results"].as_array().unwrap();
    let findings: Vec<&Value> =
        json["plans"].as_array().unwrap().iter().flat_map(|plan| plan["findings"].as_array().unwrap()).collect();
    assert_eq!(results.len(), findings.len());
    let rules = run["tool"]["driver"]["rules"].as_array().unwrap();
    let mut fingerprints = std::collections::BTreeSet::new();
    for (result, finding) in results.iter().zip(findings) {
        assert_eq!(result["ruleId"], finding["rule"]);
        let rule = &rules[usize::try_from(result["ruleIndex"].as_u64().unwrap()).unwrap()];
        assert_eq!(rule["id"], finding["rule"]);
        assert!(rule["help"]["markdown"].as_str().unwrap().contains("## What it checks"), "{rule}");
        let level = match finding["level"].as_str().unwrap() {
            "violation" => "error",
            "advice" => "warning",
            _ => "note",
        };
        assert_eq!(result["level"], level);
        let place = &result["locations"][0]["physicalLocation"];
        // From the root of version control, which is above the folder of the demo plans.
        let uri = format!("plans/{}", finding["span"]["file"].as_str().unwrap());
        assert_eq!(place["artifactLocation"]["uri"], uri);
        for (key, of) in
            [("startLine", "line"), ("startColumn", "column"), ("endLine", "end-line"), ("endColumn", "end-column")]
        {
            assert_eq!(place["region"][key], finding["span"][of]);
        }
        assert!(fingerprints.insert(result["partialFingerprints"]["lintern/v1"].to_string()), "{result}");
        assert_eq!(result["suppressions"], serde_json::json!([]));
    }
    let told = run["invocations"][0]["toolExecutionNotifications"].as_array().unwrap().len();
    assert!(told > 0, "what could not be judged is told");
    assert_eq!(run["invocations"][0]["executionSuccessful"], true);
}

#[test]
fn fingerprints_stay_when_lines_move_and_waivers_suppress() {
    let site = Site::new(&[("a.yaml", &with_two_violations())]);
    let log = |site: &Site| assert_sarif(&check(site.path(), &["--format", "sarif"]).out);
    let prints = |log: &Value| -> Vec<String> {
        let results = log["runs"][0]["results"].as_array().unwrap();
        results.iter().map(|result| result["partialFingerprints"].to_string()).collect()
    };
    let before = prints(&log(&site));
    site.write("a.yaml", format!("# one\n# two\n\n{}", with_two_violations()).as_bytes());
    assert_eq!(prints(&log(&site)), before);
    let waiver = "waivers:\n  - { rule: burial/shallow-cover, subject: R1, reason: rock, approved-by: Fernhollow County, until: 2026-12-31 }\n";
    site.write("a.yaml", format!("{}{waiver}", with_two_violations()).as_bytes());
    let waived = log(&site);
    let result = waived["runs"][0]["results"]
        .as_array()
        .unwrap()
        .iter()
        .find(|r| r["ruleId"] == "burial/shallow-cover")
        .unwrap();
    assert_eq!(result["suppressions"][0]["kind"], "inSource");
    assert_eq!(result["suppressions"][0]["justification"], "rock");
    assert_eq!(result["suppressions"][0]["properties"]["approved-by"], "Fernhollow County");
    let reviewer = assert_sarif(&check(site.path(), &["--format", "sarif", "--as-reviewer"]).out);
    assert!(
        reviewer["runs"][0]["results"].as_array().unwrap().iter().all(|r| r["suppressions"] == serde_json::json!([]))
    );
    site.lintern(&["baseline", "--as-of", "2026-03-05"]);
    let recorded = log(&site);
    let states: Vec<&Value> =
        recorded["runs"][0]["results"].as_array().unwrap().iter().map(|r| &r["baselineState"]).collect();
    assert!(states.contains(&&Value::from("unchanged")), "{states:?}");
}

#[test]
fn paths_in_sarif_are_addresses_and_errors_are_notifications() {
    let site = Site::new(&[("sites/north side/plan 100%.yaml", &with_violation()), ("b.yaml", "plan: 1\nruns: 3\n")]);
    let outcome = check(site.path(), &["--format", "sarif"]);
    assert_eq!(outcome.code, 2);
    let log = assert_sarif(&outcome.out);
    let place = &log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"];
    assert_eq!(place["uri"], "sites/north%20side/plan%20100%25.yaml");
    assert_eq!(log["runs"][0]["invocations"][0]["executionSuccessful"], false);
    let told = log["runs"][0]["invocations"][0]["toolExecutionNotifications"].as_array().unwrap();
    let error = told.iter().find(|notification| notification["level"] == "error").unwrap();
    assert_eq!(error["locations"][0]["physicalLocation"]["artifactLocation"]["uri"], "b.yaml");
    assert_eq!(error["locations"][0]["physicalLocation"]["region"]["startLine"], 2);
}

/// The schema that Jenkins and others hold JUnit reports against, and the program that does it; `tests/run` gets both.
fn junit_schema() -> Option<PathBuf> {
    let schema = std::env::var_os("LINTERN_JUNIT_SCHEMA").map(PathBuf::from);
    if schema.is_none() {
        eprintln!("NOT RUN: JUnit reports against junit-10.xsd; `bash tests/run` gets the schema and xmllint");
    }
    schema
}

fn assert_junit(text: &str) {
    let Some(schema) = junit_schema() else { return };
    let folder = Site::new(&[("report.xml", text)]);
    let file = folder.path().join("report.xml");
    let output = Command::new("xmllint").args(["--noout", "--nonet", "--schema"]).arg(&schema).arg(&file).output();
    let output = output.expect("LINTERN_JUNIT_SCHEMA is set where xmllint is installed");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let wrong = text.replacen("<testsuite name=", "<testsuite nome=", 1);
    std::fs::write(&file, wrong).unwrap();
    let output =
        Command::new("xmllint").args(["--noout", "--nonet", "--schema"]).arg(&schema).arg(&file).output().unwrap();
    assert!(!output.status.success(), "the schema refuses nothing");
}

#[test]
fn junit_is_valid_and_fails_where_the_exit_code_does() {
    let outcome = check(&demo(), &["--format", "junit"]);
    assert_junit(&outcome.out);
    let report = quick_junit::Report::deserialize_from_str(&outcome.out).unwrap();
    let json = check(&demo(), &["--format", "json"]).json();
    let plans = json["plans"].as_array().unwrap();
    // One suite for the run, one for each plan.
    assert_eq!(report.test_suites.len(), plans.len() + 1);
    for (suite, plan) in report.test_suites.iter().skip(1).zip(plans) {
        let failed: Vec<&str> = suite
            .test_cases
            .iter()
            .filter(|case| matches!(&case.status, quick_junit::TestCaseStatus::NonSuccess { .. }))
            .map(|case| case.name.as_str())
            .collect();
        let mut violated: Vec<&str> = plan["findings"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|finding| finding["level"] == "violation")
            .map(|finding| finding["rule"].as_str().unwrap())
            .collect();
        violated.sort_unstable();
        violated.dedup();
        assert_eq!(failed, violated, "{}", suite.name.as_str());
        let verdicts = plan["verdicts"].as_object().unwrap();
        let applicable = verdicts.values().filter(|verdict| verdict["verdict"] != "not-applicable").count();
        assert_eq!(suite.test_cases.len(), applicable);
    }
    let advice = check(&demo(), &["--format", "junit", "--fail-on", "advice"]).out;
    let failures = |text: &str| quick_junit::Report::deserialize_from_str(text).unwrap().failures;
    assert!(failures(&advice) > failures(&outcome.out));
    let broken = Site::new(&[("b.yaml", "plan: 1\nruns: 3\n"), ("c.yaml", "runs: []\n")]);
    let outcome = check(broken.path(), &["--format", "junit"]);
    assert_junit(&outcome.out);
    assert_eq!(quick_junit::Report::deserialize_from_str(&outcome.out).unwrap().errors, 2);
}

/// A step of GitHub Actions shows ten errors, ten warnings and ten notices (documentation of GitHub Actions, workflow
/// commands and limits of annotations).
#[test]
fn github_shows_the_gravest_and_no_more_than_a_step_takes_and_writes_the_summary() {
    let summary = Site::new(&[("summary.md", "before\n")]);
    let file = summary.path().join("summary.md");
    let environment = [("GITHUB_STEP_SUMMARY", file.to_str().unwrap())];
    let outcome = run(&demo(), &["check", "--as-of", "2026-03-05", "--format", "github"], &environment);
    assert_eq!(outcome.code, 1);
    for (command, most) in [("::error ", 10), ("::warning ", 10), ("::notice ", 10)] {
        assert_eq!(outcome.out.lines().filter(|line| line.starts_with(command)).count(), most, "{command}");
    }
    let findings = check(&demo(), &["--format", "json"]).json();
    let total =
        ["violation", "advice", "reminder"].iter().map(|l| findings["summary"][l].as_u64().unwrap()).sum::<u64>();
    let told = outcome.out.lines().filter(|line| line.starts_with("::") || line.contains(": plans/"));
    assert_eq!(told.count() as u64, total, "every finding is in the log");
    let first = outcome.out.lines().next().unwrap();
    assert!(first.starts_with("::error file=plans/quarry-lane/back-garden.yaml,line="), "{first}");
    let written = std::fs::read_to_string(&file).unwrap();
    assert!(written.starts_with("before\n## lintern: not ready\n"), "{written}");
    assert_eq!(written["before\n".len()..], check(&demo(), &["--format", "markdown"]).out);
}

/// What GitLab needs of each entry (documentation of GitLab, code quality report format).
#[test]
fn gitlab_entries_have_what_is_needed_and_only_what_counts() {
    let outcome = check(&demo(), &["--format", "gitlab"]);
    let entries = outcome.json();
    let json = check(&demo(), &["--format", "json"]).json();
    let total = ["violation", "advice", "reminder"].iter().map(|l| json["summary"][l].as_u64().unwrap()).sum::<u64>();
    assert_eq!(entries.as_array().unwrap().len() as u64, total);
    let mut fingerprints = std::collections::BTreeSet::new();
    for entry in entries.as_array().unwrap() {
        for key in ["description", "check_name", "fingerprint"] {
            assert!(!entry[key].as_str().unwrap().is_empty(), "{entry}");
        }
        assert!(["info", "minor", "major", "critical", "blocker"].contains(&entry["severity"].as_str().unwrap()));
        assert!(entry["location"]["path"].as_str().unwrap().starts_with("plans/"), "{entry}");
        assert!(entry["location"]["lines"]["begin"].as_u64().unwrap() > 0);
        assert!(fingerprints.insert(entry["fingerprint"].as_str().unwrap().to_owned()), "{entry}");
    }
    let site = Site::new(&[(
        "a.yaml",
        &format!(
            "{}waivers:\n  - {{ rule: loading/oversized-branch-circuit, reason: r, approved-by: x }}\n",
            with_violation()
        ),
    )]);
    assert_eq!(check(site.path(), &["--format", "gitlab"]).json(), serde_json::json!([]));
}

#[test]
fn the_comment_of_the_demo() {
    let outcome = check(&demo(), &["--format", "markdown"]);
    let (text, _seal) = outcome.out.split_once("<sub>").unwrap();
    insta::assert_snapshot!(text);
}

/// A comment on GitHub may have 65,536 characters.
#[test]
fn a_comment_of_many_plans_fits_and_says_what_it_leaves_out() {
    let site = Site::new(&[]);
    for i in 0..150 {
        site.write(&format!("sites/{i:03}.yaml"), with_two_violations().as_bytes());
    }
    let comment = check(site.path(), &["--format", "markdown", "--no-remedies"]);
    assert_eq!(comment.code, 1);
    assert!(comment.out.chars().count() <= 65_536, "{}", comment.out.chars().count());
    assert!(comment.out.contains(" more are left out here: a comment has no room for them."), "{}", comment.out);
    assert!(comment.out.contains("90 more plans"), "{}", comment.out);
    assert!(comment.out.contains("150 plans: 300 violations") && comment.out.contains("permission to dig"));
}

#[test]
fn several_formats_are_written_at_once_each_whole() {
    let site = Site::new(&[("a.yaml", &with_violation()), ("old.sarif", "old")]);
    let outcome = check(
        site.path(),
        &["--output", "sarif=old.sarif", "--output", "markdown=out/comment.md", "--output", "json=r.json", "-q"],
    );
    // One of the folders is not there; the others are written.
    assert_eq!(outcome.code, 2, "{outcome:#?}");
    assert!(outcome.err.contains("can't write out/comment.md"), "{}", outcome.err);
    assert_sarif(&std::fs::read_to_string(site.path().join("old.sarif")).unwrap());
    let json = std::fs::read_to_string(site.path().join("r.json")).unwrap();
    assert_eq!(json, check(site.path(), &["--format", "json"]).out);
    assert_eq!(outcome.out.lines().count(), 1, "{}", outcome.out);
    let names: Vec<String> = std::fs::read_dir(site.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    assert_eq!(names.len(), 4, "{names:?}");
    for wrong in ["sarif", "sarif=", "serif=x", "=x"] {
        let outcome = check(site.path(), &["--output", wrong]);
        assert_eq!(outcome.code, 2, "{wrong}");
        assert!(
            outcome.err.contains("formats: terminal, json, sarif, junit, github, gitlab, markdown")
                || wrong.ends_with('='),
            "{}",
            outcome.err
        );
    }
}

#[test]
fn reports_replace_no_plan_and_a_result_that_can_not_be_written_is_an_error() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    for file in ["a.yaml", "lintern.yaml"] {
        let before = std::fs::read(site.path().join(file)).unwrap();
        let outcome = check(site.path(), &["--output", &format!("json={file}")]);
        assert_eq!(outcome.code, 2, "{file}");
        assert!(outcome.err.contains("it is a plan, a rule or a configuration"), "{}", outcome.err);
        assert_eq!(std::fs::read(site.path().join(file)).unwrap(), before);
    }
    if Path::new("/dev/full").exists() {
        let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let status = Command::new(env!("CARGO_BIN_EXE_lintern"))
            .current_dir(site.path())
            .args(["check", "--format", "json"])
            .env("LINTERN_CONFIG", "")
            .stdout(full)
            .stderr(std::process::Stdio::null())
            .status()
            .unwrap();
        assert_eq!(status.code(), Some(2));
        assert_eq!(site.lintern(&["merge", "/dev/zero"]).code, 2);
        assert_eq!(site.lintern(&["verify", "/dev/zero"]).code, 2);
    }
}

#[test]
fn exit_codes_do_not_depend_on_the_format() {
    let clean = Site::new(&[("a.yaml", CLEAN)]);
    let found = Site::new(&[("a.yaml", &with_violation())]);
    let broken = Site::new(&[("a.yaml", "plan: 1\nruns: 3\n")]);
    let empty = Site::new(&[]);
    for (site, code) in [(&clean, 0), (&found, 1), (&broken, 2), (&empty, 3)] {
        for format in ["terminal", "json", "sarif", "junit", "github", "gitlab", "markdown"] {
            assert_eq!(site.lintern(&["check", "--as-of", "2026-03-01", "--format", format]).code, code, "{format}");
        }
    }
}

#[test]
fn every_format_is_the_same_on_one_and_two_threads_and_from_any_folder() {
    let site = Site::new(&[]);
    for (name, plan) in [("a", with_violation()), ("b", with_two_violations()), ("c", CLEAN.to_owned())] {
        site.write(&format!("sites/{name}/plan.yaml"), plan.as_bytes());
    }
    git(&site, &["init", "-q"]);
    for format in ["terminal", "json", "sarif", "junit", "github", "gitlab", "markdown"] {
        let with = |threads: &str| {
            let arguments = ["check", "--as-of", "2026-03-01", "--format", format];
            run(site.path(), &arguments, &[("RAYON_NUM_THREADS", threads)]).out
        };
        assert_eq!(with("1"), with("2"), "{format}");
        // The paths that were given stand in the seal; all else is the same.
        if matches!(format, "github" | "gitlab") {
            let below =
                run(&site.path().join("sites"), &["check", "..", "--as-of", "2026-03-01", "--format", format], &[]);
            assert_eq!(below.out, with("1"), "{format}");
        }
    }
}
