//! Exit codes, discovery, and what is said of broken inputs.

use crate::support::{CLEAN, Site, demo, run};

fn dim() -> String {
    CLEAN.replace("60 ft", "500 ft")
}

#[test]
fn a_clean_plan_ends_with_0_and_every_rule_has_a_verdict() {
    let site = Site::new(&[("a.yaml", CLEAN)]);
    let outcome = site.lintern(&["check", "--format", "json", "--fail-on", "undetermined", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    let json = outcome.json();
    let verdicts = json["plans"][0]["verdicts"].as_object().unwrap();
    let listed = site.lintern(&["rules", "--format", "json"]).json();
    let rules = listed["rules"].as_array().unwrap();
    assert_eq!(verdicts.len(), rules.len());
    for rule in rules {
        let verdict = &verdicts[rule["id"].as_str().unwrap()]["verdict"];
        assert!(verdict == "pass" || verdict == "not-applicable", "{rule}: {verdict}");
    }
}

#[test]
fn the_exit_code_follows_fail_on_and_not_what_is_shown() {
    // The long run starves both lamps (violations) and loses more than 5 % (advice under NFPA 70).
    let site = Site::new(&[("a.yaml", &dim())]);
    assert_eq!(site.lintern(&["check"]).code, 1);
    assert_eq!(site.lintern(&["check", "--show", "violation"]).code, 1);
    let waived = format!(
        "{}waivers:\n  - {{ rule: voltage/undervoltage, reason: mock-up looked right }}\n  - {{ rule: voltage/excess-drop, reason: mock-up looked right }}\n",
        dim()
    );
    let site = Site::new(&[("a.yaml", &waived)]);
    let outcome = site.lintern(&["check", "--format", "json"]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    assert_eq!(outcome.json()["summary"]["waived"], 4);
    let unreasoned = waived.replace(", reason: mock-up looked right", "");
    assert_eq!(
        Site::new(&[("a.yaml", &unreasoned)]).lintern(&["check"]).code,
        1,
        "a waiver without a reason covers nothing"
    );
    let expired = waived.replace("looked right }", "looked right, until: 2026-02-28 }");
    let site = Site::new(&[("a.yaml", &expired)]);
    assert_eq!(site.lintern(&["check", "--as-of", "2026-02-28"]).code, 0);
    assert_eq!(site.lintern(&["check", "--as-of", "2026-03-01"]).code, 1);
}

#[test]
fn a_broken_plan_ends_with_2_and_the_others_are_still_checked() {
    let broken = CLEAN.replace("power: 6 W", "power: 6").replace("cable: burial-12-2", "cable: burial-12-3");
    let site = Site::new(&[("broken.yaml", &broken), ("dim.yaml", &dim())]);
    let outcome = site.lintern(&["check", "--format", "json", "--as-of", "2026-03-01"]);
    assert_eq!(outcome.code, 2);
    let json = outcome.json();
    let errors = json["plans"][0]["errors"].as_array().unwrap();
    assert_eq!(errors.len(), 2, "both mistakes in one pass: {errors:#?}");
    assert_eq!(errors[0]["span"]["line"], 6);
    assert!(json["plans"][1]["findings"].as_array().unwrap().len() > 1);
    let text = site.lintern(&["check", "--as-of", "2026-03-01"]);
    assert!(text.out.contains("broken.yaml:6:") && text.out.contains("burial-12-2"), "{}", text.out);
}

#[test]
fn no_plan_ends_with_3_and_a_wrong_command_line_with_2() {
    let site = Site::new(&[("notes.yaml", "some: thing\n")]);
    assert_eq!(site.lintern(&["check"]).code, 3);
    let verbose = site.lintern(&["check", "--verbose"]);
    assert!(verbose.out.contains("notes.yaml"), "{}", verbose.out);
    assert_eq!(site.lintern(&["check", "--fail-on", "everything"]).code, 2);
    assert_eq!(site.lintern(&["check", "missing.yaml"]).code, 2);
    assert_eq!(
        Site::new(&[("x.yaml", "runs: []\n")]).lintern(&["check"]).code,
        2,
        "a plan without the plan key is an error"
    );
}

#[test]
fn the_demo_plans_end_as_the_readme_says() {
    let folder = demo();
    for (paths, code) in [(&["fernhollow-court", "marlpit-green"][..], 0), (&["quarry-lane"], 1), (&["."], 1)] {
        let arguments: Vec<&str> = ["check", "--as-of", "2026-03-05"].iter().chain(paths).copied().collect();
        let outcome = run(&folder, &arguments, &[]);
        assert_eq!(outcome.code, code, "{}", outcome.out);
    }
}

#[test]
fn the_number_of_threads_changes_no_byte() {
    let outputs: Vec<String> = ["1", "2", "7"]
        .iter()
        .map(|n| run(&demo(), &["check", "--format", "json", "--as-of", "2026-03-05"], &[("RAYON_NUM_THREADS", n)]).out)
        .collect();
    assert!(outputs[0] == outputs[1] && outputs[1] == outputs[2]);
}

#[test]
fn a_setting_is_checked_against_the_rule() {
    let with = |settings: &str| {
        let config = format!("lintern: 1\nrules:\n  settings:\n    {settings}\n");
        Site::new(&[("lintern.yaml", &config), ("a.yaml", CLEAN)]).lintern(&["check", "--as-of", "2026-03-01"])
    };
    // L2 loses about 2.4 %: a limit of 2 % makes it a finding, and the level makes it a violation.
    assert_eq!(with("voltage/excess-drop: { limit: 2 %, level: violation, reason: standard 4.2 }").code, 1);
    for (wrong, told) in [
        ("voltage/excess-drop: { limit: 3 }", "5 %"),
        ("voltage/excess-drip: { limit: 3 % }", "voltage/excess-drop"),
        ("voltage/excess-drop: { limits: 3 % }", "limit"),
        ("voltage/excess-drop: { limit: 8 % }", "without a reason"),
    ] {
        let outcome = with(wrong);
        assert_eq!(outcome.code, 2, "{wrong}");
        assert!(outcome.out.contains(told), "{wrong}: {}", outcome.out);
    }
    let loosened = with("voltage/excess-drop: { limit: 8 %, reason: wide-range drivers }");
    assert_eq!(loosened.code, 0);
    let told = loosened.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(told.contains("limit from 5 % to 8 %; reason: wide-range drivers"), "{told}");
}

/// Every luminaire of a long chain has findings, each with the arithmetic of its way: the rules must not take the
/// square of the plan's size for it.
#[test]
fn a_long_chain_full_of_findings_stays_in_budget() {
    let n = 4000;
    let ids = |sep: &str| (0..n).map(|i| format!("C{i}")).collect::<Vec<_>>().join(sep);
    let luminaires: String = (0..n).map(|i| format!("  - {{ id: C{i}, type: dot }}\n")).collect();
    let plan = CLEAN
        .replace("  luminaires:\n", "  luminaires:\n    dot: { power: 0.04 W, load: resistive, nominal: 12 V, input: { min: 11.9 V, max: 15 V }, current: ac-or-dc }\n")
        .replace("runs:\n", &format!("{luminaires}runs:\n  - {{ id: R2, cable: burial-12-2, route: [L2, {}], lengths: [{}] }}\n", ids(", "), vec!["0.02 ft"; n].join(", ")));
    let outcome = Site::new(&[("a.yaml", &plan)]).lintern(&["check", "--format", "json", "--as-of", "2026-03-01"]);
    let json = outcome.json();
    assert_eq!(json["summary"]["errors"], 0, "{}", &outcome.out[..2000]);
    assert!(json["summary"]["violation"].as_u64().unwrap() >= n as u64);
}
