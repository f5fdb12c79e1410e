//! Circuits made from a seed, in a form that both the solver and its references read: shapes that
//! plans have, loads of every kind, scaled so that the worst drop is a stated share.

use crate::seeded::Seeded;
use crate::wiring::Wiring;
use lintern_core::layout::NodeRef;
use lintern_core::plan::model::{LoadModel, OutputCurrent};

/// A point of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Point {
    /// A source by its index.
    Source(usize),
    /// A node by its index.
    Node(usize),
}

/// A load: how its current follows the voltage, and what it takes at its nominal voltage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// How the current follows the voltage.
    pub model: LoadModel,
    /// Power at nominal voltage, W.
    pub watts: f64,
    /// Nominal voltage, V.
    pub nominal_volts: f64,
}

/// The shapes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    /// One node after the other.
    Chain,
    /// Every node on the source.
    Star,
    /// Every node on an earlier one.
    Tree,
    /// A chain that comes back to the source.
    Ring,
    /// A tree with as many cross links as half its nodes, and a second source.
    Mesh,
}

/// Every shape.
pub const SHAPES: [Shape; 5] = [Shape::Chain, Shape::Star, Shape::Tree, Shape::Ring, Shape::Mesh];

/// Sources, nodes with or without a load, and links between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Circuit {
    /// EMF, V, and resistance, ohm, of each source.
    pub sources: Vec<(f64, f64)>,
    /// Load of each node.
    pub nodes: Vec<Option<Load>>,
    /// Links with their resistance, ohm.
    pub links: Vec<(Point, Point, f64)>,
}

impl Circuit {
    /// A circuit of this shape with this many nodes whose worst drop, if every load drew the current of
    /// its nominal voltage, is `drop_share` of the EMF.
    pub fn seeded(shape: Shape, nodes: usize, seed: u64, drop_share: f64) -> Self {
        let mut random = Seeded::new(seed);
        let mut this = Self { sources: vec![(12.0, 0.0)], nodes: Vec::new(), links: Vec::new() };
        if seed % 2 == 1 {
            this.sources[0].1 = 0.05 * random.unit();
        }
        for node in 0..nodes {
            let model = [LoadModel::ConstantPower, LoadModel::ConstantCurrent, LoadModel::Resistive][random.below(3)];
            let load = Load { model, watts: 1.0 + 9.0 * random.unit(), nominal_volts: 12.0 };
            this.nodes.push((random.unit() < 0.8 || nodes == 1).then_some(load));
            let from = match shape {
                Shape::Chain | Shape::Ring if node > 0 => Point::Node(node - 1),
                Shape::Tree | Shape::Mesh if node > 0 => Point::Node(random.below(node)),
                _ => Point::Source(0),
            };
            this.links.push((from, Point::Node(node), 0.005 + 0.2 * random.unit()));
        }
        match shape {
            Shape::Ring => this.links.push((Point::Node(nodes - 1), Point::Source(0), 0.1)),
            Shape::Mesh => {
                for _ in 0..nodes / 2 {
                    let (a, b) = (random.below(nodes), random.below(nodes));
                    if a != b {
                        this.links.push((Point::Node(a), Point::Node(b), 0.005 + 0.2 * random.unit()));
                    }
                }
                this.sources.push((12.5, 0.02));
                this.links.push((Point::Source(1), Point::Node(nodes - 1), 0.1));
            }
            Shape::Chain | Shape::Star | Shape::Tree => {}
        }
        this.scale_loads(drop_share);
        this
    }

    fn scale_loads(&mut self, drop_share: f64) {
        let dense = crate::dense::Dense::new(self);
        let drawn: Vec<f64> = self.nodes.iter().map(|l| l.map_or(0.0, |l| l.watts / l.nominal_volts)).collect();
        let (idle, loaded) = (dense.volts(&vec![0.0; drawn.len()]), dense.volts(&drawn));
        let drop = idle.iter().zip(&loaded).map(|(i, l)| i - l).fold(0.0, f64::max);
        for load in self.nodes.iter_mut().flatten() {
            load.watts *= drop_share * self.sources[0].0 / drop;
        }
    }

    /// The circuit as a layout, and the reference of each node.
    pub fn wiring(&self) -> (Wiring, Vec<NodeRef>) {
        let mut w = Wiring::new();
        for &(volts, ohms) in &self.sources {
            w.supply(OutputCurrent::Dc, &[(volts, Some(ohms))], None);
        }
        let nodes: Vec<NodeRef> = self
            .nodes
            .iter()
            .map(|load| match load {
                Some(load) => w.luminaire(load.model, load.watts, load.nominal_volts),
                None => w.junction(),
            })
            .collect();
        let point = |p: Point| match p {
            Point::Source(supply) => NodeRef::Output { supply, output: 0 },
            Point::Node(node) => nodes[node],
        };
        for &(a, b, ohms) in &self.links {
            w.join(point(a), point(b), ohms);
        }
        (w, nodes)
    }

    /// The circuit as input for ngspice, which prints the voltage of each node.
    pub fn netlist(&self) -> String {
        use std::fmt::Write;
        let mut text = String::from(
            "* circuit\n.options reltol=1e-12 abstol=1e-15 vntol=1e-13 gmin=1e-20 numdgt=15 itl1=2000 itl2=2000\n",
        );
        let name = |p: Point| match p {
            Point::Source(i) => format!("s{i}"),
            Point::Node(i) => format!("n{i}"),
        };
        for (i, (volts, ohms)) in self.sources.iter().enumerate() {
            if *ohms == 0.0 {
                let _ = writeln!(text, "V{i} s{i} 0 {volts:e}");
            } else {
                let _ = writeln!(text, "V{i} e{i} 0 {volts:e}\nRs{i} e{i} s{i} {ohms:e}");
            }
        }
        for (i, (a, b, ohms)) in self.links.iter().enumerate() {
            let _ = writeln!(text, "R{i} {} {} {ohms:e}", name(*a), name(*b));
        }
        for (i, load) in self.nodes.iter().enumerate() {
            let Some(load) = load else { continue };
            let (watts, nominal) = (load.watts, load.nominal_volts);
            let _ = match load.model {
                LoadModel::ConstantPower => writeln!(text, "B{i} n{i} 0 I={watts:e}/V(n{i})"),
                LoadModel::ConstantCurrent => writeln!(text, "I{i} n{i} 0 {:e}", watts / nominal),
                LoadModel::Resistive => writeln!(text, "RL{i} n{i} 0 {:e}", nominal * nominal / watts),
            };
        }
        for i in 0..self.nodes.len() {
            let _ = writeln!(text, ".nodeset v(n{i})={}", self.sources[0].0);
        }
        text.push_str(".control\nset numdgt=15\nop\n");
        for i in 0..self.nodes.len() {
            let _ = writeln!(text, "print v(n{i})");
        }
        text.push_str("quit\n.endc\n.end\n");
        text
    }
}
