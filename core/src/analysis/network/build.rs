//! From the layout to an electrical graph: nodes, branches, and the parts and groups they fall into.
//!
//! A *part* is what cable joins. A *group* is what has to be solved together: the parts that hang on
//! the common resistance of one supply are one group, since each moves the others' voltage.

use super::super::{Case, Unsolved, conductor, conductor_temperature_c};
use crate::layout::{CableType, Layout, NodeRef, Segment};
use crate::plan::model::OutputCurrent;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The point that every EMF is counted from.
pub(super) const GROUND: usize = 0;

/// What a branch of the graph stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Origin {
    /// Segment of a run, by indices into the layout.
    Segment { run: usize, segment: usize },
    /// An output with its EMF and its own resistance, from the inside of the supply.
    Source { supply: usize, output: usize },
    /// The resistance that all outputs of a supply share, from ground to its inside.
    Common { supply: usize },
}

/// Two nodes joined by a resistance, with an EMF that raises `to` above `from`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Branch {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) emf_volts: f64,
    pub(super) ohms: f64,
    pub(super) origin: Origin,
}

/// What cable joins.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Part {
    /// Its outputs in the order of their names.
    pub(super) outputs: Arc<[NodeRef]>,
    /// Its junctions and luminaires in the order of the plan, junctions first.
    pub(super) nodes: Arc<[NodeRef]>,
    /// Whether its outputs give AC; `None` without outputs.
    pub(super) alternating: Option<bool>,
    /// Highest EMF of its outputs, V.
    pub(super) feed_volts: f64,
    /// Why it has no answer, as far as its wiring tells.
    pub(super) fault: Option<Unsolved>,
}

/// Parts that are solved together, and their branches.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Group {
    pub(super) parts: Vec<usize>,
    pub(super) branches: Vec<usize>,
}

/// The electrical graph. What is the same whatever its numbers are is shared by its clones.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Graph {
    first_output: Arc<[usize]>,
    first_junction: usize,
    first_luminaire: usize,
    /// Number of nodes.
    pub(super) nodes: usize,
    pub(super) branches: Vec<Branch>,
    /// Resistance of each segment's loop, ohm, by run.
    pub(super) segment_ohms: Vec<Vec<f64>>,
    /// Resistance of one pole of each run, ohm/m.
    pub(super) pole_ohms_per_m: Arc<[f64]>,
    pub(super) parts: Vec<Part>,
    /// Part of each node that a [`NodeRef`] can name; `usize::MAX` for the others.
    pub(super) part_of: Arc<[usize]>,
    pub(super) groups: Arc<[Group]>,
    /// What was assumed, one sentence each.
    pub(super) assumptions: Arc<BTreeSet<String>>,
}

/// The ids of an output's supply and of the output.
fn named(layout: &Layout, node: NodeRef) -> Option<(&str, &str)> {
    let NodeRef::Output { supply, output } = node else { return None };
    let supply = layout.supplies.get(supply)?;
    Some((&supply.id.0, &supply.kind.outputs.get(output)?.name.0))
}

impl Graph {
    /// The node that a reference names.
    pub(super) fn node(&self, node: NodeRef) -> usize {
        match node {
            NodeRef::Output { supply, output } => self.first_output[supply] + output,
            NodeRef::Junction(j) => self.first_junction + j,
            NodeRef::Luminaire(l) => self.first_luminaire + l,
        }
    }

    /// The part that a reference belongs to.
    pub(super) fn part(&self, node: NodeRef) -> &Part {
        &self.parts[self.part_of[self.node(node)]]
    }

    /// The graph of a layout in one case.
    pub(super) fn new(layout: &Layout, case: Case) -> Self {
        let mut graph = Self::number(layout);
        let mut inside = Vec::with_capacity(layout.supplies.len());
        for supply in &layout.supplies {
            let shared = supply.kind.common_resistance.is_some_and(|r| r.si() > 0.0);
            inside.push(if shared { graph.nodes } else { GROUND });
            graph.nodes += usize::from(shared);
        }
        graph.add_segments(layout, case);
        graph.find_parts(layout);
        let groups = graph.join_groups(layout, &inside);
        graph.add_sources(layout, &inside);
        graph.fill_groups(&groups);
        graph
    }

    fn number(layout: &Layout) -> Self {
        let mut nodes = GROUND + 1;
        let mut first_output = Vec::with_capacity(layout.supplies.len());
        for supply in &layout.supplies {
            first_output.push(nodes);
            nodes += supply.kind.outputs.len();
        }
        let first_junction = nodes;
        let first_luminaire = first_junction + layout.junctions.len();
        Self {
            first_output: first_output.into(),
            first_junction,
            first_luminaire,
            nodes: first_luminaire + layout.luminaires.len(),
            branches: Vec::new(),
            segment_ohms: Vec::with_capacity(layout.runs.len()),
            pole_ohms_per_m: Arc::default(),
            parts: Vec::new(),
            part_of: Arc::default(),
            groups: Arc::default(),
            assumptions: Arc::default(),
        }
    }

    fn add_segments(&mut self, layout: &Layout, case: Case) {
        let mut bare_splice = false;
        let mut pole_ohms = Vec::with_capacity(layout.runs.len());
        // Neighbouring runs are mostly of one cable.
        let mut last: Option<(&Arc<CableType>, f64)> = None;
        for (run, cable_run) in layout.runs.iter().enumerate() {
            let ohms_per_m = match last {
                Some((cable, ohms_per_m)) if Arc::ptr_eq(cable, &cable_run.cable) => ohms_per_m,
                _ => self.ohms_per_m(layout, case, &cable_run.cable),
            };
            last = Some((&cable_run.cable, ohms_per_m));
            let pole_ohms_per_m = ohms_per_m / f64::from(cable_run.cable.parallel.max(1));
            pole_ohms.push(pole_ohms_per_m);
            let mut of_run = Vec::with_capacity(cable_run.segments.len());
            for (segment, piece) in cable_run.segments.iter().enumerate() {
                let ohms = loop_ohms(layout, piece, pole_ohms_per_m);
                bare_splice |= splice_ohms(layout, piece.from).is_none() || splice_ohms(layout, piece.to).is_none();
                of_run.push(ohms);
                self.branches.push(Branch {
                    from: self.node(piece.from),
                    to: self.node(piece.to),
                    emf_volts: 0.0,
                    ohms,
                    origin: Origin::Segment { run, segment },
                });
            }
            self.segment_ohms.push(of_run);
        }
        self.pole_ohms_per_m = pole_ohms.into();
        if bare_splice {
            let assumed = "Splices whose resistance is not stated are taken to have none.";
            self.assumptions = Arc::new(BTreeSet::from([assumed.to_owned()]));
        }
    }

    /// Resistance of one conductor, ohm/m. NaN where neither the table nor the maker has it.
    fn ohms_per_m(&self, layout: &Layout, case: Case, cable: &CableType) -> f64 {
        let celsius = conductor_temperature_c(&layout.analysis, cable.conductor, case);
        match (cable.resistance, cable.conductor) {
            (Some(maker), size) => {
                conductor::maker_ohms_per_m(maker.si(), cable.resistance_at.map(|t| t.si()), size, celsius)
            }
            (None, Some(size)) => conductor::table_ohms_per_m(size, cable.stranding, celsius).unwrap_or(f64::NAN),
            (None, None) => f64::NAN,
        }
    }

    fn find_parts(&mut self, layout: &Layout) {
        let mut sets = Sets::new(self.nodes);
        for branch in &self.branches {
            sets.join(branch.from, branch.to);
        }
        let mut part_of = vec![usize::MAX; self.nodes];
        // The outputs and the other nodes of each part.
        let mut members: Vec<[Vec<NodeRef>; 2]> = Vec::new();
        let mut part_of_root = vec![usize::MAX; self.nodes];
        let outputs =
            layout.supplies.iter().enumerate().flat_map(|(supply, s)| {
                (0..s.kind.outputs.len()).map(move |output| NodeRef::Output { supply, output })
            });
        let junctions = (0..layout.junctions.len()).map(NodeRef::Junction);
        let luminaires = (0..layout.luminaires.len()).map(NodeRef::Luminaire);
        for reference in outputs.chain(junctions).chain(luminaires) {
            let node = self.node(reference);
            let root = sets.find(node);
            if part_of_root[root] == usize::MAX {
                part_of_root[root] = self.parts.len();
                self.parts.push(Part::default());
                members.push(Default::default());
            }
            let part = part_of_root[root];
            part_of[node] = part;
            let [outputs, nodes] = &mut members[part];
            match reference {
                NodeRef::Output { supply, output } => self.parts[part].add_output(layout, supply, output, outputs),
                NodeRef::Junction(_) | NodeRef::Luminaire(_) => nodes.push(reference),
            }
        }
        self.part_of = part_of.into();
        for (part, [mut outputs, nodes]) in self.parts.iter_mut().zip(members) {
            // What is said of them must not hang on the order of the plan's lists.
            outputs.sort_by(|a, b| named(layout, *a).cmp(&named(layout, *b)));
            (part.outputs, part.nodes) = (outputs.into(), nodes.into());
        }
        for branch in &self.branches {
            // Below about -235 degC the copper coefficients give less than nothing.
            if !(branch.ohms.is_finite() && branch.ohms >= 0.0) {
                let part = &mut self.parts[self.part_of[branch.from]];
                part.fault = part.fault.or(Some(Unsolved::UnknownResistance));
            }
        }
    }

    /// Joins parts that share a supply with common resistance; gives the part that stands for each.
    fn join_groups(&self, layout: &Layout, inside: &[usize]) -> Vec<usize> {
        let mut sets = Sets::new(self.parts.len());
        for (supply, s) in layout.supplies.iter().enumerate().filter(|(supply, _)| inside[*supply] != GROUND) {
            let part = |output| self.part_of[self.first_output[supply] + output];
            for output in 1..s.kind.outputs.len() {
                sets.join(part(0), part(output));
            }
        }
        (0..self.parts.len()).map(|part| sets.find(part)).collect()
    }

    fn add_sources(&mut self, layout: &Layout, inside: &[usize]) {
        for (supply, s) in layout.supplies.iter().enumerate() {
            if inside[supply] != GROUND {
                let ohms = s.kind.common_resistance.map_or(0.0, |r| r.si());
                self.branches.push(Branch {
                    from: GROUND,
                    to: inside[supply],
                    emf_volts: 0.0,
                    ohms,
                    origin: Origin::Common { supply },
                });
            }
            for (output, o) in s.kind.outputs.iter().enumerate() {
                self.branches.push(Branch {
                    from: inside[supply],
                    to: self.first_output[supply] + output,
                    emf_volts: o.volts.si(),
                    ohms: o.source_resistance.map_or(0.0, |r| r.si()),
                    origin: Origin::Source { supply, output },
                });
            }
        }
    }

    /// Hands parts with outputs and their branches to their groups.
    fn fill_groups(&mut self, roots: &[usize]) {
        let mut groups: Vec<Group> = Vec::new();
        let mut group_of_root = vec![usize::MAX; self.parts.len()];
        for (part, &root) in roots.iter().enumerate().filter(|(part, _)| !self.parts[*part].outputs.is_empty()) {
            if group_of_root[root] == usize::MAX {
                group_of_root[root] = groups.len();
                groups.push(Group::default());
            }
            groups[group_of_root[root]].parts.push(part);
        }
        for (index, branch) in self.branches.iter().enumerate() {
            let node = match branch.origin {
                Origin::Segment { .. } | Origin::Source { .. } => branch.to,
                Origin::Common { supply } => self.first_output[supply],
            };
            // A supply without outputs has a common resistance that leads nowhere.
            let Some(&part) = self.part_of.get(node).filter(|part| **part != usize::MAX) else { continue };
            if let Some(group) = groups.get_mut(group_of_root[roots[part]]) {
                group.branches.push(index);
            }
        }
        self.groups = groups.into();
    }
}

impl Part {
    /// Adds an output to those that the part has so far.
    fn add_output(&mut self, layout: &Layout, supply: usize, output: usize, outputs: &mut Vec<NodeRef>) {
        let kind = &layout.supplies[supply].kind;
        let tied = outputs.iter().any(|o| matches!(o, NodeRef::Output { supply: s, .. } if *s == supply));
        let alternating = kind.output_current == OutputCurrent::Ac;
        if tied {
            self.fault = Some(Unsolved::OutputsTied);
        } else if self.alternating.is_some_and(|before| before != alternating) {
            self.fault = self.fault.or(Some(Unsolved::AcDcJoined));
        }
        self.alternating = self.alternating.or(Some(alternating));
        self.feed_volts = self.feed_volts.max(kind.outputs[output].volts.si());
        outputs.push(NodeRef::Output { supply, output });
    }
}

/// Resistance of a segment's loop: both poles, with the splices at both ends in each, ohm.
pub(super) fn loop_ohms(layout: &Layout, segment: &Segment, pole_ohms_per_m: f64) -> f64 {
    let splices = splice_ohms(layout, segment.from).unwrap_or(0.0) + splice_ohms(layout, segment.to).unwrap_or(0.0);
    2.0 * (pole_ohms_per_m * segment.length_m + splices) + segment.added_ohms
}

/// Resistance of one splice of one pole at the end of a segment, ohm; `None` where it is not stated.
fn splice_ohms(layout: &Layout, node: NodeRef) -> Option<f64> {
    let splice = match node {
        NodeRef::Output { .. } => return Some(0.0),
        NodeRef::Junction(j) => layout.junctions[j].splice.as_ref(),
        NodeRef::Luminaire(l) => layout.luminaires[l].splice.as_ref(),
    };
    splice?.resistance.map(|r| r.si())
}

/// Disjoint sets.
pub(super) struct Sets {
    parent: Vec<usize>,
}

impl Sets {
    /// `len` sets of one.
    pub(super) fn new(len: usize) -> Self {
        Self { parent: (0..len).collect() }
    }

    /// The element that stands for the set of `x`.
    pub(super) fn find(&mut self, mut x: usize) -> usize {
        while self.parent[x] != x {
            self.parent[x] = self.parent[self.parent[x]];
            x = self.parent[x];
        }
        x
    }

    /// Joins two sets; the lower element stands for both. False when they were one already.
    pub(super) fn join(&mut self, a: usize, b: usize) -> bool {
        let (a, b) = (self.find(a), self.find(b));
        self.parent[a.max(b)] = a.min(b);
        a != b
    }
}
