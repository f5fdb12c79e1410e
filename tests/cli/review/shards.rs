//! Parts of a run, put together, are the run.

use super::{with_two_violations, with_violation};
use crate::support::{CLEAN, Site, run};

const FORMATS: [&str; 7] = ["terminal", "json", "sarif", "junit", "github", "gitlab", "markdown"];

/// Plans of two plan repositories below one folder, with errors of every kind among them.
fn site() -> Site {
    let with_rules =
        "lintern: 1\nrules: { modules: [missing.wasm], settings: { voltage/excess-drop: { limit: 1 % } } }\n";
    let site = Site::new(&[("lintern.yaml", "lintern: 1\n"), ("b/lintern.yaml", with_rules)]);
    for i in 0..12 {
        let plan = match i % 4 {
            0 => CLEAN.to_owned(),
            1 => with_violation(),
            2 => with_two_violations(),
            _ => CLEAN.replace(", cover: 8 in", ""),
        };
        site.write(&format!("a-{i}/plan.yaml"), plan.as_bytes());
        site.write(&format!("b/plan-{i}.yaml"), plan.as_bytes());
    }
    site.write("b/broken.yaml", b"plan: 1\nruns: 3\n");
    site.write("no-plan.yaml", b"runs: []\n");
    site.write("b/no-plan.yaml", b"a: [\n");
    site
}

/// In the folder of the site, with the same width everywhere.
fn lintern(site: &Site, arguments: &[&str]) -> crate::support::Outcome {
    run(site.path(), arguments, &[("COLUMNS", "100")])
}

#[test]
fn the_parts_of_a_run_give_the_same_bytes_as_one_run_in_every_format() {
    let site = site();
    let check = ["check", "--as-of", "2026-03-01", "--near-miss", "20%", "--margins"];
    for count in [1, 3, 7] {
        let mut parts = Vec::new();
        for number in 1..=count {
            let shard = format!("{number}/{count}");
            let part = lintern(&site, &[&check[..], &["--shard", &shard, "--format", "json"]].concat());
            let name = format!("part-{number}.json");
            site.write(&name, part.out.as_bytes());
            parts.push(name);
        }
        // In any order.
        parts.reverse();
        let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
        for format in FORMATS {
            let whole = lintern(&site, &[&check[..], &["--format", format]].concat());
            let merged = lintern(&site, &[&["merge", "--format", format], &parts[..]].concat());
            assert_eq!(whole.code, 2);
            assert_eq!(merged.code, whole.code, "{format} of {count}: {}", merged.err);
            assert!(
                merged.out == whole.out,
                "{format} of {count} parts:\n{}\n---\n{}",
                first_difference(&merged.out, &whole.out),
                ""
            );
        }
        for part in parts {
            std::fs::remove_file(site.path().join(part)).unwrap();
        }
    }
}

fn first_difference(a: &str, b: &str) -> String {
    let pair = a.lines().zip(b.lines()).find(|(a, b)| a != b);
    format!("{pair:?}; {} and {} lines", a.lines().count(), b.lines().count())
}

#[test]
fn every_plan_is_in_one_part() {
    let site = site();
    let mut seen = std::collections::BTreeSet::new();
    for number in 1..=5 {
        let part = lintern(
            &site,
            &["check", "--as-of", "2026-03-01", "--shard", &format!("{number}/5"), "--format", "json", "--no-remedies"],
        );
        for plan in part.json()["plans"].as_array().unwrap() {
            assert!(seen.insert(format!("{}/{}", plan["repository"], plan["file"])), "{plan}");
        }
    }
    assert_eq!(seen.len(), 25);
}

#[test]
fn parts_that_are_missing_twice_there_or_of_different_runs_are_refused() {
    let site = Site::new(&[("a.yaml", CLEAN), ("b.yaml", CLEAN)]);
    let part = |name: &str, shard: &str, day: &str| {
        let outcome = lintern(&site, &["check", "--as-of", day, "--shard", shard, "--format", "json"]);
        site.write(name, outcome.out.as_bytes());
    };
    part("1.json", "1/2", "2026-03-01");
    part("2.json", "2/2", "2026-03-01");
    part("other-day.json", "2/2", "2026-03-02");
    part("other-count.json", "3/3", "2026-03-01");
    let whole = lintern(&site, &["check", "--as-of", "2026-03-01", "--format", "json"]);
    site.write("whole.json", whole.out.as_bytes());
    site.write("nothing.json", b"[]");
    for (parts, told) in [
        (&["1.json"][..], "parts are missing: 2/2"),
        (&["1.json", "1.json"], "are both part 1"),
        (&["1.json", "other-day.json"], "are parts of different runs"),
        (&["1.json", "other-count.json"], "is one of 3 parts, another one of 2"),
        (&["whole.json"], "is no part of a run"),
        (&["nothing.json"], "it is no result of a check"),
        (&["none.json"], "can't read none.json"),
    ] {
        let outcome = lintern(&site, &[&["merge"], parts].concat());
        assert_eq!(outcome.code, 2, "{parts:?}: {outcome:#?}");
        assert!(outcome.err.contains(told), "{parts:?}: {}", outcome.err);
    }
    assert_eq!(lintern(&site, &["merge", "2.json", "1.json"]).code, 0);
    for wrong in ["0/2", "3/2", "a/b", "2", "1/0"] {
        assert_eq!(lintern(&site, &["check", "--shard", wrong]).code, 2, "{wrong}");
    }
}
