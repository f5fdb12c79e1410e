//! What can be wrong with finished work, as a change to the plan: the same network is solved with the fault in it.

use crate::layout::{Layout, LuminaireType, NodeRef, Segment, SupplyType};
use crate::plan::model::LoadModel;
use crate::plan::quantity::{ApparentPower, Power, Voltage};
use std::sync::Arc;

/// A fault with its place, by indices into the layout.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// Every output of a supply gives another share of its stated volts: low mains, or the supply itself.
    SupplyVolts { supply: usize },
    /// A run hangs on another output of its supply: at its start, or else at its end.
    WrongOutput { run: usize, at_start: bool, output: usize },
    /// A luminaire draws nothing.
    Dead { luminaire: usize },
    /// A luminaire draws another share of its stated power.
    Power { luminaire: usize },
    /// A luminaire is a resistance: wholly or partly shorted.
    Shorted { luminaire: usize },
    /// A segment has more resistance than planned: a bad joint at either end, or a hurt conductor.
    AddedOhms { run: usize, segment: usize },
    /// A splice adds resistance to each segment that meets there.
    Splice { node: NodeRef },
    /// A run has another resistance for each length: another conductor, or another length in all.
    Conductor { run: usize },
    /// A segment carries nothing.
    Open { run: usize, segment: usize },
    /// The poles are swapped at a joint of a segment, so that everything behind it is reversed. `blocked`: the
    /// luminaires behind it draw nothing; otherwise they draw as planned, as those behind a bridge rectifier do.
    Reversed { run: usize, segment: usize, blocked: bool },
    /// The leads of one luminaire are swapped, or those of the meter.
    ReversedLeads { luminaire: usize, blocked: bool },
}

/// The number that a fault leaves open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Parameter {
    /// Where the search begins.
    pub(super) start: f64,
    /// The step by which its effect is felt out.
    pub(super) step: f64,
    /// Whether the plan as drawn is the value at the start.
    pub(super) starts_as_planned: bool,
}

impl Fault {
    /// The number that is fitted: ohm, a share of 1, or siemens; `None` where the fault is there or not.
    pub(super) fn parameter(self, layout: &Layout) -> Option<Parameter> {
        let as_planned = |start, step| Some(Parameter { start, step, starts_as_planned: true });
        match self {
            Self::SupplyVolts { .. } => as_planned(1.0, -1e-3),
            Self::Power { .. } => as_planned(1.0, 0.05),
            Self::AddedOhms { .. } | Self::Splice { .. } => as_planned(0.0, 1e-3),
            Self::Conductor { .. } => as_planned(1.0, 0.02),
            Self::Shorted { luminaire } => {
                let kind = &layout.luminaires[luminaire].kind;
                let siemens = kind.power.si().max(1.0) / kind.nominal.si().powi(2);
                Some(Parameter { start: siemens, step: siemens * 0.1, starts_as_planned: false })
            }
            Self::WrongOutput { .. }
            | Self::Dead { .. }
            | Self::Open { .. }
            | Self::Reversed { .. }
            | Self::ReversedLeads { .. } => None,
        }
    }

    /// The same with the name of its place instead of the index: what is ordered by this does not hang on the order of the
    /// plan.
    pub(super) fn named(self, layout: &Layout) -> (Self, String) {
        let luminaire = |index: usize| layout.luminaires[index].id.0.clone();
        let run = |index: usize| layout.runs[index].id.0.clone();
        match self {
            Self::SupplyVolts { supply } => (Self::SupplyVolts { supply: 0 }, layout.supplies[supply].id.0.clone()),
            Self::WrongOutput { run: own, at_start, output } => {
                (Self::WrongOutput { run: 0, at_start, output }, run(own))
            }
            Self::Dead { luminaire: own } => (Self::Dead { luminaire: 0 }, luminaire(own)),
            Self::Power { luminaire: own } => (Self::Power { luminaire: 0 }, luminaire(own)),
            Self::Shorted { luminaire: own } => (Self::Shorted { luminaire: 0 }, luminaire(own)),
            Self::AddedOhms { run: own, segment } => (Self::AddedOhms { run: 0, segment }, run(own)),
            Self::Splice { node } => (Self::Splice { node: NodeRef::Junction(0) }, layout.node_name(node)),
            Self::Conductor { run: own } => (Self::Conductor { run: 0 }, run(own)),
            Self::Open { run: own, segment } => (Self::Open { run: 0, segment }, run(own)),
            Self::Reversed { run: own, segment, blocked } => (Self::Reversed { run: 0, segment, blocked }, run(own)),
            Self::ReversedLeads { luminaire: own, blocked } => {
                (Self::ReversedLeads { luminaire: 0, blocked }, luminaire(own))
            }
        }
    }

    /// Puts the fault into a layout; the undo list takes it out again, last first.
    pub(super) fn put(self, layout: &mut Layout, value: f64, undo: &mut Vec<Undo>) {
        match self {
            Self::SupplyVolts { supply } => scale_volts(layout, supply, value, undo),
            Self::WrongOutput { run, at_start, output } => {
                let index = if at_start { 0 } else { layout.runs[run].segments.len().saturating_sub(1) };
                change_segment(layout, run, index, undo, |segment| {
                    let end = if at_start { &mut segment.from } else { &mut segment.to };
                    if let NodeRef::Output { output: known, .. } = end {
                        *known = output;
                    }
                });
            }
            Self::Dead { luminaire } => scale_power(layout, luminaire, 0.0, undo),
            Self::Power { luminaire } => scale_power(layout, luminaire, value, undo),
            Self::Shorted { luminaire } => change_luminaire(layout, luminaire, undo, |kind| {
                kind.load = LoadModel::Resistive;
                kind.cut_out = None;
                kind.apparent_power = None;
                kind.power = Power::from_si(value * kind.nominal.si().powi(2));
            }),
            Self::AddedOhms { run, segment } => {
                change_segment(layout, run, segment, undo, |segment| segment.added_ohms += value);
            }
            Self::Splice { node } => {
                for (run, segment) in meeting(layout, node) {
                    change_segment(layout, run, segment, undo, |segment| segment.added_ohms += value);
                }
            }
            Self::Conductor { run } => {
                for segment in 0..layout.runs[run].segments.len() {
                    change_segment(layout, run, segment, undo, |segment| segment.length_m *= value);
                }
            }
            // A segment that ends where it starts joins nothing, and the others keep their indices.
            Self::Open { run, segment } => {
                change_segment(layout, run, segment, undo, |segment| segment.to = segment.from);
            }
            Self::Reversed { run, segment, blocked } => {
                if blocked {
                    for node in behind(layout, run, segment).unwrap_or_default() {
                        if let NodeRef::Luminaire(luminaire) = node {
                            scale_power(layout, luminaire, 0.0, undo);
                        }
                    }
                }
            }
            Self::ReversedLeads { luminaire, blocked } => {
                if blocked {
                    scale_power(layout, luminaire, 0.0, undo);
                }
            }
        }
    }

    /// Nodes whose volts read below zero.
    pub(super) fn reversed_nodes(self, layout: &Layout) -> Vec<NodeRef> {
        match self {
            Self::Reversed { run, segment, .. } => behind(layout, run, segment).unwrap_or_default(),
            Self::ReversedLeads { luminaire, .. } => vec![NodeRef::Luminaire(luminaire)],
            _ => Vec::new(),
        }
    }

    /// Luminaires of which the fault itself says whether they are lit: (luminaire, lit); `None` for not known.
    pub(super) fn lit(self, layout: &Layout, value: f64) -> Vec<(usize, Option<bool>)> {
        match self {
            Self::Dead { luminaire } | Self::Shorted { luminaire } => vec![(luminaire, Some(false))],
            Self::Power { luminaire } if value < 0.5 => vec![(luminaire, None)],
            Self::Reversed { blocked, .. } | Self::ReversedLeads { blocked, .. } => {
                let of = |node| match node {
                    NodeRef::Luminaire(luminaire) => Some((luminaire, blocked.then_some(false))),
                    _ => None,
                };
                self.reversed_nodes(layout).into_iter().filter_map(of).collect()
            }
            _ => Vec::new(),
        }
    }
}

/// What takes a change out of a layout again.
pub(super) enum Undo {
    Segment { run: usize, index: usize, was: Segment },
    Supply { supply: usize, was: Arc<SupplyType> },
    Luminaire { luminaire: usize, was: Arc<LuminaireType> },
}

impl Undo {
    pub(super) fn undo(self, layout: &mut Layout) {
        match self {
            Self::Segment { run, index, was } => layout.runs[run].segments[index] = was,
            Self::Supply { supply, was } => layout.supplies[supply].kind = was,
            Self::Luminaire { luminaire, was } => layout.luminaires[luminaire].kind = was,
        }
    }
}

fn change_segment(
    layout: &mut Layout,
    run: usize,
    index: usize,
    undo: &mut Vec<Undo>,
    change: impl FnOnce(&mut Segment),
) {
    let segment = &mut layout.runs[run].segments[index];
    undo.push(Undo::Segment { run, index, was: segment.clone() });
    change(segment);
}

fn change_luminaire(
    layout: &mut Layout,
    luminaire: usize,
    undo: &mut Vec<Undo>,
    change: impl FnOnce(&mut LuminaireType),
) {
    let was = layout.luminaires[luminaire].kind.clone();
    let mut kind = LuminaireType::clone(&was);
    change(&mut kind);
    layout.luminaires[luminaire].kind = Arc::new(kind);
    undo.push(Undo::Luminaire { luminaire, was });
}

fn scale_power(layout: &mut Layout, luminaire: usize, share: f64, undo: &mut Vec<Undo>) {
    change_luminaire(layout, luminaire, undo, |kind| {
        kind.power = Power::from_si(kind.power.si() * share);
        kind.apparent_power = kind.apparent_power.map(|power| ApparentPower::from_si(power.si() * share));
    });
}

/// Scales what every output of a supply gives.
pub(super) fn scale_volts(layout: &mut Layout, supply: usize, share: f64, undo: &mut Vec<Undo>) {
    let was = layout.supplies[supply].kind.clone();
    let mut kind = SupplyType::clone(&was);
    for output in &mut kind.outputs {
        output.volts = Voltage::from_si(output.volts.si() * share);
    }
    layout.supplies[supply].kind = Arc::new(kind);
    undo.push(Undo::Supply { supply, was });
}

/// The segments that meet at a node, as (run, segment).
pub(super) fn meeting(layout: &Layout, node: NodeRef) -> Vec<(usize, usize)> {
    let of_run = |(run, cable): (usize, &crate::layout::Run)| {
        let meets = |segment: &Segment| segment.from == node || segment.to == node;
        let own: Vec<_> =
            cable.segments.iter().enumerate().filter(|(_, s)| meets(s)).map(|(index, _)| (run, index)).collect();
        own
    };
    layout.runs.iter().enumerate().flat_map(of_run).collect()
}

/// The nodes that nothing feeds when a segment is cut; `None` where they are still fed from elsewhere.
pub(super) fn behind(layout: &Layout, run: usize, segment: usize) -> Option<Vec<NodeRef>> {
    let mut beside: std::collections::BTreeMap<NodeRef, Vec<NodeRef>> = std::collections::BTreeMap::new();
    for (r, cable) in layout.runs.iter().enumerate() {
        for (_, ends) in cable.segments.iter().enumerate().filter(|(s, _)| (r, *s) != (run, segment)) {
            beside.entry(ends.from).or_default().push(ends.to);
            beside.entry(ends.to).or_default().push(ends.from);
        }
    }
    let cut = &layout.runs[run].segments[segment];
    let side = |start: NodeRef| {
        let mut reached = std::collections::BTreeSet::from([start]);
        let mut open = vec![start];
        while let Some(node) = open.pop() {
            for &next in beside.get(&node).into_iter().flatten() {
                if reached.insert(next) {
                    open.push(next);
                }
            }
        }
        reached
    };
    let has_output =
        |nodes: &std::collections::BTreeSet<NodeRef>| nodes.iter().any(|node| matches!(node, NodeRef::Output { .. }));
    let unfed = [side(cut.from), side(cut.to)].into_iter().filter(|nodes| !has_output(nodes));
    let unfed: Vec<_> = unfed.collect();
    match unfed.as_slice() {
        [only] => Some(only.iter().copied().collect()),
        _ => None,
    }
}
