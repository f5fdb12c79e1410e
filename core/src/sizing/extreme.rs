//! The luminaires at the ends of a range, with the arithmetic of their volts.

use super::limits::{above, below};
use super::measure::{Built, work};
use super::report::Extreme;
use crate::analysis::{LuminaireState, NodeState, OutputState};
use crate::finding::WorkLine;
use crate::layout::NodeRef;
use std::collections::BTreeMap;

impl Built<'_> {
    /// The luminaire with the largest key, the first of equals, and its value with the arithmetic of its volts.
    pub(super) fn extreme(
        &self,
        key: impl Fn(usize, &LuminaireState) -> Option<f64>,
        value: impl Fn(&NodeState) -> Option<f64>,
    ) -> Option<Extreme> {
        let keyed = self.solution.luminaires.iter().enumerate().filter_map(|(l, state)| Some((l, key(l, state)?)));
        let id = |l: usize| &self.layout.luminaires[l].id;
        let (l, _) = keyed.max_by(|(a, x), (b, y)| {
            let equal = !above(*x, *y) && !below(*x, *y);
            if equal { id(*b).cmp(id(*a)) } else { x.total_cmp(y) }
        })?;
        let state = &self.solution.luminaires[l].node;
        Some(Extreme { luminaire: id(l).0.clone(), value: value(state)?, work: self.way(l, state) })
    }

    /// The luminaire with the most volts without load.
    pub(super) fn no_load(&self) -> Option<Extreme> {
        let mut extreme = self.extreme(|_, state| state.node.no_load_volts, |node| node.no_load_volts)?;
        // Without current nothing is lost on the way.
        extreme.work.retain(|line| line.name.starts_with("volts of") && line.name.ends_with("without load"));
        extreme.work.push(work("volts at the luminaire without load", extreme.value, "V", "no current, no drop"));
        Some(extreme)
    }

    /// The arithmetic of a luminaire's volts: the output's volts, then amps times ohms of each segment on the way of the
    /// larger current.
    fn way(&self, luminaire: usize, state: &NodeState) -> Vec<WorkLine> {
        let mut into: BTreeMap<NodeRef, (f64, usize, usize)> = BTreeMap::new();
        for (r, (run, states)) in self.layout.runs.iter().zip(&self.solution.segments).enumerate() {
            for (s, (segment, state)) in run.segments.iter().zip(states).enumerate() {
                let Some(amps) = state.amps else { continue };
                let to = if amps > 0.0 { segment.to } else { segment.from };
                let known = into.get(&to).map_or(0.0, |known| known.0);
                if amps.abs() > known {
                    into.insert(to, (amps.abs(), r, s));
                }
            }
        }
        let mut lines = Vec::new();
        let mut here = NodeRef::Luminaire(luminaire);
        // The way of the current can't come round; rounding in a loop of next to no resistance could, and ends here.
        let most = self.layout.luminaires.len() + self.layout.junctions.len();
        while let Some(&(amps, r, s)) = into.get(&here).filter(|_| lines.len() <= most) {
            let (run, ohms) = (&self.layout.runs[r], self.solution.segments[r][s].ohms);
            let segment = &run.segments[s];
            let from = if segment.to == here { segment.from } else { segment.to };
            let (a, b) = (self.layout.node_name(from), self.layout.node_name(here));
            lines.push(work(
                format!("drop in {} from {a} to {b}", run.id),
                amps * ohms,
                "V",
                format!("{amps} A x {ohms} ohm"),
            ));
            here = from;
        }
        if let NodeRef::Output { supply, output } = here {
            let kind = &self.layout.supplies[supply].kind.outputs[output];
            let name = self.layout.node_name(here);
            if let Some(volts) = self.solution.supplies[supply].outputs[output].volts
                && volts != kind.volts.si()
            {
                let amps = |state: &OutputState| state.amps.unwrap_or(0.0);
                let outputs = &self.solution.supplies[supply].outputs;
                let (own, all) = (amps(&outputs[output]), outputs.iter().map(amps).sum::<f64>());
                let source = kind.source_resistance.map_or(0.0, |ohms| ohms.si());
                let common = self.layout.supplies[supply].kind.common_resistance.map_or(0.0, |ohms| ohms.si());
                let from =
                    format!("without load, less {own} A x {source} ohm and {all} A of all outputs x {common} ohm");
                lines.push(work(format!("volts of {name} under load"), volts, "V", from));
            }
            lines.push(work(format!("volts of {name} without load"), kind.volts.si(), "V", "its type"));
        }
        lines.reverse();
        lines.extend(state.volts.map(|volts| work("volts at the luminaire", volts, "V", "the output less the drops")));
        lines.push(work("nominal voltage", self.layout.luminaires[luminaire].kind.nominal.si(), "V", "plan"));
        lines
    }
}
