//! Currents of all branches of the solved groups.
//!
//! On a branch that no loop passes, the current is the sum of what hangs behind it, exact whatever
//! the resistance. So the branches are split into a tree, taken by rising resistance, and the rest:
//! the rest get their current from the voltages at their ends, the tree from Kirchhoff's current
//! law. In every loop the difference of two nearly equal voltages is then taken across the largest
//! resistance. Zero ohms come first, so that they never stand in a denominator.

use super::build::{Branch, GROUND, Graph, Sets};
use super::potential::Potentials;

/// Solved voltages and draws, by node of the graph.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Solved {
    /// Drop below the node's top volts, V.
    pub(super) drops: Vec<f64>,
    /// Current drawn there by luminaires, A.
    pub(super) drawn_amps: Vec<f64>,
    /// Branches of the groups that have an answer.
    pub(super) branches: Vec<usize>,
}

/// Current of each branch from `from` to `to`, A. `None` outside the solved groups and in a loop of
/// zero ohms, where it is undetermined.
pub(super) fn currents(graph: &Graph, potentials: &Potentials, solved: &Solved) -> Vec<Option<f64>> {
    let mut by_ohms = solved.branches.clone();
    by_ohms.sort_by(|a, b| graph.branches[*a].ohms.total_cmp(&graph.branches[*b].ohms));
    let mut sets = Sets::new(graph.nodes);
    let (tree, rest): (Vec<usize>, Vec<usize>) =
        by_ohms.into_iter().partition(|&b| sets.join(graph.branches[b].from, graph.branches[b].to));

    let mut amps = vec![None; graph.branches.len()];
    let mut needed = solved.drawn_amps.clone();
    let mut zero_loops = Vec::new();
    for index in rest {
        let branch = &graph.branches[index];
        if branch.ohms == 0.0 {
            zero_loops.push(index);
            continue;
        }
        let flow =
            (driving_volts(branch, potentials) + solved.drops[branch.to] - solved.drops[branch.from]) / branch.ohms;
        amps[index] = Some(flow);
        needed[branch.from] += flow;
        needed[branch.to] -= flow;
    }

    let tree = Tree::new(graph, &tree);
    for &node in tree.from_ground.iter().skip(1).rev() {
        let (Some(index), parent) = (tree.branch[node], tree.parent[node]) else { continue };
        let forwards = graph.branches[index].to == node;
        amps[index] = Some(if forwards { needed[node] } else { -needed[node] });
        needed[parent] += needed[node];
    }
    tree.clear_loops(graph, &zero_loops, &mut amps);
    amps
}

/// What would drive a current through the branch if no node had a drop, V.
pub(super) fn driving_volts(branch: &Branch, potentials: &Potentials) -> f64 {
    potentials.top_volts[branch.from] + branch.emf_volts - potentials.top_volts[branch.to]
}

/// The tree that hangs on ground.
struct Tree {
    /// Nodes it reaches, each after its parent.
    from_ground: Vec<usize>,
    parent: Vec<usize>,
    /// Branch to the parent.
    branch: Vec<Option<usize>>,
    depth: Vec<usize>,
}

/// The branches at each node.
struct Beside {
    /// Where those of each node start; one more than nodes.
    starts: Vec<usize>,
    branches: Vec<usize>,
}

impl Beside {
    fn new(graph: &Graph, branches: &[usize]) -> Self {
        let ends = |index: usize| [graph.branches[index].from, graph.branches[index].to];
        let mut starts = vec![0; graph.nodes + 1];
        for node in branches.iter().flat_map(|&index| ends(index)) {
            starts[node + 1] += 1;
        }
        for node in 0..graph.nodes {
            starts[node + 1] += starts[node];
        }
        let mut filled = starts.clone();
        let mut beside = vec![0; starts[graph.nodes]];
        for &index in branches {
            for node in ends(index) {
                beside[filled[node]] = index;
                filled[node] += 1;
            }
        }
        Self { starts, branches: beside }
    }

    fn of(&self, node: usize) -> &[usize] {
        &self.branches[self.starts[node]..self.starts[node + 1]]
    }
}

impl Tree {
    fn new(graph: &Graph, tree: &[usize]) -> Self {
        let beside = Beside::new(graph, tree);
        let mut this = Self {
            from_ground: vec![GROUND],
            parent: vec![GROUND; graph.nodes],
            branch: vec![None; graph.nodes],
            depth: vec![0; graph.nodes],
        };
        let mut done = 0;
        while let Some(&node) = this.from_ground.get(done) {
            done += 1;
            let to_parent = this.branch[node];
            for &index in beside.of(node).iter().filter(|index| to_parent != Some(**index)) {
                let branch = &graph.branches[index];
                let child = if branch.from == node { branch.to } else { branch.from };
                this.parent[child] = node;
                this.branch[child] = Some(index);
                this.depth[child] = this.depth[node] + 1;
                this.from_ground.push(child);
            }
        }
        this
    }

    /// Leaves no current where a branch of zero ohms closes a loop of zero ohms: there it is undetermined.
    /// The tree holds as many branches of zero ohms as it can, so the way back runs along such branches alone.
    fn clear_loops(&self, graph: &Graph, zero_loops: &[usize], amps: &mut [Option<f64>]) {
        // What is cleared is joined, so that no stretch is walked twice.
        let mut top: Vec<usize> = (0..graph.nodes).collect();
        let find = |top: &mut Vec<usize>, mut node: usize| {
            while top[node] != node {
                top[node] = top[top[node]];
                node = top[node];
            }
            node
        };
        for &index in zero_loops {
            let (mut a, mut b) = (graph.branches[index].from, graph.branches[index].to);
            (a, b) = (find(&mut top, a), find(&mut top, b));
            while a != b {
                if self.depth[a] < self.depth[b] {
                    (a, b) = (b, a);
                }
                if let Some(on_way) = self.branch[a] {
                    amps[on_way] = None;
                }
                top[a] = self.parent[a];
                a = find(&mut top, a);
            }
        }
    }
}
