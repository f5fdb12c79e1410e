//! A luminaire under water whose supply lacks what the code asks of it.

use crate::pool_system::{Conditions, outputs_above_contact_limit};
use crate::support::{Family, NO_FEED, family, feeds, level, sentence_list, supplies};
use crate::underwater::{Submerged, submerged, without_water};
use crate::water::{BATHING, POOLS};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/unsafe-underwater-supply",
    title: "An underwater luminaire has a supply that is not made for it",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "680.23(A)", Confirmed),
        Citation::nec(Code::Nec2020, "680.23(A)", Confirmed),
        Citation::nec(Code::Nec2023, "680.23(A)", Memory),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) {
        return;
    }
    for id in without_water(input) {
        report.undetermined(id, [format!("a zone of the water that {id} is in")]);
    }
    for own in submerged(input, POOLS, report) {
        let id = &own.luminaire.id;
        let Some(code) = input.project().code else {
            report.undetermined(id, ["`project.code`"]);
            continue;
        };
        report.checked(id);
        let outputs = feeds(input, own.node());
        if outputs.is_empty() {
            report.undetermined(id, [NO_FEED]);
            continue;
        }
        if own.waters.iter().any(|near| BATHING.contains(&near.zone.kind)) {
            in_pool(input, &own, &outputs, report);
        } else {
            in_fountain(input, &own, &outputs, code, report);
        }
    }
}

/// In a pool the supply is listed for pools in any case, and a GFCI comes on top above the contact limit.
fn in_pool(input: &Input, own: &Submerged, outputs: &[(u32, u32)], report: &mut Report) {
    let mut conditions = Conditions::of_supplies(input, &supplies(outputs));
    let over = outputs_above_contact_limit(input, outputs);
    if !over.is_empty() {
        match gfci(input, outputs) {
            Gfci::Everywhere => {}
            Gfci::Missing(of) => {
                conditions.broken.push(format!("{} without a GFCI in its branch circuit", over_and(&over, &of)))
            }
            Gfci::NotStated(missing) => conditions.missing.extend(missing),
        }
    }
    settle(input, own, conditions, None, report);
}

/// In a fountain either the supply is made for pools and within the contact limit, or a GFCI protects the luminaire.
fn in_fountain(input: &Input, own: &Submerged, outputs: &[(u32, u32)], code: Code, report: &mut Report) {
    let mut conditions = Conditions::of_feeds(input, outputs);
    match gfci(input, outputs) {
        Gfci::Everywhere => conditions = Conditions::default(),
        Gfci::Missing(of) if !conditions.broken.is_empty() => {
            conditions.broken.push(format!("the circuit of {} has no GFCI", sentence_list(&of)));
        }
        Gfci::NotStated(missing) if !conditions.broken.is_empty() => {
            conditions.broken.clear();
            conditions.missing.extend(missing);
        }
        Gfci::Missing(_) | Gfci::NotStated(_) => {}
    }
    let basis = match code {
        Code::Nec2017 => Basis::code("NFPA 70", "2017", "680.51"),
        Code::Nec2020 => Basis::code("NFPA 70", "2020", "680.51(A)"),
        Code::Nec2026 => Basis { section: None, ..Basis::code("NFPA 70", "2026", "") },
        // The text of this edition was not read.
        _ => Basis { section: None, ..Basis::code("NFPA 70", "2023", "") },
    };
    settle(input, own, conditions, Some(basis), report);
}

fn settle(input: &Input, own: &Submerged, conditions: Conditions, basis: Option<Basis>, report: &mut Report) {
    let id = &own.luminaire.id;
    if conditions.broken.is_empty() {
        if !conditions.missing.is_empty() {
            report.undetermined(id, conditions.missing);
        }
        return;
    }
    let is_bathing = own.waters.iter().any(|near| BATHING.contains(&near.zone.kind));
    let waters: Vec<String> = own.waters.iter().map(|near| near.phrase()).collect();
    let finding = report.finding(id).level(level(input, Level::Violation));
    let finding = match basis {
        Some(basis) => finding.basis(basis),
        None => finding,
    };
    let help = if is_bathing {
        "feed it from a supply listed for pool and spa use with an isolated, ungrounded output within the low-voltage contact limit; the authority decides"
    } else {
        "feed it from a supply listed for pool and spa use with an isolated, ungrounded output within the low-voltage contact limit, or protect its branch circuit by a GFCI; the authority decides"
    };
    finding
        .related(own.waters.iter().map(|near| near.zone.id.as_str()))
        .message(format!(
            "{id} is under water in {}, and {}",
            sentence_list(&waters),
            sentence_list(&conditions.broken)
        ))
        .help(help)
        .add();
}

/// Whether the branch circuits of the supplies behind outputs have ground-fault circuit interrupters.
enum Gfci {
    Everywhere,
    /// Supplies without one.
    Missing(Vec<String>),
    /// Inputs that are not stated.
    NotStated(Vec<String>),
}

fn gfci(input: &Input, outputs: &[(u32, u32)]) -> Gfci {
    let (mut missing, mut not_stated) = (Vec::new(), Vec::new());
    for index in supplies(outputs) {
        let supply = &input.supplies()[index as usize];
        match supply.feed.as_ref().and_then(|feed| feed.gfci) {
            Some(true) => {}
            Some(false) => missing.push(supply.id.clone()),
            None => not_stated.push(format!("`feed.gfci` of {}", supply.id)),
        }
    }
    match (missing.is_empty(), not_stated.is_empty()) {
        (true, true) => Gfci::Everywhere,
        (false, _) => Gfci::Missing(missing),
        (true, false) => Gfci::NotStated(not_stated),
    }
}

fn over_and(over: &[String], of: &[String]) -> String {
    format!("{}, and {} is", sentence_list(over), sentence_list(of))
}
