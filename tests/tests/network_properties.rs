//! What holds of every network: Kirchhoff's law, power balance, monotony, superposition, symmetry,
//! and that the order of a plan's elements changes nothing.

use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, Solution};
use lintern_core::layout::NodeRef;
use lintern_core::plan::model::LoadModel;
use lintern_tests::circuit::{Circuit, Load, SHAPES};
use lintern_tests::wiring::Wiring;
use proptest::prelude::*;

fn circuit() -> impl Strategy<Value = Circuit> {
    (0_usize..SHAPES.len(), 1_usize..40, 0_u64..1_000_000, 0.01_f64..0.2)
        .prop_map(|(shape, nodes, seed, drop)| Circuit::seeded(SHAPES[shape], nodes, seed, drop))
}

fn judged(w: &Wiring) -> Solution {
    solve(&w.layout, Case::Judged)
}

fn volts(s: &Solution, nodes: &[NodeRef]) -> Vec<f64> {
    nodes
        .iter()
        .map(|node| match *node {
            NodeRef::Junction(j) => s.junctions[j].volts.expect("volts"),
            NodeRef::Luminaire(l) => s.luminaires[l].node.volts.expect("volts"),
            NodeRef::Output { supply, output } => s.supplies[supply].outputs[output].volts.expect("volts"),
        })
        .collect()
}

fn solved(c: &Circuit) -> Vec<f64> {
    let (w, nodes) = c.wiring();
    volts(&judged(&w), &nodes)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    /// Currents into each node add up to nothing, and each follows from the volts at its ends.
    #[test]
    fn kirchhoff_and_ohm(c in circuit()) {
        let (w, nodes) = c.wiring();
        let s = judged(&w);
        let mut sums: Vec<f64> = nodes
            .iter()
            .map(|n| if let NodeRef::Luminaire(l) = n { -s.luminaires[*l].amps.unwrap() } else { 0.0 })
            .collect();
        let mut source_sums: Vec<f64> = s.supplies.iter().map(|s| s.outputs[0].amps.unwrap()).collect();
        for (run, states) in w.layout.runs.iter().zip(&s.segments) {
            let (segment, state) = (&run.segments[0], &states[0]);
            let amps = state.amps.unwrap();
            for (end, sign) in [(segment.from, -1.0), (segment.to, 1.0)] {
                match nodes.iter().position(|n| *n == end) {
                    Some(node) => sums[node] += sign * amps,
                    None => {
                        let NodeRef::Output { supply, .. } = end else { unreachable!() };
                        source_sums[supply] += sign * amps;
                    }
                }
            }
            let v = volts(&s, &[segment.from, segment.to]);
            prop_assert!((v[0] - v[1] - amps * state.ohms).abs() <= 1e-12);
        }
        let total: f64 = s.luminaires.iter().map(|l| l.amps.unwrap()).sum::<f64>().max(1e-3);
        for sum in sums.into_iter().chain(source_sums) {
            prop_assert!(sum.abs() <= 1e-11 * total, "{} A of {} A", sum, total);
        }
    }

    /// What the supplies deliver is what the luminaires draw and the cables lose.
    #[test]
    fn power_balance(c in circuit()) {
        let (w, _) = c.wiring();
        let s = judged(&w);
        let delivered: f64 = s.supplies.iter().map(|s| s.load_w.unwrap()).sum();
        let drawn: f64 = s.luminaires.iter().map(|l| l.amps.unwrap() * l.node.volts.unwrap()).sum();
        let lost: f64 = s.segments.iter().flatten().map(|s| s.loss_w.unwrap()).sum();
        prop_assert!((delivered - drawn - lost).abs() <= 1e-11 * (drawn + lost).max(1e-3));
    }

    /// In a tree of constant-power loads a longer run raises no voltage.
    #[test]
    fn more_resistance_raises_no_voltage_of_a_tree(c in circuit(), which in 0_usize..100, factor in 1.0_f64..1.3) {
        prop_assume!(c.links.len() == c.nodes.len());
        let mut c = c;
        for load in c.nodes.iter_mut().flatten() {
            // Leaves room below the limit of power for the longer run.
            *load = Load { model: LoadModel::ConstantPower, watts: load.watts * 0.7, ..*load };
        }
        let before = solved(&c);
        let links = c.links.len();
        c.links[which % links].2 *= factor;
        let worst = before.iter().zip(solved(&c)).map(|(b, a)| a - b).fold(f64::NEG_INFINITY, f64::max);
        prop_assert!(worst <= 1e-12, "a voltage rises by {}", worst);
    }

    /// In a loop a longer run may raise a voltage, since current moves to the other way round. What the cables
    /// lose to constant-current loads never falls (Rayleigh's law of monotony).
    #[test]
    fn more_resistance_lowers_no_loss(c in circuit(), which in 0_usize..100, factor in 1.0_f64..3.0) {
        prop_assume!(c.sources.len() == 1);
        let mut c = c;
        for load in c.nodes.iter_mut().flatten() {
            *load = Load { model: LoadModel::ConstantCurrent, watts: load.watts * 0.3, ..*load };
        }
        let loss = |c: &Circuit| -> f64 {
            let drops = solved(c).into_iter().map(|v| c.sources[0].0 - v);
            c.nodes.iter().zip(drops).map(|(load, drop)| load.map_or(0.0, |l| l.watts / l.nominal_volts * drop)).sum()
        };
        let before = loss(&c);
        let links = c.links.len();
        c.links[which % links].2 *= factor;
        prop_assert!(loss(&c) >= before * (1.0 - 1e-12));
    }

    /// Drops of constant-current loads add up (superposition).
    #[test]
    fn superposition(c in circuit(), split in 0_u64..u64::MAX) {
        prop_assume!(c.sources.len() == 1);
        let with = |keep: &dyn Fn(usize) -> bool| {
            let mut c = c.clone();
            for (i, load) in c.nodes.iter_mut().enumerate() {
                *load = load.map(|l| Load {
                    model: LoadModel::ConstantCurrent,
                    watts: if keep(i) { l.watts } else { 0.0 },
                    nominal_volts: l.nominal_volts,
                });
            }
            solved(&c)
        };
        let first = |i: usize| split >> i & 1 == 1;
        let (all, a, b) = (with(&|_| true), with(&first), with(&|i| !first(i)));
        let emf = c.sources[0].0;
        for i in 0..all.len() {
            prop_assert!(((emf - all[i]) - (emf - a[i]) - (emf - b[i])).abs() <= 1e-13 * emf);
        }
    }

    /// The order in which a plan lists its elements changes no voltage.
    #[test]
    fn order_changes_nothing(c in circuit()) {
        let mut reversed = c.clone();
        let last = c.nodes.len() - 1;
        reversed.nodes.reverse();
        reversed.links.reverse();
        for (a, b, _) in &mut reversed.links {
            for end in [&mut *a, &mut *b] {
                if let lintern_tests::circuit::Point::Node(i) = end {
                    *i = last - *i;
                }
            }
            std::mem::swap(a, b);
        }
        let mut there = solved(&reversed);
        there.reverse();
        for (a, b) in solved(&c).iter().zip(there) {
            prop_assert!((a - b).abs() <= 1e-12 * a);
        }
    }

    /// Two branches alike have voltages alike.
    #[test]
    fn symmetry(ohms in prop::collection::vec(0.001_f64..0.1, 1..8), watts in prop::collection::vec(0.1_f64..5.0, 8)) {
        let mut w = Wiring::new();
        let (source, middle) = (w.dc(12.0), w.junction());
        w.join(source, middle, 0.05);
        let mut sides = Vec::new();
        for _ in 0..2 {
            let mut last = middle;
            let mut side = Vec::new();
            for (ohms, watts) in ohms.iter().zip(&watts) {
                let load = w.power(*watts);
                w.join(last, load, *ohms);
                side.push(load);
                last = load;
            }
            sides.push(side);
        }
        let s = judged(&w);
        prop_assume!(s.unsolved.is_empty());
        for (a, b) in volts(&s, &sides[0]).iter().zip(volts(&s, &sides[1])) {
            prop_assert!((a - b).abs() <= 1e-14 * a);
        }
    }
}

/// Multiplying all loads by the same number walks to the limit of power: there is a share up to which all
/// networks have an answer and beyond which none has, and voltages fall towards it.
#[test]
fn the_limit_of_power_of_any_network() {
    for shape in SHAPES {
        for nodes in [1, 7, 30] {
            let mut c = Circuit::seeded(shape, nodes, 11, 0.1);
            for load in &mut c.nodes {
                *load = Some(Load { model: LoadModel::ConstantPower, watts: 1.0, nominal_volts: 12.0 });
            }
            let at = |share: f64| {
                let mut scaled = c.clone();
                for load in scaled.nodes.iter_mut().flatten() {
                    load.watts *= share;
                }
                let (w, nodes) = scaled.wiring();
                let s = judged(&w);
                s.unsolved.is_empty().then(|| volts(&s, &nodes))
            };
            let (mut low, mut high) = (0.0, 1e6);
            let mut volts_at_low = vec![f64::INFINITY; nodes];
            while high - low > 1e-12 * high {
                let middle = f64::midpoint(low, high);
                match at(middle) {
                    Some(volts) => {
                        assert!(volts.iter().zip(&volts_at_low).all(|(now, before)| now < before), "volts fall");
                        volts_at_low = volts;
                        low = middle;
                    }
                    None => high = middle,
                }
            }
            assert!(at(low * (1.0 - 1e-6)).is_some() && at(high * (1.0 + 1e-6)).is_none());
            // At the limit the voltages fall without bound in slope: a millionth of the load moves them by about
            // a thousandth (the root of it), far more than in proportion.
            let near = at(low * (1.0 - 1e-6)).unwrap();
            let moved = near.iter().zip(&volts_at_low).map(|(a, b)| (a - b) / b).fold(0.0, f64::max);
            assert!(moved > 1e-4, "{shape:?} of {nodes}: not a fold, moved {moved:e}");
        }
    }
}
