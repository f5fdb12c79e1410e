//! Cable and supply types of the plan's schedules: one that differs in its size alone, or a new one like it.

use super::desk::Desk;
use crate::plan::scalar::{Conductor, Id};
use crate::plan::yaml::{NodeId, Tree};
use crate::whatif::Change;

/// What a maker states of one size and not of another.
const OF_THE_SIZE: [&str; 6] = ["conductor", "resistance", "resistance-at", "ampacity", "replaces", "house"];

/// The cable type that is like another one in this size, and the change that adds it where no schedule has it.
pub(super) fn cable_in_size(desk: &Desk, like: &Id, size: Conductor) -> (Id, Option<Change>) {
    let cables = entries(desk, "cables");
    let own = cables.iter().find(|(name, ..)| *name == like.0);
    let same = cables.iter().find(|(name, tree, node)| {
        let stated = tree.get(*node, "conductor").and_then(|c| tree.scalar(c).parse::<Conductor>().ok());
        *name != like.0
            && stated == Some(size)
            && own.is_some_and(|(_, own_tree, own)| alike((own_tree, *own), (tree, *node), &OF_THE_SIZE))
    });
    if let Some((name, ..)) = same {
        return (Id((*name).to_owned()), None);
    }
    let name = free_name(desk, &sized_name(like, desk, size));
    let change = Change::CableType { name: name.clone(), like: like.clone(), conductor: size };
    (name, Some(change))
}

/// The supply types of the schedules that differ from another one in `rating` and what else is named.
pub(super) fn supplies_alike(desk: &Desk, like: &Id, but: &[&str]) -> Vec<Id> {
    let supplies = entries(desk, "supplies");
    let Some((_, own_tree, own)) = supplies.iter().find(|(name, ..)| *name == like.0) else { return Vec::new() };
    let alike =
        |(name, tree, node): &&(&str, &Tree, NodeId)| *name != like.0 && alike((own_tree, *own), (tree, *node), but);
    supplies.iter().filter(alike).map(|(name, ..)| Id((*name).to_owned())).collect()
}

/// A name that no type has.
pub(super) fn free_name(desk: &Desk, wish: &str) -> Id {
    let taken = |name: &str| {
        ["luminaires", "cables", "supplies", "splices"]
            .iter()
            .any(|table| entries(desk, table).iter().any(|e| e.0 == name))
    };
    let mut name = wish.to_owned();
    let mut number = 2_usize;
    while taken(&name) {
        name = format!("{wish}-{number}");
        number += 1;
    }
    Id(name)
}

/// The entries of a table of the plan and its shared schedules; the plan's own come first.
fn entries<'a>(desk: &Desk<'a>, table: &str) -> Vec<(&'a str, &'a Tree, NodeId)> {
    let mut all: Vec<(&str, &Tree, NodeId)> = Vec::new();
    for tree in desk.loaded().trees() {
        let table = tree.get(tree.root(), "schedule").and_then(|schedule| tree.get(schedule, table));
        for entry in table.map_or(&[][..], |table| tree.entries(table)) {
            let name = tree.scalar(entry.key);
            if !all.iter().any(|(known, ..)| *known == name) {
                all.push((name, tree, entry.value));
            }
        }
    }
    all
}

/// Whether two entries are the same but for some keys.
fn alike(a: (&Tree, NodeId), b: (&Tree, NodeId), but: &[&str]) -> bool {
    let rest = |(tree, node): (&Tree, NodeId)| {
        let entries = tree.entries(node).iter();
        let kept = entries.filter(|entry| !but.contains(&tree.scalar(entry.key)));
        let mut rest: Vec<(String, String)> =
            kept.map(|e| (tree.scalar(e.key).to_owned(), crate::plan::edit::flow(tree, e.value, &[]))).collect();
        rest.sort();
        rest
    };
    rest(a) == rest(b)
}

/// `burial-12-2` becomes `burial-10-2`; a name without its size gets the new one behind it.
fn sized_name(like: &Id, desk: &Desk, size: Conductor) -> String {
    let plain = |size: Conductor| match size {
        Conductor::Awg(n) if n < 1 => format!("{}-0", 1 - n),
        Conductor::Awg(n) => n.to_string(),
        Conductor::Mm2(area) => area.to_string(),
    };
    let own =
        desk.layout.runs.iter().find(|run| run.cable.name == *like).and_then(|run| run.cable.conductor).map(plain);
    let mut parts: Vec<String> = like.0.split('-').map(str::to_owned).collect();
    match parts.iter_mut().find(|part| own.as_ref() == Some(part)) {
        Some(part) => *part = plain(size),
        None => parts.push(match size {
            Conductor::Awg(_) => format!("{}awg", plain(size)),
            Conductor::Mm2(_) => format!("{}mm2", plain(size)),
        }),
    }
    parts.join("-")
}
