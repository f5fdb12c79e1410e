//! Low-voltage lighting at or in a pond: which article holds is the authority's to say.

use crate::distance::{Unit, written};
use crate::luminaire_near_pool::lighting_limit;
use crate::support::{Family, family};
use crate::water::{Near, PONDS, is_drawn, near_place, near_run};
use lintern_rule::compare::below;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/lighting-by-pond",
    title: "Low-voltage lighting is at a pond, and the authority has to say by which rules",
    level: Level::Reminder,
    waivable: true,
    settings: &[
        Setting::table(
            "minimum-distance",
            "ft",
            Tighter::Higher,
            "distance from a pond within which a person is asked to look",
        ),
        Setting::table("minimum-distance-metric", "m", Tighter::Higher, "the same for a plan in metres"),
    ],
    citations: &[
        Citation::nec(Code::Nec2017, "Article 682", Confirmed),
        Citation::nec(Code::Nec2020, "Article 682", Confirmed),
        Citation::nec(Code::Nec2023, "Article 682", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// The most ids that a finding lists.
const LISTED: usize = 50;

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) || !is_drawn(input, PONDS) {
        return;
    }
    let unit = Unit::of(input);
    let limit = lighting_limit(unit, settings);
    let places = elements(input);
    for (index, pond) in input.zones().iter().enumerate().filter(|(_, zone)| PONDS.contains(&zone.kind)) {
        report.checked(&pond.id);
        report.limit(&pond.id, &limit);
        let around = places.iter().filter_map(|(id, waters)| {
            let near = waters.iter().find(|near| near.index as usize == index)?;
            Some((*id, unit.of_metres(near.distance_m)))
        });
        let around: Vec<(&str, f64)> = around.collect();
        let Some((nearest, distance)) = around.iter().min_by(|a, b| a.1.total_cmp(&b.1)) else { continue };
        let compared = limit.compare(*distance);
        if compared.passes() {
            report.passes(&pond.id, &compared);
            continue;
        }
        let own: Vec<&(&str, f64)> = around.iter().filter(|(_, distance)| below(*distance, limit.value())).collect();
        if input.project().code.is_none() {
            report.undetermined(&pond.id, ["`project.code`"]);
            continue;
        }
        let others = match own.len() {
            1 => " comes".to_owned(),
            2 => " and one more element come".to_owned(),
            count => format!(" and {} more elements come", count - 1),
        };
        report
            .finding(&pond.id)
            .related(own.iter().take(LISTED).map(|(id, _)| *id))
            .message(format!(
                "{nearest} ({} from pond {}){others} nearer than {} {}: ask the authority whether it takes the pond for a fountain, for a similar location that lighting keeps clear of, or for a natural or artificial body of water",
                written(*distance, &limit),
                pond.id,
                limit.value(),
                limit.unit()
            ))
            .breaks(&compared)
            .work(format!("distance of {nearest} to pond {}", pond.id), *distance, unit.symbol(), "computed from the plan")
            .help("draw it as a fountain where jets discharge into it or it is an ornamental pool, so that the rules of fountains are checked")
            .add();
    }
}

/// Every element with a place, with the ponds near it.
fn elements(input: &Input) -> Vec<(&str, Vec<Near<'_>>)> {
    let supplies = input.supplies().iter().map(|own| own.id.as_str()).zip(input.supply_places());
    let junctions = input.junctions().iter().map(|own| own.id.as_str()).zip(input.junction_places());
    let luminaires = input.luminaires().iter().map(|own| own.id.as_str()).zip(input.luminaire_places());
    let nodes = supplies.chain(junctions).chain(luminaires);
    let nodes = nodes.filter_map(|(id, place)| Some((id, near_place(input, place.as_ref()?, PONDS))));
    let runs =
        input.runs().iter().enumerate().map(|(index, run)| (run.id.as_str(), near_run(input, index, PONDS).near));
    nodes.chain(runs).collect()
}
