//! An in-ground luminaire from which water has nowhere to go.

use crate::support::{in_ground, seen};
use lintern_rule::compare::plain;
use lintern_rule::plan::{Base, Drain, Excavation, Soil};
use lintern_rule::prelude::*;

/// Least gravel below an in-ground luminaire: 6 in, 150 mm. Common practice, no source.
const BED_IN: f64 = 6.0;
const BED_MM: f64 = 150.0;

pub const RULE: Rule = Rule {
    id: "wet-location/undrained-luminaire",
    title: "Water has nowhere to go from an in-ground luminaire",
    level: Level::Advice,
    waivable: true,
    settings: &[
        Setting::number(
            "minimum-base-depth",
            BED_IN,
            "in",
            Tighter::Higher,
            "gravel below the luminaire in inch plans",
        ),
        Setting::number(
            "minimum-base-depth-metric",
            BED_MM,
            "mm",
            Tighter::Higher,
            "gravel below the luminaire in metric plans",
        ),
    ],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let soil = input.ground();
    for (_, luminaire, _) in in_ground(input) {
        let id = &luminaire.id;
        if soil == Some(Soil::Sand) {
            // The ground itself is the drain.
            report.checked(id);
            continue;
        }
        let excavation = luminaire.excavation.as_ref();
        match excavation.and_then(|hole| hole.base) {
            None => report.undetermined(id, [format!("`excavation.base` of {id}")]),
            Some(Base::Gravel) => {
                if let Some(hole) = excavation {
                    check_gravel(id, hole, settings, report);
                    check_drain(id, hole, soil, report);
                }
            }
            Some(base) => {
                let bed = if base == Base::Sand { "sand" } else { "native soil" };
                // Only sandy ground does without gravel, and a plan has to say that it has it.
                let ground = soil.map_or_else(
                    || "and the plan does not say that the ground is sand (`site.soil`)".to_owned(),
                    |soil| format!("in {}, which holds water", name(soil)),
                );
                report
                    .finding(id)
                    .field("excavation.base")
                    .message(format!("{id} stands on {bed} {ground}; the practice is a bed of gravel"))
                    .help(
                        "dig deeper and lay clean gravel below it, with a sump or a drain line where the soil is tight",
                    )
                    .add();
            }
        }
    }
}

/// The thickness of the gravel.
fn check_gravel(id: &str, hole: &Excavation, settings: &Settings, report: &mut Report) {
    let Some(bed) = &hole.base_depth else {
        report.undetermined(id, [format!("`excavation.base-depth` of {id}")]);
        return;
    };
    let practice = |least, unit| Limit::new("gravel bed", least, unit, Tighter::Higher, "common practice");
    let (bed, unit, limit) = match bed.is_metric() {
        true => {
            let limit = practice(BED_MM, "mm").given(settings, "minimum-base-depth-metric");
            (bed.millimetres(), "mm", limit)
        }
        false => (bed.inches(), "in", practice(BED_IN, "in").given(settings, "minimum-base-depth")),
    };
    let least = limit.value();
    let compared = limit.compare(bed).field("excavation.base-depth");
    if compared.passes() {
        report.passes(id, &compared);
        return;
    }
    report
        .finding(id)
        .message(format!(
            "{id} stands on {} {unit} of gravel; {} at least {} {unit}",
            seen(bed, least),
            limit.asks("the practice is"),
            plain(least)
        ))
        .breaks(&compared)
        .work("gravel that is missing", least - bed, unit, "least bed - bed")
        .help(format!("lay at least {} {unit} of clean gravel below the luminaire", plain(least)))
        .add();
}

/// In tight soil the gravel is a bucket, unless it has a way out.
fn check_drain(id: &str, hole: &Excavation, soil: Option<Soil>, report: &mut Report) {
    let tight = match soil {
        None => {
            // With a drain the soil does not matter.
            if matches!(hole.drain, None | Some(Drain::None)) {
                report.undetermined(id, ["`site.soil`"]);
            }
            return;
        }
        Some(Soil::Clay | Soil::Rock) => true,
        Some(Soil::Loam | Soil::Sand) => false,
    };
    match hole.drain {
        _ if !tight => {}
        None => report.undetermined(id, [format!("`excavation.drain` of {id}")]),
        Some(Drain::Sump | Drain::Daylight) => {}
        Some(Drain::None) => report
            .finding(id)
            .field("excavation.drain")
            .message(format!(
                "the gravel under {id} has no drain; in {} it fills and stays full",
                soil.map(name).unwrap_or_default()
            ))
            .help("add a sump below the bed, or a drain line to daylight")
            .add(),
    }
}

fn name(soil: Soil) -> &'static str {
    match soil {
        Soil::Clay => "clay",
        Soil::Loam => "loam",
        Soil::Sand => "sand",
        Soil::Rock => "rock",
    }
}
