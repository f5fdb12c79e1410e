//! Wiring that crosses a pool without serving it.

use crate::distance::Unit;
use crate::methods;
use crate::support::{Family, family, feeds, level, run_feeds};
use crate::unsuited_wiring_by_pool::UNDERGROUND_BY_POOL;
use crate::water::{BATHING, is_drawn, near_run};
use lintern_rule::compare::plain;
use lintern_rule::plan::{Method, Placement, Run};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/wiring-under-pool",
    title: "Wiring passes under a pool that it does not serve",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: UNDERGROUND_BY_POOL,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) || !is_drawn(input, BATHING) {
        return;
    }
    for (index, run) in input.runs().iter().enumerate() {
        report.checked(&run.id);
        let waters = near_run(input, index, BATHING);
        if !waters.complete {
            report.undetermined(&run.id, [format!("`at` of the ends of {}", run.id)]);
        }
        for near in waters.near {
            let pieces = input.run_pieces()[index].iter().flatten().flatten();
            let inside = pieces.filter(|piece| piece.zones.contains(&near.index) && piece.to_m > piece.from_m);
            let grounded = inside.filter(|piece| methods::of_piece(input, run, piece) != Some(Method::Aerial));
            let length_m: f64 = grounded.map(|piece| piece.to_m - piece.from_m).sum();
            if length_m <= 0.0 || ends_at_underwater_luminaire(input, run, near.index) {
                continue;
            }
            if input.project().code.is_none() {
                report.undetermined(&run.id, ["`project.code`"]);
                continue;
            }
            let may_serve = feeds_underwater_luminaire(input, run, near.index);
            let unit = Unit::of(input);
            let length = unit.of_metres(length_m);
            let fault = if may_serve {
                "only what supplies the pool may; confirm that the way to its luminaires has to lead there"
            } else {
                "only what supplies the pool may"
            };
            report
                .finding(&run.id)
                .level(if may_serve { Level::Reminder } else { level(input, Level::Violation) })
                .field("route")
                .related([near.zone.id.as_str()])
                .message(format!(
                    "{} passes under {} for {} {}; {fault}",
                    run.id,
                    near.phrase(),
                    plain((length * 100.0).round() / 100.0),
                    unit.symbol()
                ))
                .measured(length, unit.symbol())
                .work(
                    format!("length inside the outline of {}", near.phrase()),
                    length,
                    unit.symbol(),
                    "computed from the plan",
                )
                .help("route it around the pool; the authority decides")
                .add();
        }
    }
}

/// The underwater luminaires in a water, by index.
fn luminaires_in(input: &Input, water: u32) -> impl Iterator<Item = u32> {
    let places = input.luminaires().iter().zip(input.luminaire_places()).enumerate();
    places.filter_map(move |(index, (luminaire, place))| {
        let inside = place.as_ref()?.water.iter().any(|near| near.zone == water && near.distance_m <= 0.0);
        (inside && luminaire.placement == Some(Placement::Underwater)).then(|| u32::try_from(index).ok())?
    })
}

fn ends_at_underwater_luminaire(input: &Input, run: &Run, water: u32) -> bool {
    let nodes: Vec<NodeRef> = run.segments.iter().flat_map(|segment| [segment.start, segment.end]).collect();
    luminaires_in(input, water).any(|luminaire| nodes.contains(&NodeRef::Luminaire(luminaire)))
}

fn feeds_underwater_luminaire(input: &Input, run: &Run, water: u32) -> bool {
    let outputs = run_feeds(input, run);
    luminaires_in(input, water)
        .any(|luminaire| feeds(input, NodeRef::Luminaire(luminaire)).iter().any(|output| outputs.contains(output)))
}
