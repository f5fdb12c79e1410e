//! Wiring in the ground beside a pool by a method that the code does not name there.

use crate::distance::{Unit, written};
use crate::methods;
use crate::support::{Family, family, level};
use crate::table::CLOSE;
use crate::water::{BATHING, Near, is_drawn, near_run};
use lintern_rule::compare::below;
use lintern_rule::facts::Piece;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{CableKind, Method};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/unsuited-wiring-by-pool",
    title: "Cable is buried beside a pool without one of the raceways that belong there",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table(
            "distance",
            "ft",
            Tighter::Higher,
            "distance from the pool within which the raceways are needed",
        ),
        Setting::table("distance-metric", "m", Tighter::Higher, "the same for a plan in metres"),
    ],
    citations: UNDERGROUND_BY_POOL,
    doc: include_str!("doc.md"),
    check,
};

/// The section on wiring in the ground around and under pools.
pub const UNDERGROUND_BY_POOL: &[Citation] = &[
    Citation::nec(Code::Nec2017, "680.11", Confirmed),
    Citation::nec(Code::Nec2020, "680.11", Confirmed),
    Citation::nec(Code::Nec2023, "680.11", Confirmed),
    Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
];

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) || !is_drawn(input, BATHING) {
        return;
    }
    let unit = Unit::of(input);
    let source = match input.project().code {
        Some(Code::Nec2017) => "NFPA 70, 2020, 680.11(A); the 2017 edition names the methods and no distance",
        _ => "NFPA 70, 680.11",
    };
    let limit = CLOSE.at_least(
        "distance within which 680.11 names the methods",
        unit,
        settings,
        ["distance", "distance-metric"],
        source,
    );
    for (index, run) in input.runs().iter().enumerate() {
        report.checked(&run.id);
        report.limit(&run.id, &limit);
        let waters = near_run(input, index, BATHING);
        if !waters.complete {
            report.undetermined(&run.id, [format!("`at` of the ends of {}", run.id)]);
        }
        for near in waters.near {
            if input.project().code.is_none() && below(unit.of_metres(near.distance_m), limit.value()) {
                report.undetermined(&run.id, ["`project.code`"]);
                continue;
            }
            // What runs inside the pool's outline is another rule's.
            let beside = |piece: &&Piece| !piece.zones.contains(&near.index);
            let pieces = input.run_pieces()[index].iter().flatten().flatten().filter(beside);
            let mut worst: Option<f64> = None;
            for piece in pieces {
                let water = piece.water.iter().find(|water| water.zone == near.index);
                let Some(distance) = water.map(|water| unit.of_metres(water.distance_m)) else { continue };
                let method = methods::of_piece(input, run, piece);
                let compared = limit.compare(distance).field("method");
                if compared.passes() {
                    if method == Some(Method::DirectBurial) {
                        report.passes(&run.id, &compared);
                    }
                    continue;
                }
                match method {
                    None => report.undetermined(&run.id, [format!("`method` of {}", run.id)]),
                    Some(Method::DirectBurial) => worst = Some(worst.map_or(distance, |known| known.min(distance))),
                    Some(_) => {}
                }
            }
            if let Some(distance) = worst {
                add(input, index, &near, distance, &limit, report);
            }
        }
    }
}

fn add(input: &Input, index: usize, near: &Near, distance: f64, limit: &Limit, report: &mut Report) {
    let run = &input.runs()[index];
    let armoured = input.cable_type(run).kind == Some(CableKind::Armoured);
    let (own_level, message) = if armoured {
        (
            Level::Reminder,
            format!(
                "{} buries armoured cable {} from {}; confirm that it is jacketed Type MC listed for burial",
                run.id,
                written(distance, limit),
                near.phrase()
            ),
        )
    } else {
        (
            level(input, Level::Violation),
            format!(
                "{} is buried without a raceway {} from {}; within {} {} the code asks for conduit",
                run.id,
                written(distance, limit),
                near.phrase(),
                limit.value(),
                limit.unit()
            ),
        )
    };
    report
        .finding(&run.id)
        .level(own_level)
        .related([near.zone.id.as_str()])
        .message(message)
        .breaks(&limit.compare(distance).field("method"))
        .work(format!("shortest distance to {}", near.phrase()), distance, limit.unit(), "computed from the plan")
        .help("lay this part in rigid PVC or rigid metal conduit (`covers` with a zone around the pool), or route it farther away; the authority decides")
        .add();
}
