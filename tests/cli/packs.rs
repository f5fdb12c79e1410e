//! Packs of rules: digests, where they may lie, and the order in which settings count.

use crate::support::{CLEAN, Outcome, Site, run};
use serde_json::Value;

/// One luminaire behind 200 ft of 12 AWG at 0.6 A: 0.6 A x 2 x 200 ft x 1.98 ohm/kft = 0.4752 V, 3.96 % of 12 V.
const PLAN: &str = "plan: 1
project: { name: Far lamp, country: US, region: US-OR, authority: Fernhollow County, code: nec-2023 }
schedule:
  luminaires: { lamp: { power: 7.2 W, apparent-power: 7.2 VA, load: constant-current, nominal: 12 V, input: { min: 6 V, max: 15 V } } }
  cables: { c12: { conductor: 12 AWG, stranding: stranded } }
  supplies: { box: { rating: 300 VA, output-current: ac, regulated: true, outputs: [{ name: a, volts: 12 V }] } }
supplies: [{ id: S1, type: box }]
luminaires: [{ id: L1, type: lamp }]
runs: [{ id: R1, cable: c12, route: [S1, L1], length: 200 ft }]
";

const COUNTY: &str = "amendments: 1
document: Fernhollow County Code
for: { authority: Fernhollow County }
limits:
  - { rule: burial/shallow-cover, setting: minimum-cover, limit: 8 in, section: \"15.04.310\", date: 2026-01-01 }
";

fn manifest(version: &str, settings: &str) -> String {
    format!("pack: 1\nname: fernhollow-lighting\nversion: {version}\nrules:\n  settings:\n    {settings}\n")
}

const THREE: &str = "voltage/excess-drop: { limit: 3 % }";

fn check(site: &Site, more: &[&str]) -> Outcome {
    let mut arguments = vec!["check", "--format", "json", "--as-of", "2026-03-01", "--no-remedies"];
    arguments.extend(more);
    site.lintern(&arguments)
}

/// The limit that the drop of the plan breaks.
fn limit(outcome: &Outcome) -> Option<f64> {
    let json = outcome.json();
    assert!(outcome.code < 2, "{json:#}");
    let findings = json["plans"][0]["findings"].as_array().unwrap();
    findings.iter().find(|f| f["rule"] == "voltage/excess-drop")?["limit"]["value"].as_f64()
}

fn messages(outcome: &Outcome) -> String {
    let json = outcome.json();
    json["errors"].as_array().unwrap().iter().map(|e| format!("{}: {}\n", e["kind"], e["message"])).collect()
}

#[test]
fn settings_of_a_pack_count_and_the_repository_may_tighten_them() {
    let pack = manifest("1.0.0", THREE);
    let config = |settings: &str| format!("lintern: 1\nrules:\n  packs: [company]\n{settings}");
    let site = |settings: &str| {
        Site::new(&[("lintern.yaml", &config(settings)), ("company/pack.yaml", &pack), ("plan.yaml", PLAN)])
    };
    assert_eq!(limit(&check(&Site::new(&[("plan.yaml", PLAN)]), &[])), None, "3.96 % keeps the 5 % of practice");
    assert_eq!(limit(&check(&site(""), &[])), Some(3.0));
    let tighter = "  settings: { voltage/excess-drop: { limit: 2 % } }\n";
    assert_eq!(limit(&check(&site(tighter), &[])), Some(2.0));
    let looser = "  settings: { voltage/excess-drop: { limit: 4 % } }\n";
    assert_eq!(limit(&check(&site(looser), &[])), Some(3.0), "a looser number needs a reason");
    let reasoned = "  settings: { voltage/excess-drop: { limit: 4 %, reason: long drive } }\n";
    assert_eq!(limit(&check(&site(reasoned), &[])), None, "3.96 % keeps 4 %");
    let config = site(looser).lintern(&["config"]);
    assert!(
        config.out.contains(
            "limit\n      5 %  the rule\n    > 3 %  house setting of pack fernhollow-lighting 1.0.0\n      4 %  house setting\n"
        ),
        "{}",
        config.out
    );
}

#[test]
fn a_level_that_a_pack_raised_is_lowered_only_with_a_reason() {
    let pack = manifest("1.0.0", "voltage/excess-drop: { limit: 3 %, level: violation }");
    let level = |settings: &str| {
        let config =
            format!("lintern: 1\nrules:\n  packs: [company]\n  settings: {{ voltage/excess-drop: {settings} }}\n");
        let site = Site::new(&[("lintern.yaml", &config), ("company/pack.yaml", &pack), ("plan.yaml", PLAN)]);
        let json = check(&site, &[]).json();
        let findings = json["plans"][0]["findings"].as_array().unwrap().clone();
        let finding = findings.into_iter().find(|f| f["rule"] == "voltage/excess-drop").unwrap();
        (finding["level"].as_str().unwrap().to_owned(), json["plans"][0]["assumptions"].to_string())
    };
    let (kept, told) = level("{ level: advice }");
    assert_eq!(kept, "violation");
    assert!(told.contains("the level advice of voltage/excess-drop in lintern.yaml is not used"), "{told}");
    assert_eq!(level("{ level: advice, reason: old garden }").0, "advice");
}

#[test]
fn the_command_line_counts_after_the_repository() {
    let outside = Site::new(&[("company/pack.yaml", &manifest("1.0.0", "voltage/excess-drop: { limit: 3.5 % }"))]);
    let company = outside.path().join("company");
    let company = company.to_str().unwrap();
    let loosened = "lintern: 1\nrules: { settings: { voltage/excess-drop: { limit: 8 %, reason: cheap } } }\n";
    let site = Site::new(&[("lintern.yaml", loosened), ("plan.yaml", PLAN)]);
    assert_eq!(limit(&check(&site, &[])), None);
    assert_eq!(limit(&check(&site, &["--pack", company])), Some(3.5), "who runs it has the last word");
    // The same by the user's own configuration.
    let user = outside.path().join("user.yaml");
    std::fs::write(&user, "lintern: 1\npacks: [company]\n").unwrap();
    let environment = [("LINTERN_CONFIG", user.to_str().unwrap())];
    let arguments = ["check", "--format", "json", "--as-of", "2026-03-01", "--no-remedies"];
    assert_eq!(limit(&run(site.path(), &arguments, &environment)), Some(3.5));
    let shown = run(site.path(), &["config", "--format", "json"], &environment).json();
    assert_eq!(shown["packs"][0]["name"], "fernhollow-lighting");
    assert!(shown["user-configuration"].as_str().unwrap().ends_with("user.yaml"));
    std::fs::write(&user, "lintern: 1\npack: [company]\n").unwrap();
    let wrong = run(site.path(), &arguments, &environment);
    assert_eq!(wrong.code, 2);
    assert!(messages(&wrong).contains("pack"), "{}", messages(&wrong));
}

#[test]
fn a_repository_names_no_pack_outside_of_itself() {
    for folder in ["../company", "/tmp", "link"] {
        let site = Site::new(&[
            ("repo/lintern.yaml", &format!("lintern: 1\nrules: {{ packs: [\"{folder}\"] }}\n")),
            ("repo/plan.yaml", PLAN),
            ("company/pack.yaml", &manifest("1.0.0", THREE)),
        ]);
        #[cfg(unix)]
        std::os::unix::fs::symlink(site.path().join("company"), site.path().join("repo/link")).unwrap();
        let outcome = run(&site.path().join("repo"), &["check", "--format", "json", "--as-of", "2026-03-01"], &[]);
        assert_eq!(outcome.code, 2, "{folder}");
        assert!(outcome.out.contains("a pack outside the repository needs `--pack`"), "{folder}: {}", outcome.out);
    }
}

#[test]
fn a_pack_that_is_there_twice_is_used_once_and_must_be_the_same() {
    let outside = Site::new(&[("company/pack.yaml", &manifest("1.0.0", THREE))]);
    let company = outside.path().join("company");
    let company = company.to_str().unwrap();
    let site = |version: &str| {
        Site::new(&[
            ("lintern.yaml", "lintern: 1\nrules: { packs: [company] }\n"),
            ("company/pack.yaml", &manifest(version, THREE)),
            ("plan.yaml", PLAN),
        ])
    };
    assert_eq!(limit(&check(&site("1.0.0"), &["--pack", company, "--pack", company])), Some(3.0));
    let differs = check(&site("0.9.0"), &["--pack", company]);
    assert_eq!(differs.code, 2);
    let told = messages(&differs);
    assert!(told.contains("pack `fernhollow-lighting` is there twice and differs: version 0.9.0"), "{told}");
}

#[test]
fn every_file_of_a_pack_has_its_digest_and_pin_writes_them() {
    let bare = "# Our standard.\npack: 1\nname: fernhollow-lighting\nversion: 1.0.0\nrules:\n  amendments: [\"*.county.yaml\"] # by county\n";
    let config = "lintern: 1\nrules:\n  # agreed on 2026-02-01\n  packs: [company]\n";
    let site = Site::new(&[
        ("lintern.yaml", config),
        ("company/pack.yaml", bare),
        ("company/fernhollow.county.yaml", COUNTY),
        ("plan.yaml", PLAN),
    ]);
    let without = check(&site, &[]);
    assert_eq!(without.code, 2);
    assert!(
        messages(&without).contains("`company/fernhollow.county.yaml` has no digest in the manifest"),
        "{without:#?}"
    );
    assert!(without.json()["plans"][0]["verdicts"].as_object().unwrap().len() > 50, "the built-in rules still run");

    let pinned = site.lintern(&["rule", "pin", "company"]);
    assert_eq!(pinned.code, 0, "{pinned:#?}");
    let digest = lintern_core::repository::sha256_hex(COUNTY.as_bytes());
    let manifest = std::fs::read_to_string(site.path().join("company/pack.yaml")).unwrap();
    assert_eq!(manifest, format!("{bare}digests:\n  fernhollow.county.yaml: \"sha256:{digest}\"\n"));
    assert!(check(&site, &[]).code < 2);
    // The digest of the manifest stands for the pack.
    assert_eq!(site.lintern(&["rule", "pin"]).code, 0);
    let written = std::fs::read_to_string(site.path().join("lintern.yaml")).unwrap();
    let of_manifest = lintern_core::repository::sha256_hex(manifest.as_bytes());
    assert_eq!(written, format!("{config}  pins:\n    company: \"sha256:{of_manifest}\"\n"));
    assert!(check(&site, &[]).code < 2);
    let again = site.lintern(&["rule", "pin"]);
    assert!(again.out.contains("unchanged        company") && again.out.contains("is as it was"), "{}", again.out);

    site.write("company/fernhollow.county.yaml", COUNTY.replace("8 in", "4 in").as_bytes());
    let changed = check(&site, &[]);
    assert_eq!(changed.code, 2);
    assert!(messages(&changed).contains("`company/fernhollow.county.yaml` is not the pinned one"), "{changed:#?}");
    let repinned = site.lintern(&["rule", "pin", "company"]);
    assert!(repinned.out.contains("CHANGED          fernhollow.county.yaml"), "{}", repinned.out);
    let moved = check(&site, &[]);
    assert_eq!(moved.code, 2, "the pack is another one now");
    assert!(messages(&moved).contains("pack `company` is not the pinned one"), "{moved:#?}");
}

#[test]
fn mistakes_in_a_manifest_are_told_with_their_place() {
    let site = |manifest: &str| {
        Site::new(&[
            ("lintern.yaml", "lintern: 1\nrules: { packs: [company] }\n"),
            ("company/pack.yaml", manifest),
            ("plan.yaml", CLEAN),
        ])
    };
    for (manifest, wanted) in [
        ("pack: 2\nname: a\nversion: 1\nrules: {}\n", "format 2 of packs is not known"),
        ("pack: 1\nname: A b\nversion: 1\nrules: {}\n", "`A b` is not allowed here"),
        ("pack: 1\nname: a\nversion: \"\"\nrules: {}\n", "`` is not allowed here"),
        ("pack: 1\nname: a\nversion: 1\nrules: { packs: [x] }\n", "a pack has no `packs`"),
        ("pack: 1\nname: a\nversion: 1\nrules: { pins: { x: y } }\n", "a pack has no `pins`"),
        ("pack: 1\nname: a\nversion: 1\nrules: { modules: [../x.wasm] }\n", "outside"),
        ("pack: 1\nname: a\nversion: 1\nrules: {}\ndigests: { x.wasm: sha256:1 }\n", "is no digest of a file"),
        ("pack: 1\nname: a\nversion: 1\nrule: {}\n", "rule"),
    ] {
        let outcome = check(&site(manifest), &[]);
        assert_eq!(outcome.code, 2, "{manifest}");
        let json = outcome.json();
        let error = json["errors"].as_array().unwrap().iter().find(|e| e["message"].as_str().unwrap().contains(wanted));
        let error = error.unwrap_or_else(|| panic!("{manifest}: {:#}", json["errors"]));
        assert_eq!(
            (error["kind"].as_str(), error["span"]["file"].as_str()),
            (Some("config"), Some("company/pack.yaml"))
        );
    }
    let digest =
        format!("pack: 1\nname: a\nversion: 1\nrules: {{}}\ndigests: {{ x.wasm: sha256:{} }}\n", "0".repeat(64));
    assert!(
        messages(&check(&site(&digest), &[]))
            .contains("`x.wasm` has a digest here, but nothing under `rules` names it")
    );
    std::fs::remove_file(site("").path().join("company/pack.yaml")).unwrap();
    let missing = Site::new(&[
        ("lintern.yaml", "lintern: 1\nrules: { packs: [company] }\n"),
        ("company/x", ""),
        ("plan.yaml", CLEAN),
    ]);
    assert!(messages(&check(&missing, &[])).contains("can't read the manifest pack.yaml of pack company"));
}

#[test]
fn plans_in_a_pack_are_no_plans_of_the_repository() {
    let site = Site::new(&[
        ("lintern.yaml", "lintern: 1\nrules: { packs: [company] }\n"),
        ("company/pack.yaml", &manifest("1.0.0", THREE)),
        ("company/cases/fail-x.yaml", PLAN),
        ("plan.yaml", CLEAN),
    ]);
    let plans = check(&site, &[]).json();
    let files: Vec<&Value> = plans["plans"].as_array().unwrap().iter().map(|plan| &plan["file"]).collect();
    assert_eq!(files, ["plan.yaml"]);
    let verbose = site.lintern(&["check", "--verbose", "--as-of", "2026-03-01"]);
    assert!(verbose.out.contains("passed over company/cases/fail-x.yaml: part of a pack of rules"), "{}", verbose.out);
}

#[test]
fn what_is_set_is_listed_with_its_rule() {
    let site = Site::new(&[
        ("lintern.yaml", "lintern: 1\nrules: { packs: [company] }\n"),
        (
            "company/pack.yaml",
            &manifest("1.0.0", "voltage/excess-drop: { limit: 3 %, level: violation, reason: standard 4.2 }"),
        ),
    ]);
    let text = site.lintern(&["rules"]).out;
    assert!(text.contains("    level: violation, by pack fernhollow-lighting 1.0.0\n    limit: 3 %, by house setting of pack fernhollow-lighting 1.0.0: standard 4.2\n"), "{text}");
    let json = site.lintern(&["rules", "--format", "json"]).json();
    let rule = json["rules"].as_array().unwrap().iter().find(|rule| rule["id"] == "voltage/excess-drop").unwrap();
    assert_eq!(
        (&rule["level"], &rule["applied-level"], &rule["origin"]["kind"]),
        (&"advice".into(), &"violation".into(), &"built-in".into())
    );
}

#[test]
fn the_demo_repository_is_shown_with_the_origin_of_every_part() {
    let plans = crate::support::demo();
    let plans = plans.to_str().unwrap();
    let site = Site::new(&[]);
    let text = site.lintern(&["config", plans]);
    assert_eq!(text.code, 0, "{text:#?}");
    let digests = |text: &str| {
        let hex = |word: &str| word.split("sha256:").nth(1).is_some_and(|hex| hex.len() >= 64);
        text.split_inclusive(['\n', ' '])
            .map(|word| if hex(word) { word.replace(|c: char| c.is_ascii_hexdigit(), "") } else { word.to_owned() })
            .collect::<String>()
    };
    insta::assert_snapshot!(digests(&text.out));
    let json = site.lintern(&["config", "--format", "json", plans]).json();
    assert_eq!(json["packs"][0]["name"], "fernhollow-lighting");
    let counts: Vec<&Value> = json["settings"]["light/mixed-whites"][0]["given"]
        .as_array()
        .unwrap()
        .iter()
        .map(|given| &given["counts"])
        .collect();
    assert_eq!(counts, [&Value::from(false), &Value::from(true)]);
}
