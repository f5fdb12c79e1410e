//! The same network with other numbers, solved again: what-if, margins, fault-finding.
//!
//! What a tweak does not touch is not solved again: the groups of parts stand for themselves, so only those with a
//! changed number are. Inside such a group the order of elimination and the pattern of the factors are those of the
//! first solve, as long as the same branches have a resistance.

use super::build::{GROUND, Graph, Origin, loop_ohms};
use super::matrix::Conductances;
use super::potential::Potentials;
use super::{Network, Solution};
use crate::analysis::{Case, Unsolved};
use crate::layout::{Layout, NodeRef};
use std::sync::Arc;

/// Another number in a network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tweak {
    /// Another resistance of a segment's loop, both poles with their splices, ohm.
    Ohms {
        /// Index into the runs of the layout.
        run: usize,
        /// Index into the segments of the run.
        segment: usize,
        /// The resistance, ohm.
        ohms: f64,
    },
    /// Another length of a segment, of the same cable with the same splices, m.
    Length {
        /// Index into the runs of the layout.
        run: usize,
        /// Index into the segments of the run.
        segment: usize,
        /// The length, m.
        length_m: f64,
    },
    /// Another voltage of an output without load, V.
    Volts {
        /// Index into the supplies of the layout.
        supply: usize,
        /// Index into the outputs of its type.
        output: usize,
        /// The voltage, V.
        volts: f64,
    },
    /// A luminaire that asks for this share of the power of its type: 0 draws nothing. The sums of the nameplates
    /// stay those of the types.
    Load {
        /// Index into the luminaires of the layout.
        luminaire: usize,
        /// The share.
        factor: f64,
    },
}

/// A solved network that can be solved again with tweaks.
pub struct Bench<'a> {
    layout: &'a Layout,
    case: Case,
    /// As built from the layout, before sources are joined.
    wired: Graph,
    /// With every group solved.
    network: Network<'a>,
    /// The networks of the groups, for their order.
    orders: Vec<Option<Conductances>>,
    /// Group of each part; `None` for a part without an output.
    group_of_part: Vec<Option<usize>>,
    base: Solution,
}

impl<'a> Bench<'a> {
    /// Solves the layout as it is.
    pub fn new(layout: &'a Layout, case: Case) -> Self {
        let wired = Graph::new(layout, case);
        let mut network = Network::new(layout, wired.clone());
        let orders = (0..wired.groups.len()).map(|group| network.solve_group(group, None)).collect();
        let mut group_of_part = vec![None; wired.parts.len()];
        for (index, group) in wired.groups.iter().enumerate() {
            for &part in &group.parts {
                group_of_part[part] = Some(index);
            }
        }
        let base = network.clone().finish(case, network.assumptions().into_iter().collect());
        Self { layout, case, wired, network, orders, group_of_part, base }
    }

    /// The layout.
    pub fn layout(&self) -> &'a Layout {
        self.layout
    }

    /// The network as the layout has it.
    pub fn base(&self) -> &Solution {
        &self.base
    }

    /// Resistance of the loop of a segment at another length, ohm.
    pub fn ohms_at_length(&self, run: usize, segment: usize, length_m: f64) -> f64 {
        let segment = &self.layout.runs[run].segments[segment];
        let longer = crate::layout::Segment { length_m, path: Vec::new(), ..segment.clone() };
        loop_ohms(self.layout, &longer, self.wired.pole_ohms_per_m[run])
    }

    /// The network with other numbers; of two tweaks of one number the later counts. A resistance, voltage or share
    /// that is no number from 0 up leaves its part without an answer.
    ///
    /// # Panics
    /// When a tweak names something that the layout does not have.
    pub fn solve(&self, tweaks: &[Tweak]) -> Solution {
        let mut graph = self.wired.clone();
        let mut load_factors = self.network.load_factors.clone();
        let mut touched = vec![false; graph.groups.len()];
        for &tweak in tweaks {
            let (part, sound) = match tweak {
                Tweak::Ohms { run, segment, ohms } => set_ohms(&mut graph, run, segment, ohms),
                Tweak::Length { run, segment, length_m } => {
                    let ohms = if length_m >= 0.0 { self.ohms_at_length(run, segment, length_m) } else { f64::NAN };
                    set_ohms(&mut graph, run, segment, ohms)
                }
                Tweak::Volts { supply, output, volts } => set_volts(&mut graph, supply, output, volts),
                Tweak::Load { luminaire, factor } => {
                    load_factors[luminaire] = factor;
                    (graph.part_of[graph.node(NodeRef::Luminaire(luminaire))], factor >= 0.0 && factor.is_finite())
                }
            };
            if !sound {
                graph.parts[part].fault = graph.parts[part].fault.or(Some(Unsolved::UnknownResistance));
            }
            if let Some(group) = self.group_of_part[part] {
                touched[group] = true;
            }
        }
        let base = &self.network;
        let mut network = Network {
            layout: self.layout,
            potentials: Potentials::new(&mut graph),
            // The unknowns of groups that stand as they are have been read already.
            unknown: vec![None; graph.nodes],
            graph,
            solved: base.solved.clone(),
            no_load_drops: base.no_load_drops.clone(),
            answered: base.answered.clone(),
            luminaires: base.luminaires.clone(),
            unsolved: base.unsolved.clone(),
            load_factors,
        };
        self.solve_touched(&mut network, &touched);
        network.finish(self.case, Arc::clone(&self.base.assumptions))
    }

    fn solve_touched(&self, network: &mut Network, touched: &[bool]) {
        network.solved.branches.retain(|&branch| !is_in(&network.graph, &self.group_of_part, branch, touched));
        for (group, _) in touched.iter().enumerate().filter(|(_, touched)| **touched) {
            network.unsolved[group].clear();
            network.forget(group);
            let same = self.same_pattern(network, group);
            let order = self.orders[group].clone().filter(|_| same);
            network.solve_group(group, order);
        }
    }

    /// Whether the branches of a group that have a resistance are those of the first solve.
    fn same_pattern(&self, network: &Network, group: usize) -> bool {
        let nodes = |branch: usize| [self.wired.branches[branch].from, self.wired.branches[branch].to];
        self.wired.groups[group]
            .branches
            .iter()
            .flat_map(|&branch| nodes(branch))
            .all(|node| network.potentials.root[node] == self.network.potentials.root[node])
    }
}

/// Sets the resistance of a segment; gives its part and whether the resistance makes sense.
fn set_ohms(graph: &mut Graph, run: usize, segment: usize, ohms: f64) -> (usize, bool) {
    // Segments come first among the branches, in the order of the runs.
    let index = graph.segment_ohms[..run].iter().map(Vec::len).sum::<usize>() + segment;
    graph.branches[index].ohms = ohms;
    graph.segment_ohms[run][segment] = ohms;
    (graph.part_of[graph.branches[index].from], ohms >= 0.0 && ohms.is_finite())
}

/// Sets the voltage of an output; gives its part and whether the voltage makes sense.
fn set_volts(graph: &mut Graph, supply: usize, output: usize, volts: f64) -> (usize, bool) {
    let part = graph.part_of[graph.node(NodeRef::Output { supply, output })];
    let mut feed_volts = f64::NEG_INFINITY;
    for branch in &mut graph.branches {
        if let Origin::Source { supply: s, output: o } = branch.origin
            && graph.part_of[branch.to] == part
        {
            if (s, o) == (supply, output) {
                branch.emf_volts = volts;
            }
            feed_volts = feed_volts.max(branch.emf_volts);
        }
    }
    graph.parts[part].feed_volts = feed_volts;
    (part, volts >= 0.0 && volts.is_finite())
}

/// Whether a branch belongs to one of the touched groups.
fn is_in(graph: &Graph, group_of_part: &[Option<usize>], branch: usize, touched: &[bool]) -> bool {
    let branch = &graph.branches[branch];
    let node = match branch.origin {
        Origin::Common { supply } => graph.node(NodeRef::Output { supply, output: 0 }),
        Origin::Segment { .. } | Origin::Source { .. } => branch.to,
    };
    debug_assert_ne!(node, GROUND, "no part holds the ground");
    group_of_part[graph.part_of[node]].is_some_and(|group| touched[group])
}
