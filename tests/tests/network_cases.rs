//! What the solver says of wiring that is out of the ordinary: cut-outs, joined sources, zero ohms,
//! parts without a feed, parts without an answer.

use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, Solution, Unsolved};
use lintern_core::layout::{NodeRef, SpliceType};
use lintern_core::plan::model::{LoadModel, OutputCurrent, Stranding};
use lintern_core::plan::quantity::{ApparentPower, Power, Resistance, ResistancePerLength, Temperature};
use lintern_core::plan::scalar::{Conductor, Id, Rating};
use lintern_tests::wiring::{Wiring, cable};
use std::sync::Arc;

fn judged(w: &Wiring) -> Solution {
    solve(&w.layout, Case::Judged)
}

fn output(supply: usize, output: usize) -> NodeRef {
    NodeRef::Output { supply, output }
}

fn volts(s: &Solution, node: NodeRef) -> Option<f64> {
    match node {
        NodeRef::Junction(j) => s.junctions[j].volts,
        NodeRef::Luminaire(l) => s.luminaires[l].node.volts,
        NodeRef::Output { supply, output } => s.supplies[supply].outputs[output].volts,
    }
}

fn reasons(s: &Solution) -> Vec<Unsolved> {
    s.unsolved.iter().map(|part| part.reason).collect()
}

#[track_caller]
fn close(actual: f64, expected: f64, relative: f64) {
    assert!((actual - expected).abs() <= relative * expected.abs(), "{actual} is not {expected}");
}

#[test]
fn an_empty_layout_and_an_idle_supply() {
    let s = judged(&Wiring::new());
    assert!(s.supplies.is_empty() && s.unsolved.is_empty() && s.assumptions.is_empty());
    let mut w = Wiring::new();
    let source = w.dc(12.0);
    let s = judged(&w);
    assert_eq!((volts(&s, source), s.supplies[0].outputs[0].amps), (Some(12.0), Some(0.0)));
    assert_eq!((s.supplies[0].load_va, s.supplies[0].loading_percent), (Some(0.0), None));
}

#[test]
fn a_part_without_a_feed() {
    let mut w = Wiring::new();
    let (source, fed) = (w.dc(12.0), w.power(6.0));
    w.join(source, fed, 0.1);
    let (j, dark) = (w.junction(), w.power(6.0));
    let run = w.join(j, dark, 0.1);
    let s = judged(&w);
    assert!(volts(&s, fed).is_some() && s.unsolved.is_empty());
    let state = &s.luminaires[1];
    assert!(state.node.fed_by.is_empty() && state.node.volts.is_none() && state.node.feed_volts.is_none());
    assert!(state.amps.is_none() && state.lit.is_none() && s.segments[run][0].amps.is_none());
    close(s.segments[run][0].ohms, 0.1, 1e-15);
}

#[test]
fn two_outputs_of_one_supply_joined() {
    for common_ohms in [None, Some(0.01)] {
        let mut w = Wiring::new();
        let s = w.supply(OutputCurrent::Dc, &[(12.0, None), (13.0, None), (14.0, None)], common_ohms);
        let (tied, apart) = (w.power(6.0), w.power(6.0));
        w.join(output(s, 0), tied, 0.1);
        w.join(output(s, 1), tied, 0.1);
        w.join(output(s, 2), apart, 0.1);
        let solution = judged(&w);
        assert_eq!(volts(&solution, tied), None);
        assert_eq!(solution.unsolved[0].reason, Unsolved::OutputsTied);
        assert_eq!(solution.unsolved[0].outputs, [output(s, 0), output(s, 1)]);
        assert_eq!(solution.unsolved[0].nodes, [tied]);
        assert_eq!(solution.luminaires[0].node.fed_by.len(), 2);
        assert_eq!(solution.supplies[s].load_va, None);
        // The nameplates are known all the same.
        assert_eq!(solution.supplies[s].nameplate_va, Some(12.0));
        if common_ohms.is_some() {
            // The total through the common resistance is not known, so neither is the volts of the third output.
            assert_eq!(reasons(&solution), [Unsolved::OutputsTied, Unsolved::SharesUnsolvedSupply]);
            assert_eq!(volts(&solution, apart), None);
        } else {
            assert_eq!(reasons(&solution), [Unsolved::OutputsTied]);
            close(volts(&solution, apart).unwrap(), f64::midpoint(14.0, (196.0_f64 - 2.4).sqrt()), 1e-13);
        }
    }
}

#[test]
fn ac_and_dc_joined() {
    let mut w = Wiring::new();
    let a = w.supply(OutputCurrent::Ac, &[(12.0, Some(0.1))], None);
    let (b, load) = (w.dc(12.0), w.power(6.0));
    w.join(output(a, 0), load, 0.1);
    w.join(load, b, 0.1);
    let s = judged(&w);
    assert_eq!(reasons(&s), [Unsolved::AcDcJoined]);
    assert_eq!(volts(&s, load), None);
}

#[test]
fn two_supplies_joined() {
    let mut w = Wiring::new();
    let (a, b, load) = (w.dc(12.0), w.dc(13.0), w.amps(1.0));
    w.join(a, load, 0.5);
    w.join(load, b, 0.5);
    let s = judged(&w);
    // Millman: V = (12/0.5 + 13/0.5 − 1)/(1/0.5 + 1/0.5) = 12.25 V; the lower supply takes current in.
    close(volts(&s, load).unwrap(), 12.25, 1e-14);
    close(s.supplies[0].outputs[0].amps.unwrap(), -0.5, 1e-13);
    close(s.supplies[1].outputs[0].amps.unwrap(), 1.5, 1e-13);
    assert_eq!((s.luminaires[0].node.feed_volts, s.luminaires[0].node.no_load_volts), (Some(13.0), Some(12.5)));
    close(s.luminaires[0].node.drop_percent.unwrap(), 0.75 / 12.0 * 100.0, 1e-13);
    // The nameplate goes to the one that delivers.
    assert_eq!((s.supplies[0].nameplate_va, s.supplies[1].nameplate_va), (Some(0.0), Some(12.0)));
}

#[test]
fn zero_ohms() {
    // A loop of zero ohms: volts are known, its currents are not, what hangs on it is.
    let mut w = Wiring::new();
    let (source, a, b, load) = (w.dc(12.0), w.junction(), w.junction(), w.amps(2.0));
    let feed = w.join(source, a, 0.25);
    let first = w.join(a, b, 0.0);
    let second = w.join(a, b, 0.0);
    let last = w.join(b, load, 0.0);
    let s = judged(&w);
    assert_eq!((volts(&s, load), volts(&s, a)), (Some(11.5), Some(11.5)));
    assert_eq!((s.segments[first][0].amps, s.segments[second][0].amps), (None, None));
    assert_eq!((s.segments[first][0].loss_w, s.segments[feed][0].loss_w), (Some(0.0), Some(1.0)));
    assert_eq!((s.segments[last][0].amps, s.segments[feed][0].amps), (Some(2.0), Some(2.0)));

    // Zero ohms beside a resistance carry everything.
    let mut w = Wiring::new();
    let (source, load) = (w.dc(12.0), w.amps(2.0));
    let (zero, other) = (w.join(source, load, 0.0), w.join(source, load, 0.3));
    let s = judged(&w);
    assert_eq!((s.segments[zero][0].amps, s.segments[other][0].amps), (Some(2.0), Some(0.0)));

    // A loop of zero ohms of many pieces, and a load inside it.
    let mut w = Wiring::new();
    let source = w.dc(12.0);
    let mut last = source;
    let mut runs = Vec::new();
    for _ in 0..50 {
        let next = w.amps(0.1);
        runs.push(w.join(last, next, 0.0));
        last = next;
    }
    runs.push(w.join(last, source, 0.0));
    let s = judged(&w);
    assert!(runs.iter().all(|r| s.segments[*r][0].amps.is_none()));
    close(s.supplies[0].outputs[0].amps.unwrap(), 5.0, 1e-14);
}

#[test]
fn sources_joined_by_zero_ohms() {
    for (second_volts, shorted) in [(12.0, false), (12.1, true)] {
        let mut w = Wiring::new();
        let (a, b, load) = (w.dc(12.0), w.dc(second_volts), w.amps(1.0));
        w.join(a, b, 0.0);
        w.join(b, load, 0.5);
        let s = judged(&w);
        if shorted {
            assert_eq!(reasons(&s), [Unsolved::SourcesShorted]);
            assert_eq!(volts(&s, load), None);
        } else {
            assert_eq!(volts(&s, load), Some(11.5));
            assert_eq!((s.supplies[0].outputs[0].amps, s.supplies[1].outputs[0].amps), (None, None));
            assert_eq!((s.supplies[0].load_va, s.supplies[0].nameplate_va), (None, None));
        }
    }
    // Behind common resistances the same joint is determined: 12 V and 12.1 V behind 0.1 ohm each.
    let mut w = Wiring::new();
    let a = w.supply(OutputCurrent::Dc, &[(12.0, None)], Some(0.1));
    let b = w.supply(OutputCurrent::Dc, &[(12.1, None)], Some(0.1));
    let load = w.amps(1.0);
    w.join(output(a, 0), load, 0.0);
    w.join(output(b, 0), load, 0.0);
    let s = judged(&w);
    close(volts(&s, load).unwrap(), 12.05 - 0.05, 1e-14);
    assert!(s.supplies[a].outputs[0].amps.unwrap().abs() <= 1e-12);
    close(s.supplies[b].outputs[0].amps.unwrap(), 1.0, 1e-11);
}

/// A load on a supply's terminals and two ideal outputs joined through resistance: no unknown at all.
#[test]
fn nothing_to_solve() {
    let mut w = Wiring::new();
    let (a, b, load) = (w.dc(12.0), w.dc(13.0), w.power(6.0));
    let run = w.join(a, b, 0.5);
    w.join(b, load, 0.0);
    let s = judged(&w);
    assert_eq!((volts(&s, load), s.segments[run][0].amps), (Some(13.0), Some(-2.0)));
    close(s.supplies[1].outputs[0].amps.unwrap(), 2.0 + 6.0 / 13.0, 1e-15);
}

#[test]
fn a_cut_out_saves_the_others() {
    // 90 W behind 0.396 ohm is 6.6 V; with a cut-out of 8 V it drops and leaves 12 V. But then 12 V is above the
    // cut-out: it would come on again.
    let mut w = Wiring::new();
    let (source, load) = (w.dc(12.0), w.power(90.0));
    w.join(source, load, 0.396);
    w.cut_out(load, 8.0);
    let s = judged(&w);
    assert_eq!(reasons(&s), [Unsolved::NoSteadyState]);
    assert_eq!(volts(&s, load), None);

    // Two on one cable: the one with the high cut-out goes, the other then holds it below.
    let mut w = Wiring::new();
    let (source, big, small) = (w.dc(12.0), w.power(60.0), w.power(20.0));
    w.join(source, big, 0.396);
    w.join(big, small, 0.1);
    w.cut_out(small, 11.0);
    let s = judged(&w);
    assert!(s.unsolved.is_empty());
    assert_eq!((s.luminaires[0].lit, s.luminaires[1].lit, s.luminaires[1].amps), (Some(true), Some(false), Some(0.0)));
    close(volts(&s, small).unwrap(), f64::midpoint(12.0, (144.0_f64 - 4.0 * 60.0 * 0.396).sqrt()), 1e-13);

    // Beyond the limit of power with it and not without it.
    let mut w = Wiring::new();
    let (source, big, small) = (w.dc(12.0), w.power(80.0), w.power(30.0));
    w.join(source, big, 0.396);
    w.join(big, small, 0.1);
    w.cut_out(small, 9.0);
    let s = judged(&w);
    assert!(s.unsolved.is_empty(), "{:?}", s.unsolved);
    assert_eq!(s.luminaires[1].lit, Some(false));
    close(volts(&s, big).unwrap(), f64::midpoint(12.0, (144.0_f64 - 4.0 * 80.0 * 0.396).sqrt()), 1e-13);
}

#[test]
fn a_cut_out_at_its_limit() {
    // 12 − 0.5·2 = 11 V exactly.
    for (cut_out, lit) in [(11.0, true), (11.0 * (1.0 + 5e-10), true), (11.0 - 1e-6, true)] {
        let mut w = Wiring::new();
        let (source, load) = (w.dc(12.0), w.amps(2.0));
        w.join(source, load, 0.5);
        w.cut_out(load, cut_out);
        assert_eq!(judged(&w).luminaires[0].lit, Some(lit), "{cut_out}");
    }
    let mut w = Wiring::new();
    let (source, load) = (w.dc(12.0), w.amps(2.0));
    w.join(source, load, 0.5);
    w.cut_out(load, 11.0 + 1e-6);
    assert_eq!(reasons(&judged(&w)), [Unsolved::NoSteadyState]);
    // Above the feed it is dark from the start, and stays so.
    w.cut_out(load, 12.5);
    let s = judged(&w);
    assert_eq!((s.luminaires[0].lit, volts(&s, load)), (Some(false), Some(12.0)));
}

/// Four loads alike in every way reach their cut-out together. One load less each time is tried.
#[test]
fn loads_that_reach_their_cut_outs_together() {
    let build = |steady_amps| {
        let mut w = Wiring::new();
        let (source, middle) = (w.dc(12.0), w.junction());
        w.join(source, middle, 0.2);
        for _ in 0..4 {
            let load = w.power(25.0);
            w.join(middle, load, 0.05);
            w.cut_out(load, 10.5);
        }
        let steady = w.amps(steady_amps);
        w.join(middle, steady, 0.05);
        judged(&w)
    };
    // Four or three hold less than 10.5 V, two about 10.97 V, and the middle is then at 11.1 V: the dark ones
    // would come on again.
    assert_eq!(reasons(&build(0.0)), [Unsolved::NoSteadyState]);
    // 9 A more leave 10.2 V at the middle with all four dark.
    let s = build(9.0);
    assert!(s.unsolved.is_empty(), "{:?}", s.unsolved);
    assert!(s.luminaires[..4].iter().all(|l| l.lit == Some(false)));
    close(s.luminaires[0].node.volts.unwrap(), 10.2, 1e-14);
}

#[test]
fn no_answer_where_volts_would_be_nothing_or_less() {
    // 12 A constant through 1 ohm leave nothing.
    for (amps, exists) in [(11.999, true), (12.0, false), (20.0, false)] {
        let mut w = Wiring::new();
        let (source, load) = (w.dc(12.0), w.amps(amps));
        w.join(source, load, 1.0);
        assert_eq!(reasons(&judged(&w)).is_empty(), exists, "{amps} A");
    }
    // An EMF or a nominal of nothing is no crash.
    let mut w = Wiring::new();
    let (source, load) = (w.dc(0.0), w.power(1.0));
    w.join(source, load, 1.0);
    assert_eq!(reasons(&judged(&w)), [Unsolved::NoOperatingPoint]);
    for model in [LoadModel::ConstantCurrent, LoadModel::Resistive] {
        let mut w = Wiring::new();
        let (source, load) = (w.dc(12.0), w.luminaire(model, 5.0, 0.0));
        w.join(source, load, 1.0);
        assert_eq!(reasons(&judged(&w)), [Unsolved::NoOperatingPoint]);
    }
}

#[test]
fn loads_on_ac_and_on_dc() {
    let build = |current| {
        let mut w = Wiring::new();
        let s = w.supply(current, &[(12.0, Some(0.0))], None);
        let (a, b, c) = (
            w.luminaire(LoadModel::ConstantCurrent, 6.0, 12.0),
            w.amps(1.0),
            w.luminaire(LoadModel::Resistive, 12.0, 12.0),
        );
        w.apparent(a, 8.0);
        for load in [a, b, c] {
            w.join(output(s, 0), load, 0.1);
        }
        w.supply_type(s).rating = Some(Rating::Apparent(ApparentPower::from_si(100.0)));
        (w, s)
    };
    let (w, s) = build(OutputCurrent::Ac);
    let ac = judged(&w);
    close(ac.luminaires[0].amps.unwrap(), 8.0 / 12.0, 1e-14);
    let assumed: Vec<bool> = ac.luminaires.iter().map(|l| l.power_factor_assumed).collect();
    assert_eq!(assumed, [false, true, false], "a resistive load has power factor 1.0");
    let supply = &ac.supplies[s];
    close(supply.nameplate_va.unwrap(), 8.0 + 12.0 + 12.0, 1e-14);
    close(supply.nameplate_va_at_0_9.unwrap(), 8.0 + 12.0 / 0.9 + 12.0, 1e-14);
    let amps = [8.0 / 12.0, 1.0, 12.0 / 12.1];
    close(supply.load_va.unwrap(), 12.0 * amps.iter().sum::<f64>(), 1e-13);
    // Real power: 6/8 of the first load's VA, the other loads', and the heat.
    let real: f64 = amps.iter().zip([0.75, 1.0, 1.0]).map(|(i, pf)| pf * i * (12.0 - 0.1 * i) + 0.1 * i * i).sum();
    close(supply.load_w.unwrap(), real, 1e-13);
    close(supply.loading_percent.unwrap(), 32.0, 1e-13);
    // Power factor, phase, and the splice; conductor temperatures are told by the loader.
    assert_eq!(ac.assumptions.len(), 3, "{:?}", ac.assumptions);

    let (mut w, s) = build(OutputCurrent::Dc);
    w.supply_type(s).rating = Some(Rating::Real(Power::from_si(20.0)));
    let dc = judged(&w);
    close(dc.luminaires[0].amps.unwrap(), 0.5, 1e-14);
    assert!(dc.luminaires.iter().all(|l| !l.power_factor_assumed));
    assert_eq!(dc.supplies[s].load_w, dc.supplies[s].load_va);
    close(dc.supplies[s].nameplate_va.unwrap(), 30.0, 1e-14);
    close(dc.supplies[s].loading_percent.unwrap(), 150.0, 1e-13);
}

#[test]
fn assumed_ideal_sources() {
    for (regulated, own, common, assumed) in [
        (None, None, None, true),
        (Some(false), None, None, true),
        (Some(true), None, None, false),
        (None, Some(0.0), None, false),
        (None, None, Some(0.0), false),
    ] {
        let mut w = Wiring::new();
        let s = w.supply(OutputCurrent::Dc, &[(12.0, own)], common);
        w.supply_type(s).regulated = regulated;
        let load = w.power(6.0);
        w.join(output(s, 0), load, 0.1);
        let solution = judged(&w);
        assert_eq!(solution.supplies[s].outputs[0].source_assumed_ideal, assumed);
        assert_eq!(solution.assumptions.iter().any(|a| a.contains("S0/0")), assumed, "{:?}", solution.assumptions);
    }
}

#[test]
fn resistance_of_a_segment() {
    let mut awg = cable("burial-12-2");
    awg.conductor = Some(Conductor::Awg(12));
    let mut w = Wiring::new();
    let (source, j, load) = (w.dc(12.0), w.junction(), w.amps(1.0));
    let gel = Arc::new(SpliceType {
        name: Id("gel".to_owned()),
        location: None,
        direct_burial: None,
        resistance: Some(Resistance::from_si(0.001)),
        house: Default::default(),
    });
    w.layout.junctions[0].splice = Some(gel.clone());
    w.layout.luminaires[0].splice = Some(gel);
    let first = w.run(Arc::new(awg.clone()), source, j, 30.48);
    awg.parallel = 2;
    let second = w.run(Arc::new(awg.clone()), j, load, 30.48);
    w.layout.runs[second].segments[0].added_ohms = 0.02;
    let s = judged(&w);
    // 1.98 ohm per 1000 ft: 0.198 ohm a conductor.
    close(s.segments[first][0].ohms, 2.0 * (0.198 + 0.001), 1e-14);
    close(s.segments[second][0].ohms, 2.0 * (0.099 + 0.002) + 0.02, 1e-14);
    assert!(!s.assumptions.iter().any(|a| a.contains("splice")));
    // Soil: 30 °C, 0.85465 of that, or as stated.
    let soil = solve(&w.layout, Case::Soil);
    close(soil.segments[first][0].ohms, 2.0 * (0.198 * 0.854_65 + 0.001), 1e-14);
    w.layout.analysis.soil_temperature = Some(Temperature::from_si(75.0));
    w.layout.analysis.conductor_temperature = Some(Temperature::from_si(30.0));
    close(solve(&w.layout, Case::Soil).segments[first][0].ohms, 2.0 * (0.198 + 0.001), 1e-14);
    close(judged(&w).segments[first][0].ohms, 2.0 * (0.198 * 0.854_65 + 0.001), 1e-14);
    // mm² at 70 °C; a maker's value from the temperature it holds for.
    w.layout.analysis = Default::default();
    let mut metric = cable("nyy-2.5");
    metric.conductor = Some(Conductor::Mm2(2.5));
    metric.stranding = Stranding::IecClass2;
    w.layout.runs[first].cable = Arc::new(metric.clone());
    close(judged(&w).segments[first][0].ohms, 2.0 * (7.41e-3 * 1.1965 * 30.48 + 0.001), 1e-14);
    metric.resistance = Some(ResistancePerLength::from_si(7e-3));
    metric.resistance_at = Some(Temperature::from_si(20.0));
    w.layout.runs[first].cable = Arc::new(metric);
    close(judged(&w).segments[first][0].ohms, 2.0 * (7e-3 * 1.1965 * 30.48 + 0.001), 1e-14);
}

#[test]
fn a_cable_without_a_resistance_has_no_answer() {
    for (conductor, celsius) in [(Some(Conductor::Awg(7)), 75.0), (None, 75.0), (Some(Conductor::Awg(12)), -270.0)] {
        let mut w = Wiring::new();
        let (source, load) = (w.dc(12.0), w.power(6.0));
        let mut kind = cable("odd");
        kind.conductor = conductor;
        w.run(Arc::new(kind), source, load, 10.0);
        w.layout.analysis.conductor_temperature = Some(Temperature::from_si(celsius));
        assert_eq!(reasons(&judged(&w)), [Unsolved::UnknownResistance]);
    }
}

#[test]
fn a_group_without_an_operating_point_is_one_part() {
    let mut w = Wiring::new();
    let s = w.supply(OutputCurrent::Dc, &[(12.0, None), (12.0, None)], Some(0.1));
    let (a, b) = (w.power(10_000.0), w.power(6.0));
    w.join(output(s, 0), a, 0.1);
    w.join(output(s, 1), b, 0.1);
    let solution = judged(&w);
    assert_eq!(reasons(&solution), [Unsolved::NoOperatingPoint]);
    assert_eq!(solution.unsolved[0].outputs.len(), 2);
    assert_eq!(solution.unsolved[0].nodes, [a, b]);
}
