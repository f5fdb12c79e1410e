//! House modules named by `lintern.yaml`.

use crate::support::{CLEAN, Site, run};
use std::path::Path;

/// A built rule module of the repository.
fn module(path: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(path)).unwrap()
}

/// The hostile module with another name in it, of as many letters, so that it is still well formed.
pub fn altered(from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut bytes = module("tests/hostile/dist/guest.wasm");
    let mut found = 0;
    for start in 0..bytes.len() - from.len() {
        if bytes[start..].starts_with(from.as_bytes()) {
            bytes[start..start + to.len()].copy_from_slice(to.as_bytes());
            found += 1;
        }
    }
    assert!(found > 0, "{from}");
    bytes
}

const CONFIG: &str = "lintern: 1\nrules:\n  modules: [house/*.wasm]\n";

#[test]
fn a_house_module_that_brings_rules_of_a_built_in_one_is_refused() {
    let site = Site::new(&[("lintern.yaml", CONFIG), ("a.yaml", CLEAN)]);
    site.write("house/copy.wasm", &altered("hostile/well-behaved", "burial/shallow-cover"));
    let outcome = site.lintern(&["check", "--format", "json", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 2);
    let json = outcome.json();
    let message = json["errors"][0]["message"].as_str().unwrap();
    assert!(message.contains("house/copy.wasm") && message.contains("burial/shallow-cover"), "{message}");
    assert!(json["plans"][0]["verdicts"].as_object().unwrap().len() > 10, "the built-in rules still run");
}

#[test]
fn a_house_module_with_a_topic_of_a_built_in_one_is_refused_though_its_rules_are_new() {
    let site = Site::new(&[("lintern.yaml", CONFIG), ("a.yaml", CLEAN)]);
    site.write("house/guest.wasm", &altered("hostile/", "loading/"));
    let outcome = site.lintern(&["check", "--format", "json", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 2);
    let json = outcome.json();
    let message = json["errors"][0]["message"].as_str().unwrap();
    assert!(message.contains("`house/guest.wasm` brings rule `loading/"), "{message}");
    assert!(message.contains("`loading/` is kept for lintern's own rules"), "{message}");
    let verdicts = json["plans"][0]["verdicts"].as_object().unwrap();
    assert!(verdicts.contains_key("loading/overloaded-supply"), "the built-in rules still run");
    assert!(!verdicts.contains_key("loading/well-behaved"), "{:#?}", verdicts.keys());
}

#[test]
fn a_module_that_is_no_wasm_is_named_and_the_rest_runs() {
    let site = Site::new(&[("lintern.yaml", CONFIG), ("a.yaml", CLEAN)]);
    site.write("house/broken.wasm", b"not a module");
    let outcome = site.lintern(&["check", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.out.contains("house/broken.wasm") && outcome.out.contains("passed"), "{}", outcome.out);
}

#[test]
fn a_pin_that_does_not_match_stops_the_module() {
    let wrong = "0".repeat(64);
    let config = format!("{CONFIG}  pins: {{ house/copy.wasm: \"sha256:{wrong}\" }}\n");
    let site = Site::new(&[("lintern.yaml", &config), ("a.yaml", CLEAN)]);
    site.write("house/copy.wasm", &module("tests/hostile/dist/guest.wasm"));
    let outcome = site.lintern(&["check", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.out.contains("not the pinned one"), "{}", outcome.out);
}

/// A module that tries to draw on the terminal, to forge a workflow command, and to name what is not there.
#[test]
fn what_a_module_says_is_shown_and_does_nothing() {
    let site = Site::new(&[("lintern.yaml", CONFIG), ("a.yaml", CLEAN)]);
    site.write("house/guest.wasm", &module("tests/hostile/dist/guest.wasm"));
    for arguments in [
        &["check", "--as-of", "2026-03-01", "--no-remedies"][..],
        &["check", "--as-of", "2026-03-01", "--no-remedies", "--format", "json", "--margins"],
    ] {
        let outcome = site.lintern(arguments);
        assert_eq!(outcome.code, 2);
        for text in [&outcome.out, &outcome.err] {
            let drawn = |c: char| (c.is_control() && c != '\n') || matches!(c, '\u{202e}' | '\u{9b}');
            assert_eq!(text.chars().find(|c| drawn(*c)), None, "{text}");
            assert!(!text.lines().any(|line| line.trim_start().starts_with("::error::")), "{text}");
        }
        assert_eq!(site.lintern(arguments).out, outcome.out, "the same bytes again");
    }
    let json = site.lintern(&["check", "--as-of", "2026-03-01", "--no-remedies", "--format", "json"]).json();
    let plan = &json["plans"][0];
    let errors: String = plan["errors"].as_array().unwrap().iter().map(|e| format!("{}\n", e["message"])).collect();
    for told in [
        "rule `hostile/made-up-field` names the field `type.colour` of a luminaire, which plans don't have",
        "rule `hostile/made-up-subject` names `",
        "rule `hostile/host-call-storm` of module `house/guest.wasm` was stopped: it used up its computing budget",
    ] {
        assert!(errors.contains(told), "{told}: {errors}");
    }
    let verdicts = plan["verdicts"].as_object().unwrap();
    assert!(!verdicts.contains_key("hostile/made-up-field") && !verdicts.contains_key("hostile/made-up-subject"));
    assert_eq!(verdicts["voltage/undervoltage"]["verdict"], "pass", "the other modules' verdicts stand");
}

#[test]
fn an_unusable_cache_is_ignored_and_told_with_verbose() {
    let site = Site::new(&[("a.yaml", CLEAN), ("cache-is-a-file", "")]);
    let cache = site.path().join("cache-is-a-file");
    let environment = [("LINTERN_CACHE", cache.to_str().unwrap())];
    let quiet = run(site.path(), &["check", "--as-of", "2026-03-01"], &environment);
    assert_eq!(quiet.code, 0, "{quiet:#?}");
    let verbose = run(site.path(), &["check", "--verbose", "--as-of", "2026-03-01"], &environment);
    assert!(verbose.out.contains("note:") && verbose.out.contains("cache"), "{}", verbose.out);
}

/// The same module as a component, and as the core module that plain cargo makes of it (a copy of
/// `target/guest/wasm32-unknown-unknown/guest/lintern_hostile_guest.wasm` after `lintern-rules-build write`).
#[test]
fn a_house_module_runs_and_its_failing_rules_are_named_one_by_one() {
    for file in ["tests/hostile/dist/guest.wasm", "tests/cli/fixtures/core-module.wasm"] {
        house_module_runs(&module(file));
    }
}

fn house_module_runs(bytes: &[u8]) {
    let site = Site::new(&[("lintern.yaml", CONFIG), ("a.yaml", CLEAN)]);
    site.write("house/guest.wasm", bytes);
    let outcome = site.lintern(&["check", "--format", "json", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 2);
    let json = outcome.json();
    let errors: Vec<&str> =
        json["plans"][0]["errors"].as_array().unwrap().iter().map(|e| e["message"].as_str().unwrap()).collect();
    assert!(errors.iter().any(|e| e.contains("house/guest.wasm") && e.contains("hostile/")), "{errors:#?}");
    let verdicts = json["plans"][0]["verdicts"].as_object().unwrap();
    assert_eq!(verdicts["voltage/undervoltage"]["verdict"], "pass", "the other modules' verdicts stand");
    assert!(verdicts.contains_key("loading/overloaded-supply"));
    assert!(verdicts.contains_key("hostile/well-behaved"), "{:#?}", verdicts.keys());
}
