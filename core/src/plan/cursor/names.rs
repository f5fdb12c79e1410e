//! The elements and types of a text, and every place that names one.

use super::role::{TABLES, split};
use super::{Step, Wanted, Written, wanted};
use crate::plan::ElementKind;
use crate::plan::edit::flow;
use crate::plan::yaml::{NodeId, Value};
use std::ops::Range;

/// An element with an id.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// Its kind.
    pub kind: ElementKind,
    /// Its id.
    pub id: String,
    /// What it is: the name of its type or the word of its kind; empty where it says neither.
    pub what: String,
    /// The bytes of the id, quotes included.
    pub id_bytes: Range<usize>,
    /// The bytes of the whole element.
    pub bytes: Range<usize>,
}

/// A type of a schedule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TypeName {
    /// Its table.
    pub table: &'static str,
    /// Its name.
    pub name: String,
    /// The bytes of the name, quotes included.
    pub name_bytes: Range<usize>,
    /// The bytes of its entry.
    pub bytes: Range<usize>,
}

impl Written {
    /// The elements, by kind in the order of the text; an id that stands twice is there twice.
    pub fn elements(&self) -> Vec<Named> {
        let mut all = Vec::new();
        for &kind in ElementKind::ALL {
            for &item in self.list(kind.list()) {
                let Some(id) = self.tree.get(item, "id") else { continue };
                let what = ["type", "cable", "kind"].iter().find_map(|key| self.tree.get(item, key));
                all.push(Named {
                    kind,
                    id: self.tree.scalar(id).to_owned(),
                    what: what.map_or("", |what| self.tree.scalar(what)).to_owned(),
                    id_bytes: self.bytes(id),
                    bytes: self.bytes(item),
                });
            }
        }
        all
    }

    /// The first element with an id.
    pub fn element(&self, id: &str) -> Option<Named> {
        self.elements().into_iter().find(|named| named.id == id)
    }

    /// The types of all tables.
    pub fn types(&self) -> Vec<TypeName> {
        let mut all = Vec::new();
        for table in TABLES {
            let entries = self.list_node(&["schedule", table]).map_or(&[][..], |node| self.tree.entries(node));
            all.extend(entries.iter().map(|entry| TypeName {
                table,
                name: self.tree.scalar(entry.key).to_owned(),
                name_bytes: self.bytes(entry.key),
                bytes: self.bytes(entry.key).start..self.bytes(entry.value).end,
            }));
        }
        all
    }

    /// What a type says: its keys with their values, each on one line.
    pub fn type_facts(&self, table: &str, name: &str) -> Option<Vec<(String, String)>> {
        let entry = self.list_node(&["schedule", table, name])?;
        let fact = |entry: &crate::plan::yaml::Entry| {
            (self.tree.scalar(entry.key).to_owned(), flow(&self.tree, entry.value, &[]))
        };
        Some(self.tree.entries(entry).iter().map(fact).collect())
    }

    /// The names of the outputs of a supply type.
    pub fn outputs(&self, name: &str) -> Option<Vec<String>> {
        let outputs = self.list_node(&["schedule", "supplies", name, "outputs"])?;
        let names = self.tree.items(outputs).iter().filter_map(|output| self.tree.get(*output, "name"));
        Some(names.map(|name| self.tree.scalar(name).to_owned()).collect())
    }

    /// The shared schedules that it uses, as written, with their bytes.
    pub fn schedules(&self) -> Vec<(String, Range<usize>)> {
        let files = self.list(&["use"]).iter();
        files
            .map(|file| (self.tree.scalar(*file).to_owned(), self.bytes(*file)))
            .filter(|(file, _)| !file.is_empty())
            .collect()
    }

    /// Every place that names an element: first where it gets its id.
    pub fn uses(&self, id: &str) -> Vec<Range<usize>> {
        let own = self.elements().into_iter().filter(|named| named.id == id).map(|named| named.id_bytes);
        let mut all: Vec<Range<usize>> = own.collect();
        self.visit(&mut |route, node| {
            let names =
                matches!(wanted(route), Some(Wanted::Nodes | Wanted::Places | Wanted::Zones | Wanted::Elements));
            if names && split(self.tree.scalar(node)).0 == id {
                all.push(self.bytes(node));
            }
        });
        all
    }

    /// Every place that names a type: first where it is defined, if it is here.
    pub fn uses_of_type(&self, table: &str, name: &str) -> Vec<Range<usize>> {
        let own = self.types().into_iter().filter(|known| known.table == table && known.name == name);
        let mut all: Vec<Range<usize>> = own.map(|known| known.name_bytes).collect();
        self.visit(&mut |route, node| {
            if matches!(wanted(route), Some(Wanted::Types(own)) if own == table) && self.tree.scalar(node) == name {
                all.push(self.bytes(node));
            }
        });
        all
    }

    /// The items of a list below the root.
    fn list(&self, keys: &[&str]) -> &[NodeId] {
        self.list_node(keys).map_or(&[], |node| self.tree.items(node))
    }

    fn list_node(&self, keys: &[&str]) -> Option<NodeId> {
        keys.iter().try_fold(self.tree.root(), |node, key| self.tree.get(node, key))
    }

    /// Shows every text with the way to it. What an alias repeats is shown once, where it is written.
    fn visit(&self, shown: &mut dyn FnMut(&[Step], NodeId)) {
        let mut route = Vec::new();
        self.visit_node(self.tree.root(), &mut route, shown);
    }

    /// The depth of a document is bounded by its parser.
    fn visit_node(&self, node: NodeId, route: &mut Vec<Step>, shown: &mut dyn FnMut(&[Step], NodeId)) {
        let within = self.bytes(node);
        let is_own = |child: NodeId| {
            let bytes = self.bytes(child);
            within.start <= bytes.start && bytes.end <= within.end
        };
        match self.tree.value(node) {
            Value::Scalar { .. } => shown(route, node),
            Value::Sequence(items) => {
                for (index, &item) in items.iter().enumerate().filter(|(_, item)| is_own(**item)) {
                    route.push(Step::Item(index));
                    self.visit_node(item, route, shown);
                    route.pop();
                }
            }
            Value::Mapping(entries) => {
                for entry in entries.iter().filter(|entry| is_own(entry.value)) {
                    route.push(Step::Key(self.tree.scalar(entry.key).to_owned()));
                    self.visit_node(entry.value, route, shown);
                    route.pop();
                }
            }
        }
    }
}
