//! A supply outdoors so low that splashes, snow and mulch reach it.

use crate::place::{Place, missing_exposure};
use lintern_rule::compare::plain;
use lintern_rule::plan::ZoneKind;
use lintern_rule::prelude::*;

/// The settings of a place: name and default in inches, name and default in millimetres.
struct Heights {
    inches: (&'static str, f64),
    millimetres: (&'static str, f64),
}

/// Common practice, no source.
const ANYWHERE: Heights = Heights { inches: ("minimum-height", 12.0), millimetres: ("minimum-height-metric", 300.0) };
/// Common practice, no source: where water rises or snow lies 18 in (450 mm) at least.
const LOW_GROUND: Heights =
    Heights { inches: ("minimum-height-low-ground", 18.0), millimetres: ("minimum-height-low-ground-metric", 450.0) };

const SUMMARY: &str = "least height of the underside above grade";
const SUMMARY_LOW: &str = "least height of the underside above grade in low ground";

pub const RULE: Rule = Rule {
    id: "feed/low-mounting",
    title: "A supply is mounted too close to the ground",
    level: Level::Advice,
    waivable: true,
    settings: &[
        Setting::number(ANYWHERE.inches.0, ANYWHERE.inches.1, "in", Tighter::Higher, SUMMARY),
        Setting::number(ANYWHERE.millimetres.0, ANYWHERE.millimetres.1, "mm", Tighter::Higher, SUMMARY),
        Setting::number(LOW_GROUND.inches.0, LOW_GROUND.inches.1, "in", Tighter::Higher, SUMMARY_LOW),
        Setting::number(LOW_GROUND.millimetres.0, LOW_GROUND.millimetres.1, "mm", Tighter::Higher, SUMMARY_LOW),
    ],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    for (index, supply) in input.supplies().iter().enumerate() {
        let id = &supply.id;
        let place = Place::of(input, index);
        if place == Place::Indoors {
            continue;
        }
        let Some(height) = &supply.mount_height else {
            report.undetermined(id, [format!("`mount-height` of {id}")]);
            continue;
        };
        let low_ground = in_low_ground(input, index);
        let least = limit(height, if low_ground == Some(true) { &LOW_GROUND } else { &ANYWHERE }, settings);
        let compared = least.compare(in_unit(height, least.unit())).field("mount-height");
        report.limit(id, &least);
        if !compared.passes() {
            if place == Place::Unsure {
                report.undetermined(id, missing_exposure(id));
                continue;
            }
            let unit = least.unit();
            report
                .finding(id)
                .message(format!(
                    "the underside of {id} is {} {unit} above grade{}; {} at least {} {unit}",
                    plain(compared.measured()),
                    if low_ground == Some(true) { " in low ground" } else { "" },
                    least.asks("good practice is"),
                    plain(least.value())
                ))
                .breaks(&compared)
                .help("raise it out of reach of splashes, snow and mulch; where its instructions name a height, they go first")
                .add();
        } else if low_ground.is_none() {
            let in_low_ground = limit(height, &LOW_GROUND, settings);
            let there = in_low_ground.compare(compared.measured()).field("mount-height");
            if there.passes() {
                report.passes(id, &there);
            } else {
                report.undetermined(id, [format!("`at` of {id}")]);
            }
        } else {
            report.passes(id, &compared);
        }
    }
}

/// Whether a supply stands in low ground; `None` where the plan has low ground and no place for the supply.
fn in_low_ground(input: &Input, supply: usize) -> Option<bool> {
    match &input.supply_places()[supply] {
        Some(place) => Some(input.zones_of(&place.zones).any(|zone| zone.kind == ZoneKind::LowGround)),
        None if input.zones().iter().any(|zone| zone.kind == ZoneKind::LowGround) => None,
        None => Some(false),
    }
}

/// The limit in the system in which the plan writes the height.
fn limit(height: &Length, heights: &Heights, settings: &Settings) -> Limit {
    let ((setting, value), unit) =
        if height.is_metric() { (heights.millimetres, "mm") } else { (heights.inches, "in") };
    Limit::new("least height", value, unit, Tighter::Higher, "common practice").given(settings, setting)
}

fn in_unit(height: &Length, unit: &str) -> f64 {
    if unit == "mm" { height.millimetres() } else { height.inches() }
}
