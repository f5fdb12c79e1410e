//! The solver against a solver that shares nothing with it, and against the circuit simulator ngspice.

use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, Unsolved};
use lintern_core::layout::NodeRef;
use lintern_tests::circuit::{Circuit, Point, SHAPES, Shape};
use lintern_tests::dense;
use std::process::Command;

fn volts(circuit: &Circuit) -> Option<Vec<f64>> {
    let (w, nodes) = circuit.wiring();
    let s = solve(&w.layout, Case::Judged);
    nodes
        .iter()
        .map(|node| match *node {
            NodeRef::Junction(j) => s.junctions[j].volts,
            NodeRef::Luminaire(l) => s.luminaires[l].node.volts,
            NodeRef::Output { .. } => None,
        })
        .collect()
}

fn worst_difference(a: &[f64], b: &[f64]) -> f64 {
    assert_eq!(a.len(), b.len());
    a.iter().zip(b).map(|(a, b)| ((a - b) / b).abs()).fold(0.0, f64::max)
}

#[test]
fn agrees_with_dense_elimination() {
    let mut worst: f64 = 0.0;
    let mut circuits = 0;
    for shape in SHAPES {
        for seed in 0..40 {
            let circuit = Circuit::seeded(shape, 1 + (seed as usize * 7) % 40, seed, 0.12);
            let actual = volts(&circuit).expect("it has an operating point");
            let difference = worst_difference(&actual, &dense::solve(&circuit));
            assert!(difference <= 1e-9, "{shape:?} of seed {seed}: off by {difference:e}");
            worst = worst.max(difference);
            circuits += 1;
        }
    }
    eprintln!("{circuits} circuits, worst relative difference from dense elimination {worst:.1e}");
}

/// Runs ngspice on a circuit; `None` when it is not installed.
fn ngspice(circuit: &Circuit) -> Option<Vec<f64>> {
    let folder = tempfile::tempdir().expect("a folder for the netlist");
    let file = folder.path().join("circuit.cir");
    std::fs::write(&file, circuit.netlist()).expect("the netlist is written");
    let run = Command::new("ngspice").arg("-b").arg(&file).output().ok()?;
    let text = String::from_utf8_lossy(&run.stdout);
    let mut volts = vec![f64::NAN; circuit.nodes.len()];
    for line in text.lines() {
        let Some((name, value)) = line.split_once(" = ") else { continue };
        let Some(node) = name.trim().strip_prefix("v(n").and_then(|n| n.strip_suffix(')')) else { continue };
        let node: usize = node.parse().expect("a node's number");
        volts[node] = value.trim().parse().expect("a voltage");
    }
    assert!(
        volts.iter().all(|v| v.is_finite()),
        "ngspice gave no answer:\n{text}\n{}",
        String::from_utf8_lossy(&run.stderr)
    );
    Some(volts)
}

#[test]
fn agrees_with_ngspice() {
    let mut circuits: Vec<(String, Circuit)> = Vec::new();
    for shape in SHAPES {
        for (nodes, seed, drop_share) in [(1, 1, 0.1), (8, 2, 0.05), (25, 3, 0.12), (60, 4, 0.15), (200, 5, 0.15)] {
            circuits.push((format!("{shape:?} of {nodes}"), Circuit::seeded(shape, nodes, seed, drop_share)));
        }
    }
    // Near the limit of power: one constant-power load at 99.99 % of E²/4R, alone and at the end of a chain.
    let mut single = Circuit::seeded(Shape::Chain, 1, 0, 0.1);
    single.links = vec![(Point::Source(0), Point::Node(0), 0.396)];
    single.nodes = vec![Some(lintern_tests::circuit::Load {
        model: lintern_core::plan::model::LoadModel::ConstantPower,
        watts: 0.9999 * 144.0 / (4.0 * 0.396),
        nominal_volts: 12.0,
    })];
    circuits.push(("single near the limit".to_owned(), single));

    let mut worst: f64 = 0.0;
    for (name, circuit) in &circuits {
        let Some(expected) = ngspice(circuit) else {
            eprintln!(
                "\n*** SKIPPED: ngspice is not installed, {} circuits were NOT compared with it ***\n",
                circuits.len()
            );
            assert!(
                std::env::var_os("LINTERN_REQUIRE_NGSPICE").is_none(),
                "LINTERN_REQUIRE_NGSPICE is set and ngspice is not installed"
            );
            return;
        };
        let actual = volts(circuit).expect("it has an operating point");
        let difference = worst_difference(&actual, &expected);
        assert!(difference <= 1e-6, "{name}: off by {difference:e}");
        worst = worst.max(difference);
    }
    eprintln!("{} circuits, worst relative difference from ngspice {worst:.1e}", circuits.len());
}

/// What raising the loads in small steps comes to: which loads are dark, or that there is no answer.
#[derive(Debug, PartialEq)]
enum Raised {
    Dark(Vec<usize>),
    NoOperatingPoint,
    NoSteadyState,
    /// Two loads within a step that can't be told apart: not compared.
    TooClose,
}

/// Raises the loads in steps, drops what falls below its cut-out, and halves a step in which several fall.
fn raise_in_steps(circuit: &Circuit, cut_outs: &[f64]) -> Raised {
    let dense = dense::Dense::new(circuit);
    let nodes = circuit.nodes.len();
    let mut dark: Vec<bool> = dense.volts(&vec![0.0; nodes]).iter().zip(cut_outs).map(|(v, c)| v < c).collect();
    let (mut share, mut step) = (0.0, 1.0 / 64.0);
    while share < 1.0 {
        let next = f64::min(share + step, 1.0);
        let fallen = dense::volts_at(circuit, &dense, next, &dark).map(|volts| {
            (0..nodes)
                .filter(|i| circuit.nodes[*i].is_some() && !dark[*i] && volts[*i] < cut_outs[*i])
                .collect::<Vec<_>>()
        });
        match fallen.as_deref() {
            Some([]) => {
                share = next;
                step = f64::min(step * 2.0, 1.0 / 64.0);
            }
            Some([only]) => dark[*only] = true,
            _ if step > 1e-7 => step /= 2.0,
            Some(_) => return Raised::TooClose,
            None => return Raised::NoOperatingPoint,
        }
    }
    let volts = dense::volts_at(circuit, &dense, 1.0, &dark).expect("the last step stood");
    if (0..nodes).any(|i| circuit.nodes[i].is_some() && (volts[i] - cut_outs[i]).abs() < 1e-6) {
        return Raised::TooClose;
    }
    let dark: Vec<usize> = (0..nodes).filter(|i| circuit.nodes[*i].is_some() && dark[*i]).collect();
    if dark.iter().any(|i| volts[*i] >= cut_outs[*i]) { Raised::NoSteadyState } else { Raised::Dark(dark) }
}

#[test]
fn cut_outs_agree_with_raising_in_small_steps() {
    let (mut dark, mut no_point, mut no_state, mut too_close) = (0, 0, 0, 0);
    for seed in 0..400 {
        let shape = SHAPES[seed as usize % SHAPES.len()];
        let mut random = lintern_tests::seeded::Seeded::new(seed + 1000);
        let circuit = Circuit::seeded(shape, 2 + random.below(7), seed, 0.15 + 0.4 * random.unit());
        let lowest = if random.unit() < 0.5 { 3.0 } else { 8.0 };
        let cut_outs: Vec<f64> = circuit
            .nodes
            .iter()
            .map(|_| if random.unit() < 0.3 { 0.0 } else { lowest + (11.5 - lowest) * random.unit() })
            .collect();
        let (mut w, nodes) = circuit.wiring();
        for (node, cut_out) in nodes.iter().zip(&cut_outs) {
            if matches!(node, NodeRef::Luminaire(_)) {
                w.cut_out(*node, *cut_out);
            }
        }
        let s = solve(&w.layout, Case::Judged);
        let actual = match s.unsolved.first().map(|part| part.reason) {
            None => Raised::Dark(
                (0..nodes.len())
                    .filter(|i| matches!(nodes[*i], NodeRef::Luminaire(l) if s.luminaires[l].lit == Some(false)))
                    .collect(),
            ),
            Some(Unsolved::NoOperatingPoint) => Raised::NoOperatingPoint,
            Some(_) => Raised::NoSteadyState,
        };
        let expected = raise_in_steps(&circuit, &cut_outs);
        match &expected {
            Raised::Dark(which) => dark += usize::from(!which.is_empty()),
            Raised::NoOperatingPoint => no_point += 1,
            Raised::NoSteadyState => no_state += 1,
            Raised::TooClose => {
                too_close += 1;
                continue;
            }
        }
        assert_eq!(actual, expected, "{shape:?} of seed {seed}");
    }
    eprintln!(
        "cut-outs: {dark} with dark loads, {no_point} without point, {no_state} without state, {too_close} not compared"
    );
    assert!(dark >= 20 && no_point >= 10 && no_state >= 20 && too_close <= 10, "the circuits cover every outcome");
}
