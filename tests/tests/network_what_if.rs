//! A network solved again with other numbers is the network of a plan that has those numbers.

use lintern_core::analysis::network::{Bench, Tweak, solve};
use lintern_core::analysis::{Case, Solution, Unsolved};
use lintern_core::layout::{Layout, NodeRef};
use lintern_core::plan::model::{LoadModel, OutputCurrent};
use lintern_core::plan::quantity::{ApparentPower, Power, Voltage};
use lintern_tests::circuit::{Circuit, SHAPES};
use lintern_tests::installation::{ALL, installation};
use lintern_tests::seeded::Seeded;
use lintern_tests::wiring::Wiring;
use std::sync::Arc;

/// The plan with the numbers of the tweaks; its cable has 1 ohm per metre of loop.
fn changed(original: &Layout, tweaks: &[Tweak]) -> Layout {
    let mut layout = original.clone();
    for &tweak in tweaks {
        match tweak {
            Tweak::Ohms { run, segment, ohms: number } | Tweak::Length { run, segment, length_m: number } => {
                layout.runs[run].segments[segment].length_m = number;
            }
            Tweak::Volts { supply, output, volts } => {
                Arc::make_mut(&mut layout.supplies[supply].kind).outputs[output].volts = Voltage::from_si(volts);
            }
            Tweak::Load { luminaire, factor } => {
                let kind = Arc::make_mut(&mut layout.luminaires[luminaire].kind);
                let asked = &original.luminaires[luminaire].kind;
                kind.power = Power::from_si(asked.power.si() * factor);
                kind.apparent_power = asked.apparent_power.map(|va| ApparentPower::from_si(va.si() * factor));
            }
        }
    }
    layout
}

/// Tweaks of every sort, some of them to nothing.
fn tweaks(layout: &Layout, random: &mut Seeded) -> Vec<Tweak> {
    let mut tweaks = Vec::new();
    for _ in 0..1 + random.below(3) {
        let number = [0.0, 0.3 * random.unit(), 3.0 * random.unit(), 60.0 * random.unit()][random.below(4)];
        tweaks.push(match random.below(4) {
            0 => Tweak::Ohms { run: random.below(layout.runs.len()), segment: 0, ohms: number },
            1 => Tweak::Length { run: random.below(layout.runs.len()), segment: 0, length_m: number },
            2 => Tweak::Volts { supply: random.below(layout.supplies.len()), output: 0, volts: 11.0 + number },
            _ => Tweak::Load { luminaire: random.below(layout.luminaires.len()), factor: number },
        });
    }
    tweaks
}

/// Everything of two solutions but the sums of the nameplates, which a tweaked load leaves alone.
fn assert_same(tweaked: &Solution, fresh: &Solution, what: &str) {
    let close = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * (1.0 + b.abs()),
        (a, b) => a == b,
    };
    assert_eq!(tweaked.unsolved, fresh.unsolved, "{what}");
    for (a, b) in tweaked.luminaires.iter().zip(&fresh.luminaires) {
        assert!(close(a.node.volts, b.node.volts), "{what}: {:?} V, {:?} V", a.node.volts, b.node.volts);
        assert!(close(a.node.no_load_volts, b.node.no_load_volts) && close(a.amps, b.amps), "{what}");
        assert!(a.lit == b.lit && a.node.feed_volts == b.node.feed_volts, "{what}");
    }
    for (a, b) in tweaked.junctions.iter().zip(&fresh.junctions) {
        assert!(close(a.volts, b.volts), "{what}");
    }
    for (a, b) in tweaked.segments.iter().flatten().zip(fresh.segments.iter().flatten()) {
        assert!(close(a.amps, b.amps) && a.ohms == b.ohms, "{what}: {:?} A, {:?} A", a.amps, b.amps);
    }
    for (a, b) in tweaked.supplies.iter().zip(&fresh.supplies) {
        assert!(close(a.load_va, b.load_va) && close(a.load_w, b.load_w), "{what}");
    }
}

/// Several circuits of a plan, each with its own supply, so that most groups are left alone.
fn several(seed: u64) -> Wiring {
    let (mut all, _) = Circuit::seeded(SHAPES[seed as usize % 5], 6, seed, 0.15).wiring();
    for circuit in 0..3 {
        let two = all.supply(OutputCurrent::Dc, &[(12.0, Some(0.02)), (14.0, Some(0.0))], Some(0.01));
        let mut last = [0, 1].map(|output| NodeRef::Output { supply: two, output });
        for node in 0..4 {
            let model = [LoadModel::ConstantPower, LoadModel::Resistive][node % 2];
            let luminaire = all.luminaire(model, 2.0 + circuit as f64, 12.0);
            if node == 3 {
                all.cut_out(luminaire, 10.5);
            }
            all.join(last[node % 2], luminaire, 0.05);
            last[node % 2] = luminaire;
        }
    }
    all
}

#[test]
fn a_tweaked_network_is_that_of_a_plan_with_those_numbers() {
    let (mut solved, mut without_answer) = (0, 0);
    for seed in 0..400 {
        let layout = several(seed).layout;
        let bench = Bench::new(&layout, Case::Judged);
        assert_eq!(bench.base(), &solve(&layout, Case::Judged));
        let mut random = Seeded::new(seed);
        // One bench answers again and again.
        for round in 0..3 {
            let tweaks = tweaks(&layout, &mut random);
            let fresh = solve(&changed(&layout, &tweaks), Case::Judged);
            without_answer += usize::from(!fresh.unsolved.is_empty());
            solved += usize::from(fresh.unsolved.is_empty());
            assert_same(&bench.solve(&tweaks), &fresh, &format!("seed {seed}, round {round}, {tweaks:?}"));
        }
        assert_eq!(&bench.solve(&[]), bench.base(), "nothing is kept of the tweaks before");
    }
    assert!(solved > 500 && without_answer > 50, "{solved} with an answer, {without_answer} without");
}

/// Runs of several segments, splices, several outputs behind a resistance that they share, AC and DC.
#[test]
fn so_is_a_tweaked_installation() {
    for seed in 0..60 {
        let layout = installation(seed, seed % 2 == 0, &ALL);
        let bench = Bench::new(&layout, Case::Judged);
        let mut random = Seeded::new(seed);
        for round in 0..6 {
            let run = random.below(layout.runs.len());
            let segment = random.below(layout.runs[run].segments.len());
            let length_m = 10.0 * random.unit();
            let (supply, luminaire) =
                (random.below(layout.supplies.len()), random.below(layout.luminaires.len().max(1)));
            let output = random.below(layout.supplies[supply].kind.outputs.len());
            let tweak = match round % 3 {
                0 => Tweak::Length { run, segment, length_m },
                1 if !layout.luminaires.is_empty() => Tweak::Load { luminaire, factor: 1.5 * random.unit() },
                _ => Tweak::Volts { supply, output, volts: 12.0 + 3.0 * random.unit() },
            };
            let fresh = solve(&changed(&layout, &[tweak]), Case::Judged);
            assert_same(&bench.solve(&[tweak]), &fresh, &format!("seed {seed}, {tweak:?}"));
            if let Tweak::Length { .. } = tweak {
                let ohms = fresh.segments[run][segment].ohms;
                assert_eq!(bench.ohms_at_length(run, segment, length_m), ohms);
                assert_same(&bench.solve(&[Tweak::Ohms { run, segment, ohms }]), &fresh, "by its resistance");
            }
        }
    }
}

#[test]
fn a_number_that_makes_no_sense_leaves_its_part_without_an_answer() {
    let layout = several(1).layout;
    let bench = Bench::new(&layout, Case::Judged);
    for tweak in [
        Tweak::Ohms { run: 0, segment: 0, ohms: f64::NAN },
        Tweak::Ohms { run: 0, segment: 0, ohms: -1.0 },
        Tweak::Ohms { run: 0, segment: 0, ohms: f64::INFINITY },
        Tweak::Length { run: 0, segment: 0, length_m: -1.0 },
        Tweak::Volts { supply: 0, output: 0, volts: f64::INFINITY },
        Tweak::Volts { supply: 0, output: 0, volts: -12.0 },
        Tweak::Load { luminaire: 0, factor: -1.0 },
        Tweak::Load { luminaire: 0, factor: f64::INFINITY },
    ] {
        let solution = bench.solve(&[tweak]);
        assert_eq!(solution.unsolved.len(), bench.base().unsolved.len() + 1, "{tweak:?}");
        assert_eq!(solution.luminaires[0].node.volts, None);
        let refused = solution.unsolved.iter().filter(|part| part.reason == Unsolved::UnknownResistance);
        assert_eq!(refused.count(), 1, "{tweak:?} is refused, not tried");
    }
}
