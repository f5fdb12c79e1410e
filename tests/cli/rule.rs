//! `lintern rule test` and `lintern rule inspect` on committed modules; the guide has them on a built crate.

use crate::support::Site;
use std::path::Path;

/// Constant current, so that the volts are computed by hand: 12 V - 60 W / 12 V x 2 x 1.98 ohm/kft x 60 ft = 10.812 V.
const PLAN: &str = r#"plan: 1
schedule:
  luminaires:
    flood-60: { power: 60 W, load: constant-current, nominal: 12 V, input: { min: 9 V, max: 15 V }, current: dc }
  cables:
    burial-12-2: { conductor: 12 AWG, stranding: stranded, insulation: 60 degC }
  supplies:
    box-150:
      rating: 150 VA
      output-current: dc
      regulated: true
      outputs: [{ name: "12", volts: 12 V, limit: 12.5 A }]
supplies: [{ id: S1, type: box-150 }]
luminaires: [{ id: L1, type: flood-60 }]
runs: [{ id: R1, cable: burial-12-2, route: [S1, L1], length: 60 ft }]
"#;

const FAILS: &str = "# rule: hostile/huge-message\n# expect: fail\n# finding: L1 at \"L1\" level advice section null\n";

/// A folder with a module of several rules, the first of which behaves.
fn site(cases: &[(&str, &str)]) -> Site {
    let site = Site::new(&[]);
    let module = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/hostile/dist/guest.wasm");
    site.write("rule/guest.wasm", &std::fs::read(module).unwrap());
    for (name, header) in cases {
        site.write(&format!("rule/cases/{name}"), format!("{header}{PLAN}").as_bytes());
    }
    site
}

#[test]
fn a_case_agrees_or_shows_both_sides() {
    let wrong = FAILS.replace("level", "measured 10.2 V limit 10.5 V level");
    let site = site(&[
        ("fail-far.yaml", FAILS),
        ("fail-wrong.yaml", &wrong),
        ("huge-message/edge-nothing-declared.yaml", ""),
        ("well-behaved/pass-near.yaml", "# expect: pass\n# hand: 12 V - 5 A x 0.2376 ohm = 10.812 V\n"),
        ("panic/pass-not.yaml", "# expect: pass\n"),
        ("pass-unclear.yaml", "# expect: pass\n"),
        ("pass-misspelt.yaml", "# rule: hostile/well-behaved\n# expects: pass\n"),
    ]);
    let outcome = site.lintern(&["rule", "test", "rule"]);
    assert_eq!(outcome.code, 2, "{outcome:#?}");
    for wanted in [
        "pass cases/fail-far.yaml\n",
        "pass cases/well-behaved/pass-near.yaml\n",
        "FAIL cases/fail-wrong.yaml\n     declared and not found: L1 at \"L1\" measured 10.2 V limit 10.5 V",
        "     found and not declared: L1 at \"L1\" level advice section null\n",
        "FAIL cases/huge-message/edge-nothing-declared.yaml\n",
        "# expect: fail\n# finding: L1 at \"L1\" level advice section null\n# hand: (your arithmetic)\n",
        "NOT RUN cases/panic/pass-not.yaml\n     rule `hostile/panic` of module `guest.wasm` panicked: panicked at",
        ": the 13th cable is missing\n",
        "NOT RUN cases/pass-unclear.yaml\n     of which rule does it speak?",
        "NOT RUN cases/pass-misspelt.yaml\n     line 2: `expects` is not expect, finding",
        "FAIL hostile/unreachable: it has no case",
        "warning: hostile/well-behaved: no page\n",
        "warning: hostile/well-behaved: no failing case\n",
        "warning: hostile/well-behaved: no case on each side of 10.5 V, the default of `minimum`\n",
        "2 of 7 cases agree; computing budget: ",
    ] {
        assert!(outcome.out.contains(wanted), "{wanted}\n--\n{}", outcome.out);
    }
    let json = site.lintern(&["rule", "test", "rule", "--format", "json"]).json();
    let results: Vec<&str> = json["cases"].as_array().unwrap().iter().map(|c| c["result"].as_str().unwrap()).collect();
    assert_eq!(results, ["agrees", "differs", "not-declared", "not-run", "not-run", "not-run", "agrees"], "{json:#}");
    assert_eq!(json["cases"][0]["effort"], "tiny");
}

#[test]
fn a_difference_alone_ends_with_1_and_what_cannot_be_run_with_2() {
    let wrong = site(&[("fail-wrong.yaml", &FAILS.replace("at \"L1\"", "at \"R1\""))]);
    assert_eq!(wrong.lintern(&["rule", "test", "rule"]).code, 1);
    wrong.write("built/copy.wasm", &crate::house::altered("hostile/well-behaved", "burial/shallow-cover"));
    let outcome = wrong.lintern(&["rule", "test", "rule", "--module", "built/copy.wasm"]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.err.contains("has the id of a built-in rule"), "{outcome:#?}");
    for (folder, wanted) in
        [("nowhere", "is no folder"), (".", "neither a Cargo.toml nor a .wasm file nor a .rules.yaml file")]
    {
        let outcome = wrong.lintern(&["rule", "test", folder]);
        assert_eq!(outcome.code, 2);
        assert!(outcome.err.contains(wanted), "{outcome:#?}");
    }
}

#[test]
fn inspect_shows_rules_imports_and_digest_also_of_what_is_refused() {
    let site = site(&[]);
    let outcome = site.lintern(&["rule", "inspect", "rule/guest.wasm"]);
    assert_eq!(outcome.code, 0, "{outcome:#?}");
    for wanted in [
        "kind       component\n",
        "interface  1.0.0\n",
        "lintern:rules/plan@1.0.0 luminaires\n",
        "\nhostile/well-behaved  advice\n",
        "setting minimum: default 10.5 V; higher is stricter: lowest voltage that passes\n",
        "cites nec-2023: NFPA 70 (2023), 411.6\n",
    ] {
        assert!(outcome.out.contains(wanted), "{wanted}\n--\n{}", outcome.out);
    }
    let json = site.lintern(&["rule", "inspect", "rule/guest.wasm", "--format", "json"]).json();
    let bytes = std::fs::read(site.path().join("rule/guest.wasm")).unwrap();
    assert_eq!(json["digest"], format!("sha256:{}", lintern_core::repository::sha256_hex(&bytes)));
    assert_eq!((&json["size"], &json["refused"]), (&bytes.len().into(), &serde_json::Value::Null));

    site.write("broken.wasm", b"\0asm\x01\0\0\0rubbish");
    let outcome = site.lintern(&["rule", "inspect", "broken.wasm"]);
    assert_eq!(outcome.code, 2);
    assert!(
        outcome.out.contains("size       15 bytes\n") && outcome.out.contains("\nrefused: rule module"),
        "{outcome:#?}"
    );
}

/// The name of an import is the module's own text: it neither moves the cursor nor makes lines of its own.
#[test]
fn inspect_makes_the_text_of_a_module_harmless() {
    let site = Site::new(&[]);
    // (module (import "\1b[2J\nrefused: no" "f" (func)))
    let name = b"\x1b[2J\nrefused: no";
    let mut module = b"\0asm\x01\0\0\0\x01\x04\x01\x60\0\0".to_vec();
    let import = [&[1, name.len() as u8], name.as_slice(), &[1, b'f', 0, 0]].concat();
    module.extend([2, import.len() as u8]);
    module.extend(import);
    site.write("evil.wasm", &module);
    let outcome = site.lintern(&["rule", "inspect", "evil.wasm"]);
    assert_eq!(outcome.code, 2);
    assert!(outcome.out.contains("imports    \\u{1b}[2J\\nrefused: no f\n"), "{}", outcome.out);
    assert!(!outcome.out.contains('\u{1b}') && outcome.out.matches("\nrefused").count() == 1, "{}", outcome.out);
}
