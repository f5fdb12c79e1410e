//! Installations made from a seed, with all that the network model has and circuits of plain resistances have not:
//! AC and DC, supplies with several outputs behind a resistance that they share, cable of the table, runs of several
//! segments, splices, loads of every kind.

use crate::seeded::Seeded;
use crate::wiring::{OutputOf, Wiring, cable};
use lintern_core::layout::{CableType, Layout, NodeRef, Segment, SpliceType};
use lintern_core::plan::model::{LoadModel, OutputCurrent};
use lintern_core::plan::quantity::Resistance;
use lintern_core::plan::scalar::{Conductor, Id};
use std::sync::Arc;

/// The kinds of load whose current follows the voltage in a straight line or not at all.
pub const LINEAR: [LoadModel; 2] = [LoadModel::ConstantCurrent, LoadModel::Resistive];
/// The kinds of load that draw no more when their voltage rises.
pub const NEVER_MORE: [LoadModel; 2] = [LoadModel::ConstantCurrent, LoadModel::ConstantPower];
/// All of them.
pub const ALL: [LoadModel; 3] = [LoadModel::ConstantPower, LoadModel::ConstantCurrent, LoadModel::Resistive];

/// Sizes of its cable, AWG: larger ones are in the table too.
const GAUGES: [i8; 3] = [14, 12, 10];

/// An installation with loads of these kinds. Every output feeds a tree of its own; where it is `meshed`, trees have
/// cross links and the first trees of supplies of the same current are joined. Runs are so short and loads so small
/// that there is always an operating point: at most 8 loads of 4 W a tree, 8 m apart, on 14 AWG.
pub fn installation(seed: u64, meshed: bool, models: &[LoadModel]) -> Layout {
    let mut random = Seeded::new(seed);
    let mut w = Wiring::new();
    let gauges = GAUGES.map(|gauge| of_gauge(gauge, if gauge == 14 { 2 } else { 1 }));
    let mut first_trees: Vec<(OutputCurrent, NodeRef)> = Vec::new();
    for _ in 0..1 + random.below(3) {
        let current = [OutputCurrent::Dc, OutputCurrent::Ac][random.below(2)];
        let outputs: Vec<OutputOf> = (0..1 + random.below(3))
            .map(|_| (12.0 + 3.0 * random.unit(), [None, Some(0.0), Some(0.05 * random.unit())][random.below(3)]))
            .collect();
        let common_ohms = [None, Some(0.0), Some(0.03 * random.unit())][random.below(3)];
        let supply = w.supply(current, &outputs, common_ohms);
        for output in 0..outputs.len() {
            let nodes = tree(&mut w, &mut random, &gauges, NodeRef::Output { supply, output }, models);
            let any = |random: &mut Seeded| nodes[random.below(nodes.len())];
            if !meshed {
                continue;
            }
            for _ in 0..random.below(3) {
                let (a, b) = (any(&mut random), any(&mut random));
                if a != b {
                    w.run(gauges[random.below(3)].clone(), a, b, 1.0 + 7.0 * random.unit());
                }
            }
            if output == 0 {
                for (_, other) in first_trees.iter().filter(|(kind, _)| *kind == current) {
                    w.run(gauges[random.below(3)].clone(), any(&mut random), *other, 1.0 + 7.0 * random.unit());
                }
                first_trees.push((current, any(&mut random)));
            }
        }
    }
    w.layout
}

/// Cable of a size of the NEC's table.
fn of_gauge(gauge: i8, parallel: u32) -> Arc<CableType> {
    let mut kind = cable(&format!("{gauge}-awg"));
    (kind.conductor, kind.parallel) = (Some(Conductor::Awg(gauge)), parallel);
    Arc::new(kind)
}

/// Hangs a tree on an output; gives its nodes.
fn tree(
    w: &mut Wiring,
    random: &mut Seeded,
    gauges: &[Arc<CableType>],
    output: NodeRef,
    models: &[LoadModel],
) -> Vec<NodeRef> {
    let mut nodes = vec![output];
    let mut last_run = None;
    for _ in 0..1 + random.below(8) {
        let node = node(w, random, models);
        let length_m = 1.0 + 7.0 * random.unit();
        let added_ohms = if random.unit() < 0.2 { 0.01 * random.unit() } else { 0.0 };
        // Now and then the run of the last node goes on.
        match last_run {
            Some(run) if random.unit() < 0.4 => {
                let from = nodes[nodes.len() - 1];
                let segment = Segment { from, to: node, path: Vec::new(), length_m, added_ohms };
                let run: usize = run;
                w.layout.runs[run].segments.push(segment);
            }
            _ => {
                let from = nodes[random.below(nodes.len())];
                let run = w.run(gauges[random.below(gauges.len())].clone(), from, node, length_m);
                w.layout.runs[run].segments[0].added_ohms = added_ohms;
                last_run = Some(run);
            }
        }
        nodes.push(node);
    }
    nodes.split_off(1)
}

/// A luminaire, or a junction one time in five, with a splice of half a milliohm or one that is not stated.
fn node(w: &mut Wiring, random: &mut Seeded, models: &[LoadModel]) -> NodeRef {
    let splice = (random.unit() < 0.5).then(|| {
        let ohms = 0.0005 * random.unit();
        Arc::new(SpliceType {
            name: Id("splice".to_owned()),
            location: None,
            direct_burial: None,
            resistance: Some(Resistance::from_si(ohms)),
            house: Default::default(),
        })
    });
    if random.unit() < 0.2 {
        let node = w.junction();
        if let Some(junction) = w.layout.junctions.last_mut() {
            junction.splice = splice;
        }
        return node;
    }
    let watts = 1.0 + 2.0 * random.unit();
    let node = w.luminaire(models[random.below(models.len())], watts, 11.0 + 2.0 * random.unit());
    if random.unit() < 0.5 {
        w.apparent(node, watts * (1.0 + 0.3 * random.unit()));
    }
    if let Some(luminaire) = w.layout.luminaires.last_mut() {
        luminaire.splice = splice;
    }
    node
}
