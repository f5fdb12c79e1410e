//! Seeded faults of every kind: found, or honestly undetermined; never a wrong blame, never a false alarm.

use crate::faults::{Built, Kind, put};
use crate::networks::{demo, generated};
use lintern_core::analysis::as_built::{AsBuilt, Fault, Outcome, examine};
use lintern_core::analysis::{Case, network};
use lintern_core::layout::{Layout, Measured, NodeRef, Reading, Readings};
use lintern_core::plan::quantity::{Current, Ratio, SignedVoltage, Voltage};
use lintern_core::plan::scalar::Tolerance;
use lintern_tests::seeded::Seeded;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// How many of the places are read.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Extent {
    /// Volts and amps of every output in use, volts at every luminaire and junction.
    Every,
    /// Amps of every output in use, and volts at every third node.
    Some,
}

/// A reading as an instrument shows it: off by less than its tolerance, the last digit rounded.
fn shown(truth: f64, tolerance: impl Fn(f64) -> f64, random: &mut Seeded) -> f64 {
    let off = (2.0 * random.unit() - 1.0) * 0.95 * tolerance(truth);
    let read = ((truth + off) * 100.0).round().abs() / 100.0;
    if (read - truth).abs() <= tolerance(read) { read } else { (truth * 100.0).round() / 100.0 }
}

/// What would be read on the work as built, with noise inside the tolerances.
fn read(plan: &Layout, built: &Built, extent: Extent, with_mains: bool, random: &mut Seeded) -> Readings {
    let solution = network::solve(&built.layout, Case::Soil);
    let volts_tolerance = Tolerance { share: Ratio::new(0.5, "%"), fixed: Some(Voltage::from_si(0.01)) };
    let amps_tolerance = Tolerance { share: Ratio::new(2.0, "%"), fixed: Some(Current::from_si(0.01)) };
    let mut taken = Vec::new();
    let volts_at = |node: NodeRef, volts: Option<f64>, random: &mut Seeded, taken: &mut Vec<Measured>| {
        let Some(volts) = volts else { return };
        let volts = shown(volts, |v| volts_tolerance.of_reading(v), random);
        let sign = if built.reversed.contains(&node) { -1.0 } else { 1.0 };
        taken.push(Measured::Volts { node, volts: SignedVoltage::from_si(sign * volts) });
    };
    for (supply, state) in solution.supplies.iter().enumerate() {
        for (output, o) in state.outputs.iter().enumerate() {
            let node = NodeRef::Output { supply, output };
            let uses = |layout: &Layout| {
                layout.runs.iter().flat_map(|run| &run.segments).any(|s| s.from == node || s.to == node)
            };
            if !uses(plan) && !uses(&built.layout) {
                continue;
            }
            volts_at(node, o.volts, random, &mut taken);
            if let Some(amps) = o.amps {
                let amps = shown(amps.abs(), |a| amps_tolerance.of_reading(a), random);
                taken.push(Measured::OutputAmps { supply, output, amps: Current::from_si(amps) });
            }
        }
        if let (true, Some(nominal)) = (with_mains, plan.supplies[supply].kind.input_volts) {
            let volts = shown(nominal.si() * built.mains, |v| volts_tolerance.of_reading(v), random);
            taken.push(Measured::InputVolts { supply, volts: Voltage::from_si(volts) });
        }
    }
    let junctions = solution.junctions.iter().enumerate().map(|(j, state)| (NodeRef::Junction(j), state));
    let luminaires = solution.luminaires.iter().enumerate().map(|(l, state)| (NodeRef::Luminaire(l), &state.node));
    for (index, (node, state)) in junctions.chain(luminaires).enumerate() {
        if extent == Extent::Every || index % 3 == 0 {
            let volts = if state.fed_by.is_empty() { Some(0.0) } else { state.volts };
            volts_at(node, volts, random, &mut taken);
        }
    }
    Readings {
        on: None,
        volts_tolerance: Some(volts_tolerance),
        amps_tolerance: Some(amps_tolerance),
        conductor_temperature: None,
        taken: taken.into_iter().enumerate().map(|(entry, measured)| Reading { entry, measured }).collect(),
    }
}

const DEMO: [&str; 3] =
    ["fernhollow-court/front-garden.yaml", "marlpit-green/green.yaml", "saltmarsh-terrace/pool-terrace.yaml"];

/// How a case ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    /// The fault is at the place that is named.
    Located,
    /// The fault is among what is not told apart.
    Among,
    /// The fault moves no reading out of its tolerance.
    Unseen,
    /// Another place is blamed, or the fault is not among what is named.
    Wrong,
}

fn end(result: &AsBuilt, built: &Built) -> End {
    let named = result.diagnosis.suspects.iter().any(|s| s.faults.iter().any(|f| built.truths.contains(f)));
    match (result.diagnosis.outcome, named) {
        (Outcome::WithinTolerance, _) => End::Unseen,
        (Outcome::Located, true) => End::Located,
        (Outcome::Undetermined, true) => End::Among,
        _ => End::Wrong,
    }
}

/// Cases of one kind.
const SEEDS: u64 = 110;

fn layouts(seed: u64) -> Layout {
    let mut random = Seeded::new(seed ^ 0x5eed);
    match random.below(5) {
        demo_plan @ 0..=2 => demo(DEMO[demo_plan]),
        _ => generated(&mut random),
    }
}

/// Runs the seeds of a kind and counts how they end.
fn count(kind: Kind, extent: Extent) -> BTreeMap<End, usize> {
    let mut ends = BTreeMap::new();
    let mut wrong = String::new();
    let mut cases = 0;
    let mut seed = 0;
    while cases < SEEDS {
        seed += 1;
        assert!(seed < 40 * SEEDS, "{kind:?}: too few plans have a place for it");
        let plan = layouts(seed);
        let mut random = Seeded::new(seed);
        let Some(built) = put(&plan, kind, &mut random) else { continue };
        if !network::solve(&built.layout, Case::Soil).unsolved.is_empty() {
            continue;
        }
        cases += 1;
        let mut read_plan = plan.clone();
        read_plan.readings = Some(read(&plan, &built, extent, false, &mut random));
        let result = examine(&read_plan).expect("readings");
        let end = end(&result, &built);
        if end == End::Wrong && wrong.len() < 20_000 {
            writeln!(
                wrong,
                "seed {seed}: {:?}, is {:?}: {}",
                built.truths, result.diagnosis.outcome, result.diagnosis.statement
            )
            .expect("memory");
        }
        *ends.entry(end).or_default() += 1;
    }
    eprintln!("{kind:?}, {extent:?} places read: {ends:?}");
    assert!(wrong.is_empty(), "{kind:?}\n{wrong}");
    ends
}

/// Each kind in a test of its own, so that they run side by side: the least number of cases that must be located.
macro_rules! kinds {
    ($($name:ident: $kind:ident, $least:literal;)+) => {
        $(#[test]
        fn $name() {
            let every = count(Kind::$kind, Extent::Every);
            let some = count(Kind::$kind, Extent::Some);
            assert!(every.get(&End::Located).copied().unwrap_or(0) >= $least, "{every:?}");
            assert_eq!(every.values().sum::<usize>() + some.values().sum::<usize>(), 2 * SEEDS as usize);
        })+
    };
}

kinds! {
    bad_joints: BadJoint, 70;
    bad_splices: BadSplice, 65;
    wrong_conductors: WrongConductor, 30;
    wrong_outputs: WrongOutput, 110;
    dead_luminaires: Dead, 30;
    shorted_luminaires: Shorted, 105;
    open_conductors: Open, 100;
    reversed_polarity: Reversed, 110;
    low_mains: LowMains, 110;
}

#[test]
fn without_a_fault_nothing_is_said() {
    for seed in 0..2 * SEEDS {
        let plan = layouts(seed);
        let mut random = Seeded::new(seed);
        let built = Built { layout: plan.clone(), reversed: Default::default(), truths: Vec::new(), mains: 1.0 };
        let mut read_plan = plan.clone();
        read_plan.readings = Some(read(&plan, &built, Extent::Every, seed % 2 == 0, &mut random));
        let result = examine(&read_plan).expect("readings");
        assert_eq!(result.diagnosis.outcome, Outcome::WithinTolerance, "seed {seed}: {:#?}", result.comparisons);
    }
}

/// 400 luminaires in 20 chains on one supply, 20 of them at the far ends and 30 between read: one bad joint.
#[test]
fn a_large_plan_is_searched_to_the_end() {
    use lintern_core::plan::model::OutputCurrent;
    use lintern_tests::wiring::Wiring;
    let mut w = Wiring::new();
    let supply = w.supply(OutputCurrent::Dc, &[(24.0, Some(0.0))], None);
    let source = NodeRef::Output { supply, output: 0 };
    let mut nodes = Vec::new();
    for _ in 0..20 {
        let mut last = source;
        for _ in 0..20 {
            let load = w.luminaire(lintern_core::plan::model::LoadModel::ConstantPower, 3.0, 24.0);
            w.join(last, load, 0.02);
            nodes.push(load);
            last = load;
        }
    }
    let plan = w.layout;
    let mut layout = plan.clone();
    // The sixth luminaire of the fourth chain.
    let (run, segment) = (3 * 20 + 5, 0);
    layout.runs[run].segments[segment].added_ohms = 0.5;
    let built =
        Built { layout, reversed: Default::default(), truths: vec![Fault::AddedOhms { run, segment }], mains: 1.0 };
    let mut readings = read(&plan, &built, Extent::Every, false, &mut Seeded::new(1));
    let wanted = |m: &Measured| match m {
        Measured::Volts { node: NodeRef::Luminaire(l), .. } => l % 20 == 19 || l % 13 == 0,
        _ => true,
    };
    readings.taken.retain(|reading| wanted(&reading.measured));
    let count = readings.taken.len();
    assert!((45..=55).contains(&count), "{count} readings");
    let mut read_plan = plan.clone();
    read_plan.readings = Some(readings);
    let start = std::time::Instant::now();
    let result = examine(&read_plan).expect("readings");
    eprintln!("400 luminaires, {count} readings: {:?}, {} faults tried", start.elapsed(), result.diagnosis.tried);
    assert!(result.diagnosis.notes.is_empty(), "all were tried: {:?}", result.diagnosis.notes);
    assert_ne!(end(&result, &built), End::Wrong, "{}", result.diagnosis.statement);
}
