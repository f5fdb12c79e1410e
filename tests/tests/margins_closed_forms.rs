//! The length at which a verdict turns against formulas that can be worked by hand. The cable has 1 ohm per metre of
//! loop, so a length in metres is a resistance in ohms.

use lintern_core::engine::{Quantity, RawMargin, Tighter};
use lintern_core::layout::NodeRef;
use lintern_core::margin::{Critical, Turn, margins};
use lintern_core::plan::model::LoadModel;
use lintern_core::plan::scalar::Conductor;
use lintern_tests::wiring::Wiring;
use std::sync::Arc;

/// A luminaire's volts held against a limit.
fn volts(measured: f64, limit: f64, tighter: Tighter) -> RawMargin {
    let passes = if tighter == Tighter::Higher { measured >= limit } else { measured <= limit };
    RawMargin {
        subject: "L".to_owned(),
        field: String::new(),
        name: "volts".to_owned(),
        measured,
        limit,
        unit: "V".to_owned(),
        source: "test".to_owned(),
        tighter,
        passes,
        quantity: Quantity::LuminaireVolts(0),
    }
}

fn turn(w: &Wiring, raw: RawMargin) -> Turn {
    let mut margins = margins(&w.layout, vec![("t/r".to_owned(), raw)], None);
    assert_eq!(margins.left_out, 0);
    margins.list.remove(0).turn
}

#[track_caller]
fn at(turn: Turn) -> Critical {
    match turn {
        Turn::At(critical) => *critical,
        other => panic!("{other:?}"),
    }
}

/// One load behind a cable of this many ohms.
fn one(emf: f64, model: LoadModel, watts: f64, ohms: f64) -> (Wiring, NodeRef) {
    let mut w = Wiring::new();
    let source = w.dc(emf);
    let load = w.luminaire(model, watts, 12.0);
    w.join(source, load, ohms);
    (w, load)
}

/// V = E - I R: 5 A from 12 V keep 10.2 V up to 1.8 V / 5 A = 0.36 ohm, exactly.
#[test]
fn a_constant_current_turns_where_ohms_law_says() {
    let (w, _) = one(12.0, LoadModel::ConstantCurrent, 60.0, 0.1);
    let critical = at(turn(&w, volts(11.5, 10.2, Tighter::Higher)));
    assert_eq!((critical.run.as_str(), critical.segment), ("R000000", 0));
    assert_eq!((critical.from.as_str(), critical.to.as_str()), ("S0/0", "L000000"));
    assert_eq!((critical.length, critical.unit), (0.1, "m"));
    assert_eq!((critical.passes_at, critical.fails_at), (0.36, 0.361));
    // 12 - 5 x 0.361.
    assert!((critical.measured_where_it_fails.expect("an answer") - 10.195).abs() < 1e-9);
    assert!(critical.onward && critical.fails_longer());

    // At 1 ohm it has 7 V: it passes at the same 0.36 ohm or less.
    let (w, _) = one(12.0, LoadModel::ConstantCurrent, 60.0, 1.0);
    let critical = at(turn(&w, volts(7.0, 10.2, Tighter::Higher)));
    assert_eq!((critical.length, critical.passes_at, critical.fails_at), (1.0, 0.36, 0.361));
}

/// V (E - V) = P R: 48 W at 10 V from 12 V through 10 x 2 / 48 = 0.41667 ohm.
#[test]
fn a_constant_power_turns_where_the_quadratic_says() {
    let (w, _) = one(12.0, LoadModel::ConstantPower, 48.0, 0.2);
    // V = (12 + sqrt(144 - 4 x 48 x 0.2)) / 2.
    let now = f64::midpoint(12.0, (144.0_f64 - 38.4).sqrt());
    let critical = at(turn(&w, volts(now, 10.0, Tighter::Higher)));
    assert_eq!((critical.passes_at, critical.fails_at), (0.416, 0.417));
}

/// 48 W have no operating point beyond 144 / (4 x 48) = 0.75 ohm, where the volts are 6 and keep a limit of 5 V.
#[test]
fn beyond_the_limit_of_power_there_is_no_answer() {
    let (w, _) = one(12.0, LoadModel::ConstantPower, 48.0, 0.2);
    let now = f64::midpoint(12.0, (144.0_f64 - 38.4).sqrt());
    let critical = at(turn(&w, volts(now, 5.0, Tighter::Higher)));
    assert_eq!(critical.measured_where_it_fails, None);
    assert!((critical.passes_at - 0.75).abs() <= 0.001 && critical.passes_at <= 0.75, "{critical:?}");
}

/// 5 A from 15 V: 13 V at 0.4 ohm. With less cable the lamp gets more.
#[test]
fn too_many_volts_turn_with_less_cable() {
    let (w, _) = one(15.0, LoadModel::ConstantCurrent, 60.0, 0.55);
    let critical = at(turn(&w, volts(12.25, 13.0, Tighter::Lower)));
    assert!(!critical.fails_longer());
    assert_eq!((critical.passes_at, critical.fails_at), (0.4, 0.399));
    let (w, _) = one(15.0, LoadModel::ConstantCurrent, 60.0, 0.25);
    let critical = at(turn(&w, volts(13.75, 13.0, Tighter::Lower)));
    assert_eq!((critical.length, critical.passes_at, critical.fails_at), (0.25, 0.4, 0.399));
}

/// 9 V can't give 10 V at any length.
#[test]
fn no_length_cures_a_low_source() {
    let (w, _) = one(9.0, LoadModel::ConstantCurrent, 12.0, 0.5);
    assert_eq!(turn(&w, volts(8.5, 10.0, Tighter::Higher)), Turn::Nowhere);
}

/// Two segments: 0.1 ohm carries 6 A, 0.2 ohm beyond carries 1 A. V at the end = 12 - 0.6 - 0.2 = 11.2 V. To 10.9 V the
/// first one lacks 0.3 / 6 = 0.05 ohm, the second 0.3 ohm: the first turns it with less.
#[test]
fn the_segment_with_the_least_change_is_named() {
    let mut w = Wiring::new();
    let source = w.dc(12.0);
    let (far, near) = (w.amps(1.0), w.amps(5.0));
    w.join(near, far, 0.2);
    w.join(source, near, 0.1);
    let critical = at(turn(&w, volts(11.2, 10.9, Tighter::Higher)));
    assert_eq!(critical.run, "R000001");
    assert_eq!((critical.passes_at, critical.fails_at), (0.15, 0.151));
}

/// A segment that carries other current than the element's is not offered, and a number that is not that of the network
/// has no length.
#[test]
fn only_what_carries_the_current_counts() {
    let mut w = Wiring::new();
    let source = w.dc(12.0);
    let (own, other) = (w.amps(1.0), w.amps(9.0));
    w.join(source, own, 1.0);
    w.join(source, other, 0.1);
    // 12 - 1 x 1 = 11 V; to 10 V by 1 ohm more.
    let critical = at(turn(&w, volts(11.0, 10.0, Tighter::Higher)));
    assert_eq!((critical.run.as_str(), critical.passes_at), ("R000000", 2.0));
    assert_eq!(turn(&w, volts(11.5, 10.0, Tighter::Higher)), Turn::NotOfCable, "not what the network gives");
}

/// The loading of a supply: constant power takes the loss of the cable on top, constant current gives the same volt-amps
/// at the terminals whatever the cable, until nothing is left for the lamp.
#[test]
fn a_loading_turns_with_the_loss_of_the_cable() {
    use lintern_core::plan::quantity::Power;
    use lintern_core::plan::scalar::Rating;
    let loading = |measured| RawMargin {
        quantity: Quantity::SupplyLoadingPercent(0),
        unit: "%".to_owned(),
        ..volts(measured, 80.0, Tighter::Lower)
    };
    let (mut w, _) = one(12.0, LoadModel::ConstantPower, 72.0, 0.0);
    w.supply_type(0).rating = Some(Rating::Real(Power::from_si(100.0)));
    // 80 W from 12 V are 6.6667 A; the lamp has 72 W / 6.6667 A = 10.8 V, so the cable has 1.2 V / 6.6667 A = 0.18 ohm.
    let critical = at(turn(&w, loading(72.0)));
    assert_eq!((critical.passes_at, critical.fails_at), (0.18, 0.181));
    // 6 A leave no volts at 2 ohm.
    let (mut w, _) = one(12.0, LoadModel::ConstantCurrent, 72.0, 0.1);
    w.supply_type(0).rating = Some(Rating::Real(Power::from_si(100.0)));
    let critical = at(turn(&w, loading(72.0)));
    assert_eq!((critical.passes_at, critical.fails_at, critical.measured_where_it_fails), (1.99, 2.0, None));
    // 72 W of a resistive load at 12 V are the most that it takes: with more cable it takes less.
    let (mut w, _) = one(12.0, LoadModel::Resistive, 72.0, 0.1);
    w.supply_type(0).rating = Some(Rating::Real(Power::from_si(100.0)));
    assert_eq!(turn(&w, loading(72.0)), Turn::Nowhere);
}

/// A driver that is off below 11 V draws nothing: then a longer cable gives it nearly 12 V again, but it stays dark.
#[test]
fn a_dark_luminaire_does_not_pass() {
    let (mut w, load) = one(12.0, LoadModel::ConstantCurrent, 12.0, 0.5);
    w.cut_out(load, 11.0);
    // 1 A: 11 V at 1 ohm; beyond there is no steady state.
    let critical = at(turn(&w, volts(11.5, 11.0, Tighter::Higher)));
    assert_eq!((critical.passes_at, critical.fails_at, critical.measured_where_it_fails), (1.0, 1.01, None));
}

/// Lengths are in feet for AWG where the plan has no coordinates.
#[test]
fn feet_for_awg() {
    let (mut w, _) = one(12.0, LoadModel::ConstantCurrent, 60.0, 0.1);
    let cable = Arc::make_mut(&mut w.layout.runs[0].cable);
    cable.conductor = Some(Conductor::Awg(12));
    let critical = at(turn(&w, volts(11.5, 10.2, Tighter::Higher)));
    // 0.36 m are 1.1811 ft.
    assert_eq!((critical.unit, critical.passes_at, critical.fails_at), ("ft", 1.18, 1.19));
    assert!((critical.length - 0.1 / 0.3048).abs() < 1e-12);
}
