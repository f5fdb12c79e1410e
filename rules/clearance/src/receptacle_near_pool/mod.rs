//! The receptacle of a lighting supply too near a pool, or near it without a ground-fault circuit interrupter.

use crate::barrier::building_between;
use crate::distance::{Unit, written};
use crate::support::{Family, family, level};
use crate::table::{RECEPTACLE, UNPROTECTED_RECEPTACLE};
use crate::water::{Near, POOLS, is_drawn, near_place};
use lintern_rule::compare::below;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Connection, Feed, Supply, ZoneKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/receptacle-near-pool",
    title: "The receptacle of a lighting supply is too near the water, or near it without a GFCI",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table("minimum-distance", "ft", Tighter::Higher, "distance of a receptacle from a pool or spa"),
        Setting::table("minimum-distance-metric", "m", Tighter::Higher, "the same for a plan in metres"),
        Setting::table(
            "gfci-distance",
            "ft",
            Tighter::Higher,
            "distance from the water up to which a receptacle has a GFCI",
        ),
        Setting::table("gfci-distance-metric", "m", Tighter::Higher, "the same for a plan in metres"),
    ],
    citations: &[
        Citation::nec(Code::Nec2017, "680.22(A)", Confirmed),
        Citation::nec(Code::Nec2020, "680.22(A)", Confirmed),
        Citation::nec(Code::Nec2023, "680.22(A)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) || !is_drawn(input, POOLS) {
        return;
    }
    let unit = Unit::of(input);
    let minimum = RECEPTACLE.at_least(
        "distance of a receptacle from the water",
        unit,
        settings,
        ["minimum-distance", "minimum-distance-metric"],
        "NFPA 70, 680.22(A)",
    );
    let protected = UNPROTECTED_RECEPTACLE.at_least(
        "distance of a receptacle without GFCI from the water",
        unit,
        settings,
        ["gfci-distance", "gfci-distance-metric"],
        "NFPA 70, 680.22(A)",
    );
    for (index, supply) in input.supplies().iter().enumerate() {
        let connection = supply.feed.as_ref().and_then(connection);
        if connection == Some(Connection::HardWired) {
            continue;
        }
        let Some(place) = &input.supply_places()[index] else {
            report.undetermined(&supply.id, [format!("`at` of {}", supply.id)]);
            continue;
        };
        let near = near_place(input, place, POOLS);
        let is_within = |near: &&Near| below(unit.of_metres(near.distance_m), protected.value());
        let mut within = near.iter().filter(is_within).peekable();
        if connection.is_none() {
            // A hard-wired supply has no receptacle, and one that keeps the distances is allowed.
            let has_gfci = supply.feed.as_ref().and_then(|feed| feed.gfci) == Some(true);
            let is_allowed = |near: &Near| has_gfci && !is_too_near(near, unit, &minimum);
            if within.peek().is_some() {
                if within.all(is_allowed) {
                    report.checked(&supply.id);
                } else {
                    report.undetermined(&supply.id, [format!("`feed.connection` of {}", supply.id)]);
                }
            }
            continue;
        }
        report.checked(&supply.id);
        report.limit(&supply.id, &protected);
        report.limit(&supply.id, &minimum);
        for near in within {
            judge(input, supply, near, unit, &minimum, &protected, report);
        }
        for near in near.iter().filter(|near| !is_within(near)) {
            keeps(supply, near, unit, &minimum, &protected, report);
        }
    }
}

/// How the mains reach a supply: as stated, else by a receptacle where something is said of the receptacle.
fn connection(feed: &Feed) -> Option<Connection> {
    let of_receptacle = feed.in_use_cover.is_some() || feed.weather_resistant.is_some();
    feed.connection.or(of_receptacle.then_some(Connection::Receptacle))
}

/// NFPA 70 names no least distance of a receptacle from a fountain.
fn is_too_near(near: &Near, unit: Unit, minimum: &Limit) -> bool {
    near.zone.kind != ZoneKind::Fountain && below(unit.of_metres(near.distance_m), minimum.value())
}

/// A receptacle that is far enough: the greater distance is that of one without a ground-fault circuit interrupter.
fn keeps(supply: &Supply, near: &Near, unit: Unit, minimum: &Limit, protected: &Limit, report: &mut Report) {
    let gfci = supply.feed.as_ref().and_then(|feed| feed.gfci) == Some(true);
    let distance = unit.of_metres(near.distance_m);
    match (gfci, near.zone.kind) {
        // Nothing is asked of its distance.
        (true, ZoneKind::Fountain) => {}
        (true, _) => report.passes(&supply.id, &minimum.compare(distance).field("at")),
        (false, _) => report.passes(&supply.id, &protected.compare(distance).field("feed.gfci")),
    }
}

fn judge(
    input: &Input,
    supply: &Supply,
    near: &Near,
    unit: Unit,
    minimum: &Limit,
    protected: &Limit,
    report: &mut Report,
) {
    let Some(code) = input.project().code else {
        report.undetermined(&supply.id, ["`project.code`"]);
        return;
    };
    let distance = unit.of_metres(near.distance_m);
    let is_fountain = near.zone.kind == ZoneKind::Fountain;
    let too_near = is_too_near(near, unit, minimum);
    let gfci = supply.feed.as_ref().and_then(|feed| feed.gfci);
    let (limit, fault) = match (too_near, gfci) {
        (true, _) => (minimum, format!("a receptacle stays {} {} away", minimum.value(), minimum.unit())),
        (false, Some(false)) => (
            protected,
            format!(
                "within {} {} a receptacle has a ground-fault circuit interrupter",
                protected.value(),
                protected.unit()
            ),
        ),
        (false, None) => {
            report.undetermined(&supply.id, [format!("`feed.gfci` of {}", supply.id)]);
            return;
        }
        (false, Some(true)) => return keeps(supply, near, unit, minimum, protected, report),
    };
    let behind = supply.at.as_ref().is_some_and(|at| building_between(input, at, near.zone));
    let own_level = if behind { Level::Reminder } else { level(input, Level::Violation) };
    let mut finding = report.finding(&supply.id);
    if is_fountain {
        finding = finding.basis(fountain_basis(code));
    }
    let path = if behind { "; a building stands between, so measure the path that a cord would take" } else { "" };
    finding
        .level(own_level)
        .related([near.zone.id.as_str()])
        .message(format!(
            "{} is plugged in {} from {}; {fault}{path}",
            supply.id,
            written(distance, limit),
            near.phrase()
        ))
        .breaks(&limit.compare(distance).field(if too_near { "at" } else { "feed.gfci" }))
        .work(format!("straight distance to {}", near.phrase()), distance, unit.symbol(), "computed from the plan")
        .help(if too_near {
            "move the receptacle and the supply away from the water; the distance is that of a cord that pierces no wall, and the authority decides"
        } else {
            "protect the receptacle by a Class A ground-fault circuit interrupter; the authority decides"
        })
        .add();
}

/// The section for receptacles beside fountains.
fn fountain_basis(code: Code) -> Basis {
    match code {
        Code::Nec2017 => Basis::code("NFPA 70", "2017", "680.58"),
        Code::Nec2020 => Basis::code("NFPA 70", "2020", "680.58"),
        Code::Nec2026 => Basis { section: None, ..Basis::code("NFPA 70", "2026", "") },
        // The text of this edition was not read.
        _ => Basis { section: None, ..Basis::code("NFPA 70", "2023", "") },
    }
}
