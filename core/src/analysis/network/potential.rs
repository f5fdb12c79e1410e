//! Joins nodes that no resistance separates, and sets the datum that each drop is counted from.
//!
//! Joined nodes have one unknown between them: their voltages differ by the EMFs on the way, if any.
//! The voltage of a node is its `top_volts` less the drop of the unknown that it hangs on.

use super::super::Unsolved;
use super::build::{GROUND, Graph};

/// Where each node of the graph stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Potentials {
    /// The node that stands for all nodes joined with this one; [`GROUND`] where sources without
    /// resistance hold the voltage.
    pub(super) root: Vec<usize>,
    /// Voltage where the drop is zero, V.
    pub(super) top_volts: Vec<f64>,
}

impl Potentials {
    /// Joins what branches of zero ohms connect. Parts where EMFs contradict each other get a fault.
    pub(super) fn new(graph: &mut Graph) -> Self {
        let mut joined = Joined { parent: (0..graph.nodes).collect(), above: vec![0.0; graph.nodes] };
        let mut shorted = Vec::new();
        for branch in graph.branches.iter().filter(|branch| branch.ohms == 0.0) {
            if !joined.join(branch.from, branch.to, branch.emf_volts) {
                shorted.push(graph.part_of[branch.to]);
            }
        }
        for part in shorted {
            let part = &mut graph.parts[part];
            part.fault = part.fault.or(Some(Unsolved::SourcesShorted));
        }
        let (root, above): (Vec<_>, Vec<_>) = (0..graph.nodes).map(|node| joined.find(node)).unzip();
        // Drops are counted from the highest EMF of the part, or from zero inside a supply.
        let mut datum = vec![f64::NEG_INFINITY; graph.nodes];
        datum[root[GROUND]] = -above[GROUND];
        for node in 0..graph.nodes {
            let inside_supply = graph.part_of[node] == usize::MAX;
            if inside_supply && root[node] != root[GROUND] {
                datum[root[node]] = datum[root[node]].max(-above[node]);
            }
        }
        for node in 0..graph.nodes {
            if datum[root[node]] == f64::NEG_INFINITY {
                datum[root[node]] = graph.parts[graph.part_of[node]].feed_volts - above[node];
            }
        }
        let top_volts = (0..graph.nodes).map(|node| datum[root[node]] + above[node]).collect();
        Self { root, top_volts }
    }
}

/// Disjoint sets whose members know their voltage above the one that stands for them.
struct Joined {
    parent: Vec<usize>,
    above: Vec<f64>,
}

impl Joined {
    /// The node that stands for the set, and the voltage of `node` above it.
    fn find(&mut self, node: usize) -> (usize, f64) {
        let mut path = Vec::new();
        let mut top = node;
        while self.parent[top] != top {
            path.push(top);
            top = self.parent[top];
        }
        let mut above = 0.0;
        for &on_path in path.iter().rev() {
            above += self.above[on_path];
            self.above[on_path] = above;
            self.parent[on_path] = top;
        }
        (top, above)
    }

    /// Puts `to` at `emf_volts` above `from`; false when they already differ by something else.
    fn join(&mut self, from: usize, to: usize, emf_volts: f64) -> bool {
        let ((from_top, from_above), (to_top, to_above)) = (self.find(from), self.find(to));
        let to_over_from = from_above + emf_volts - to_above;
        if from_top == to_top {
            return to_over_from.abs() <= 1e-12 * (from_above.abs() + emf_volts.abs() + to_above.abs());
        }
        // GROUND is the lowest node and stays on top, so what it holds is known exactly.
        if from_top < to_top {
            self.parent[to_top] = from_top;
            self.above[to_top] = to_over_from;
        } else {
            self.parent[from_top] = to_top;
            self.above[from_top] = -to_over_from;
        }
        true
    }
}
