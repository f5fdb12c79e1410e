//! What several rules of this topic need: the listing citation, the feed of a node, and the arithmetic
//! of the voltage along the cable.

use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::LuminaireType;
use lintern_rule::{Basis, Citation, Code, FindingDraft, Input, NodeRef, facts::LuminaireState, facts::NodeState};
use std::cell::OnceCell;

/// Equipment is used as its listing and its instructions say.
pub const LISTING: &[Citation] = &[
    Citation::nec(Code::Nec2017, "110.3(B)", Confirmed),
    Citation::nec(Code::Nec2020, "110.3(B)", Confirmed),
    Citation::nec(Code::Nec2023, "110.3(B)", Confirmed),
    Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    Citation { code: Code::Bs7671, basis: Basis::code("BS 7671", "2018", "134.1.1"), confidence: Memory },
    Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-1", "2005", "134.1.1"), confidence: Memory },
];

/// The inputs for want of which a luminaire has no computed voltage.
pub fn missing_voltage(state: &NodeState) -> [&'static str; 1] {
    if state.fed_by.is_empty() {
        ["a feed: no run leads to it from a supply"]
    } else {
        ["an operating point of its circuit"]
    }
}

/// The outputs that feed a node, by name.
pub fn feed_names(input: &Input, state: &NodeState) -> String {
    state.fed_by.iter().map(|output| input.output_name(*output)).collect::<Vec<_>>().join(", ")
}

/// The window of voltage that common practice allows a luminaire without a stated range, by its
/// nominal voltage: 10.8 V to 12.6 V, 21.6 V to 26.4 V, else 90 % to 105 %. Common practice, no source.
pub fn practice_window_v(kind: &LuminaireType) -> (f64, f64) {
    match kind.nominal_v {
        12.0 => (10.8, 12.6),
        24.0 => (21.6, 26.4),
        nominal => (0.9 * nominal, 1.05 * nominal),
    }
}

/// The way of the current to each node, worked out once and only when a finding asks for it.
pub struct Cables<'a> {
    input: &'a Input,
    upstream: OnceCell<Upstream>,
}

/// The segment that brings the most current to each junction and each luminaire.
struct Upstream {
    junctions: Vec<Option<Step>>,
    luminaires: Vec<Option<Step>>,
}

/// One segment on the way to a node.
#[derive(Clone, Copy)]
struct Step {
    run: usize,
    segment: usize,
    /// The node at its other end, from which the current comes.
    from: NodeRef,
    amps: f64,
}

impl Upstream {
    fn new(input: &Input) -> Self {
        let mut upstream =
            Self { junctions: vec![None; input.junctions().len()], luminaires: vec![None; input.luminaires().len()] };
        for (run, (cable, states)) in input.runs().iter().zip(input.judged().segments()).enumerate() {
            for (segment, (ends, state)) in cable.segments.iter().zip(states).enumerate() {
                let Some(amps) = state.amps else { continue };
                let (from, to) = if amps > 0.0 { (ends.start, ends.end) } else { (ends.end, ends.start) };
                let step = Step { run, segment, from, amps: amps.abs() };
                let known = match to {
                    NodeRef::Output(_) => continue,
                    NodeRef::Junction(index) => &mut upstream.junctions[index as usize],
                    NodeRef::Luminaire(index) => &mut upstream.luminaires[index as usize],
                };
                if step.amps > known.map_or(0.0, |known| known.amps) {
                    *known = Some(step);
                }
            }
        }
        upstream
    }

    fn of(&self, node: NodeRef) -> Option<Step> {
        match node {
            NodeRef::Output(_) => None,
            NodeRef::Junction(index) => self.junctions[index as usize],
            NodeRef::Luminaire(index) => self.luminaires[index as usize],
        }
    }
}

impl<'a> Cables<'a> {
    /// The cables of the plan.
    pub fn new(input: &'a Input) -> Self {
        Self { input, upstream: OnceCell::new() }
    }

    /// The segments along which the current comes to a node, from the feeding output on, and where they start.
    fn path_to(&self, node: NodeRef) -> (NodeRef, Vec<(usize, usize)>) {
        let upstream = self.upstream.get_or_init(|| Upstream::new(self.input));
        // Voltages fall along the way of the current, so it can't come round; rounding in a loop of next to no
        // resistance could, and ends here.
        let most = upstream.junctions.len() + upstream.luminaires.len();
        let mut path = Vec::new();
        let mut here = node;
        while let Some(step) = upstream.of(here).filter(|_| path.len() <= most) {
            path.push((step.run, step.segment));
            here = step.from;
        }
        path.reverse();
        (here, path)
    }

    /// Adds the arithmetic of a luminaire's voltage: the output's volts, each segment's amps times ohms, the result.
    pub fn work<'d>(&self, mut draft: FindingDraft<'d>, luminaire: usize, state: &LuminaireState) -> FindingDraft<'d> {
        /// More lines than this hide the sum rather than show it.
        const MOST_LINES: usize = 30;
        let (source, path) = self.path_to(NodeRef::Luminaire(luminaire as u32));
        if let NodeRef::Output((supply, output)) = source {
            let facts = &self.input.judged().supplies()[supply as usize].outputs[output as usize];
            let kind = self.input.supply_type(&self.input.supplies()[supply as usize]);
            let name = self.input.output_name((supply, output));
            draft = draft.work(
                format!("volts of output {name} without load"),
                kind.outputs[output as usize].volts,
                "V",
                "plan",
            );
            if let (Some(volts), Some(amps)) = (facts.volts, facts.amps) {
                draft = draft.work(format!("current of output {name}"), amps, "A", "computed").work(
                    format!("volts of output {name} under load"),
                    volts,
                    "V",
                    "computed",
                );
            }
        }
        let first = path.len().saturating_sub(MOST_LINES);
        let drop = |&(r, s): &(usize, usize)| {
            let state = &self.input.judged().segments()[r][s];
            state.amps.map_or(0.0, |amps| amps.abs() * state.ohms)
        };
        if first > 0 {
            let drops: f64 = path[..first].iter().map(drop).sum();
            draft = draft.work(format!("drop in the first {first} segments"), drops, "V", "computed");
        }
        for step @ &(r, s) in &path[first..] {
            let run = &self.input.runs()[r];
            let segment = &run.segments[s];
            let state = &self.input.judged().segments()[r][s];
            let (from, to) = (self.input.node_name(segment.start), self.input.node_name(segment.end));
            let amps = state.amps.map_or(0.0, f64::abs);
            draft = draft.work(
                format!("drop in {} between {from} and {to}", run.id),
                drop(step),
                "V",
                format!("{amps:.4} A x {:.6} ohm", state.ohms),
            );
        }
        if let Some(volts) = state.node.volts {
            draft = draft.work("volts at the luminaire", volts, "V", "computed");
        }
        if let Some(volts) = self.input.soil().luminaires()[luminaire].node.volts {
            draft = draft.work("the same with conductors at soil temperature", volts, "V", "computed");
        }
        draft
    }
}
