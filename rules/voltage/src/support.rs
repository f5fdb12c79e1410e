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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{MODULE, overvoltage};
    use lintern_rule::facts::{OutputState, SegmentState};
    use lintern_rule::outcome::RuleRequest;
    use lintern_rule::plan::{Run, Segment};
    use lintern_rule::{Given, GivenFacts, blank};

    #[test]
    fn the_usual_window_is_that_of_the_trade() {
        let window = |nominal_v| practice_window_v(&LuminaireType { nominal_v, ..blank::luminaire_type("well", 5.0) });
        assert_eq!(window(12.0), (10.8, 12.6));
        assert_eq!(window(24.0), (21.6, 26.4));
        let (least, most) = window(20.0);
        assert!((least - 18.0).abs() < 1e-9 && (most - 21.0).abs() < 1e-9, "90 % to 105 %: {least}, {most}");
    }

    /// The lines `drop in` of a luminaire at the end of so many segments, each of 1 A and 0.01 ohm, at a 14 V output.
    fn drops(segments: u32) -> Vec<(String, f64)> {
        let node = |number: u32| match number {
            0 => NodeRef::Output((0, 0)),
            last if last == segments => NodeRef::Luminaire(0),
            number => NodeRef::Junction(number - 1),
        };
        let segment = |number| Segment { start: node(number), end: node(number + 1), length_m: 2.0, path: Vec::new() };
        let volts = 14.0 - 0.01 * f64::from(segments);
        let fed = NodeState { fed_by: vec![(0, 0)], volts: Some(volts), ..blank::node_state() };
        let facts = GivenFacts {
            luminaires: vec![LuminaireState { node: fed.clone(), ..blank::luminaire_state() }],
            junctions: vec![fed; segments as usize - 1],
            segments: vec![vec![SegmentState { amps: Some(1.0), ..blank::segment_state(0.01) }; segments as usize]],
            supplies: vec![blank::supply_state(vec![OutputState {
                volts: Some(14.0),
                amps: Some(1.0),
                ..blank::output_state()
            }])],
            ..GivenFacts::default()
        };
        let input = Input::from(Given {
            luminaire_types: vec![LuminaireType { input_max_v: Some(13.0), ..blank::luminaire_type("well", 14.0) }],
            luminaires: vec![blank::luminaire("L1", 0)],
            supply_types: vec![blank::supply_type("box", vec![blank::output("14", 14.0)])],
            supplies: vec![blank::supply("S1", 0)],
            junctions: (1..segments).map(|number| blank::junction(&format!("J{number}"))).collect(),
            runs: vec![Run { segments: (0..segments).map(segment).collect(), ..blank::run("R1", 0) }],
            judged: facts.clone(),
            soil: facts,
            ..Given::default()
        });
        let id = overvoltage::RULE.id.to_owned();
        let request = RuleRequest { id, settings: Vec::new(), wants_limits: false, wants_margins: false };
        let work = MODULE.check(&input, &[request]).remove(0).findings.remove(0).work;
        work.into_iter().filter(|line| line.name.starts_with("drop in")).map(|line| (line.name, line.value)).collect()
    }

    /// A long way is summed up at its beginning, and the lines still add up to the whole drop.
    #[test]
    fn the_lines_of_a_long_way_add_up() {
        let short = drops(30);
        assert_eq!((short.len(), short[0].0.as_str()), (30, "drop in R1 between S1/14 and J1"));
        let long = drops(32);
        assert_eq!((long.len(), long[0].0.as_str()), (31, "drop in the first 2 segments"));
        assert_eq!(long[30].0, "drop in R1 between J31 and L1");
        let sum: f64 = long.iter().map(|(_, volts)| volts).sum();
        assert!((sum - 0.32).abs() < 1e-9, "{sum}");
    }
}
