//! What each supply gives: volts and amps of its outputs, its load and its nameplate sum.

use super::super::{OutputState, SegmentState, SupplyState};
use super::build::{Origin, Part};
use super::{Network, asked, lacks_power_factor};
use crate::layout::{NodeRef, Output, Supply, SupplyType};
use crate::plan::model::OutputCurrent;
use crate::plan::scalar::Rating;
use std::collections::BTreeSet;

/// Least power factor taken where none is stated, to see whether a verdict depends on it.
const LOW_POWER_FACTOR: f64 = 0.9;

/// Sums over the luminaires and cables of a part.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    luminaires: usize,
    nameplate_va: f64,
    nameplate_va_at_0_9: f64,
    /// Real power of lit luminaires and heat of cables, W.
    real_w: f64,
}

/// State of each supply of the plan.
pub(super) fn supplies(network: &Network, amps: &[Option<f64>], segments: &[Vec<SegmentState>]) -> Vec<SupplyState> {
    let sums = sums(network, segments);
    let mut delivered: Vec<Vec<Option<f64>>> =
        network.layout.supplies.iter().map(|s| vec![None; s.kind.outputs.len()]).collect();
    for (branch, &amps) in network.graph.branches.iter().zip(amps) {
        if let Origin::Source { supply, output } = branch.origin {
            delivered[supply][output] = amps;
        }
    }
    let totals = Totals { network, sums: &sums, delivered: &delivered };
    let states = network.layout.supplies.iter().enumerate();
    states.map(|(index, supply)| totals.state(index, supply)).collect()
}

/// What is assumed of the supplies.
pub(super) fn assumptions(network: &Network, assumptions: &mut BTreeSet<String>) {
    for (index, supply) in network.layout.supplies.iter().enumerate() {
        let kind = &supply.kind;
        for (output, settings) in kind.outputs.iter().enumerate() {
            let reference = NodeRef::Output { supply: index, output };
            let feeds = network.graph.part(reference).nodes.iter().any(|node| matches!(node, NodeRef::Luminaire(_)));
            if is_ideal(kind, settings) && feeds {
                assumptions.insert(format!(
                    "Output {} is taken to have no source resistance: neither a resistance nor `regulated: true` is stated.",
                    network.layout.node_name(reference)
                ));
            }
        }
        if matches!(kind.rating, Some(Rating::Real(_))) && kind.output_current == OutputCurrent::Ac {
            assumptions.insert(format!(
                "The rating in W of supply type {} is taken as VA, as if at power factor 1.0.",
                kind.name
            ));
        }
    }
}

/// Whether an output is taken to have no source resistance for want of a statement.
fn is_ideal(kind: &SupplyType, output: &Output) -> bool {
    output.source_resistance.is_none() && kind.common_resistance.is_none() && kind.regulated != Some(true)
}

fn sums(network: &Network, segments: &[Vec<SegmentState>]) -> Vec<Sums> {
    let graph = &network.graph;
    let mut sums = vec![Sums::default(); graph.parts.len()];
    for (index, (luminaire, state)) in network.layout.luminaires.iter().zip(&network.luminaires).enumerate() {
        let node = graph.node(NodeRef::Luminaire(index));
        let part = graph.part_of[node];
        let on_ac = graph.parts[part].alternating == Some(true);
        let (power_w, nameplate_va) = (luminaire.kind.power.si(), asked(&luminaire.kind, on_ac));
        let sum = &mut sums[part];
        sum.luminaires += 1;
        sum.nameplate_va += nameplate_va;
        let unsure = on_ac && lacks_power_factor(&luminaire.kind);
        sum.nameplate_va_at_0_9 += if unsure { nameplate_va / LOW_POWER_FACTOR } else { nameplate_va };
        // Real power follows apparent power: the power factor does not change with the voltage.
        if let (Some(amps), Some(volts)) = (state.amps, state.node.volts)
            && nameplate_va > 0.0
        {
            sum.real_w += amps * volts * power_w / nameplate_va;
        }
    }
    for branch in &graph.branches {
        if let Origin::Segment { run, segment } = branch.origin {
            sums[graph.part_of[branch.from]].real_w += segments[run][segment].loss_w.unwrap_or(0.0);
        }
    }
    sums
}

struct Totals<'a> {
    network: &'a Network<'a>,
    sums: &'a [Sums],
    /// Current of each output, A, by supply.
    delivered: &'a [Vec<Option<f64>>],
}

impl Totals<'_> {
    fn state(&self, index: usize, supply: &Supply) -> SupplyState {
        let kind = &supply.kind;
        let on_ac = kind.output_current == OutputCurrent::Ac;
        let mut outputs = Vec::with_capacity(kind.outputs.len());
        let (mut load_w, mut load_va) = (Some(0.0), Some(0.0));
        let (mut nameplate_va, mut nameplate_va_at_0_9) = (Some(0.0), Some(0.0));
        for (output, settings) in kind.outputs.iter().enumerate() {
            let reference = NodeRef::Output { supply: index, output };
            let part_index = self.network.graph.part_of[self.network.graph.node(reference)];
            let sums = &self.sums[part_index];
            let ideal = is_ideal(kind, settings);
            let volts = self.volts(reference);
            let amps = self.delivered[index][output];
            let apparent = self.apparent_va(reference);
            load_va = add(load_va, apparent);
            load_w = add(load_w, if on_ac { self.real_w(reference, part_index) } else { apparent });
            let share = self.share(reference, part_index);
            nameplate_va = add(nameplate_va, times(share, sums.nameplate_va));
            nameplate_va_at_0_9 = add(nameplate_va_at_0_9, times(share, sums.nameplate_va_at_0_9));
            outputs.push(OutputState { volts, amps, source_assumed_ideal: ideal, luminaires: sums.luminaires });
        }
        // A rating in W counts as VA, as if at power factor 1.0.
        let rating = kind.rating.map(|rating| match rating {
            Rating::Apparent(va) => va.si(),
            Rating::Real(w) => w.si(),
        });
        let loading_percent = match (rating, load_va, nameplate_va) {
            (Some(rating), Some(load), Some(nameplate)) if rating > 0.0 => Some(load.max(nameplate) / rating * 100.0),
            _ => None,
        };
        SupplyState { load_w, load_va, nameplate_va, nameplate_va_at_0_9, loading_percent, outputs }
    }

    /// Outputs that feed the same part.
    fn neighbours(&self, part: usize) -> &Part {
        &self.network.graph.parts[part]
    }

    fn volts(&self, output: NodeRef) -> Option<f64> {
        let part = self.network.graph.part_of[self.network.graph.node(output)];
        self.network.answered[part].then(|| self.network.volts(output, &self.network.solved.drops))
    }

    fn amps(&self, output: NodeRef) -> Option<f64> {
        match output {
            NodeRef::Output { supply, output } => self.delivered[supply][output],
            NodeRef::Junction(_) | NodeRef::Luminaire(_) => None,
        }
    }

    /// Apparent power at the terminals, VA.
    fn apparent_va(&self, output: NodeRef) -> Option<f64> {
        Some(self.volts(output)? * self.amps(output)?)
    }

    /// Real power at the terminals, W: the part's, by the apparent power of each of its outputs.
    fn real_w(&self, output: NodeRef, part: usize) -> Option<f64> {
        let all: Option<f64> = self.neighbours(part).outputs.iter().map(|o| self.apparent_va(*o)).sum();
        let (own, all) = (self.apparent_va(output)?, all?);
        Some(if all == 0.0 { 0.0 } else { self.sums[part].real_w * own / all })
    }

    /// Share of a part's nameplates that is this output's: all, or by the current it delivers where
    /// several supplies feed the part. One that takes current in has no share.
    fn share(&self, output: NodeRef, part: usize) -> Option<f64> {
        let outputs = &self.neighbours(part).outputs;
        if outputs.len() == 1 || self.sums[part].nameplate_va == 0.0 {
            return Some(1.0);
        }
        // Outputs of one supply alone: all of it is that supply's, whichever output gives it.
        if let NodeRef::Output { supply, .. } = output
            && outputs.iter().all(|o| matches!(o, NodeRef::Output { supply: s, .. } if *s == supply))
        {
            return Some(1.0 / outputs.len() as f64);
        }
        let all: Option<f64> = outputs.iter().map(|o| self.amps(*o).map(|a| a.max(0.0))).sum();
        let (own, all) = (self.amps(output)?.max(0.0), all?);
        (all > 0.0).then(|| own / all)
    }
}

fn add(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a? + b?)
}

fn times(a: Option<f64>, b: f64) -> Option<f64> {
    Some(a? * b)
}
