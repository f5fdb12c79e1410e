//! What can't be told apart, or can't be told at all, is said. Plans of an independent review, made smaller.

use lintern_core::analysis::as_built::{AsBuilt, Fault, Outcome, examine};
use lintern_core::plan::load_text;
use lintern_core::repository::Repository;

/// Two drivers that block reverse current on 24 V DC, not regulated.
fn examined(lengths: &str, tolerance: &str, taken: &[&str]) -> AsBuilt {
    let text = format!(
        "plan: 1
schedule:
  luminaires:
    spot: {{ power: 9 W, load: constant-power, nominal: 24 V, cut-out: 18 V, current: dc }}
  cables:
    nyy-4: {{ conductor: 4 mm2, stranding: iec-class-2 }}
  supplies:
    unit: {{ rating: 600 W, output-current: dc, outputs: [{{ name: a, volts: 24 V, source-resistance: 4 mohm }}], regulated: false, input-volts: 230 V }}
supplies: [{{ id: S1, type: unit }}]
luminaires: [{{ id: L1, type: spot }}, {{ id: L2, type: spot }}]
runs: [{{ id: R1, cable: nyy-4, route: [S1/a, L1, L2], lengths: [{lengths}] }}]
readings:
  on: 2026-02-27
  tolerance: {{ {tolerance} }}
  conductor-temperature: 20 degC
  taken: [{}]
",
        taken.join(", ")
    );
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").expect("a file");
    let path = folder.path().join("plan.yaml");
    std::fs::write(&path, &text).expect("a file");
    let loaded = load_text(&Repository::of(&path).expect("a repository"), &path, text.as_bytes());
    let layout = loaded.layout.unwrap_or_else(|| panic!("{:?}", loaded.diagnostics));
    examine(&layout).expect("readings")
}

const FAIR: &str = "volts: 0.5 % + 0.01 V, amps: 2 % + 0.02 A";

fn names(as_built: &AsBuilt, is: impl Fn(&Fault) -> bool) -> bool {
    as_built.diagnosis.suspects.iter().any(|suspect| suspect.faults.iter().all(&is))
}

#[test]
fn swapped_poles_are_found_where_the_mains_were_read_too() {
    // Everything is turned round at S1 and draws nothing, so that every place has 24 V of 230 V mains; 230.8 V were
    // read within 0.5 % + 0.01 V of that, and 23.92 V within 0.13 V.
    let taken = [
        "{ at: S1, input-volts: 230.8 V }",
        "{ at: S1/a, volts: 23.92 V, amps: 0 A }",
        "{ at: L1, volts: -23.92 V }",
        "{ at: L2, volts: -23.92 V }",
    ];
    let as_built = examined("20 m, 20 m", FAIR, &taken);
    let at_the_supply = |fault: &Fault| matches!(fault, Fault::Reversed { run: 0, segment: 0, .. });
    assert!(names(&as_built, at_the_supply), "{:#?}", as_built.diagnosis);
    assert_eq!(as_built.diagnosis.outcome, Outcome::Located);
}

#[test]
fn an_open_conductor_and_swapped_poles_are_not_told_apart_by_dark_lamps() {
    let taken = ["{ at: S1/a, volts: 24 V, amps: 0 A }", "{ at: L1, lit: false }", "{ at: L2, lit: false }"];
    let as_built = examined("20 m, 20 m", FAIR, &taken);
    assert!(names(&as_built, |fault| matches!(fault, Fault::Open { .. })), "{:#?}", as_built.diagnosis);
    assert!(names(&as_built, |fault| matches!(fault, Fault::Reversed { .. })), "{:#?}", as_built.diagnosis);
    assert!(as_built.diagnosis.further.is_some(), "volts at a lamp would tell: {:#?}", as_built.diagnosis);
}

#[test]
fn a_plan_without_an_answer_is_not_within_tolerance() {
    // 18 W over 40 km of 4 mm2, 0.37 kilo-ohm, is more than 24 V can bring: 24^2 / (4 x 370) = 0.4 W.
    let taken = ["{ at: S1, input-volts: 230 V }", "{ at: L1, volts: 20 V }"];
    let as_built = examined("20000 m, 20000 m", FAIR, &taken);
    assert_eq!(as_built.diagnosis.outcome, Outcome::NotCompared, "{:#?}", as_built.diagnosis);
}

#[test]
fn a_share_of_a_reading_of_nothing_leaves_half_a_digit() {
    let taken = ["{ at: S1/a, volts: 24 V, amps: 0 A }", "{ at: L1, volts: 0 V }"];
    let as_built = examined("20 m, 20 m", "volts: 1 %, amps: 2 %", &taken);
    assert!(as_built.comparisons.iter().all(|comparison| comparison.allowed > 0.0), "{:?}", as_built.comparisons);
    let chi = as_built.diagnosis.suspects.iter().map(|suspect| suspect.chi_square);
    assert!(chi.clone().count() > 0 && chi.into_iter().all(f64::is_finite), "{:#?}", as_built.diagnosis);
}
