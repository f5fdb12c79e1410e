//! Where a field of an element stands: findings name elements and fields, and people want lines.

use super::field::Span;
use super::yaml::{NodeId, Tree, Value};
use std::collections::HashMap;

/// What an id of the plan names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum ElementKind {
    /// A supply that is installed.
    Supply,
    /// A place where runs join.
    Junction,
    /// A luminaire that is installed.
    Luminaire,
    /// A cable run.
    Run,
    /// An area of the site.
    Zone,
    /// A buried line of others.
    Utility,
}

impl ElementKind {
    /// Every kind.
    pub const ALL: &[Self] = &[Self::Supply, Self::Junction, Self::Luminaire, Self::Run, Self::Zone, Self::Utility];

    /// With its article, such as `a supply`.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Supply => "a supply",
            Self::Junction => "a junction",
            Self::Luminaire => "a luminaire",
            Self::Run => "a run",
            Self::Zone => "a zone",
            Self::Utility => "a utility",
        }
    }

    /// Keys from the root of a plan to the list of these elements.
    pub(super) fn list(self) -> &'static [&'static str] {
        match self {
            Self::Supply => &["supplies"],
            Self::Junction => &["junctions"],
            Self::Luminaire => &["luminaires"],
            Self::Run => &["runs"],
            Self::Zone => &["site", "zones"],
            Self::Utility => &["site", "utilities"],
        }
    }
}

/// The table of the schedule that a key of an element refers to.
pub(super) fn schedule_of(kind: Option<ElementKind>, key: &str) -> Option<&'static str> {
    match (kind, key) {
        (Some(ElementKind::Supply), "type") => Some("supplies"),
        (Some(ElementKind::Luminaire), "type") => Some("luminaires"),
        (Some(ElementKind::Run), "cable") => Some("cables"),
        (Some(ElementKind::Luminaire | ElementKind::Junction), "splice") => Some("splices"),
        _ => None,
    }
}

/// A node of one of the trees of a load.
type Place = (usize, NodeId);

/// Elements and types of a load by name.
#[derive(Debug, Clone, Default)]
pub(super) struct Index {
    elements: HashMap<String, (ElementKind, NodeId)>,
    /// Table and name to the key and the value of the entry.
    types: HashMap<(&'static str, String), (NodeId, Place)>,
}

impl Index {
    /// Of the plan's tree, which comes first, and its shared schedules.
    pub(super) fn new(trees: &[Tree]) -> Self {
        let mut index = Self::default();
        for (file, tree) in trees.iter().enumerate() {
            if file == 0 {
                index.add_elements(tree);
            }
            index.add_types(file, tree);
        }
        index
    }

    fn add_elements(&mut self, tree: &Tree) {
        for &kind in ElementKind::ALL {
            let list = kind.list().iter().try_fold(tree.root(), |node, key| tree.get(node, key));
            for &item in list.map_or(&[][..], |list| tree.items(list)) {
                if let Some(id) = tree.get(item, "id") {
                    self.elements.entry(tree.scalar(id).to_owned()).or_insert((kind, item));
                }
            }
        }
    }

    fn add_types(&mut self, file: usize, tree: &Tree) {
        let Some(schedule) = tree.get(tree.root(), "schedule") else { return };
        for table in ["luminaires", "cables", "supplies", "splices"] {
            for entry in tree.get(schedule, table).map_or(&[][..], |t| tree.entries(t)) {
                // The plan's own entry comes first and replaces a shared one.
                let name = (table, tree.scalar(entry.key).to_owned());
                self.types.entry(name).or_insert((entry.key, (file, entry.value)));
            }
        }
    }

    pub(super) fn kind(&self, id: &str) -> Option<ElementKind> {
        self.elements.get(id).map(|&(kind, _)| kind)
    }

    /// The node of an element in the plan's tree.
    pub(super) fn element(&self, id: &str) -> Option<(ElementKind, NodeId)> {
        self.elements.get(id).copied()
    }

    /// The type that a key of an element refers to: the tree and the node of its entry.
    pub(super) fn referred(&self, kind: ElementKind, key: &str, name: &str) -> Option<(usize, NodeId)> {
        let table = schedule_of(Some(kind), key)?;
        self.types.get(&(table, name.to_owned())).map(|&(_, place)| place)
    }

    /// The value at a route from an element; the nearest thing above it where the plan leaves it out.
    pub(super) fn locate(&self, trees: &[Tree], subject: &str, field: &str) -> Option<Span> {
        let plan = trees.first()?;
        let (kind, start, fallback) = if subject.is_empty() {
            (None, plan.root(), whole_plan(plan))
        } else {
            let &(kind, item) = self.elements.get(subject)?;
            // Readings and waivers of an element stand apart from it.
            if field.starts_with("readings.") || field.starts_with("waivers.") {
                return self.locate(trees, "", field);
            }
            (Some(kind), item, plan.get(item, "id").map_or_else(|| plan.first_line(item), |id| plan.span(id)))
        };
        let mut walk = Walk { kind, place: (0, start), span: fallback };
        let steps: Vec<&str> = field.split('.').filter(|s| !s.is_empty()).collect();
        for (i, step) in steps.iter().enumerate() {
            let last = i + 1 == steps.len();
            if !self.step(trees, &mut walk, step, last) {
                break;
            }
        }
        Some(walk.span)
    }

    /// Goes one step down; false when there is nothing there.
    fn step(&self, trees: &[Tree], walk: &mut Walk, step: &str, last: bool) -> bool {
        let (file, node) = walk.place;
        let Some(tree) = trees.get(file) else { return false };
        match tree.value(node) {
            Value::Mapping(entries) => {
                let Some(entry) = entries.iter().find(|e| tree.scalar(e.key) == step) else { return false };
                walk.place = (file, entry.value);
                // On the way only the key of a long block is of interest.
                walk.span = match tree.value(entry.value) {
                    Value::Mapping(_) | Value::Sequence(_) if !last => tree.span(entry.key),
                    _ => tree.span(entry.value),
                };
                if !last {
                    self.follow(trees, walk, step, tree.scalar(entry.value));
                }
                true
            }
            Value::Sequence(items) => {
                let Some(&item) = step.parse::<usize>().ok().and_then(|i| items.get(i)) else { return false };
                walk.place = (file, item);
                walk.span = if last { tree.span(item) } else { tree.first_line(item) };
                true
            }
            Value::Scalar { .. } => false,
        }
    }

    /// Where a key refers to a type or a zone, goes on there.
    fn follow(&self, trees: &[Tree], walk: &mut Walk, key: &str, name: &str) {
        if let Some(table) = schedule_of(walk.kind, key) {
            let Some(&(entry, place)) = self.types.get(&(table, name.to_owned())) else { return };
            if let Some(tree) = trees.get(place.0) {
                *walk = Walk { kind: None, place, span: tree.span(entry) };
            }
        } else if (walk.kind, key) == (Some(ElementKind::Run), "zone") {
            let Some(&(kind, item)) = self.elements.get(name) else { return };
            if let Some(tree) = trees.first() {
                let span = tree.get(item, "id").map_or_else(|| tree.first_line(item), |id| tree.span(id));
                *walk = Walk { kind: Some(kind), place: (0, item), span };
            }
        }
    }
}

/// A position on a route, and what to show if the route ends here.
struct Walk {
    kind: Option<ElementKind>,
    place: Place,
    span: Span,
}

/// What stands for the plan as a whole: its name, else its format version.
fn whole_plan(tree: &Tree) -> Span {
    let root = tree.root();
    let name = tree.get(root, "project").and_then(|project| tree.get(project, "name"));
    match name.or_else(|| tree.get(root, "plan")) {
        Some(node) => tree.span(node),
        None => tree.first_line(root),
    }
}
