//! The parts of a layout that no cable joins, each as a layout of its own: what the network says of one does not depend
//! on the others.

use super::{Layout, NodeRef, Segment};

/// Which elements hang together. A supply holds all its outputs together, since they share its rating and may share a
/// resistance.
#[derive(Debug)]
pub struct Circuits {
    supplies: Vec<usize>,
    junctions: Vec<usize>,
    luminaires: Vec<usize>,
    runs: Vec<usize>,
}

/// An element of a layout by its index.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Member {
    /// A supply.
    Supply(usize),
    /// A luminaire.
    Luminaire(usize),
    /// A run.
    Run(usize),
}

/// One part as a layout of its own, with what its elements have as indices in the whole, ascending.
#[derive(Debug)]
pub struct Circuit {
    /// The part: electrical elements with the settings of the analysis, and nothing else of the site.
    pub layout: Layout,
    supplies: Vec<usize>,
    luminaires: Vec<usize>,
    runs: Vec<usize>,
}

impl Circuits {
    /// Of a layout.
    pub fn new(layout: &Layout) -> Self {
        let (supplies, junctions) = (layout.supplies.len(), layout.junctions.len());
        let mut sets = Sets((0..supplies + junctions + layout.luminaires.len()).collect());
        let node = |node: NodeRef| match node {
            NodeRef::Output { supply, .. } => supply,
            NodeRef::Junction(junction) => supplies + junction,
            NodeRef::Luminaire(luminaire) => supplies + junctions + luminaire,
        };
        for Segment { from, to, .. } in layout.runs.iter().flat_map(|run| &run.segments) {
            sets.join(node(*from), node(*to));
        }
        let mut labels: Vec<usize> = (0..sets.0.len()).map(|element| sets.root(element)).collect();
        let luminaires = labels.split_off(supplies + junctions);
        let junctions = labels.split_off(supplies);
        // A run without segments hangs on nothing.
        let of_run = |run: &super::Run| run.segments.first().map_or(usize::MAX, |first| sets.root(node(first.from)));
        let runs = layout.runs.iter().map(of_run).collect();
        Self { supplies: labels, junctions, luminaires, runs }
    }

    /// What names the part of an element; parts of one name are the same.
    pub fn name_of(&self, member: Member) -> Option<usize> {
        match member {
            Member::Supply(index) => self.supplies.get(index),
            Member::Luminaire(index) => self.luminaires.get(index),
            Member::Run(index) => self.runs.get(index),
        }
        .copied()
    }

    /// The part of this name.
    pub fn part(&self, layout: &Layout, name: usize) -> Circuit {
        let own = |labels: &[usize]| -> Vec<usize> {
            labels.iter().enumerate().filter(|(_, label)| **label == name).map(|(index, _)| index).collect()
        };
        let (supplies, junctions) = (own(&self.supplies), own(&self.junctions));
        let (luminaires, runs) = (own(&self.luminaires), own(&self.runs));
        // What a segment of the part names is in the part.
        let new = |list: &[usize], old: usize| list.binary_search(&old).unwrap_or(usize::MAX);
        let moved = |node: NodeRef| match node {
            NodeRef::Output { supply, output } => NodeRef::Output { supply: new(&supplies, supply), output },
            NodeRef::Junction(junction) => NodeRef::Junction(new(&junctions, junction)),
            NodeRef::Luminaire(luminaire) => NodeRef::Luminaire(new(&luminaires, luminaire)),
        };
        let mut part = Layout { analysis: layout.analysis, grid: layout.grid, ..Layout::default() };
        part.supplies = supplies.iter().map(|index| layout.supplies[*index].clone()).collect();
        part.junctions = junctions.iter().map(|index| layout.junctions[*index].clone()).collect();
        part.luminaires = luminaires.iter().map(|index| layout.luminaires[*index].clone()).collect();
        part.runs = runs.iter().map(|index| layout.runs[*index].clone()).collect();
        for segment in part.runs.iter_mut().flat_map(|run| &mut run.segments) {
            (segment.from, segment.to) = (moved(segment.from), moved(segment.to));
        }
        Circuit { layout: part, supplies, luminaires, runs }
    }
}

impl Circuit {
    /// Index of an element of the whole in the part.
    pub fn index(&self, member: Member) -> Option<usize> {
        match member {
            Member::Supply(index) => self.supplies.binary_search(&index),
            Member::Luminaire(index) => self.luminaires.binary_search(&index),
            Member::Run(index) => self.runs.binary_search(&index),
        }
        .ok()
    }

    /// Segments and nodes that a solve runs over.
    pub fn size(&self) -> usize {
        let segments: usize = self.layout.runs.iter().map(|run| run.segments.len()).sum();
        segments + self.layout.luminaires.len() + self.layout.junctions.len()
    }
}

/// Disjoint sets by the element that stands for each.
struct Sets(Vec<usize>);

impl Sets {
    fn root(&self, mut element: usize) -> usize {
        while self.0[element] != element {
            element = self.0[element];
        }
        element
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.halved(a), self.halved(b));
        // The lower index stands for both, so that names do not depend on the order of the runs.
        self.0[a.max(b)] = a.min(b);
    }

    /// The root; the way to it is half as long afterwards.
    fn halved(&mut self, mut element: usize) -> usize {
        while self.0[element] != element {
            self.0[element] = self.0[self.0[element]];
            element = self.0[element];
        }
        element
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::load_text;
    use crate::repository::Repository;

    /// Two supplies in turn, the second with a ring and a junction, and a luminaire on nothing.
    const PLAN: &str = "plan: 1
schedule:
  luminaires: { lamp: { power: 3 W, load: constant-power, nominal: 12 V } }
  cables: { c: { conductor: 12 AWG, stranding: stranded, material: copper } }
  supplies: { box: { rating: 100 W, output-current: dc, outputs: [{ name: a, volts: 12 V }, { name: b, volts: 12 V }] } }
supplies: [{ id: S1, type: box }, { id: S2, type: box }]
junctions: [{ id: J1 }]
luminaires: [{ id: A, type: lamp }, { id: B, type: lamp }, { id: C, type: lamp }, { id: D, type: lamp }]
runs:
  - { id: R1, cable: c, route: [S2/a, J1], length: 5 m }
  - { id: R2, cable: c, route: [S1/a, A], length: 5 m }
  - { id: R3, cable: c, route: [J1, B], length: 5 m }
  - { id: R4, cable: c, route: [S2/b, D], length: 5 m }
";

    fn layout() -> Layout {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").unwrap();
        let repository = Repository::of(folder.path()).unwrap();
        let loaded = load_text(&repository, &folder.path().join("plan.yaml"), PLAN.as_bytes());
        assert_eq!(loaded.diagnostics, []);
        loaded.layout.unwrap()
    }

    #[test]
    fn a_part_has_what_hangs_together_and_nothing_else() {
        let layout = layout();
        let circuits = Circuits::new(&layout);
        let name = |member| circuits.name_of(member).unwrap();
        // Both outputs of S2 belong together.
        assert_eq!(name(Member::Luminaire(1)), name(Member::Luminaire(3)));
        assert_eq!(name(Member::Run(0)), name(Member::Supply(1)));
        assert_ne!(name(Member::Luminaire(0)), name(Member::Luminaire(1)));
        assert_ne!(name(Member::Luminaire(2)), name(Member::Luminaire(1)), "C hangs on nothing");
        assert_eq!(circuits.name_of(Member::Luminaire(4)), None);
        let part = circuits.part(&layout, name(Member::Supply(1)));
        let ids = |runs: &[crate::layout::Run]| runs.iter().map(|run| run.id.0.clone()).collect::<Vec<_>>();
        assert_eq!(ids(&part.layout.runs), ["R1", "R3", "R4"]);
        assert_eq!((part.index(Member::Luminaire(3)), part.index(Member::Luminaire(0))), (Some(1), None));
        assert_eq!(part.index(Member::Run(3)), Some(2));
        // Three segments, two luminaires, a junction.
        assert_eq!(part.size(), 6);
        let names: Vec<[String; 2]> = (part.layout.runs.iter().flat_map(|run| &run.segments))
            .map(|segment| [segment.from, segment.to].map(|node| part.layout.node_name(node)))
            .collect();
        assert_eq!(names, [["S2/a", "J1"], ["J1", "B"], ["S2/b", "D"]].map(|pair| pair.map(str::to_owned)));
    }
}
