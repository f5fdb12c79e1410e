//! What the solver says beside volts and amps: nameplates, loadings, drops in percent and assumptions, above all where
//! nothing is asked for or nothing is delivered.

use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, Solution, Unsolved};
use lintern_core::layout::{NodeRef, SpliceType};
use lintern_core::plan::model::{LoadModel, OutputCurrent};
use lintern_core::plan::quantity::{ApparentPower, Power, Resistance};
use lintern_core::plan::scalar::{Id, Rating};
use lintern_tests::wiring::Wiring;
use std::sync::Arc;

fn judged(w: &Wiring) -> Solution {
    solve(&w.layout, Case::Judged)
}

fn output(supply: usize) -> NodeRef {
    NodeRef::Output { supply, output: 0 }
}

fn supply(w: &mut Wiring, current: OutputCurrent, volts: f64) -> usize {
    w.supply(current, &[(volts, Some(0.0))], None)
}

#[track_caller]
fn close(actual: Option<f64>, expected: f64) {
    let actual = actual.expect("a number");
    assert!((actual - expected).abs() <= 1e-13 * expected.abs(), "{actual} is not {expected}");
}

/// A junction's drop is a share of the feed, a luminaire's of its own nominal voltage; without one there is no share.
#[test]
fn what_a_drop_is_a_share_of() {
    let mut w = Wiring::new();
    let (source, junction, own, none) =
        (w.dc(15.0), w.junction(), w.amps(1.0), w.luminaire(LoadModel::ConstantPower, 0.0, 0.0));
    w.join(source, junction, 3.0);
    w.join(junction, own, 0.0);
    w.join(junction, none, 0.0);
    let s = judged(&w);
    close(s.junctions[0].drop_percent, 3.0 / 15.0 * 100.0);
    close(s.luminaires[0].node.drop_percent, 3.0 / 12.0 * 100.0);
    assert_eq!(s.luminaires[1].node.drop_percent, None);
    assert_eq!((s.junctions[0].feed_volts, &s.junctions[0].fed_by[..]), (Some(15.0), &[source][..]));
}

/// What feeds a node is told by name: the order of the plan's lists means nothing.
#[test]
fn feeds_are_in_the_order_of_their_names() {
    let mut w = Wiring::new();
    let (first, second, own) = (w.dc(12.0), w.dc(12.0), w.amps(1.0));
    w.join(first, own, 0.1);
    w.join(second, own, 0.1);
    assert_eq!(judged(&w).luminaires[0].node.fed_by[..], [first, second]);
    w.layout.supplies[0].id = Id("Z".to_owned());
    assert_eq!(judged(&w).luminaires[0].node.fed_by[..], [second, first]);
}

/// A lamp without power draws nothing, whatever else its type says, and is lit where its voltage is.
#[test]
fn a_lamp_without_power() {
    for model in [LoadModel::ConstantPower, LoadModel::ConstantCurrent, LoadModel::Resistive] {
        let mut w = Wiring::new();
        let ac = supply(&mut w, OutputCurrent::Ac, 12.0);
        let lamp = w.luminaire(model, 0.0, 0.0);
        w.join(output(ac), lamp, 1.0);
        let s = judged(&w);
        assert_eq!(s.unsolved, []);
        let state = &s.luminaires[0];
        assert_eq!((state.node.volts, state.amps, state.lit), (Some(12.0), Some(0.0), Some(true)));
        assert!(!state.power_factor_assumed, "no power has no factor");
        let supply = &s.supplies[0];
        assert_eq!((supply.load_w, supply.load_va, supply.nameplate_va), (Some(0.0), Some(0.0), Some(0.0)));
        w.cut_out(lamp, 12.5);
        assert_eq!(judged(&w).luminaires[0].lit, Some(false));
        // Beside one of 1 A it adds nothing.
        let other = w.amps(1.0);
        w.join(output(ac), other, 0.0);
        assert_eq!(judged(&w).supplies[0].load_w, Some(12.0));
    }
}

/// Where supplies share a part, its nameplates are theirs by what they deliver. Nothing to share is nothing for each;
/// where there is something and none of them delivers, whose it is can't be told.
#[test]
fn shares_of_nameplates() {
    let build = |lamp: Option<(f64, f64)>| {
        let mut w = Wiring::new();
        let (a, b, joint) = (w.dc(12.0), w.dc(12.0), w.junction());
        w.join(a, joint, 0.1);
        w.join(b, joint, 0.3);
        if let Some((watts, cut_out)) = lamp {
            let lamp = w.luminaire(LoadModel::ConstantCurrent, watts, 12.0);
            w.cut_out(lamp, cut_out);
            w.join(joint, lamp, 0.05);
        }
        let s = judged(&w);
        assert_eq!(s.unsolved, []);
        [0, 1].map(|supply| (s.supplies[supply].nameplate_va, s.supplies[supply].outputs[0].luminaires))
    };
    assert_eq!(build(None), [(Some(0.0), 0); 2]);
    assert_eq!(build(Some((24.0, 12.5))), [(None, 1); 2]);
    // Conductances of 10 and 3.333: three quarters and a quarter.
    let [(a, _), (b, _)] = build(Some((24.0, 0.0)));
    close(a, 18.0);
    close(b, 6.0);
}

/// Real power of two AC supplies in one part: by the VA that each delivers. 24 VA at power factor 0.5 and no loss.
#[test]
fn shares_of_real_power() {
    let mut w = Wiring::new();
    let [a, b] = [0.1, 0.3].map(|ohms| w.supply(OutputCurrent::Ac, &[(12.0, Some(ohms))], None));
    let lamp = w.luminaire(LoadModel::ConstantCurrent, 12.0, 12.0);
    w.apparent(lamp, 24.0);
    w.join(output(a), lamp, 0.0);
    w.join(output(b), lamp, 0.0);
    let s = judged(&w);
    // 2 A through 0.1 and 0.3 ohm side by side, 0.075 ohm: 11.85 V.
    close(s.luminaires[0].node.volts, 11.85);
    close(s.supplies[0].load_va, 1.5 * 11.85);
    close(s.supplies[0].load_w, 1.5 * 11.85 / 2.0);
    close(s.supplies[1].load_w, 0.5 * 11.85 / 2.0);
}

/// A rating in W is taken as VA, which on AC is an assumption; one of nothing has no percentage.
#[test]
fn ratings() {
    let ratings: [fn(f64) -> Rating; 2] =
        [|w| Rating::Real(Power::from_si(w)), |va| Rating::Apparent(ApparentPower::from_si(va))];
    for (current, rating, assumed) in [
        (OutputCurrent::Ac, ratings[0], true),
        (OutputCurrent::Ac, ratings[1], false),
        (OutputCurrent::Dc, ratings[0], false),
        (OutputCurrent::Dc, ratings[1], false),
    ] {
        let mut w = Wiring::new();
        let s = supply(&mut w, current, 24.0);
        let lamp = w.luminaire(LoadModel::ConstantCurrent, 12.0, 12.0);
        w.join(output(s), lamp, 0.0);
        w.supply_type(s).rating = Some(rating(50.0));
        let solution = judged(&w);
        // 1 A of 24 V is more than the nameplate.
        close(solution.supplies[s].loading_percent, 48.0);
        assert_eq!(solution.assumptions.iter().any(|a| a.contains("is taken as VA")), assumed);
        w.supply_type(s).rating = Some(rating(0.0));
        assert_eq!(judged(&w).supplies[s].loading_percent, None);
    }
}

/// That an output is ideal is assumed, and said, only where it feeds something.
#[test]
fn an_output_that_feeds_nothing_is_no_assumption() {
    let mut w = Wiring::new();
    let s = w.supply(OutputCurrent::Dc, &[(12.0, None), (12.0, None)], None);
    let (lamp, junction) = (w.amps(1.0), w.junction());
    w.join(NodeRef::Output { supply: s, output: 0 }, lamp, 0.1);
    w.join(NodeRef::Output { supply: s, output: 1 }, junction, 0.1);
    let solution = judged(&w);
    assert!(solution.supplies[s].outputs.iter().all(|o| o.source_assumed_ideal));
    let said = |output: &str| solution.assumptions.iter().any(|a| a.contains(output));
    assert!(said("S0/0") && !said("S0/1"), "{:?}", solution.assumptions);
}

/// One splice without a stated resistance is enough for the assumption; the end at a supply has none.
#[test]
fn splices_that_are_not_stated() {
    let splice = |ohms: Option<f64>| {
        Some(Arc::new(SpliceType {
            name: Id("gel".to_owned()),
            location: None,
            direct_burial: None,
            resistance: ohms.map(Resistance::from_si),
            house: Default::default(),
        }))
    };
    for (first, second, assumed) in [
        (splice(Some(0.001)), splice(Some(0.002)), false),
        (splice(Some(0.001)), splice(None), true),
        (None, splice(Some(0.002)), true),
        (None, None, true),
    ] {
        let mut w = Wiring::new();
        let (source, junction, lamp) = (w.dc(12.0), w.junction(), w.amps(1.0));
        w.layout.junctions[0].splice = first;
        w.layout.luminaires[0].splice = second;
        let run = w.join(source, junction, 0.1);
        w.join(junction, lamp, 0.1);
        let s = judged(&w);
        assert_eq!(s.assumptions.iter().any(|a| a.contains("Splices")), assumed);
        let stated = w.layout.junctions[0].splice.as_ref().and_then(|s| s.resistance).map_or(0.0, |r| r.si());
        close(Some(s.segments[run][0].ohms), 0.1 + 2.0 * stated);
    }
}

/// EMFs that zero ohms tie together are the same when they differ by no more than rounding, 1e-12 of their sum.
#[test]
fn equal_sources_are_equal_within_rounding() {
    for (share, shorted) in [(1e-13, false), (1.5e-12, false), (5e-12, true), (-1.5e-12, false), (-5e-12, true)] {
        let mut w = Wiring::new();
        let (a, b) = (w.dc(12.0), w.dc(12.0 * (1.0 + share)));
        w.join(a, b, 0.0);
        let reasons: Vec<Unsolved> = judged(&w).unsolved.iter().map(|part| part.reason).collect();
        assert_eq!(reasons, if shorted { vec![Unsolved::SourcesShorted] } else { vec![] }, "{share}");
    }
}

/// A resistance beside zero ohms carries nothing, also where no source holds the voltage: 12 V less 2 A through 0.5 ohm.
#[test]
fn a_resistance_beside_zero_ohms() {
    let mut w = Wiring::new();
    let (source, near, lamp) = (w.dc(12.0), w.junction(), w.amps(2.0));
    w.join(source, near, 0.5);
    let (zero, beside) = (w.join(near, lamp, 0.0), w.join(near, lamp, 0.3));
    let s = judged(&w);
    assert_eq!((s.luminaires[0].node.volts, s.junctions[0].volts), (Some(11.0), Some(11.0)));
    assert_eq!((s.segments[zero][0].amps, s.segments[beside][0].amps), (Some(2.0), Some(0.0)));
}

/// A fault that asks for ten thousand million times what the cable carries goes dark as soon as its voltage falls, at
/// a share of the loads that small; 9 A through 0.2 ohm then hold it below its cut-out.
#[test]
fn a_load_beyond_all_measure_falls_first() {
    let mut w = Wiring::new();
    let (source, middle, fault, steady) = (w.dc(12.0), w.junction(), w.power(1e12), w.amps(9.0));
    w.join(source, middle, 0.2);
    w.join(middle, fault, 0.0);
    w.join(middle, steady, 0.0);
    w.cut_out(fault, 11.0);
    let s = judged(&w);
    assert_eq!(s.unsolved, []);
    assert_eq!((s.luminaires[0].lit, s.luminaires[1].lit), (Some(false), Some(true)));
    close(s.junctions[0].volts, 10.2);
}

/// An output without resistance holds its voltage to the last digit, whatever the others hold.
#[test]
fn ideal_outputs_hold_their_volts_exactly() {
    let emfs = [12.1, 15.7, 0.3, 13.3, 24.6, 11.9, 0.7, 14.2, 12.6, 27.9];
    let mut w = Wiring::new();
    for volts in emfs {
        let (source, lamp) = (w.dc(volts), w.amps(0.1));
        w.join(source, lamp, 0.0);
    }
    let s = judged(&w);
    for (index, volts) in emfs.into_iter().enumerate() {
        let lamp = &s.luminaires[index].node;
        assert_eq!((s.supplies[index].outputs[0].volts, lamp.volts), (Some(volts), Some(volts)));
    }
}
