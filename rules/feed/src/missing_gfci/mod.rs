//! Mains outdoors without ground-fault protection of people, in the terms of NFPA 70.

use crate::place::{Place, missing_exposure};
use crate::support::{NO_CODE, connection, if_wired_in, is_dwelling, is_nec, level};
use lintern_rule::compare::above;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Connection, Feed, Occupancy, Supply};
use lintern_rule::prelude::*;

const RECEPTACLES_2017_2020: &str = "210.8(A)(3), 210.8(B)(4)";
const RECEPTACLES_2023: &str = "210.8(A)(3), 210.8(B)(6)";

pub const RULE: Rule = Rule {
    id: "feed/missing-gfci",
    title: "A supply is fed outdoors without ground-fault (GFCI) protection",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, RECEPTACLES_2017_2020, Confirmed),
        Citation::nec(Code::Nec2020, RECEPTACLES_2017_2020, Confirmed),
        Citation::nec(Code::Nec2023, RECEPTACLES_2023, Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// What the code asks of a feed that has no ground-fault protection.
enum Requirement {
    Receptacle,
    /// Of outlets of dwellings, lighting outlets excepted.
    Outlet,
    None,
    Unknown(&'static str),
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, supply) in input.supplies().iter().enumerate() {
        let id = &supply.id;
        let Some(code) = input.project().code else {
            report.undetermined(id, NO_CODE);
            continue;
        };
        let place = Place::of(input, index);
        if !is_nec(code) || place == Place::Indoors {
            continue;
        }
        let Some(feed) = &supply.feed else {
            report.undetermined(id, [format!("`feed` of {id}")]);
            continue;
        };
        if feed.gfci == Some(true) {
            report.checked(id);
            continue;
        }
        let requirement = requirement(input, code, supply, feed);
        if matches!(requirement, Requirement::None) {
            report.checked(id);
            continue;
        }
        let mut missing = Vec::new();
        if feed.gfci.is_none() {
            missing.push(format!("`feed.gfci` of {id}"));
        }
        if let Requirement::Unknown(input) = requirement {
            missing.push(input.replace("ID", id));
        }
        if place == Place::Unsure {
            missing.extend(missing_exposure(id));
        }
        if missing.is_empty() {
            find(input, code, id, feed, &requirement, report);
        } else {
            report.undetermined(id, missing);
        }
    }
}

fn requirement(input: &Input, code: Code, supply: &Supply, feed: &Feed) -> Requirement {
    match connection(feed) {
        None => Requirement::Unknown("`feed.connection` of ID"),
        Some(Connection::Receptacle) if leaves_out(input, code, supply, feed) => Requirement::None,
        Some(Connection::Receptacle) => Requirement::Receptacle,
        // Outlets came with 2020.
        Some(Connection::HardWired) if code == Code::Nec2017 => Requirement::None,
        Some(Connection::HardWired) => match is_dwelling(input) {
            None => Requirement::Unknown("`project.occupancy`"),
            Some(true) => Requirement::Outlet,
            Some(false) => Requirement::None,
        },
    }
}

/// Receptacles that the section does not speak of: above 250 V, or in a dwelling under 2017 above 125 V or 20 A.
fn leaves_out(input: &Input, code: Code, supply: &Supply, feed: &Feed) -> bool {
    let volts = input.supply_type(supply).input_v.unwrap_or(120.0);
    let of_dwelling_2017 = code == Code::Nec2017 && is_dwelling(input) == Some(true);
    let amps = feed.breaker_a.unwrap_or(20.0);
    above(volts, 250.0) || of_dwelling_2017 && (above(volts, 125.0) || above(amps, 20.0))
}

fn find(input: &Input, code: Code, id: &str, feed: &Feed, requirement: &Requirement, report: &mut Report) {
    let finding = report.finding(id).field("feed.gfci");
    if matches!(requirement, Requirement::Outlet) {
        let finding = finding
            .level(Level::Reminder)
            .message(format!(
                "{id} is wired in outdoors at a dwelling without ground-fault (GFCI) protection, which outdoor outlets of dwellings have unless they are lighting outlets"
            ))
            .help("ask the authority whether the outlet of a lighting supply is a lighting outlet; a GFCI breaker settles it");
        match section(code, "210.8(F)", "210.8(F)") {
            Some(basis) => finding.basis(basis).add(),
            None => finding.add(),
        }
        return;
    }
    let (of, basis) = match input.project().occupancy {
        Some(Occupancy::OneFamilyDwelling | Occupancy::TwoFamilyDwelling) => {
            (" of dwellings", section(code, "210.8(A)(3)", "210.8(A)(3)"))
        }
        Some(Occupancy::Commercial | Occupancy::Public) => ("", section(code, "210.8(B)(4)", "210.8(B)(6)")),
        Some(Occupancy::Multifamily) | None => ("", None),
    };
    let finding = finding
        .level(level(code, Level::Violation))
        .message(format!(
            "the receptacle that feeds {id} has no ground-fault (GFCI) protection, which outdoor receptacles{of} are to have"
        ))
        .help(format!("feed it from a GFCI receptacle or a GFCI breaker{}", if_wired_in(feed)));
    match basis {
        Some(basis) => finding.basis(basis).add(),
        None => finding.add(),
    }
}

/// One of the sections, by edition; `None` where it is not confirmed.
fn section(code: Code, to_2020: &'static str, of_2023: &'static str) -> Option<Basis> {
    match code {
        Code::Nec2017 => Some(Basis::code("NFPA 70", "2017", to_2020)),
        Code::Nec2020 => Some(Basis::code("NFPA 70", "2020", to_2020)),
        Code::Nec2023 => Some(Basis::code("NFPA 70", "2023", of_2023)),
        Code::Nec2026 | Code::Iec60364 | Code::Bs7671 => None,
    }
}
