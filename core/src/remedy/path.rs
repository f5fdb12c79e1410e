//! The way that current takes from an output to a luminaire.

use crate::layout::{Layout, NodeRef};
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// One segment on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Step {
    pub(super) run: usize,
    pub(super) segment: usize,
    /// Whether the run is drawn in the direction of the way.
    pub(super) forward: bool,
    /// The node that it leads to.
    pub(super) to: NodeRef,
}

/// A way of fewest segments from an output to a node.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Way {
    /// The output where it starts.
    pub(super) output: NodeRef,
    /// Its segments from there.
    pub(super) steps: Vec<Step>,
}

/// Which segments meet at each node.
pub(super) struct Net {
    /// For each node: the node beyond, the run, the segment, and whether the run is drawn towards this node.
    beside: BTreeMap<NodeRef, Vec<(NodeRef, usize, usize, bool)>>,
}

impl Net {
    pub(super) fn new(layout: &Layout) -> Self {
        let mut beside: BTreeMap<NodeRef, Vec<(NodeRef, usize, usize, bool)>> = BTreeMap::new();
        for (run, cable) in layout.runs.iter().enumerate() {
            for (segment, piece) in cable.segments.iter().enumerate() {
                beside.entry(piece.to).or_default().push((piece.from, run, segment, true));
                beside.entry(piece.from).or_default().push((piece.to, run, segment, false));
            }
        }
        Self { beside }
    }

    fn at(&self, node: NodeRef) -> &[(NodeRef, usize, usize, bool)] {
        self.beside.get(&node).map_or(&[], Vec::as_slice)
    }

    /// The way to a node, looked for from there; `None` where no output feeds it.
    pub(super) fn way_to(&self, node: NodeRef) -> Option<Way> {
        // For each node that is reached the segment towards the start, and where that leads.
        let mut back: BTreeMap<NodeRef, Option<Step>> = BTreeMap::from([(node, None)]);
        let mut queue = VecDeque::from([node]);
        while let Some(here) = queue.pop_front() {
            if matches!(here, NodeRef::Output { .. }) {
                let mut steps = Vec::new();
                let mut at = here;
                while let Some(Some(step)) = back.get(&at) {
                    steps.push(*step);
                    at = step.to;
                }
                return Some(Way { output: here, steps });
            }
            for &(next, run, segment, forward) in self.at(here) {
                if let Entry::Vacant(new) = back.entry(next) {
                    new.insert(Some(Step { run, segment, forward, to: here }));
                    queue.push_back(next);
                }
            }
        }
        None
    }

    /// The luminaires that a run leads to from one of its ends, by their indices.
    pub(super) fn behind(&self, run: usize, output: NodeRef) -> Vec<usize> {
        let mut seen = BTreeSet::from([output]);
        let first = self.at(output).iter().filter(|(_, own, ..)| *own == run).map(|(next, ..)| *next);
        let mut queue: VecDeque<NodeRef> = first.collect();
        let mut luminaires = Vec::new();
        while let Some(here) = queue.pop_front() {
            if !seen.insert(here) || matches!(here, NodeRef::Output { .. }) {
                continue;
            }
            if let NodeRef::Luminaire(index) = here {
                luminaires.push(index);
            }
            queue.extend(self.at(here).iter().map(|(next, ..)| *next));
        }
        luminaires
    }
}

impl Way {
    /// The node before a step.
    pub(super) fn from(&self, step: usize) -> NodeRef {
        step.checked_sub(1).and_then(|before| self.steps.get(before)).map_or(self.output, |before| before.to)
    }

    /// The runs on the way, each once, from the output.
    pub(super) fn runs(&self) -> Vec<usize> {
        let mut runs = Vec::new();
        for step in &self.steps {
            if !runs.contains(&step.run) {
                runs.push(step.run);
            }
        }
        runs
    }
}
