//! Rules in expressions, as an author tests them.

use crate::support::{Site, demo};

/// One file of expressions with one rule.
fn rules(id: &str, rest: &str) -> String {
    format!(
        "expressions: 1\nrules:\n  - id: {id}\n    title: A run is too long\n    for: run\n{rest}    message: \"{{run.id}}\"\n"
    )
}

const LONG: &str =
    "    value: run.length_m\n    limit: longest\n    settings: { longest: { default: 20 m, tighter: lower } }\n";

/// 100 ft x 0.3048 m/ft = 30.48 m.
fn case(header: &str) -> String {
    let plan = r#"plan: 1
schedule:
  luminaires: { well-6: { power: 6 W, load: constant-power, nominal: 12 V } }
  cables: { c12: { conductor: 12 AWG, stranding: stranded } }
  supplies: { box: { rating: 150 VA, output-current: dc, outputs: [{ name: a, volts: 12 V }] } }
supplies: [{ id: S1, type: box }]
luminaires: [{ id: L1, type: well-6 }]
runs: [{ id: R1, cable: c12, route: [S1, L1], length: 100 ft }]
"#;
    format!("{header}{plan}")
}

const FAILS: &str = "# expect: fail\n# finding: R1 at \"R1\" measured 30.48 m limit 20 m level advice section null\n";

#[test]
fn a_new_rule_in_expressions_agrees_with_its_cases_as_it_stands() {
    let site = Site::new(&[]);
    let written = site.lintern(&["rule", "new", "fernhollow/long-run", "--expression"]);
    assert_eq!(written.code, 0, "{written:#?}");
    assert!(written.out.starts_with("Wrote long-run/ with the rule fernhollow/long-run."), "{written:#?}");
    let tested = site.lintern(&["rule", "test", "long-run"]);
    assert_eq!(
        (tested.code, tested.out.as_str()),
        (
            0,
            "pass cases/edge-aerial.yaml\npass cases/edge-longest-beyond.yaml\npass cases/edge-longest-within.yaml\n\
             pass cases/edge-no-method.yaml\npass cases/fail-far.yaml\npass cases/pass-near.yaml\n\
             6 of 6 cases agree; computing budget: tiny (less than a thousandth of it)\n"
        )
    );
    let again = site.lintern(&["rule", "new", "long-run", "--expression"]);
    assert!(again.code == 2 && again.err.contains("exists already"), "{again:#?}");
    let own = site.lintern(&["rule", "new", "voltage/long-run", "--expression"]);
    assert!(own.code == 2 && own.err.contains("lintern's own"), "{own:#?}");
}

#[test]
fn every_file_of_a_folder_is_tested_and_a_named_one_alone() {
    let site = Site::new(&[
        ("rule/a.rules.yaml", &rules("house/long", LONG)),
        ("rule/b.rules.yml", &rules("house/thin", "    require: run.cable.conductor_awg <= 10\n    page: '# Thin'\n")),
        ("rule/cases/long/fail-far.yaml", &case(FAILS)),
        (
            "rule/cases/thin/fail-thin.yaml",
            &case("# expect: fail\n# finding: R1 at \"R1\" level advice section null\n"),
        ),
    ]);
    let both = site.lintern(&["rule", "test", "rule"]);
    assert_eq!(both.code, 0, "{both:#?}");
    for wanted in [
        "pass cases/long/fail-far.yaml\npass cases/thin/fail-thin.yaml\n",
        "warning: house/long: no page\nwarning: house/long: no passing case\n",
        "warning: house/long: no case on each side of 20 m, the default of `longest`\nwarning: house/thin: no passing case\n",
        "2 of 2 cases agree",
    ] {
        assert!(both.out.contains(wanted), "{wanted}\n--\n{}", both.out);
    }
    let json = site.lintern(&["rule", "test", "rule", "--format", "json"]).json();
    assert_eq!(json["modules"].as_array().map(Vec::len), Some(2), "{json:#}");

    let one = site.lintern(&["rule", "test", "rule", "--module", "rule/a.rules.yaml"]);
    // The only rule is the one of every case.
    assert_eq!(one.code, 1, "{one:#?}");
    assert!(one.out.starts_with("pass cases/long/fail-far.yaml\nFAIL cases/thin/fail-thin.yaml\n"), "{}", one.out);
}

#[test]
fn a_mistake_is_shown_with_its_place_and_stops_the_test() {
    let test = |text: &str| {
        let site = Site::new(&[("rule/a.rules.yaml", text), ("rule/cases/fail-far.yaml", &case(FAILS))]);
        let outcome = site.lintern(&["rule", "test", "rule"]);
        assert_eq!((outcome.code, outcome.out.as_str()), (2, ""), "{outcome:#?}");
        outcome.err
    };
    let name = test(&rules("house/long", &LONG.replace("length_m", "lenght_m")));
    assert!(name.contains("a run has no `lenght_m`") && name.contains("[rule/a.rules.yaml:6:16]"), "{name}");
    assert!(name.contains("did you mean `length_m`"), "{name}");
    let unit = test(&rules("house/long", &LONG.replace("20 m", "20 ft")));
    assert!(unit.contains("the value is in m, `longest` is in ft") && unit.contains("rule/a.rules.yaml:6:"), "{unit}");
    let key = test(&rules("house/long", &LONG.replace("value:", "valu:")));
    assert!(key.contains("unknown key `valu`") && key.contains("rule/a.rules.yaml:6:5"), "{key}");
    let no_yaml = test("expressions: 1\nrules: [\n");
    assert!(no_yaml.contains("rule/a.rules.yaml:"), "{no_yaml}");
    let no_message = test(&rules("house/long", LONG).replace("    message: \"{run.id}\"\n", ""));
    assert!(no_message.contains("message") && no_message.contains("rule/a.rules.yaml:3:"), "{no_message}");
    let topic = test(&rules("voltage/long", LONG));
    assert!(topic.contains("`voltage/` is kept for lintern's own rules"), "{topic}");
}

#[test]
fn one_rule_is_in_one_file() {
    let text = rules("house/long", LONG);
    let site = Site::new(&[("rule/a.rules.yaml", &text), ("rule/b.rules.yaml", &text)]);
    let outcome = site.lintern(&["rule", "test", "rule"]);
    assert_eq!(outcome.code, 2);
    assert!(
        outcome.err.contains("rule `house/long` is in `rule/a.rules.yaml` and in `rule/b.rules.yaml`"),
        "{outcome:#?}"
    );
}

#[test]
fn the_expressions_of_the_demo_pack_agree_with_their_cases() {
    let pack = demo().join("packs/fernhollow-lighting");
    let outcome = Site::new(&[]).lintern(&["rule", "test", pack.to_str().unwrap()]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    assert!(outcome.out.contains("10 of 10 cases agree") && !outcome.out.contains("warning"), "{}", outcome.out);
}
