//! Cable and supply types of the plan's schedules: one that differs in its size alone, or a new one like it.

use super::desk::Desk;
use crate::layout::{CableType, SupplyType};
use crate::plan::scalar::{Conductor, Id};
use crate::whatif::Change;

/// The cable type that is like another one in this size, and the change that adds it where no schedule has it. What the
/// maker states of one size (resistance, ampacity) is not that of another.
pub(super) fn cable_in_size(desk: &Desk, like: &CableType, size: Conductor) -> (CableType, Option<Change>) {
    let sized = |name: &Id| CableType {
        name: name.clone(),
        conductor: Some(size),
        resistance: None,
        resistance_at: None,
        ampacity: None,
        ..like.clone()
    };
    let alike = |other: &CableType| {
        let unsized_facts = CableType {
            resistance: None,
            resistance_at: None,
            ampacity: None,
            house: like.house.clone(),
            ..other.clone()
        };
        unsized_facts == sized(&other.name)
    };
    let catalogue = &desk.loaded().catalogue.cables;
    if let Some(known) = catalogue.iter().find(|other| other.name != like.name && alike(other)) {
        return (CableType::clone(known), None);
    }
    let kind = sized(&free_name(desk, &sized_name(like, size)));
    let change = Change::CableType { name: kind.name.clone(), like: like.name.clone(), conductor: size };
    (kind, Some(change))
}

/// The supply types of the schedules that differ from another one in their rating and outputs alone.
pub(super) fn supplies_alike(desk: &Desk, like: &SupplyType) -> Vec<Id> {
    let alike = |other: &SupplyType| {
        let SupplyType { name, rating, outputs, common_resistance, house, .. } = like.clone();
        SupplyType { name, rating, outputs, common_resistance, house, ..other.clone() } == *like
    };
    let others = desk.loaded().catalogue.supplies.iter().filter(|other| other.name != like.name && alike(other));
    others.map(|other| other.name.clone()).collect()
}

/// A name that no type has.
pub(super) fn free_name(desk: &Desk, wish: &str) -> Id {
    let taken = |name: &str| desk.loaded().catalogue.names.iter().any(|known| known.0 == name);
    let mut name = wish.to_owned();
    let mut number = 2_usize;
    while taken(&name) {
        name = format!("{wish}-{number}");
        number += 1;
    }
    Id(name)
}

/// `burial-12-2` becomes `burial-10-2`; a name without its size gets the new one behind it.
fn sized_name(like: &CableType, size: Conductor) -> String {
    let plain = |size: Conductor| match size {
        Conductor::Awg(n) if n < 1 => format!("{}-0", 1 - n),
        Conductor::Awg(n) => n.to_string(),
        Conductor::Mm2(area) => area.to_string(),
    };
    let own = like.conductor.map(plain);
    let mut parts: Vec<String> = like.name.0.split('-').map(str::to_owned).collect();
    match parts.iter_mut().find(|part| own.as_ref() == Some(part)) {
        Some(part) => *part = plain(size),
        None => parts.push(match size {
            Conductor::Awg(_) => format!("{}awg", plain(size)),
            Conductor::Mm2(_) => format!("{}mm2", plain(size)),
        }),
    }
    parts.join("-")
}
