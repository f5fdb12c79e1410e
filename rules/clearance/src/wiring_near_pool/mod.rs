//! Cables and joints of the low-voltage lighting nearer to a pool, spa or fountain than their supply allows.

use crate::distance::{Unit, written};
use crate::luminaire_near_pool::{LIGHTING_BY_WATER, lighting_limit};
use crate::methods;
use crate::pool_system::Conditions;
use crate::support::{Family, family, feeds, level, run_feeds};
use crate::water::{Near, POOLS, is_drawn, near_place, near_run};
use lintern_rule::compare::below;
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
            if !below(unit.of_metres(near.distance_m), limit.value()) {
                continue;
            }
            let close = |water: &lintern_rule::facts::WaterDistance| {
                water.zone == near.index && below(unit.of_metres(water.distance_m), limit.value())
            };
            let pieces = input.run_pieces()[index].iter().flatten().flatten();
            let own: Vec<Option<Method>> = pieces
                .filter(|piece| piece.water.iter().any(close))
                .map(|piece| methods::of_piece(run, piece))
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
            judge(input, &run.id, "route", near, unit, &limit, conditions, report);
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
            if below(unit.of_metres(near.distance_m), limit.value()) {
                let conditions = Conditions::of_feeds(input, &feeds(input, node));
                judge(input, &junction.id, "at", &near, unit, &limit, conditions, report);
            }
        }
    }
}

#[expect(clippy::too_many_arguments, reason = "what a finding says of an element, for runs and junctions alike")]
fn judge(
    input: &Input,
    id: &str,
    field: &str,
    near: &Near,
    unit: Unit,
    limit: &Limit,
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
    let distance = unit.of_metres(near.distance_m);
    report
        .finding(id)
        .level(level(input, Level::Violation))
        .field(field)
        .related([near.zone.id.as_str()])
        .message(format!(
            "{id} comes within {} of {}; wiring nearer than {} {} has to belong to a system made for it, and here {broken}",
            written(distance, limit),
            near.phrase(),
            limit.value(),
            limit.unit()
        ))
        .measured(distance, unit.symbol())
        .limited_by(limit)
        .work(format!("shortest distance to {}", near.phrase()), distance, unit.symbol(), "computed from the plan")
        .help("route it farther away, lay the near part in conduit underground, or feed it from a supply listed for pool and spa use with an isolated, ungrounded output within the contact limit; the authority decides")
        .add();
}
