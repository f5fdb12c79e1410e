//! Chains whose faults can be computed by hand.

use lintern_core::analysis::as_built::{Fault, FaultKind, Outcome, examine};
use lintern_core::layout::{Layout, Measured, NodeRef, Reading, Readings};
use lintern_core::plan::quantity::{Current, Ratio, SignedVoltage};
use lintern_core::plan::scalar::Tolerance;
use lintern_tests::wiring::Wiring;

/// Readings within a share of themselves.
pub fn readings(percent: f64, measured: Vec<Measured>) -> Readings {
    let share = Ratio::new(percent, "%");
    Readings {
        on: None,
        volts_tolerance: Some(Tolerance { share, fixed: None }),
        amps_tolerance: Some(Tolerance { share, fixed: None }),
        conductor_temperature: None,
        taken: measured.into_iter().enumerate().map(|(entry, measured)| Reading { entry, measured }).collect(),
    }
}

pub fn volts(node: NodeRef, volts: f64) -> Measured {
    Measured::Volts { node, volts: SignedVoltage::from_si(volts) }
}

fn amps(supply: usize, output: usize, amps: f64) -> Measured {
    Measured::OutputAmps { supply, output, amps: Current::from_si(amps) }
}

/// 12 V, then three loads of 1 A each on loops of 0.1 ohm: 12 - 0.3 = 11.7 V, - 0.2 = 11.5 V, - 0.1 = 11.4 V.
fn chain() -> (Layout, [NodeRef; 4]) {
    let mut w = Wiring::new();
    let source = w.dc(12.0);
    let loads = [w.amps(1.0), w.amps(1.0), w.amps(1.0)];
    w.join(source, loads[0], 0.1);
    w.join(loads[0], loads[1], 0.1);
    w.join(loads[1], loads[2], 0.1);
    (w.layout, [source, loads[0], loads[1], loads[2]])
}

#[test]
fn as_planned_is_within_tolerance() {
    let (mut layout, nodes) = chain();
    let read = [12.0, 11.7, 11.5, 11.4];
    layout.readings = Some(readings(0.5, nodes.iter().zip(read).map(|(node, v)| volts(*node, v)).collect()));
    let result = examine(&layout).unwrap();
    assert_eq!(result.diagnosis.outcome, Outcome::WithinTolerance, "{result:#?}");
    for (comparison, read) in result.comparisons.iter().zip(read) {
        assert!((comparison.computed.unwrap() - read).abs() < 1e-9);
        assert!((comparison.allowed - 0.005 * read).abs() < 1e-12);
    }
}

/// 0.25 ohm more between the first and the second load, where 2 A flow: 0.5 V less at the second and the third.
#[test]
fn a_bad_joint_is_located_with_its_ohms() {
    let (mut layout, nodes) = chain();
    let read = [12.0, 11.7, 11.0, 10.9];
    layout.readings = Some(readings(0.5, nodes.iter().zip(read).map(|(node, v)| volts(*node, v)).collect()));
    let result = examine(&layout).unwrap();
    let diagnosis = &result.diagnosis;
    assert_eq!(diagnosis.outcome, Outcome::Located, "{diagnosis:#?}");
    let suspect = diagnosis
        .suspects
        .iter()
        .find(|suspect| suspect.faults == [Fault::AddedOhms { run: 1, segment: 0 }])
        .unwrap_or_else(|| panic!("{diagnosis:#?}"));
    // By hand: (0.5 V + 0.5 V) / 2 readings / 2 A = 0.25 ohm; each reading weighs as 3 / tolerance².
    let estimate = &suspect.estimates[0];
    assert!((estimate.value - 0.25).abs() < 1e-6, "{estimate:?}");
    // Two readings move with 2 A each; the tolerances are 0.055 V and 0.0545 V.
    let by_hand = 2.0 / (3.0 * (2.0_f64 / 0.055).powi(2) + 3.0 * (2.0_f64 / 0.0545).powi(2)).sqrt();
    assert!((estimate.uncertainty.unwrap() - by_hand).abs() < 1e-4 * by_hand, "{estimate:?} and {by_hand}");
    let line = |name: &str| suspect.work.iter().find(|line| line.name == name).unwrap().value;
    assert!((line("volts lost in it") - 0.5).abs() < 1e-6);
    assert!((line("heat in it") - 1.0).abs() < 1e-6);
    assert!((line("loop with the fault") - line("loop as planned") - line("added resistance")).abs() < 1e-9);
}

/// Only the ends are read: every segment may have it, with other ohms, as may the supply.
#[test]
fn what_the_readings_do_not_tell_apart_is_not_blamed() {
    let (mut layout, nodes) = chain();
    layout.readings = Some(readings(0.5, vec![volts(nodes[3], 10.9)]));
    let diagnosis = examine(&layout).unwrap().diagnosis;
    assert_eq!(diagnosis.outcome, Outcome::Undetermined, "{diagnosis:#?}");
    for segment in 0..3 {
        // 0.5 V over 3 A, 2 A and 1 A.
        let suspect = diagnosis.suspects.iter().find(|s| s.faults == [Fault::AddedOhms { run: segment, segment: 0 }]);
        let ohms = 0.5 / (3 - segment) as f64;
        assert!((suspect.unwrap().estimates[0].value - ohms).abs() < 1e-6);
    }
    let further = diagnosis.further.expect("a further reading");
    assert!(further.expected.iter().flatten().count() > 1, "{further:?}");
}

/// The supply gives 11.4 V: 95 % of 12 V, everywhere 0.6 V less.
#[test]
fn low_volts_of_a_supply() {
    let (mut layout, nodes) = chain();
    let read = [11.4, 11.1, 10.9, 10.8];
    layout.readings = Some(readings(0.5, nodes.iter().zip(read).map(|(node, v)| volts(*node, v)).collect()));
    let diagnosis = examine(&layout).unwrap().diagnosis;
    assert_eq!(diagnosis.outcome, Outcome::Located, "{diagnosis:#?}");
    assert_eq!(diagnosis.suspects[0].kinds, [FaultKind::SupplyVolts]);
    assert!((diagnosis.suspects[0].estimates[0].value - 0.95).abs() < 1e-6);
}

/// The third load draws nothing: 2 A, 12 - 0.2 = 11.8 V, - 0.1 = 11.7 V, and 11.7 V behind it.
#[test]
fn a_dead_luminaire() {
    let (mut layout, nodes) = chain();
    let mut taken: Vec<Measured> = nodes.iter().zip([12.0, 11.8, 11.7, 11.7]).map(|(n, v)| volts(*n, v)).collect();
    taken.push(amps(0, 0, 2.0));
    layout.readings = Some(readings(0.3, taken));
    let diagnosis = examine(&layout).unwrap().diagnosis;
    assert_eq!(diagnosis.outcome, Outcome::Located, "{diagnosis:#?}");
    assert_eq!(diagnosis.suspects[0].faults, [Fault::Dead { luminaire: 2 }]);
}

/// Reversed behind the first load: the second and the third read below zero.
#[test]
fn a_swapped_joint() {
    let (mut layout, nodes) = chain();
    let read = [12.0, 11.7, -11.5, -11.4];
    layout.readings = Some(readings(0.5, nodes.iter().zip(read).map(|(node, v)| volts(*node, v)).collect()));
    let diagnosis = examine(&layout).unwrap().diagnosis;
    assert_eq!(diagnosis.outcome, Outcome::Located, "{diagnosis:#?}");
    assert_eq!(diagnosis.suspects.len(), 1, "{diagnosis:#?}");
    assert_eq!(diagnosis.suspects[0].faults, [Fault::Reversed { run: 1, segment: 0, blocked: false }]);
}

/// Nothing that is in the list of faults turns the middle one up.
#[test]
fn what_nothing_explains_is_said_so() {
    let (mut layout, nodes) = chain();
    let read = [12.0, 11.7, 15.0, 11.4];
    layout.readings = Some(readings(0.5, nodes.iter().zip(read).map(|(node, v)| volts(*node, v)).collect()));
    let diagnosis = examine(&layout).unwrap().diagnosis;
    assert_eq!(diagnosis.outcome, Outcome::Unexplained, "{diagnosis:#?}");
    assert!(diagnosis.suspects.is_empty());
}

/// 0.2 ohm before the first (3 A, 0.6 V) and 0.5 ohm before the third (1 A, 0.5 V).
#[test]
fn two_bad_joints_are_a_pair_and_not_a_blame() {
    let (mut layout, nodes) = chain();
    let read = [12.0, 11.1, 10.9, 10.3];
    layout.readings = Some(readings(0.3, nodes.iter().zip(read).map(|(node, v)| volts(*node, v)).collect()));
    let diagnosis = examine(&layout).unwrap().diagnosis;
    assert_eq!(diagnosis.outcome, Outcome::Undetermined, "{diagnosis:#?}");
    let both = |s: &lintern_core::analysis::as_built::Suspect| {
        s.faults.contains(&Fault::AddedOhms { run: 0, segment: 0 })
            && s.faults.contains(&Fault::AddedOhms { run: 2, segment: 0 })
    };
    let pair = diagnosis.suspects.iter().find(|suspect| both(suspect)).unwrap_or_else(|| panic!("{diagnosis:#?}"));
    let mut ohms: Vec<f64> = pair.estimates.iter().map(|estimate| estimate.value).collect();
    ohms.sort_by(f64::total_cmp);
    assert!((ohms[0] - 0.2).abs() < 1e-6 && (ohms[1] - 0.5).abs() < 1e-6, "{ohms:?}");
}
