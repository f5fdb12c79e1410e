//! Cables and joints of the low-voltage lighting nearer to a pool, spa or fountain than their supply allows.

use crate::distance::{Unit, written};
use crate::luminaire_near_pool::{LIGHTING_BY_WATER, lighting_limit};
use crate::methods;
use crate::pool_system::Conditions;
use crate::support::{Family, family, feeds, level, run_feeds};
use crate::table::OVERHEAD;
use crate::water::{Near, POOLS, is_drawn, near_place, near_run};
use lintern_rule::compare::{below, plain, shown};
use lintern_rule::plan::Method;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/wiring-near-pool",
    title: "Low-voltage wiring is nearer to a pool, spa or fountain than its supply allows",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table(
            "minimum-distance",
            "ft",
            Tighter::Higher,
            "distance from the water at which wiring that is not made for pools may start",
        ),
        Setting::table("minimum-distance-metric", "m", Tighter::Higher, "the same for a plan in metres"),
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
    let limit = lighting_limit(unit, settings);
    for (index, run) in input.runs().iter().enumerate() {
        let waters = near_run(input, index, POOLS);
        report.checked(&run.id);
        report.limit(&run.id, &limit);
        if !waters.complete {
            report.undetermined(&run.id, [format!("`at` of the ends of {}", run.id)]);
        }
        for near in &waters.near {
            overhead(input, index, near, unit, report);
            let compared = limit.compare(unit.of_metres(near.distance_m)).field("route");
            if compared.passes() {
                report.passes(&run.id, &compared);
                continue;
            }
            let close = |water: &lintern_rule::facts::WaterDistance| {
                water.zone == near.index && below(unit.of_metres(water.distance_m), limit.value())
            };
            let pieces = input.run_pieces()[index].iter().flatten().flatten();
            let own: Vec<Option<Method>> = pieces
                .filter(|piece| piece.water.iter().any(close))
                .map(|piece| methods::of_piece(input, run, piece))
                .collect();
            let in_conduit = |method: &Option<Method>| method.is_some_and(methods::is_listed_for_pools);
            if own.iter().all(in_conduit) {
                continue;
            }
            let conditions = Conditions::of_feeds(input, &run_feeds(input, run));
            if own.iter().any(Option::is_none) && conditions.why_not().is_some() {
                // Conduit would settle it.
                report.undetermined(&run.id, [format!("`method` of {}", run.id)]);
                continue;
            }
            judge(input, &run.id, near, unit, &compared, conditions, report);
        }
    }
    for (index, junction) in input.junctions().iter().enumerate() {
        let Some(place) = &input.junction_places()[index] else {
            report.undetermined(&junction.id, [format!("`at` of {}", junction.id)]);
            continue;
        };
        report.checked(&junction.id);
        report.limit(&junction.id, &limit);
        let node = NodeRef::Junction(u32::try_from(index).unwrap_or(u32::MAX));
        for near in near_place(input, place, POOLS) {
            let compared = limit.compare(unit.of_metres(near.distance_m)).field("at");
            if compared.passes() {
                report.passes(&junction.id, &compared);
            } else {
                let conditions = Conditions::of_feeds(input, &feeds(input, node));
                judge(input, &junction.id, &near, unit, &compared, conditions, report);
            }
        }
    }
}

/// An overhead span at the water, whose height the plan does not say: a person has to look.
fn overhead(input: &Input, index: usize, near: &Near, unit: Unit, report: &mut Report) {
    let (Some(code), run) = (input.project().code, &input.runs()[index]) else { return };
    let pieces = input.run_pieces()[index].iter().flatten().flatten();
    let aerial = pieces.filter(|piece| methods::of_piece(input, run, piece) == Some(Method::Aerial));
    let distances = aerial.flat_map(|piece| &piece.water).filter(|water| water.zone == near.index);
    let Some(distance_m) = distances.map(|water| water.distance_m).min_by(f64::total_cmp) else { return };
    let (distance, limit) = (unit.of_metres(distance_m), OVERHEAD.in_unit(unit));
    let overhead = Limit::new(
        "distance of overhead conductors without a stated height",
        limit,
        unit.symbol(),
        Tighter::Higher,
        "NFPA 70, Table 680.9(A)",
    );
    let compared = overhead.compare(distance).field("method");
    if compared.passes() {
        report.passes(&run.id, &compared);
        return;
    }
    let basis = match code {
        Code::Nec2020 => Basis::code("NFPA 70", "2020", "680.9(A)"),
        Code::Nec2023 => Basis::code("NFPA 70", "2023", "680.9(A)"),
        Code::Nec2017 => Basis { section: None, ..Basis::code("NFPA 70", "2017", "") },
        _ => Basis { section: None, ..Basis::code("NFPA 70", "2026", "") },
    };
    let place = if distance > 0.0 {
        format!("{} {} from {}", shown(distance, limit), unit.symbol(), near.phrase())
    } else {
        format!("over {}", near.phrase())
    };
    report
        .finding(&run.id)
        .level(Level::Reminder)
        .basis(basis)
        .related([near.zone.id.as_str()])
        .message(format!(
            "{} spans overhead {place}; within {} {} overhead conductors keep a height above the water that the plan does not show",
            run.id,
            plain(limit),
            unit.symbol()
        ))
        .breaks(&compared)
        .work(format!("horizontal distance to {}", near.phrase()), distance, unit.symbol(), "computed from the plan")
        .help("measure the height (22.5 ft, 6.9 m, above the water for cable that a grounded messenger holds; more for others), or span elsewhere; the authority decides")
        .add();
}

fn judge(
    input: &Input,
    id: &str,
    near: &Near,
    unit: Unit,
    compared: &Comparison,
    conditions: Conditions,
    report: &mut Report,
) {
    if input.project().code.is_none() {
        report.undetermined(id, ["`project.code`"]);
        return;
    }
    if conditions.is_open() {
        report.undetermined(id, conditions.missing);
        return;
    }
    let Some(broken) = conditions.why_not() else { return };
    let (distance, limit) = (compared.measured(), compared.limit());
    report
        .finding(id)
        .level(level(input, Level::Violation))
        .related([near.zone.id.as_str()])
        .message(format!(
            "{id} comes within {} of {}; wiring nearer than {} {} has to belong to a system made for it, and here {broken}",
            written(distance, limit),
            near.phrase(),
            limit.value(),
            limit.unit()
        ))
        .breaks(compared)
        .work(format!("shortest distance to {}", near.phrase()), distance, unit.symbol(), "computed from the plan")
        .help("route it farther away, lay the near part in conduit underground, or feed it from a supply listed for pool and spa use with an isolated, ungrounded output within the contact limit; the authority decides")
        .add();
}
