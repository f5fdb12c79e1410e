//! What stands at a place of a text, for editors: the way there, what it refers to, and where else that is named.
//!
//! It asks only that the text is YAML, since a plan that would not load is edited too; [`unfinished`] copes with less.

mod field;
mod names;
mod narrow;
mod rename;
mod role;
#[cfg(test)]
mod tests;
mod unfinished;

pub use field::{Described, KeyOf, Word, describe};
pub use names::{Named, TypeName};
pub use rename::Refused;
pub use role::{Role, Wanted, wanted};
pub use unfinished::{Place, Unfinished, unfinished};

use super::Loaded;
use super::diagnostic::{Diagnostics, Sources};
use super::yaml::{self, NodeId, Tree, Value};
use std::ops::Range;

/// One step on the way from the root of a document to a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// To the value of a key.
    Key(String),
    /// To an item of a list.
    Item(usize),
}

/// What a place is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// A key; the way leads to its value.
    Key,
    /// A text; the way leads to it.
    Value,
    /// Neither: between the parts of the list or mapping that the way leads to.
    Between,
}

/// What stands at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    /// The way there.
    pub route: Vec<Step>,
    /// What it is.
    pub on: On,
    /// The bytes of the key, the value or the container, quotes included.
    pub bytes: Range<usize>,
    /// The text of the key or the value, without quotes.
    pub text: String,
}

/// The text of a plan or a shared schedule that is YAML.
#[derive(Debug, Clone)]
pub struct Written {
    tree: Tree,
}

impl Written {
    /// Reads a text; `None` where it is no YAML document.
    pub fn read(text: &str) -> Option<Self> {
        // What is wrong is told by the load; the tree without the parts at fault is enough here.
        let tree = yaml::parse("", text.as_bytes(), &mut Sources::default(), &mut Diagnostics::default())?;
        Some(Self { tree })
    }

    /// The text of a plan that was loaded.
    pub fn of(loaded: &Loaded) -> Option<Self> {
        loaded.tree().map(|tree| Self { tree: tree.clone() })
    }

    /// Whether it has the top-level key of a plan.
    pub fn is_plan(&self) -> bool {
        self.tree.get(self.tree.root(), "plan").is_some()
    }

    /// Whether it is a shared schedule.
    pub fn is_schedule(&self) -> bool {
        !self.is_plan() && self.tree.get(self.tree.root(), "schedule").is_some()
    }

    /// What stands at a byte; what ends there counts as well.
    pub fn at(&self, byte: usize) -> Spot {
        let tree = &self.tree;
        let (mut node, mut route) = (tree.root(), Vec::new());
        loop {
            let next = match tree.value(node) {
                Value::Scalar { .. } => return self.spot(route, On::Value, node),
                Value::Sequence(items) => items
                    .iter()
                    .enumerate()
                    .find(|(_, item)| self.holds(**item, byte))
                    .map(|(i, item)| (Step::Item(i), *item)),
                Value::Mapping(entries) => {
                    let found =
                        entries.iter().find(|entry| self.holds(entry.key, byte) || self.holds(entry.value, byte));
                    let step = |entry: &yaml::Entry| Step::Key(tree.scalar(entry.key).to_owned());
                    if let Some(entry) = found.filter(|entry| self.holds(entry.key, byte)) {
                        route.push(step(entry));
                        return self.spot(route, On::Key, entry.key);
                    }
                    found.map(|entry| (step(entry), entry.value))
                }
            };
            match next {
                Some((step, child)) => {
                    route.push(step);
                    node = child;
                }
                None => return self.spot(route, On::Between, node),
            }
        }
    }

    /// The keys of the mapping that a way leads to.
    pub fn keys(&self, route: &[Step]) -> Vec<&str> {
        let node = self.node(route);
        node.map_or(&[][..], |node| self.tree.entries(node)).iter().map(|entry| self.tree.scalar(entry.key)).collect()
    }

    /// The value that a way leads to.
    fn node(&self, route: &[Step]) -> Option<NodeId> {
        route.iter().try_fold(self.tree.root(), |node, step| match step {
            Step::Key(key) => self.tree.get(node, key),
            Step::Item(index) => self.tree.items(node).get(*index).copied(),
        })
    }

    fn spot(&self, route: Vec<Step>, on: On, node: NodeId) -> Spot {
        Spot { route, on, bytes: self.bytes(node), text: self.tree.scalar(node).to_owned() }
    }

    fn bytes(&self, node: NodeId) -> Range<usize> {
        let span = self.tree.span(node);
        span.start as usize..span.end as usize
    }

    fn holds(&self, node: NodeId, byte: usize) -> bool {
        let bytes = self.bytes(node);
        bytes.start <= byte && byte <= bytes.end
    }
}
