//! Standard output and standard error that are full, closed or read by nobody.

use super::{DAY, bash, expect};
use crate::review::with_violation;
use crate::support::{CLEAN, Site};

/// Every command that prints a result, with its exit code on a plan with a finding.
fn printing() -> Vec<(String, i32)> {
    let formats = ["terminal", "json", "sarif", "junit", "github", "gitlab", "markdown"];
    let checks = formats.map(|format| (format!("check a.yaml --format {format} {DAY}"), 1));
    let others = [
        ("rules", 0),
        ("config", 0),
        ("explain loading/overloaded-supply", 0),
        ("schema", 0),
        ("completions bash", 0),
        ("man", 0),
        ("solve a.yaml", 0),
        ("remedy a.yaml", 1),
        ("steps a.yaml", 0),
        ("draw a.yaml", 0),
        ("export geojson a.yaml --origin 44,-121", 0),
        ("import csv lamps.csv", 0),
        ("compare a.yaml a.yaml", 0),
        ("merge part.json", 1),
        ("verify whole.json", 0),
        ("--help", 0),
        ("help check", 0),
        ("--version", 0),
    ];
    checks.into_iter().chain(others.map(|(line, code)| (line.to_owned(), code))).collect()
}

fn site() -> Site {
    let lamps = "type,power (W),nominal (V)\nspot,3,12\n";
    let site = Site::new(&[("a.yaml", &with_violation()), ("lamps.csv", lamps)]);
    let part = format!("\"$L\" check a.yaml --shard 1/1 --format json {DAY} > part.json");
    assert_eq!(bash(&site, &part).code, 1);
    assert_eq!(bash(&site, &format!("\"$L\" check a.yaml --format json {DAY} > whole.json")).code, 1);
    site
}

#[test]
fn a_result_that_does_not_fit_on_the_disk_is_an_error() {
    if !std::path::Path::new("/dev/full").exists() {
        eprintln!("NOT TESTED: this system has no /dev/full");
        return;
    }
    let site = site();
    for (line, _) in printing() {
        expect(&site, &format!("\"$L\" {line} > /dev/full"), 2, "can't write the result: No space left");
    }
}

#[test]
fn messages_that_do_not_fit_on_the_disk_change_no_exit_code() {
    let site = site();
    for (line, code) in [
        ("check none.yaml", 2),
        ("solve none.yaml", 2),
        ("explain none/none", 2),
        ("export geojson a.yaml --origin 44,-121", 0),
        ("baseline none", 2),
        ("merge none", 2),
        ("rule pin none", 2),
        ("check --none", 2),
    ] {
        for redirection in ["2> /dev/full", "> /dev/full 2>&1", "2> >(true)"] {
            let code = if redirection.starts_with('>') { 2 } else { code };
            expect(&site, &format!("\"$L\" {line} {redirection}"), code, "");
        }
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let site = site();
    for (line, code) in printing() {
        // The reader has ended before the program writes.
        let gone = format!("{{ sleep 0.1; \"$L\" {line}; echo \"code $?\" >&2; }} | true");
        let outcome = bash(&site, &gone);
        let (code, errors) = (format!("code {code}\n"), outcome.err.lines().count());
        assert!(outcome.err.ends_with(&code), "{line}: {outcome:#?}");
        assert!(!outcome.err.contains("panicked") && !outcome.err.contains("Broken pipe"), "{line}: {errors} lines");
    }
}

#[test]
fn closed_streams_take_no_bytes_of_the_files_that_are_written() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    for closed in ["<&- >&- 2>&-", ">&-", "2>&-", "<&-"] {
        let run = format!(
            "rm -f r.json; \"$L\" check a.yaml {DAY} --output json=r.json {closed}; code=$?; cat r.json; exit $code"
        );
        let outcome = expect(&site, &run, 0, "\"plans\"");
        let start = outcome.out.find("{\n").unwrap();
        let document: serde_json::Value = serde_json::from_str(&outcome.out[start..]).unwrap();
        assert_eq!(document["summary"]["errors"], 0);
    }
}

#[test]
fn a_watch_ends_with_its_reader_and_with_the_disk() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    // The plan changes until the program has ended.
    let change = "(while sleep 0.2; do echo >> a.yaml; done) & change=$!;";
    let watch = format!("\"$L\" check --watch a.yaml {DAY}");
    let line = format!("{change} {{ {watch}; echo \"code $?\" >&2; }} | true; kill $change");
    assert!(bash(&site, &line).err.contains("code 0\n"));
    expect(&site, &format!("{watch} > /dev/full"), 2, "can't write the result");
}

#[test]
fn an_editor_that_does_not_read_ends_the_server() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let body = r#"{"jsonrpc":"2.0","id":1,"method":"initialize","params":{"capabilities":{}}}"#;
    let ask = format!("printf 'Content-Length: {}\\r\\n\\r\\n%s' '{body}'", body.len());
    for (redirection, code) in [("> /dev/full", 1), ("| true", 1), ("> /dev/null", 1)] {
        let line = format!("set -o pipefail; {{ {ask}; sleep 0.5; {ask}; }} | \"$L\" serve {redirection}");
        expect(&site, &line, code, "");
    }
}
