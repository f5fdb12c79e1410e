//! The electrical network: voltages, currents and loadings of a whole plan.
//!
//! [`solve`] goes one way: [`build`] makes a graph of the layout, [`potential`] joins what no
//! resistance separates, [`cutout`] raises the loads of each group with [`newton`] on a [`matrix`],
//! [`currents`] applies Kirchhoff's current law, and [`supplies`] adds up what each supply gives.
//!
//! The model: two conductors, each segment a resistance, each output an EMF behind a resistance,
//! each luminaire a load at its node. Phase and reactance are neglected.

mod bench;
mod build;
mod currents;
mod cutout;
mod matrix;
mod newton;
mod potential;
mod supplies;

pub use bench::{Bench, Tweak};

use super::{Case, LuminaireState, NodeState, SegmentState, Solution, Unsolved, UnsolvedPart};
use crate::layout::{Layout, LuminaireType, NodeRef};
use crate::plan::model::LoadModel;
use build::{Graph, Group, Origin};
use currents::Solved;
use cutout::EndState;
use matrix::Conductances;
use newton::{Draw, Load, System};
use potential::Potentials;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The electrical state of the layout in one case.
pub fn solve(layout: &Layout, case: Case) -> Solution {
    let mut network = Network::new(layout, Graph::new(layout, case));
    for group in 0..network.graph.groups.len() {
        network.solve_group(group, None);
    }
    let assumptions = network.assumptions().into_iter().collect();
    network.finish(case, assumptions)
}

/// The network while its groups are being solved.
#[derive(Clone)]
struct Network<'a> {
    layout: &'a Layout,
    graph: Graph,
    potentials: Potentials,
    /// Number of each node's unknown inside its group; `None` where a source holds the voltage.
    unknown: Vec<Option<usize>>,
    solved: Solved,
    /// Drops with every luminaire off, by node, V.
    no_load_drops: Vec<f64>,
    /// Whether each part has an answer.
    answered: Vec<bool>,
    luminaires: Vec<LuminaireState>,
    /// Why a group has no answer, by group.
    unsolved: Vec<Vec<UnsolvedPart>>,
    /// Share of what its type asks for that each luminaire draws: 1 but for a what-if.
    load_factors: Vec<f64>,
}

impl<'a> Network<'a> {
    fn new(layout: &'a Layout, mut graph: Graph) -> Self {
        let potentials = Potentials::new(&mut graph);
        let nodes = graph.nodes;
        Self {
            layout,
            unknown: vec![None; nodes],
            solved: Solved { drops: vec![0.0; nodes], drawn_amps: vec![0.0; nodes], branches: Vec::new() },
            no_load_drops: vec![0.0; nodes],
            answered: vec![false; graph.parts.len()],
            luminaires: vec![LuminaireState::default(); layout.luminaires.len()],
            unsolved: vec![Vec::new(); graph.groups.len()],
            load_factors: vec![1.0; layout.luminaires.len()],
            graph,
            potentials,
        }
    }

    /// Solves one group, or notes why it has no answer. `order` is its network from a solve before, if the same
    /// branches have a resistance now. Gives its network for the next one.
    fn solve_group(&mut self, index: usize, order: Option<Conductances>) -> Option<Conductances> {
        let groups = Arc::clone(&self.graph.groups);
        let group = &groups[index];
        if group.parts.iter().any(|part| self.graph.parts[*part].fault.is_some()) {
            for &part in &group.parts {
                let part = &self.graph.parts[part];
                self.unsolved[index].push(UnsolvedPart {
                    reason: part.fault.unwrap_or(Unsolved::SharesUnsolvedSupply),
                    outputs: part.outputs.to_vec(),
                    nodes: part.nodes.to_vec(),
                });
            }
            return None;
        }
        let mut system = self.system(group, order);
        match cutout::raise(&mut system, cutout::MOST_WORK) {
            Ok(end) => self.take(group, &system.loads, &end),
            Err(reason) => {
                let parts = || group.parts.iter().map(|part| &self.graph.parts[*part]);
                let mut outputs: Vec<NodeRef> = parts().flat_map(|part| part.outputs.iter().copied()).collect();
                let mut nodes: Vec<NodeRef> = parts().flat_map(|part| part.nodes.iter().copied()).collect();
                outputs.sort_unstable();
                nodes.sort_unstable();
                self.unsolved[index].push(UnsolvedPart { reason, outputs, nodes });
            }
        }
        Some(system.conductances)
    }

    /// The equations of a group.
    fn system(&mut self, group: &Group, order: Option<Conductances>) -> System {
        let held = self.potentials.root[build::GROUND];
        let mut unknowns = 0;
        for &index in &group.branches {
            let branch = &self.graph.branches[index];
            for root in [branch.from, branch.to].map(|node| self.potentials.root[node]) {
                if root != held && self.unknown[root].is_none() {
                    self.unknown[root] = Some(unknowns);
                    unknowns += 1;
                }
            }
        }
        let mut to_ground = vec![0.0; unknowns];
        let mut source_amps = vec![0.0; unknowns];
        let mut links = Vec::with_capacity(group.branches.len());
        for &index in &group.branches {
            let branch = &self.graph.branches[index];
            let (from, to) = (self.unknown_of(branch.from), self.unknown_of(branch.to));
            if branch.ohms == 0.0 || from == to {
                continue;
            }
            let siemens = branch.ohms.recip();
            let driven_amps = currents::driving_volts(branch, &self.potentials) * siemens;
            if let Some(from) = from {
                source_amps[from] += driven_amps;
            }
            if let Some(to) = to {
                source_amps[to] -= driven_amps;
            }
            match (from, to) {
                (Some(from), Some(to)) => links.push((from, to, siemens)),
                (Some(only), None) | (None, Some(only)) => to_ground[only] += siemens,
                (None, None) => {}
            }
        }
        let parts = || group.parts.iter().map(|part| &self.graph.parts[*part]);
        let conductances = match order {
            Some(mut order) => {
                order.refill(&links);
                order
            }
            None => Conductances::new(unknowns, &links),
        };
        System {
            conductances,
            to_ground,
            source_amps,
            loads: self.loads(group),
            scale_volts: parts().map(|part| part.feed_volts).fold(0.0, f64::max),
        }
    }

    /// The luminaires of a group that draw anything, in the order of their ids.
    fn loads(&self, group: &Group) -> Vec<Load> {
        let mut loads = Vec::new();
        for part in group.parts.iter().map(|part| &self.graph.parts[*part]) {
            for &node in &*part.nodes {
                let NodeRef::Luminaire(luminaire) = node else { continue };
                let kind = &self.layout.luminaires[luminaire].kind;
                let power = asked(kind, part.alternating == Some(true)) * self.load_factors[luminaire];
                let Some(draw) = draw(kind, power) else { continue };
                let node = self.graph.node(node);
                loads.push(Load {
                    luminaire,
                    unknown: self.unknown_of(node),
                    top_volts: self.potentials.top_volts[node],
                    draw,
                    cut_out_volts: kind.cut_out.map_or(0.0, |v| v.si()),
                });
            }
        }
        loads.sort_by_cached_key(|load| {
            let id = self.layout.luminaires[load.luminaire].id.0.as_str();
            (letters(id), id)
        });
        loads
    }

    fn unknown_of(&self, node: usize) -> Option<usize> {
        self.unknown[self.potentials.root[node]]
    }

    /// Takes over the end state of a group.
    fn take(&mut self, group: &Group, loads: &[Load], end: &EndState) {
        for &part in &group.parts {
            self.answered[part] = true;
        }
        for &index in &group.branches {
            let branch = &self.graph.branches[index];
            for node in [branch.from, branch.to] {
                if let Some(unknown) = self.unknown_of(node) {
                    self.solved.drops[node] = end.drops[unknown];
                    self.no_load_drops[node] = end.no_load_drops[unknown];
                }
            }
        }
        self.solved.branches.extend_from_slice(&group.branches);
        for part in &group.parts {
            for &node in &*self.graph.parts[*part].nodes {
                let NodeRef::Luminaire(luminaire) = node else { continue };
                let volts = self.volts(node, &self.solved.drops);
                let cut_out = self.layout.luminaires[luminaire].kind.cut_out.map_or(0.0, |v| v.si());
                // Holds for those that draw nothing; the others follow.
                self.luminaires[luminaire].amps = Some(0.0);
                self.luminaires[luminaire].lit = Some(volts >= cut_out);
            }
        }
        for (load, &lit) in loads.iter().zip(&end.lit) {
            let amps = if lit { load.draw.amps(load.volts(&end.drops)) } else { 0.0 };
            self.solved.drawn_amps[self.graph.node(NodeRef::Luminaire(load.luminaire))] = amps;
            self.luminaires[load.luminaire].amps = Some(amps);
            self.luminaires[load.luminaire].lit = Some(lit);
        }
    }

    /// Takes back what a solve before said of a group.
    fn forget(&mut self, group: usize) {
        for &part in &self.graph.groups[group].parts {
            self.answered[part] = false;
            for &node in &*self.graph.parts[part].nodes {
                self.solved.drawn_amps[self.graph.node(node)] = 0.0;
                if let NodeRef::Luminaire(luminaire) = node {
                    self.luminaires[luminaire] = LuminaireState::default();
                }
            }
        }
        for &branch in &self.graph.groups[group].branches {
            let branch = &self.graph.branches[branch];
            for node in [branch.from, branch.to].into_iter().filter(|node| *node != build::GROUND) {
                self.solved.drops[node] = 0.0;
                self.no_load_drops[node] = 0.0;
            }
        }
    }

    fn volts(&self, node: NodeRef, drops: &[f64]) -> f64 {
        let node = self.graph.node(node);
        self.potentials.top_volts[node] - drops[node]
    }

    /// State of a node; `reference_volts` is what its drop is a percentage of.
    fn node_state(&self, node: NodeRef, reference_volts: Option<f64>) -> NodeState {
        let part = self.graph.part(node);
        if part.outputs.is_empty() {
            return NodeState::default();
        }
        let mut state =
            NodeState { fed_by: part.outputs.clone(), feed_volts: Some(part.feed_volts), ..NodeState::default() };
        if self.answered[self.graph.part_of[self.graph.node(node)]] {
            let index = self.graph.node(node);
            // Nearly always the datum is the feed, and then this keeps every digit of the drop.
            let drop = (part.feed_volts - self.potentials.top_volts[index]) + self.solved.drops[index];
            let reference = reference_volts.unwrap_or(part.feed_volts);
            state.volts = Some(self.volts(node, &self.solved.drops));
            state.no_load_volts = Some(self.volts(node, &self.no_load_drops));
            state.drop_percent = (reference > 0.0).then(|| drop / reference * 100.0);
        }
        state
    }

    /// What is assumed of the network, whatever its numbers are.
    fn assumptions(&self) -> BTreeSet<String> {
        let mut assumptions = BTreeSet::clone(&self.graph.assumptions);
        for (index, luminaire) in self.layout.luminaires.iter().enumerate() {
            let on_ac = self.graph.part(NodeRef::Luminaire(index)).alternating == Some(true);
            assume_of_luminaire(&luminaire.kind, on_ac, &mut assumptions);
        }
        supplies::assumptions(self, &mut assumptions);
        assumptions
    }

    fn finish(mut self, case: Case, assumptions: Arc<[String]>) -> Solution {
        let amps = currents::currents(&self.graph, &self.potentials, &self.solved);
        for luminaire in 0..self.luminaires.len() {
            let node = NodeRef::Luminaire(luminaire);
            let kind = &self.layout.luminaires[luminaire].kind;
            let state = self.node_state(node, Some(kind.nominal.si()));
            let on_ac = self.graph.part(node).alternating == Some(true);
            self.luminaires[luminaire].node = state;
            self.luminaires[luminaire].power_factor_assumed = on_ac && lacks_power_factor(kind);
        }
        let junctions = (0..self.layout.junctions.len()).map(|j| self.node_state(NodeRef::Junction(j), None)).collect();
        let segments = self.segments(&amps);
        let supplies = supplies::supplies(&self, &amps, &segments);
        Solution {
            case,
            junctions,
            luminaires: self.luminaires,
            segments,
            supplies,
            unsolved: self.unsolved.into_iter().flatten().collect(),
            assumptions,
        }
    }

    fn segments(&self, amps: &[Option<f64>]) -> Vec<Vec<SegmentState>> {
        let mut segments: Vec<Vec<SegmentState>> = Vec::with_capacity(self.graph.segment_ohms.len());
        for run in &self.graph.segment_ohms {
            segments.push(run.iter().map(|&ohms| SegmentState { ohms, ..SegmentState::default() }).collect());
        }
        for (branch, &amps) in self.graph.branches.iter().zip(amps) {
            let Origin::Segment { run, segment } = branch.origin else { continue };
            let solved = self.answered[self.graph.part_of[branch.from]];
            let state = &mut segments[run][segment];
            state.amps = amps;
            // In a loop of zero ohms the current is not known and the heat is.
            state.loss_w = if solved && branch.ohms == 0.0 { Some(0.0) } else { amps.map(|a| a * a * branch.ohms) };
        }
        segments
    }
}

/// The first bytes of an id as a number of the same order, which decides most comparisons.
fn letters(id: &str) -> u64 {
    let mut first = [0; 8];
    for (byte, of_id) in first.iter_mut().zip(id.bytes()) {
        *byte = of_id;
    }
    u64::from_be_bytes(first)
}

/// Power that a type asks for, VA on AC and W on DC.
fn asked(kind: &LuminaireType, on_ac: bool) -> f64 {
    match kind.apparent_power {
        Some(apparent) if on_ac => apparent.si(),
        _ => kind.power.si(),
    }
}

/// What a luminaire of a type draws that asks for this power, VA on AC and W on DC; `None` when it draws nothing.
fn draw(kind: &LuminaireType, power: f64) -> Option<Draw> {
    let nominal = kind.nominal.si();
    (power > 0.0).then(|| match kind.load {
        LoadModel::ConstantPower => Draw::Power(power),
        LoadModel::ConstantCurrent => Draw::Current(power / nominal),
        LoadModel::Resistive => Draw::Conductance(power / (nominal * nominal)),
    })
}

/// Whether power factor 1.0 has to be assumed for a type on AC.
fn lacks_power_factor(kind: &LuminaireType) -> bool {
    kind.apparent_power.is_none() && kind.load != LoadModel::Resistive && kind.power.si() > 0.0
}

fn assume_of_luminaire(kind: &LuminaireType, on_ac: bool, assumptions: &mut BTreeSet<String>) {
    if !on_ac {
        return;
    }
    assumptions.insert("On AC, phase and reactance are neglected: volts and currents are added as numbers.".to_owned());
    if lacks_power_factor(kind) {
        assumptions.insert(format!(
            "Luminaire type {} is taken at power factor 1.0 on AC: neither `apparent-power` nor `power-factor` is stated.",
            kind.name
        ));
    }
}
