//! A bare light source shines into the eyes of those who walk by.

use crate::support::{PRACTICE, ids, lit, missing_shielded};
use lintern_rule::compare::plain;
use lintern_rule::plan::{Aim, Lights, Luminaire};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

/// Heights between which a bare source stands in the view of people who walk or sit. Common practice, no source.
const EYES_FROM_IN: f64 = 36.0;
const EYES_TO_IN: f64 = 84.0;
const EYES_FROM_MM: f64 = 900.0;
const EYES_TO_MM: f64 = 2100.0;

pub const RULE: Rule = Rule {
    id: "light/unshielded-glare",
    title: "A bare light source shines into the eyes of people on a path, on steps or at an entry",
    level: Level::Advice,
    waivable: true,
    settings: &[
        Setting::number("eyes-from", EYES_FROM_IN, "in", Tighter::Lower, "lower end of the height of eyes"),
        Setting::number("eyes-to", EYES_TO_IN, "in", Tighter::Higher, "upper end of the height of eyes"),
        Setting::number(
            "eyes-from-metric",
            EYES_FROM_MM,
            "mm",
            Tighter::Lower,
            "lower end of the height of eyes where the plan writes it in metric units",
        ),
        Setting::number(
            "eyes-to-metric",
            EYES_TO_MM,
            "mm",
            Tighter::Higher,
            "upper end of the height of eyes where the plan writes it in metric units",
        ),
    ],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// Heights of eyes in the unit of one plan.
struct Eyes {
    from: Limit,
    to: Limit,
}

impl Eyes {
    fn of(settings: &Settings, metric: bool) -> Self {
        let limit = |name: &'static str, value, unit, tighter, setting| {
            Limit::new(name, value, unit, tighter, PRACTICE).given(settings, setting)
        };
        let (from, to) = ("eyes from this height", "eyes up to this height");
        if metric {
            Self {
                from: limit(from, EYES_FROM_MM, "mm", Tighter::Lower, "eyes-from-metric"),
                to: limit(to, EYES_TO_MM, "mm", Tighter::Higher, "eyes-to-metric"),
            }
        } else {
            Self {
                from: limit(from, EYES_FROM_IN, "in", Tighter::Lower, "eyes-from"),
                to: limit(to, EYES_TO_IN, "in", Tighter::Higher, "eyes-to"),
            }
        }
    }
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let mut upwards: BTreeMap<(u32, u8), (Lights, Vec<&Luminaire>)> = BTreeMap::new();
    for luminaire in input.luminaires() {
        // What is walked on or through; trees and facades are looked at from outside the beam.
        let Some(lights @ (Lights::Path | Lights::Steps | Lights::Entry)) = luminaire.lights else { continue };
        let Some(aim) = luminaire.aim else { continue };
        match (aim, luminaire.shielded) {
            (Aim::Down, _) | (_, Some(true)) => report.checked(&luminaire.id),
            (Aim::Up, Some(false)) => {
                report.checked(&luminaire.id);
                upwards.entry((luminaire.kind, lights as u8)).or_insert((lights, Vec::new())).1.push(luminaire);
            }
            (Aim::Level, Some(false)) => level(luminaire, lights, settings, report),
            (Aim::Up | Aim::Level, None) => {
                report.undetermined(&luminaire.id, [missing_shielded(input, luminaire)]);
            }
        }
    }
    for (lights, members) in upwards.values() {
        let Some(first) = members.first() else { continue };
        report
            .finding(&first.id)
            .field("aim")
            .related(members[1..].iter().map(|luminaire| luminaire.id.as_str()))
            .message(format!(
                "{} is aimed up without a shield at {}: who walks there looks into it",
                ids(members),
                lit(*lights)
            ))
            .help("fit a louvre or a shield, or aim it down")
            .add();
    }
}

/// A bare source that is aimed level: in the way of eyes between two heights.
fn level(luminaire: &Luminaire, lights: Lights, settings: &Settings, report: &mut Report) {
    let Some(height) = &luminaire.mount_height else {
        report.undetermined(&luminaire.id, [format!("`mount-height` of {}", luminaire.id)]);
        return;
    };
    let Eyes { from, to } = Eyes::of(settings, height.is_metric());
    let (value, unit) = if height.is_metric() { (height.millimetres(), "mm") } else { (height.inches(), "in") };
    report.limit(&luminaire.id, &from);
    report.limit(&luminaire.id, &to);
    let [below_eyes, above_eyes] = [&from, &to].map(|end| end.compare(value).field("mount-height").beyond());
    if let Some(passing) = [&below_eyes, &above_eyes].into_iter().find(|compared| compared.passes()) {
        report.passes(&luminaire.id, passing);
        return;
    }
    // The nearer end is the one to get past.
    let nearer = if value - from.value() < to.value() - value { below_eyes } else { above_eyes };
    report
        .finding(&luminaire.id)
        .message(format!(
            "{} is aimed level without a shield at {}, {} {unit} up; eyes are at {} to {} {unit}",
            luminaire.id,
            lit(lights),
            plain(value),
            plain(from.value()),
            plain(to.value())
        ))
        .breaks(&nearer)
        .help("hide the source behind a shield or a frosted lens, aim it down, or mount it out of the height of eyes")
        .add();
}
