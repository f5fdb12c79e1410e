//! What the text at a place names, by the way that leads there.

use super::{On, Spot, Step, Written};
use crate::plan::ElementKind;

/// The tables of a schedule.
pub(super) const TABLES: [&str; 4] = ["luminaires", "cables", "supplies", "splices"];

/// What a text names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Role {
    /// An element, by its id.
    Element {
        /// The id.
        id: String,
        /// The output, where one is named as in `S1/12`.
        output: Option<String>,
        /// Whether the element gets its id here.
        defines: bool,
    },
    /// A type of a schedule.
    Type {
        /// The table that it is in.
        table: &'static str,
        /// Its name.
        name: String,
        /// Whether the type is defined here.
        defines: bool,
    },
    /// A rule.
    Rule(String),
    /// A shared schedule.
    File(String),
}

/// What may be named at the end of a way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// What a run leads to: junctions, luminaires, and outputs of supplies.
    Nodes,
    /// What is read: the same, supplies and runs.
    Places,
    /// A zone.
    Zones,
    /// Any element.
    Elements,
    /// A type of this table.
    Types(&'static str),
    /// A rule.
    Rules,
    /// A shared schedule.
    Files,
}

/// What may be named at the end of a way; `None` where nothing is.
pub fn wanted(route: &[Step]) -> Option<Wanted> {
    let keys: Vec<&str> = pattern(route);
    Some(match keys[..] {
        ["runs", "*", "route", "*"] => Wanted::Nodes,
        ["runs", "*", "covers", "*", "zone"] => Wanted::Zones,
        ["readings", "taken", "*", "at"] => Wanted::Places,
        ["waivers", "*", "subject"] => Wanted::Elements,
        ["waivers", "*", "rule"] => Wanted::Rules,
        ["use", "*"] => Wanted::Files,
        ["supplies", "*", "type"] => Wanted::Types("supplies"),
        ["luminaires", "*", "type"] => Wanted::Types("luminaires"),
        ["runs", "*", "cable"] => Wanted::Types("cables"),
        ["luminaires" | "junctions", "*", "splice"] => Wanted::Types("splices"),
        _ => return None,
    })
}

/// The way with a star for each item.
fn pattern(route: &[Step]) -> Vec<&str> {
    route.iter().map(|step| if let Step::Key(key) = step { key.as_str() } else { "*" }).collect()
}

/// Whether an element gets its id at the end of a way.
pub(super) fn is_own_id(route: &[Step]) -> bool {
    let keys = pattern(route);
    let Some((&"id", list)) = keys.split_last() else { return false };
    let Some((&"*", list)) = list.split_last() else { return false };
    ElementKind::ALL.iter().any(|kind| kind.list() == list)
}

/// The table of a type whose entry a way leads to.
pub(super) fn table_of(route: &[Step]) -> Option<&'static str> {
    match pattern(route)[..] {
        ["schedule", table, _] => TABLES.into_iter().find(|known| *known == table),
        _ => None,
    }
}

impl Written {
    /// What the text at a spot names.
    pub fn role(&self, spot: &Spot) -> Option<Role> {
        let text = || spot.text.clone();
        match spot.on {
            On::Key => table_of(&spot.route).map(|table| Role::Type { table, name: text(), defines: true }),
            On::Value if is_own_id(&spot.route) => Some(Role::Element { id: text(), output: None, defines: true }),
            On::Value => Some(match wanted(&spot.route)? {
                Wanted::Nodes | Wanted::Places | Wanted::Zones | Wanted::Elements => {
                    let (id, output) = split(&spot.text);
                    Role::Element { id: id.to_owned(), output: output.map(str::to_owned), defines: false }
                }
                Wanted::Types(table) => Role::Type { table, name: text(), defines: false },
                Wanted::Rules => Role::Rule(text()),
                Wanted::Files => Role::File(text()),
            }),
            On::Between => None,
        }
    }

    /// The element that a way leads into: its kind and its id, empty where it has none.
    pub fn element_of(&self, route: &[Step]) -> Option<(ElementKind, &str)> {
        let keys = pattern(route);
        let (kind, depth) = ElementKind::ALL.iter().find_map(|kind| {
            let list = kind.list();
            let into = keys.get(list.len()).is_some_and(|step| *step == "*") && keys.starts_with(list);
            into.then_some((*kind, list.len() + 1))
        })?;
        let item = self.node(route.get(..depth)?)?;
        Some((kind, self.tree.get(item, "id").map_or("", |id| self.tree.scalar(id))))
    }
}

/// The id and the output of a text like `S1/12`.
pub(super) fn split(text: &str) -> (&str, Option<&str>) {
    text.split_once('/').map_or((text, None), |(id, output)| (id, Some(output)))
}
