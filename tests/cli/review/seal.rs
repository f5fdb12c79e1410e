//! A report can be made again byte for byte, or lintern says what differs.

use super::{committed, git, with_violation};
use crate::support::{CLEAN, Outcome, Site};

const FORMATS: [&str; 4] = ["json", "sarif", "junit", "markdown"];

fn site() -> Site {
    let plan = with_violation()
        .replace("schedule:\n", "use: [types.yaml]\nschedule:\n")
        .replace("  splices:\n    gel-cap: { location: wet, direct-burial: true, resistance: 1 mohm }\n", "");
    let types = "schedule:\n  splices:\n    gel-cap: { location: wet, direct-burial: true, resistance: 1 mohm }\n";
    committed(&[("types.yaml", types), ("a.yaml", &plan), ("b.yaml", CLEAN)])
}

/// Writes reports of all formats beside the repository.
fn report(site: &Site, out: &Site, more: &[&str]) {
    let files: Vec<String> = FORMATS.iter().map(|f| format!("{f}={}", out.path().join(f).display())).collect();
    let outputs = files.iter().flat_map(|file| ["--output", file.as_str()]);
    let arguments: Vec<&str> =
        ["check", "--as-of", "2026-03-01"].into_iter().chain(more.iter().copied()).chain(outputs).collect();
    let outcome = site.lintern(&arguments);
    assert_eq!(outcome.code, 1, "{outcome:#?}");
}

fn verify(site: &Site, out: &Site, format: &str) -> Outcome {
    site.lintern(&["verify", &out.path().join(format).display().to_string()])
}

#[test]
fn a_report_is_reproduced_with_its_own_options_on_its_own_day() {
    let (site, out) = (site(), Site::new(&[]));
    for more in [
        &[][..],
        &["--show", "advice", "--margins", "--near-miss", "12%", "--no-remedies", "--fail-on", "reminder"],
        &["--as-reviewer"],
        &["--changed-since", "HEAD", "a.yaml"],
        &["a.yaml"],
    ] {
        if more.first() == Some(&"--changed-since") {
            site.write(
                "a.yaml",
                format!("{}# touched\n", std::fs::read_to_string(site.path().join("a.yaml")).unwrap()).as_bytes(),
            );
        }
        report(&site, &out, more);
        for format in FORMATS {
            let outcome = verify(&site, &out, format);
            assert_eq!(outcome.code, 0, "{format} {more:?}: {outcome:#?}");
            assert!(outcome.out.contains("reproduced byte for byte"));
        }
        git(&site, &["checkout", "-q", "--", "."]);
    }
}

#[test]
fn what_has_changed_is_named() {
    let (site, out) = (site(), Site::new(&[]));
    report(&site, &out, &[]);
    let plan = std::fs::read_to_string(site.path().join("a.yaml")).unwrap();
    let types = std::fs::read_to_string(site.path().join("types.yaml")).unwrap();
    for (file, text, told) in [
        ("a.yaml", plan.replace("30 A", "40 A"), "a.yaml has changed: "),
        ("types.yaml", format!("{types}# x\n"), "types.yaml has changed: "),
        ("lintern.yaml", "lintern: 1\nfail-on: advice\n".to_owned(), "lintern.yaml has changed: "),
        ("c.yaml", CLEAN.to_owned(), "c.yaml was not there or not used then"),
        (
            "lintern-baseline.json",
            r#"{"lintern-baseline":1,"version":"0","as-of":"2026-03-01","findings":[]}"#.to_owned(),
            "lintern-baseline.json was not there or not used then",
        ),
    ] {
        site.write(file, text.as_bytes());
        for format in FORMATS {
            let outcome = verify(&site, &out, format);
            // A comment has one digest for all plans and schedules.
            let names_plans = format != "markdown";
            assert_eq!(outcome.code, 1, "{file} {format}: {outcome:#?}");
            let is_of_plans = file.ends_with("a.yaml") || file == "types.yaml" || file == "c.yaml";
            if names_plans || !is_of_plans {
                assert!(outcome.out.contains(told), "{file} {format}: {}", outcome.out);
            }
            assert!(outcome.out.contains("first difference in line"), "{}", outcome.out);
        }
        git(&site, &["clean", "-q", "-f"]);
        git(&site, &["checkout", "-q", "--", "."]);
    }
    std::fs::remove_file(site.path().join("b.yaml")).unwrap();
    assert!(verify(&site, &out, "json").out.contains("b.yaml is no longer there or no longer used"));
}

#[test]
fn a_report_that_was_changed_is_found_out() {
    let (site, out) = (site(), Site::new(&[]));
    report(&site, &out, &[]);
    for (format, from, to) in [
        ("json", "\"level\": \"violation\"", "\"level\": \"reminder\""),
        ("sarif", "\"level\": \"error\"", "\"level\": \"note\""),
        ("junit", "failures=\"1\"", "failures=\"0\""),
        ("markdown", "30 A circuit", "20 A circuit"),
    ] {
        let text = std::fs::read_to_string(out.path().join(format)).unwrap();
        assert!(text.contains(from), "{format}: {text}");
        out.write(format, text.replacen(from, to, 1).as_bytes());
        let outcome = verify(&site, &out, format);
        assert_eq!(outcome.code, 1, "{format}: {outcome:#?}");
        assert!(outcome.out.contains("nothing that it rests on has changed"), "{format}: {}", outcome.out);
    }
}

#[test]
fn what_carries_no_seal_is_refused() {
    let (site, out) =
        (site(), Site::new(&[("x", "hello"), ("y.json", "{}"), ("z.xml", "<?xml version=\"1.0\"?><a/>")]));
    let gitlab = site.lintern(&["check", "--format", "gitlab"]).out;
    out.write("gitlab", gitlab.as_bytes());
    for name in ["x", "y.json", "z.xml", "gitlab", "none"] {
        let outcome = verify(&site, &out, name);
        assert_eq!(outcome.code, 2, "{name}: {outcome:#?}");
    }
}

#[test]
fn a_report_says_nothing_of_the_machine() {
    let (site, out) = (site(), Site::new(&[]));
    report(&site, &out, &[]);
    for format in FORMATS {
        let text = std::fs::read_to_string(out.path().join(format)).unwrap();
        let folder = site.path().canonicalize().unwrap();
        assert!(!text.contains(folder.to_str().unwrap()), "{format}");
    }
}
