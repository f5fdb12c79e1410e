//! A supply of low-voltage lighting nearer to a pool, spa or fountain than its listing allows.

use crate::distance::{Unit, written};
use crate::luminaire_near_pool::{LIGHTING_BY_WATER, lighting_limit};
use crate::support::{Family, family, feeds, level};
use crate::table::{OTHER_EQUIPMENT, UNDERWATER_SUPPLY};
use crate::water::{Near, POOLS, is_drawn, near_place};
use lintern_rule::plan::{Placement, Supply};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/supply-near-pool",
    title: "A lighting supply is nearer to a pool, spa or fountain than it may be",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table(
            "minimum-distance",
            "ft",
            Tighter::Higher,
            "distance from water of a supply not listed for pools",
        ),
        Setting::table("minimum-distance-metric", "m", Tighter::Higher, "the same for a plan in metres"),
        Setting::table(
            "minimum-pool-supply",
            "ft",
            Tighter::Higher,
            "distance from water of a supply listed for pools",
        ),
        Setting::table("minimum-pool-supply-metric", "m", Tighter::Higher, "the same for a plan in metres"),
    ],
    citations: LIGHTING_BY_WATER,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) || !is_drawn(input, POOLS) {
        return;
    }
    let unit = Unit::of(input);
    let any_supply = lighting_limit(unit, settings);
    for (index, supply) in input.supplies().iter().enumerate() {
        let Some(place) = &input.supply_places()[index] else {
            report.undetermined(&supply.id, [format!("`at` of {}", supply.id)]);
            continue;
        };
        report.checked(&supply.id);
        report.limit(&supply.id, &any_supply);
        let near = near_place(input, place, POOLS);
        for near in &near {
            let compared = any_supply.compare(unit.of_metres(near.distance_m)).field("at");
            if compared.passes() {
                report.passes(&supply.id, &compared);
                continue;
            }
            let kind = input.supply_type(supply);
            match (input.project().code, kind.pool_listed) {
                (None, _) => report.undetermined(&supply.id, ["`project.code`"]),
                // The distance is the rule; that a supply is one that may be nearer, the plan has to show.
                (Some(_), None | Some(false)) => not_listed(input, supply, near, unit, &compared, report),
                (Some(code), Some(true)) => listed(input, index, supply, near, (unit, code), settings, report),
            }
        }
    }
}

fn not_listed(input: &Input, supply: &Supply, near: &Near, unit: Unit, compared: &Comparison, report: &mut Report) {
    let (distance, limit) = (compared.measured(), compared.limit());
    let not_listed = match input.supply_type(supply).pool_listed {
        Some(_) => "not listed for pool and spa use",
        None => "not stated to be listed for pool and spa use (`pool-listed`)",
    };
    report
        .finding(&supply.id)
        .level(level(input, Level::Violation))
        .related([near.zone.id.as_str()])
        .message(format!(
            "{} is {} from {} and {not_listed}; such a supply stays {} {} away",
            supply.id,
            written(distance, limit),
            near.phrase(),
            limit.value(),
            limit.unit()
        ))
        .breaks(compared)
        .work(format!("horizontal distance to {}", near.phrase()), distance, unit.symbol(), "computed from the plan")
        .help("move it, or use a supply that is listed for pool and spa use; the authority decides")
        .add();
}

/// A supply that is listed for pools keeps a shorter distance.
fn listed(
    input: &Input,
    index: usize,
    supply: &Supply,
    near: &Near,
    (unit, code): (Unit, Code),
    settings: &Settings,
    report: &mut Report,
) {
    let underwater = feeds_underwater(input, index);
    let names = ["minimum-pool-supply", "minimum-pool-supply-metric"];
    let limit = if underwater {
        UNDERWATER_SUPPLY.at_least(
            "distance of the supply of underwater luminaires",
            unit,
            settings,
            names,
            "NFPA 70, 680.24(B)",
        )
    } else {
        OTHER_EQUIPMENT.at_least(
            "distance of equipment above the contact limit",
            unit,
            settings,
            names,
            "NFPA 70, 680.22(E)",
        )
    };
    let distance = unit.of_metres(near.distance_m);
    let compared = limit.compare(distance).field("at");
    if compared.passes() {
        report.passes(&supply.id, &compared);
        return;
    }
    let (own_level, basis) = match (code, underwater) {
        (Code::Nec2026, _) => (Level::Reminder, Basis { section: None, ..Basis::code("NFPA 70", "2026", "") }),
        (Code::Nec2017, true) => (Level::Violation, Basis::code("NFPA 70", "2017", "680.24(B)")),
        (Code::Nec2020, true) => (Level::Violation, Basis::code("NFPA 70", "2020", "680.24(B)")),
        // The text of 680.22 and 680.24 in this edition was not read.
        (_, true) => (Level::Violation, Basis { section: None, ..Basis::code("NFPA 70", "2023", "") }),
        // The 2017 edition has no such section for other equipment.
        (Code::Nec2017, false) => (Level::Advice, Basis::PRACTICE),
        (Code::Nec2020, false) => (Level::Violation, Basis::code("NFPA 70", "2020", "680.22(E)")),
        (_, false) => (Level::Violation, Basis { section: None, ..Basis::code("NFPA 70", "2023", "") }),
    };
    report
        .finding(&supply.id)
        .level(own_level)
        .basis(basis)
        .related([near.zone.id.as_str()])
        .message(format!(
            "{} is {} from {}; a supply listed for pools stays {} {} away",
            supply.id,
            written(distance, &limit),
            near.phrase(),
            limit.value(),
            limit.unit()
        ))
        .breaks(&compared)
        .work(format!("horizontal distance to {}", near.phrase()), distance, unit.symbol(), "computed from the plan")
        .help("move it away from the water, or put a solid fence or wall between; the authority decides")
        .add();
}

/// Whether a supply feeds a luminaire under water.
fn feeds_underwater(input: &Input, supply: usize) -> bool {
    input.luminaires().iter().enumerate().any(|(index, luminaire)| {
        let node = NodeRef::Luminaire(u32::try_from(index).unwrap_or(u32::MAX));
        luminaire.placement == Some(Placement::Underwater)
            && feeds(input, node).iter().any(|(own, _)| *own as usize == supply)
    })
}
