//! A light along a path stands much farther from its neighbour than the others do.

use lintern_rule::plan::{Lights, Luminaire};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

pub const RULE: Rule = Rule {
    id: "pathway/uneven-spacing",
    title: "A light along a path stands much farther from its neighbour than the others do",
    level: Level::Advice,
    waivable: true,
    settings: &[Setting::number(
        "most",
        1.5,
        "times",
        Tighter::Lower,
        "largest distance to the nearest light of the scene, in times the usual one",
    )],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// A luminaire with its place.
type Placed<'a> = (&'a Luminaire, (f64, f64));

/// With fewer lights there is no usual distance.
const FEWEST: usize = 3;

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let mut scenes: BTreeMap<&str, Vec<Placed<'_>>> = BTreeMap::new();
    for luminaire in input.luminaires().iter().filter(|luminaire| luminaire.lights == Some(Lights::Path)) {
        match (&luminaire.at, &luminaire.scene) {
            (Some(at), Some(scene)) => scenes.entry(scene).or_default().push((luminaire, (at.x_m, at.y_m))),
            (None, _) => report.undetermined(&luminaire.id, [format!("`at` of {}", luminaire.id)]),
            (_, None) => report.undetermined(&luminaire.id, [format!("`scene` of {}", luminaire.id)]),
        }
    }
    let most =
        Limit::new("distance to the nearest light", 1.5, "times", Tighter::Lower, "Fernhollow lighting standard, 3.1")
            .given(settings, "most");
    for (scene, lights) in scenes.into_iter().filter(|(_, lights)| lights.len() >= FEWEST) {
        let nearest: Vec<f64> = (0..lights.len()).map(|index| nearest(&lights, index)).collect();
        let usual = median(&nearest);
        for ((luminaire, _), distance) in lights.iter().zip(&nearest) {
            // Lights at one place have no distance to compare with.
            if usual == 0.0 {
                report.checked(&luminaire.id);
                continue;
            }
            let compared = most.compare(distance / usual).field("at");
            if compared.passes() {
                report.passes(&luminaire.id, &compared);
                continue;
            }
            report
                .finding(&luminaire.id)
                .breaks(&compared)
                .message(format!(
                    "{} stands {distance:.1} m from the nearest light of scene `{scene}`, where {usual:.1} m are usual",
                    luminaire.id
                ))
                .work("distance to the nearest light of the scene", *distance, "m", "plan")
                .work("usual distance: the median of the scene", usual, "m", "plan")
                .help("move it, or put a light between, so that the path is lit evenly")
                .add();
        }
    }
}

fn nearest(lights: &[Placed<'_>], index: usize) -> f64 {
    let (x, y) = lights[index].1;
    let others = lights.iter().enumerate().filter(|(other, _)| *other != index);
    others.map(|(_, (_, (ox, oy)))| (x - ox).hypot(y - oy)).fold(f64::INFINITY, f64::min)
}

fn median(distances: &[f64]) -> f64 {
    let mut sorted = distances.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    if sorted.len() % 2 == 1 { sorted[middle] } else { (sorted[middle - 1] + sorted[middle]) / 2.0 }
}
