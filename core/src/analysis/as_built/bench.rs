//! The network with faults in it, solved again and again, and what would be read there.

use super::super::{Case, Solution, network};
use super::fault::{Fault, Undo, scale_volts};
use crate::layout::{Layout, Measured, NodeRef};

/// Solves that one plan may take, times the luminaires and segments in each. It allows a plan of 400 luminaires every
/// fault at every place several times over; larger plans are searched as far as it goes, and the rest is said.
const MOST_WORK: usize = 12_000_000;

/// A layout that faults are put into and taken out of.
pub(super) struct Bench {
    layout: Layout,
    /// Work of one solve.
    size: usize,
    work: usize,
}

/// Faults with the numbers that they leave open.
pub(super) type Put<'a> = &'a [(Fault, f64)];

impl Bench {
    /// Of a plan, with conductors at the temperature of the readings.
    pub(super) fn new(layout: &Layout) -> Self {
        let readings = layout.readings.as_ref();
        let mut analysis = layout.analysis;
        analysis.soil_temperature = readings.and_then(|r| r.conductor_temperature).or(analysis.soil_temperature);
        let mut runs = layout.runs.clone();
        for segment in runs.iter_mut().flat_map(|run| &mut run.segments) {
            segment.path.clear();
        }
        let size = layout.luminaires.len() + runs.iter().map(|run| run.segments.len()).sum::<usize>() + 10;
        let layout = Layout {
            analysis,
            supplies: layout.supplies.clone(),
            junctions: layout.junctions.clone(),
            luminaires: layout.luminaires.clone(),
            runs,
            ..Layout::default()
        };
        Self { layout, size, work: 0 }
    }

    /// The layout as planned.
    pub(super) fn layout(&self) -> &Layout {
        &self.layout
    }

    /// Resistance of one conductor of a run as planned, ohm/m; `None` where it is not known or the run has no length.
    pub(super) fn ohms_per_m(&mut self, run: usize) -> Option<f64> {
        let segment = self.layout.runs.get(run)?.segments.iter().position(|segment| segment.length_m > 0.0)?;
        let length_m = self.layout.runs[run].segments[segment].length_m;
        let parallel = f64::from(self.layout.runs[run].cable.parallel.max(1));
        let ohms = |bench: &mut Self, share: f64| {
            let solution = bench.solve(&[(Fault::Conductor { run }, share)], &[]);
            solution.segments.get(run)?.get(segment).map(|state| state.ohms)
        };
        // What doubling the length adds is that of both conductors along it, without splices.
        let added = ohms(self, 2.0)? - ohms(self, 1.0)?;
        Some(added / 2.0 / length_m * parallel).filter(|ohms| ohms.is_finite() && *ohms > 0.0)
    }

    /// Whether no more may be solved.
    pub(super) fn is_exhausted(&self) -> bool {
        self.work >= MOST_WORK
    }

    /// The network with faults in it, and with mains at shares of their nominal volts, by supply.
    pub(super) fn solve(&mut self, faults: Put<'_>, mains: &[(usize, f64)]) -> Solution {
        self.work = self.work.saturating_add(self.size);
        let mut undo: Vec<Undo> = Vec::new();
        for &(supply, share) in mains {
            scale_volts(&mut self.layout, supply, share, &mut undo);
        }
        for &(fault, value) in faults {
            fault.put(&mut self.layout, value, &mut undo);
        }
        let solution = network::solve(&self.layout, Case::Soil);
        while let Some(change) = undo.pop() {
            change.undo(&mut self.layout);
        }
        solution
    }
}

/// What a solution says would be read: V or A; `None` where the part has no answer, and for what is seen.
pub(super) fn predicted(layout: &Layout, solution: &Solution, measured: &Measured) -> Option<f64> {
    match *measured {
        Measured::Volts { node, .. } => volts(solution, node),
        Measured::OutputAmps { supply, output, .. } => {
            // A clamp shows no sign, so that what flows back into an output reads like what it gives.
            solution.supplies.get(supply)?.outputs.get(output)?.amps.map(f64::abs)
        }
        Measured::RunAmps { run, .. } => {
            let start = layout.runs.get(run)?.segments.first()?.from;
            match solution.segments.get(run)?.first()?.amps {
                Some(amps) => Some(amps.abs()),
                None if is_unfed(solution, start) => Some(0.0),
                None => None,
            }
        }
        Measured::InputVolts { .. } | Measured::Lit { .. } => None,
    }
}

/// Volts at a node; none where nothing feeds it means 0 V.
pub(super) fn volts(solution: &Solution, node: NodeRef) -> Option<f64> {
    match node {
        NodeRef::Output { supply, output } => solution.supplies.get(supply)?.outputs.get(output)?.volts,
        _ if is_unfed(solution, node) => Some(0.0),
        NodeRef::Junction(junction) => solution.junctions.get(junction)?.volts,
        NodeRef::Luminaire(luminaire) => solution.luminaires.get(luminaire)?.node.volts,
    }
}

fn is_unfed(solution: &Solution, node: NodeRef) -> bool {
    let state = match node {
        NodeRef::Output { .. } => return false,
        NodeRef::Junction(junction) => solution.junctions.get(junction),
        NodeRef::Luminaire(luminaire) => solution.luminaires.get(luminaire).map(|state| &state.node),
    };
    state.is_some_and(|state| state.fed_by.is_empty())
}

/// Whether a luminaire would be seen to be lit; `None` where its volts are so low that the plan does not say.
pub(super) fn lit(layout: &Layout, solution: &Solution, luminaire: usize) -> Option<bool> {
    /// Without a stated range a luminaire is sure to be lit only from this share of its nominal volts on. Common
    /// practice, no source.
    const SURE_SHARE: f64 = 0.75;
    let state = solution.luminaires.get(luminaire)?;
    if state.node.fed_by.is_empty() || state.lit == Some(false) {
        return Some(false);
    }
    let kind = &layout.luminaires.get(luminaire)?.kind;
    let sure_volts = kind.input_min.map_or(kind.nominal.si() * SURE_SHARE, |volts| volts.si());
    (state.node.volts? >= sure_volts).then_some(true)
}
