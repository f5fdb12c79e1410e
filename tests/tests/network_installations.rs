//! What holds of every installation: the laws of circuits, written out from the plan's own numbers, on AC and DC, with
//! several supplies, shared resistances, splices and loads of every kind.

use lintern_core::analysis::conductor::larger_sizes;
use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, Solution};
use lintern_core::layout::{Layout, NodeRef};
use lintern_core::plan::model::{LoadModel, OutputCurrent, Stranding};
use lintern_core::plan::quantity::{ApparentPower, Power, Resistance, Voltage};
use lintern_tests::installation::{ALL, LINEAR, NEVER_MORE, installation};
use lintern_tests::seeded::Seeded;
use lintern_tests::wiring::Wiring;
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

#[track_caller]
fn solved(layout: &Layout) -> Solution {
    let s = solve(layout, Case::Judged);
    assert_eq!(s.unsolved, [], "every generated installation has an answer");
    s
}

fn volts(s: &Solution, node: NodeRef) -> f64 {
    let volts = match node {
        NodeRef::Junction(j) => s.junctions[j].volts,
        NodeRef::Luminaire(l) => s.luminaires[l].node.volts,
        NodeRef::Output { supply, output } => s.supplies[supply].outputs[output].volts,
    };
    volts.expect("volts")
}

fn all_volts(s: &Solution) -> Vec<f64> {
    s.luminaires.iter().map(|l| l.node.volts.expect("volts")).collect()
}

/// Whether a luminaire hangs on AC.
fn on_ac(layout: &Layout, s: &Solution, luminaire: usize) -> bool {
    let NodeRef::Output { supply, .. } = s.luminaires[luminaire].node.fed_by[0] else { unreachable!() };
    layout.supplies[supply].kind.output_current == OutputCurrent::Ac
}

/// What a luminaire asks for at its nominal voltage: VA on AC where that is stated, else W.
fn asked(layout: &Layout, s: &Solution, luminaire: usize) -> f64 {
    let kind = &layout.luminaires[luminaire].kind;
    match kind.apparent_power {
        Some(apparent) if on_ac(layout, s, luminaire) => apparent.si(),
        _ => kind.power.si(),
    }
}

fn installations(models: &'static [LoadModel]) -> impl Strategy<Value = Layout> {
    (0_u64..1_000_000, any::<bool>()).prop_map(|(seed, meshed)| installation(seed, meshed, models))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(150) })]

    /// Kirchhoff's current law at every node, Ohm's law along every segment and inside every supply, and the law of
    /// every load.
    #[test]
    fn the_laws_of_circuits(layout in installations(&ALL)) {
        let s = solved(&layout);
        let mut sums: BTreeMap<NodeRef, f64> = BTreeMap::new();
        for (run, states) in layout.runs.iter().zip(&s.segments) {
            for (segment, state) in run.segments.iter().zip(states) {
                let amps = state.amps.expect("a current");
                *sums.entry(segment.from).or_default() -= amps;
                *sums.entry(segment.to).or_default() += amps;
                let along = volts(&s, segment.from) - volts(&s, segment.to);
                prop_assert!((along - amps * state.ohms).abs() <= 1e-12);
                prop_assert!((state.loss_w.unwrap() - amps * along).abs() <= 1e-11);
            }
        }
        for (index, state) in s.luminaires.iter().enumerate() {
            let kind = &layout.luminaires[index].kind;
            let (amps, share) = (state.amps.unwrap(), state.node.volts.unwrap() / kind.nominal.si());
            *sums.entry(NodeRef::Luminaire(index)).or_default() -= amps;
            let at_nominal = asked(&layout, &s, index) / kind.nominal.si();
            let expected = match kind.load {
                LoadModel::ConstantPower => at_nominal / share,
                LoadModel::ConstantCurrent => at_nominal,
                LoadModel::Resistive => at_nominal * share,
            };
            prop_assert!((amps - expected).abs() <= 1e-12 * expected, "{} A is not {} A", amps, expected);
        }
        for (index, (supply, state)) in layout.supplies.iter().zip(&s.supplies).enumerate() {
            let amps: Vec<f64> = state.outputs.iter().map(|o| o.amps.unwrap()).collect();
            let common_drop = supply.kind.common_resistance.map_or(0.0, |r| r.si()) * amps.iter().sum::<f64>();
            for (output, o) in supply.kind.outputs.iter().enumerate() {
                let node = NodeRef::Output { supply: index, output };
                *sums.entry(node).or_default() += amps[output];
                let drop = o.source_resistance.map_or(0.0, |r| r.si()) * amps[output] + common_drop;
                prop_assert!((o.volts.si() - drop - volts(&s, node)).abs() <= 1e-12);
            }
        }
        for (node, sum) in sums {
            prop_assert!(sum.abs() <= 1e-11, "{} A are left over at {:?}", sum, node);
        }
    }

    /// What the EMFs deliver is what the luminaires draw and what cables, splices and supplies lose. What the supplies
    /// report is that at their terminals: VA as volts times amps, W by the luminaires' power factors.
    #[test]
    fn power_balance(layout in installations(&ALL)) {
        let s = solved(&layout);
        let (mut delivered, mut inside) = (0.0, 0.0);
        for (supply, state) in layout.supplies.iter().zip(&s.supplies) {
            let mut total_amps = 0.0;
            let mut terminals_va = 0.0;
            for (o, output) in supply.kind.outputs.iter().zip(&state.outputs) {
                let amps = output.amps.unwrap();
                delivered += o.volts.si() * amps;
                inside += o.source_resistance.map_or(0.0, |r| r.si()) * amps * amps;
                terminals_va += output.volts.unwrap() * amps;
                total_amps += amps;
            }
            inside += supply.kind.common_resistance.map_or(0.0, |r| r.si()) * total_amps * total_amps;
            prop_assert!((state.load_va.unwrap() - terminals_va).abs() <= 1e-11);
        }
        let lost: f64 = s.segments.iter().flatten().map(|s| s.loss_w.unwrap()).sum();
        let (mut drawn_va, mut drawn_w) = (0.0, 0.0);
        for (index, state) in s.luminaires.iter().enumerate() {
            let va = state.amps.unwrap() * state.node.volts.unwrap();
            drawn_va += va;
            drawn_w += va * layout.luminaires[index].kind.power.si() / asked(&layout, &s, index);
        }
        prop_assert!((delivered - inside - drawn_va - lost).abs() <= 1e-10, "VA");
        let reported_w: f64 = s.supplies.iter().map(|s| s.load_w.unwrap()).sum();
        prop_assert!((reported_w - drawn_w - lost).abs() <= 1e-10, "W");
    }

    /// On trees of loads that never draw more at a higher voltage, a larger conductor lowers no luminaire's volts, and
    /// raises those of what hangs on it. See `where_a_larger_conductor_lowers_volts` for where it need not hold.
    #[test]
    fn a_larger_conductor_lowers_no_volts_of_a_tree(seed in 0_u64..1_000_000, which in any::<prop::sample::Index>()) {
        let layout = installation(seed, false, &NEVER_MORE);
        let before = solved(&layout);
        let mut larger = layout.clone();
        let run = &mut larger.runs[which.index(layout.runs.len())];
        let size = run.cable.conductor.expect("a size");
        Arc::make_mut(&mut run.cable).conductor = Some(larger_sizes(size, Stranding::Stranded)[0]);
        let after = solved(&larger);
        for (b, a) in all_volts(&before).iter().zip(all_volts(&after)) {
            prop_assert!(a >= b - 1e-13 * b, "{} V fall to {} V", b, a);
        }
        let index = which.index(layout.runs.len());
        let (segment, state) = (&layout.runs[index].segments[0], &before.segments[index][0]);
        if state.amps.unwrap() > 0.0 {
            prop_assert!(volts(&after, segment.to) > volts(&before, segment.to));
        }
    }

    /// With loads in a straight line, what constant currents take from the volts does not depend on the EMFs, and what
    /// each EMF and each current does adds up.
    #[test]
    fn superposition(seed in 0_u64..1_000_000, meshed in any::<bool>(), split in any::<u64>()) {
        let layout = installation(seed, meshed, &LINEAR);
        let first = |index: usize| split >> (index % 64) & 1 == 1;
        // The share of each EMF and the constant currents that are kept.
        let with = |emf: &dyn Fn(usize) -> f64, current: &dyn Fn(usize) -> bool| {
            let mut layout = layout.clone();
            for (index, supply) in layout.supplies.iter_mut().enumerate() {
                for output in &mut Arc::make_mut(&mut supply.kind).outputs {
                    output.volts = Voltage::from_si(output.volts.si() * emf(index));
                }
            }
            for (index, luminaire) in layout.luminaires.iter_mut().enumerate() {
                if luminaire.kind.load == LoadModel::ConstantCurrent && !current(index) {
                    let kind = Arc::make_mut(&mut luminaire.kind);
                    (kind.power, kind.apparent_power) = (Power::from_si(0.0), None);
                }
            }
            all_volts(&solved(&layout))
        };
        let (all, none) = (with(&|_| 1.0, &|_| true), with(&|_| 1.0, &|_| false));
        let (some, others) = (with(&|_| 1.0, &first), with(&|_| 1.0, &|i| !first(i)));
        let (emfs, other_emfs) = (
            with(&|i| if first(i) { 1.0 } else { 0.25 }, &|_| false),
            with(&|i| if first(i) { 0.25 } else { 1.0 }, &|_| false),
        );
        let doubled = with(&|_| 2.0, &|_| true);
        for i in 0..all.len() {
            let drop = none[i] - all[i];
            prop_assert!((drop - (none[i] - some[i]) - (none[i] - others[i])).abs() <= 1e-12, "currents add up");
            prop_assert!((emfs[i] + other_emfs[i] - 1.25 * none[i]).abs() <= 1e-12, "EMFs add up");
            prop_assert!((2.0 * none[i] - doubled[i] - drop).abs() <= 1e-12, "the drop stays with other EMFs");
        }
    }

    /// A current at one place lowers the volts at another by as much as the same current there lowers them here, also
    /// from one output of a supply to another.
    #[test]
    fn reciprocity(
        seed in 0_u64..1_000_000,
        meshed in any::<bool>(),
        a in any::<prop::sample::Index>(),
        b in any::<prop::sample::Index>(),
    ) {
        let mut layout = installation(seed, meshed, &LINEAR);
        prop_assume!(layout.luminaires.len() > 1);
        let (a, b) = (a.index(layout.luminaires.len()), b.index(layout.luminaires.len()));
        for place in [a, b] {
            let kind = Arc::make_mut(&mut layout.luminaires[place].kind);
            (kind.load, kind.apparent_power) = (LoadModel::ConstantCurrent, None);
            kind.power = Power::from_si(0.0);
        }
        let idle = all_volts(&solved(&layout));
        let drop = |of: usize, at: usize| {
            let mut layout = layout.clone();
            let kind = Arc::make_mut(&mut layout.luminaires[of].kind);
            // One ampere.
            kind.power = Power::from_si(kind.nominal.si());
            idle[at] - volts(&solved(&layout), NodeRef::Luminaire(at))
        };
        prop_assert!((drop(a, b) - drop(b, a)).abs() <= 1e-12, "{} V and {} V", drop(a, b), drop(b, a));
        prop_assert!(drop(a, a) >= drop(a, b) - 1e-12, "nowhere does it lower them more than at its own place");
    }

    /// Neither the order of a plan's elements nor the end that a run is written from matters.
    #[test]
    fn order_changes_nothing(layout in installations(&ALL), seed in any::<u64>()) {
        let (mixed, places) = mixed(&layout, &mut Seeded::new(seed));
        let (here, there) = (solved(&layout), solved(&mixed));
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-11 * a.abs().max(1.0);
        for (old, &new) in places.luminaires.iter().enumerate() {
            let (a, b) = (&here.luminaires[old], &there.luminaires[new]);
            prop_assert!(close(a.node.volts.unwrap(), b.node.volts.unwrap()));
            prop_assert!(close(a.node.no_load_volts.unwrap(), b.node.no_load_volts.unwrap()));
            prop_assert!(close(a.node.drop_percent.unwrap(), b.node.drop_percent.unwrap()));
            prop_assert_eq!(a.node.feed_volts, b.node.feed_volts);
        }
        for (old, &new) in places.supplies.iter().enumerate() {
            let (a, b) = (&here.supplies[old], &there.supplies[new]);
            prop_assert!(close(a.load_w.unwrap(), b.load_w.unwrap()) && close(a.load_va.unwrap(), b.load_va.unwrap()));
            for (a, b) in a.outputs.iter().zip(&b.outputs) {
                prop_assert!(close(a.amps.unwrap(), b.amps.unwrap()) && a.luminaires == b.luminaires);
            }
        }
        for (old, &new) in places.runs.iter().enumerate() {
            for (a, b) in here.segments[old].iter().zip(there.segments[new].iter().rev()) {
                prop_assert!(close(a.amps.unwrap(), -b.amps.unwrap()), "the other way round");
            }
        }
        prop_assert_eq!(here.assumptions, there.assumptions);
    }

    /// Units mean nothing: twice the resistances behind half the loads give the same volts, and twice the volts with
    /// four times the power give twice the volts. Powers of two leave every digit as it is.
    #[test]
    fn scale_changes_nothing(layout in installations(&ALL)) {
        let volts = all_volts(&solved(&layout));
        for (emf, ohms) in [(1.0, 2.0), (2.0, 1.0), (0.5, 4.0)] {
            for (scaled, v) in all_volts(&solved(&scaled(&layout, emf, ohms))).iter().zip(&volts) {
                prop_assert!((scaled - emf * v).abs() <= 1e-14 * v, "{} V is not {} times {} V", scaled, emf, v);
            }
        }
    }

    /// AC is computed as DC where what is asked for in VA is asked for in W.
    #[test]
    fn ac_of_power_factor_one_is_dc(layout in installations(&ALL)) {
        let s = solved(&layout);
        let mut dc = layout.clone();
        for (index, luminaire) in dc.luminaires.iter_mut().enumerate() {
            Arc::make_mut(&mut luminaire.kind).power = Power::from_si(asked(&layout, &s, index));
        }
        for supply in &mut dc.supplies {
            Arc::make_mut(&mut supply.kind).output_current = OutputCurrent::Dc;
        }
        let dc = solved(&dc);
        prop_assert_eq!(all_volts(&s), all_volts(&dc));
        for (ac, dc) in s.supplies.iter().zip(&dc.supplies) {
            prop_assert_eq!((ac.load_va, ac.nameplate_va), (dc.load_va, dc.nameplate_va));
        }
    }
}

/// Where the elements of a layout went, by their old indices.
struct Places {
    supplies: Vec<usize>,
    junctions: Vec<usize>,
    luminaires: Vec<usize>,
    runs: Vec<usize>,
}

/// Puts the elements of a list in another order; gives the new index of each.
fn shuffle<T>(list: &mut Vec<T>, random: &mut Seeded) -> Vec<usize> {
    let mut old: Vec<(usize, T)> = list.drain(..).enumerate().collect();
    for last in (1..old.len()).rev() {
        old.swap(last, random.below(last + 1));
    }
    let mut places = vec![0; old.len()];
    for (new, (before, item)) in old.into_iter().enumerate() {
        places[before] = new;
        list.push(item);
    }
    places
}

/// The same installation, written in another order and each run from its other end.
fn mixed(layout: &Layout, random: &mut Seeded) -> (Layout, Places) {
    let mut layout = layout.clone();
    let places = Places {
        supplies: shuffle(&mut layout.supplies, random),
        junctions: shuffle(&mut layout.junctions, random),
        luminaires: shuffle(&mut layout.luminaires, random),
        runs: shuffle(&mut layout.runs, random),
    };
    let place = |node: NodeRef| match node {
        NodeRef::Junction(j) => NodeRef::Junction(places.junctions[j]),
        NodeRef::Luminaire(l) => NodeRef::Luminaire(places.luminaires[l]),
        NodeRef::Output { supply, output } => NodeRef::Output { supply: places.supplies[supply], output },
    };
    for run in &mut layout.runs {
        run.segments.reverse();
        for segment in &mut run.segments {
            (segment.from, segment.to) = (place(segment.to), place(segment.from));
        }
    }
    (layout, places)
}

/// The same installation with all volts and all resistances multiplied, and the loads so that currents follow.
fn scaled(layout: &Layout, emf: f64, ohms: f64) -> Layout {
    let mut layout = layout.clone();
    let times = |r: &mut Option<Resistance>| *r = r.map(|r| Resistance::from_si(r.si() * ohms));
    for supply in &mut layout.supplies {
        let kind = Arc::make_mut(&mut supply.kind);
        times(&mut kind.common_resistance);
        for output in &mut kind.outputs {
            output.volts = Voltage::from_si(output.volts.si() * emf);
            times(&mut output.source_resistance);
        }
    }
    let splices =
        layout.junctions.iter_mut().map(|j| &mut j.splice).chain(layout.luminaires.iter_mut().map(|l| &mut l.splice));
    for splice in splices.flatten() {
        times(&mut Arc::make_mut(splice).resistance);
    }
    for luminaire in &mut layout.luminaires {
        let kind = Arc::make_mut(&mut luminaire.kind);
        let load = emf * emf / ohms;
        kind.nominal = Voltage::from_si(kind.nominal.si() * emf);
        kind.power = Power::from_si(kind.power.si() * load);
        kind.apparent_power = kind.apparent_power.map(|p| ApparentPower::from_si(p.si() * load));
    }
    for segment in layout.runs.iter_mut().flat_map(|run| &mut run.segments) {
        segment.length_m *= ohms;
        segment.added_ohms *= ohms;
    }
    layout
}

/// A larger conductor may lower volts elsewhere: where what hangs on it draws more at more volts, and where it joins a
/// source of less volts. Worked by hand.
#[test]
fn where_a_larger_conductor_lowers_volts() {
    // 12 V behind 1 ohm, then a branch of 1 ohm to a bulb of 10 ohm (12 V, 14.4 W). The point between them is at
    // 12·11/12 = 11 V; with a branch of nothing at 12·10/11 = 10.909 V.
    for (branch_ohms, expected) in [(1.0, 11.0), (0.0, 120.0 / 11.0)] {
        let mut w = Wiring::new();
        let (source, middle) = (w.dc(12.0), w.power(0.0));
        w.join(source, middle, 1.0);
        let bulb = w.luminaire(LoadModel::Resistive, 14.4, 12.0);
        w.join(middle, bulb, branch_ohms);
        assert!((volts(&solved(&w.layout), middle) - expected).abs() <= 1e-14 * expected);
    }
    // 14 V and 12 V behind 1 ohm each, joined at the 14 V side through a tie: without load the joint is at
    // 14 − 2/(2 + tie) V.
    for (tie_ohms, expected) in [(2.0, 13.5), (0.0, 13.0)] {
        let mut w = Wiring::new();
        let (high, low) = (w.dc(14.0), w.dc(12.0));
        let (joint, other) = (w.power(0.0), w.junction());
        w.join(high, joint, 1.0);
        w.join(joint, other, tie_ohms);
        w.join(other, low, 1.0);
        assert!((volts(&solved(&w.layout), joint) - expected).abs() <= 1e-14 * expected);
    }
}
