//! The solver against formulas that can be worked by hand, each with its source.

use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, Solution, Unsolved};
use lintern_core::layout::NodeRef;
use lintern_core::plan::model::{LoadModel, OutputCurrent};
use lintern_tests::wiring::Wiring;

fn judged(w: &Wiring) -> Solution {
    solve(&w.layout, Case::Judged)
}

fn volts(s: &Solution, node: NodeRef) -> f64 {
    let volts = match node {
        NodeRef::Junction(j) => s.junctions[j].volts,
        NodeRef::Luminaire(l) => s.luminaires[l].node.volts,
        NodeRef::Output { supply, output } => s.supplies[supply].outputs[output].volts,
    };
    volts.expect("the node has a voltage")
}

#[track_caller]
fn close(actual: f64, expected: f64, relative: f64) {
    assert!((actual - expected).abs() <= relative * expected.abs(), "{actual} is not {expected}");
}

/// Closed form of one constant-power load: V = (E + sqrt(E² − 4PR))/2 (any circuit textbook).
#[test]
fn one_constant_power_load() {
    for (emf, watts, ohms, expected) in [
        (12.0, 90.0, 0.396, 6.6),
        (12.0, 36.0, 0.396, 10.663_0),
        (12.0, 60.0, 0.396, 9.498_6),
        (12.0, 80.0, 0.396, 8.078_5),
        (24.0, 36.0, 0.396, 23.390_5),
    ] {
        let mut w = Wiring::new();
        let (source, load) = (w.dc(emf), w.power(watts));
        w.join(source, load, ohms);
        let s = judged(&w);
        let exact = f64::midpoint(emf, (emf * emf - 4.0 * watts * ohms).sqrt());
        close(volts(&s, load), exact, 1e-13);
        close(volts(&s, load), expected, 1e-5);
        close(s.luminaires[0].amps.unwrap(), watts / exact, 1e-12);
    }
}

/// The same load with all volts times a power of two and the power times its square: every digit is the same, whether
/// volts are far below a microvolt or far above a megavolt.
#[test]
fn volts_of_any_size() {
    let at = |scale: f64| {
        let mut w = Wiring::new();
        let (source, load) = (w.dc(12.0 * scale), w.power(90.0 * scale * scale));
        w.join(source, load, 0.396);
        volts(&judged(&w), load) / scale
    };
    close(at(1.0), 6.6, 1e-14);
    for exponent in [-60, -30, 30, 60] {
        assert_eq!(at(2.0_f64.powi(exponent)), at(1.0), "2 to the power of {exponent}");
    }
}

/// Maximum power transfer theorem: P = E²/4R.
#[test]
fn the_limit_of_power_is_sharp() {
    let limit = 12.0 * 12.0 / (4.0 * 0.396);
    for (share, exists) in
        [(1.0 - 1e-6, true), (1.0 + 1e-6, false), (1.0 - 1e-12, true), (1.0 + 1e-12, false), (4.0, false)]
    {
        let mut w = Wiring::new();
        let (source, load) = (w.dc(12.0), w.power(limit * share));
        w.join(source, load, 0.396);
        let s = judged(&w);
        if exists {
            let exact = f64::midpoint(12.0, 12.0 * (1.0 - share).sqrt());
            close(volts(&s, load), exact, 1e-9_f64.max(1e-16 / (1.0 - share)));
        } else {
            assert_eq!(s.unsolved.len(), 1, "at {share} of the limit");
            assert_eq!(s.unsolved[0].reason, Unsolved::NoOperatingPoint);
            assert_eq!(s.luminaires[0].node.volts, None);
        }
    }
}

/// A daisy chain: 12 AWG stranded (1.98 ohm per 1000 ft), 40 ft to the first and 20 ft between the others, six loads.
fn daisy_chain(emf: f64, load: LoadModel, watts: f64, nominal: f64) -> (Wiring, Vec<NodeRef>) {
    let mut w = Wiring::new();
    let mut last = w.dc(emf);
    let mut loads = Vec::new();
    for i in 0..6 {
        let node = w.luminaire(load, watts, nominal);
        w.join(last, node, 2.0 * 1.98e-3 * if i == 0 { 40.0 } else { 20.0 });
        loads.push(node);
        last = node;
    }
    (w, loads)
}

/// The sum of section drops, worked by hand to four decimals.
#[test]
fn daisy_chains() {
    let rows = [
        (LoadModel::ConstantCurrent, [11.5248, 11.3268, 11.1684, 11.0496, 10.9704, 10.9308]),
        (LoadModel::ConstantPower, [11.4855, 11.2696, 11.0959, 10.9650, 10.8775, 10.8336]),
    ];
    for (load, expected) in rows {
        let (w, loads) = daisy_chain(12.0, load, 6.0, 12.0);
        let s = judged(&w);
        for (node, expected) in loads.iter().zip(expected) {
            assert!((volts(&s, *node) - expected).abs() <= 0.5e-4, "{load:?}: {} is not {expected}", volts(&s, *node));
        }
    }
    let (w, loads) = daisy_chain(24.0, LoadModel::ConstantCurrent, 6.0, 24.0);
    let s = judged(&w);
    assert!((volts(&s, loads[5]) - 23.4654).abs() <= 0.5e-4);
    assert!((s.luminaires[5].node.drop_percent.unwrap() - 2.23).abs() <= 0.5e-2);
}

/// V.K. Mehta and R. Mehta, Principles of Power System, D.C. Distribution, example 13.1: a two-wire
/// distributor fed at one end; 100, 150, 200 and 50 A at 500, 1000, 1600 and 2000 m; 0.01 ohm/km a conductor.
#[test]
fn distributor_fed_at_one_end() {
    let mut w = Wiring::new();
    let mut last = w.dc(300.0);
    let mut at_m = 0.0;
    let mut expected = Vec::new();
    for (amps, m, volts) in
        [(100.0, 500.0, 295.0), (150.0, 1000.0, 291.0), (200.0, 1600.0, 288.0), (50.0, 2000.0, 287.6)]
    {
        let load = w.amps(amps);
        w.join(last, load, 2.0 * 0.01e-3 * (m - at_m));
        (last, at_m) = (load, m);
        expected.push((load, volts));
    }
    let s = judged(&w);
    for (load, expected) in expected {
        close(volts(&s, load), expected, 1e-12);
    }
}

/// The same book, a street main fed at both ends with 220 V: 20, 40, 50 and 30 A at 100, 250, 400 and 500 m of 600,
/// 1 cm² of copper of 1.7e-6 ohm·cm. The section currents follow from drops that add up to nothing.
#[test]
fn distributor_fed_at_both_ends() {
    let mut w = Wiring::new();
    let (a, b) = (w.dc(220.0), w.dc(220.0));
    let loop_ohms_per_m = 2.0 * 1.7e-6 * 100.0;
    let mut last = a;
    let mut at_m = 0.0;
    let mut loads = Vec::new();
    for (amps, m) in [(20.0, 100.0), (40.0, 250.0), (50.0, 400.0), (30.0, 500.0)] {
        let load = w.amps(amps);
        w.join(last, load, loop_ohms_per_m * (m - at_m));
        (last, at_m) = (load, m);
        loads.push(load);
    }
    w.join(last, b, loop_ohms_per_m * (600.0 - at_m));
    let s = judged(&w);
    close(s.supplies[0].outputs[0].amps.unwrap(), 61.666_666_666_666_664, 1e-12);
    close(s.supplies[1].outputs[0].amps.unwrap(), 78.333_333_333_333_33, 1e-12);
    close(volts(&s, loads[2]), 215.693_333_333_333_33, 1e-12);
    assert!(loads.iter().all(|l| volts(&s, *l) >= volts(&s, loads[2])), "the point of least volts is the third");
    assert_eq!(s.supplies[0].outputs.len() + s.supplies[1].outputs.len(), 2);
    assert_eq!(s.luminaires[0].node.fed_by.len(), 2);
}

/// n equal loads at equal distances: the end drops I·R·(n+1)/2n; many of them are the uniformly loaded
/// distributor of the same book, I·R/2 fed at one end and I·R/8 fed at both.
#[test]
fn equal_loads_at_equal_distances() {
    for n in [1, 5, 40] {
        let (total_amps, total_ohms) = (4.0, 0.5);
        let mut w = Wiring::new();
        let mut last = w.dc(12.0);
        for _ in 0..n {
            let load = w.amps(total_amps / f64::from(n));
            w.join(last, load, total_ohms / f64::from(n));
            last = load;
        }
        let s = judged(&w);
        let n = f64::from(n);
        close(12.0 - volts(&s, last), total_amps * total_ohms * (n + 1.0) / (2.0 * n), 1e-12);
    }
    let pieces = 2000;
    let (amps_per_m, ohms_per_m, length_m) = (0.05, 0.013, 60.0);
    let piece_m = length_m / f64::from(pieces);
    for (both_ends, share) in [(false, 0.5), (true, 0.125)] {
        let mut w = Wiring::new();
        let mut last = w.dc(12.0);
        for piece in 0..pieces {
            // Each piece has its load at its middle.
            let load = w.amps(amps_per_m * piece_m);
            w.join(last, load, ohms_per_m * if piece == 0 { piece_m / 2.0 } else { piece_m });
            last = load;
        }
        if both_ends {
            let other = w.dc(12.0);
            w.join(last, other, ohms_per_m * piece_m / 2.0);
        }
        let s = judged(&w);
        let least = s.luminaires.iter().map(|l| l.node.volts.unwrap()).fold(f64::INFINITY, f64::min);
        close(12.0 - least, share * amps_per_m * ohms_per_m * length_m * length_m, 1e-6);
    }
}

/// Concentrated loads: the end drops r·Σ(I·x), the moment of the loads (DC distribution textbooks).
#[test]
fn load_moment() {
    let ohms_per_ft = 0.00396;
    let mut w = Wiring::new();
    let mut last = w.dc(12.0);
    let mut at_ft = 0.0;
    for (amps, ft) in [(1.5, 20.0), (2.0, 45.0), (0.5, 60.0), (1.0, 90.0)] {
        let load = w.amps(amps);
        w.join(last, load, ohms_per_ft * (ft - at_ft));
        (last, at_ft) = (load, ft);
    }
    close(12.0 - volts(&judged(&w), last), 0.9504, 1e-12);
}

/// One load on a closed ring at distance x of l: R = r·x·(l−x)/l (parallel resistances).
#[test]
fn ring_with_one_load() {
    let ohms_per_ft = 0.00396;
    let mut w = Wiring::new();
    let (source, load) = (w.dc(12.0), w.amps(5.0));
    let short = w.join(source, load, ohms_per_ft * 30.0);
    let long = w.join(load, source, ohms_per_ft * 70.0);
    let s = judged(&w);
    close(12.0 - volts(&s, load), 0.4158, 1e-12);
    close(s.segments[short][0].amps.unwrap(), 3.5, 1e-12);
    close(s.segments[long][0].amps.unwrap(), -1.5, 1e-12);
    // The same ring with a constant power is one load behind the same resistance.
    let mut w = Wiring::new();
    let (source, load) = (w.dc(12.0), w.power(50.0));
    w.join(source, load, ohms_per_ft * 30.0);
    w.join(load, source, ohms_per_ft * 70.0);
    close(volts(&judged(&w), load), f64::midpoint(12.0, (144.0_f64 - 4.0 * 0.08316 * 50.0).sqrt()), 1e-12);
}

/// Feeding in the middle of six loads instead of at the end, worked by hand to four decimals.
#[test]
fn centre_feed() {
    let ohms_per_ft = 0.00396;
    let mut w = Wiring::new();
    let (source, middle) = (w.dc(12.0), w.junction());
    w.join(source, middle, ohms_per_ft * 90.0);
    let side = |w: &mut Wiring| {
        let mut last = middle;
        let mut loads = Vec::new();
        for i in 0..3 {
            let load = w.amps(0.5);
            w.join(last, load, ohms_per_ft * if i == 0 { 10.0 } else { 20.0 });
            loads.push(load);
            last = load;
        }
        loads
    };
    let (left, right) = (side(&mut w), side(&mut w));
    let s = judged(&w);
    for (i, expected) in [10.8714, 10.7922, 10.7526].into_iter().enumerate() {
        assert!((volts(&s, left[i]) - expected).abs() <= 0.5e-4);
        assert!((volts(&s, left[i]) - volts(&s, right[i])).abs() <= 1e-14, "both sides are alike");
    }
}

/// A source with resistance of its own and one that all outputs share: V = E − rs·I − rc·ΣI.
#[test]
fn source_and_common_resistance() {
    let mut w = Wiring::new();
    let s = w.supply(OutputCurrent::Dc, &[(12.0, Some(0.01)), (14.0, None), (15.0, Some(0.5))], Some(0.02));
    let (a, b) = (w.amps(5.0), w.amps(3.0));
    w.join(NodeRef::Output { supply: s, output: 0 }, a, 0.1);
    w.join(NodeRef::Output { supply: s, output: 1 }, b, 0.2);
    let solved = judged(&w);
    let outputs = &solved.supplies[s].outputs;
    close(outputs[0].volts.unwrap(), 12.0 - 0.01 * 5.0 - 0.02 * 8.0, 1e-14);
    close(outputs[1].volts.unwrap(), 14.0 - 0.02 * 8.0, 1e-14);
    close(outputs[2].volts.unwrap(), 15.0 - 0.02 * 8.0, 1e-14);
    close(volts(&solved, a), 12.0 - 0.11 * 5.0 - 0.16, 1e-14);
    close(volts(&solved, b), 14.0 - 0.2 * 3.0 - 0.16, 1e-14);
    assert_eq!(outputs[2].amps, Some(0.0));
    assert_eq!(solved.luminaires[0].node.no_load_volts, Some(12.0));
    assert_eq!(solved.luminaires[1].node.no_load_volts, Some(14.0));
    close(
        solved.supplies[s].load_va.unwrap(),
        outputs[0].volts.unwrap() * 5.0 + outputs[1].volts.unwrap() * 3.0,
        1e-14,
    );
    assert!(outputs.iter().all(|o| !o.source_assumed_ideal));
}
