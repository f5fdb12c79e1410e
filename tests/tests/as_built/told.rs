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
    of_plan(&text)
}

fn of_plan(text: &str) -> AsBuilt {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").expect("a file");
    let path = folder.path().join("plan.yaml");
    std::fs::write(&path, text).expect("a file");
    let loaded = load_text(&Repository::of(&path).expect("a repository"), &path, text.as_bytes());
    let layout = loaded.layout.unwrap_or_else(|| panic!("{:?}", loaded.diagnostics));
    examine(&layout).expect("readings")
}

/// Three cables of 2 x 1 ohm/m x 1 m in a row and 0.1 W lamps: both a low supply with a bad joint before L2 and one with
/// a lamp that draws too much explain what was read, and whether the joint is in R1 or in R2 nothing tells.
#[test]
fn of_faults_that_do_the_same_one_is_tried_in_pairs_whatever_the_order_of_the_plan() {
    let subjects = |[l1, l2, l3]: [&str; 3], [r1, r2, r3]: [&str; 3]| {
        let as_built = of_plan(&format!(
            "plan: 1
schedule:
  luminaires:
    lamp: {{ power: 0.1 W, load: constant-current, nominal: 12 V, input: {{ min: 1 V, max: 15 V }}, current: dc }}
  cables:
    tenth: {{ conductor: 12 AWG, stranding: stranded, resistance: 1000 ohm/km }}
  supplies:
    box: {{ output-current: dc, regulated: true, outputs: [{{ name: main, volts: 12 V, source-resistance: 0 mohm }}] }}
supplies: [{{ id: S1, type: box }}]
luminaires: [{{ id: {l1}, type: lamp }}, {{ id: {l2}, type: lamp }}, {{ id: {l3}, type: lamp }}]
runs:
  - {{ id: {r1}, cable: tenth, route: [{from1}], length: 1 m }}
  - {{ id: {r2}, cable: tenth, route: [{from2}], length: 1 m }}
  - {{ id: {r3}, cable: tenth, route: [{from3}], length: 1 m }}
readings:
  on: 2026-02-27
  tolerance: {{ volts: 0.5 %, amps: 2 % }}
  conductor-temperature: 20 degC
  taken: [{{ at: S1, volts: 11.4 V }}, {{ at: L2, volts: 10.9 V }}, {{ at: L3, volts: 10.8 V }}]
",
            from1 = route(r1),
            from2 = route(r2),
            from3 = route(r3),
        ));
        let mut subjects: Vec<Vec<String>> =
            as_built.diagnosis.suspects.into_iter().map(|suspect| suspect.subjects).collect();
        subjects.sort();
        subjects
    };
    let as_drawn = subjects(["L1", "L2", "L3"], ["R1", "R2", "R3"]);
    assert!(as_drawn.len() > 1, "{as_drawn:?}");
    assert_eq!(subjects(["L3", "L2", "L1"], ["R3", "R2", "R1"]), as_drawn);
    assert_eq!(subjects(["L2", "L1", "L3"], ["R2", "R3", "R1"]), as_drawn);
}

fn route(run: &str) -> &'static str {
    match run {
        "R1" => "S1, L1",
        "R2" => "L1, L2",
        _ => "L2, L3",
    }
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
