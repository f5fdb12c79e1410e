//! A halogen luminaire low in a planting bed.

use lintern_rule::plan::{Lamp, LoadModel, Placement, ZoneKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/hot-lamp-near-plants",
    title: "A halogen luminaire stands low in a planting bed",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if !input.zones().iter().any(|zone| zone.kind == ZoneKind::Bed) {
        return;
    }
    for (luminaire, place) in input.luminaires().iter().zip(input.luminaire_places()) {
        let kind = input.luminaire_type(luminaire);
        let low = matches!(luminaire.placement, Some(Placement::InGround | Placement::Stake) | None);
        let may_be_hot = kind.lamp == Some(Lamp::Halogen) || (kind.lamp.is_none() && kind.load == LoadModel::Resistive);
        if !low || !may_be_hot {
            continue;
        }
        let Some(place) = place else {
            report.undetermined(&luminaire.id, [format!("`at` of {}", luminaire.id)]);
            continue;
        };
        let Some(bed) = input.zones_of(&place.zones).find(|zone| zone.kind == ZoneKind::Bed) else {
            report.checked(&luminaire.id);
            continue;
        };
        if kind.lamp.is_none() {
            report.undetermined(&luminaire.id, [format!("`lamp` of type `{}`", kind.name)]);
        } else if luminaire.placement.is_none() {
            report.undetermined(&luminaire.id, [format!("`placement` of {}", luminaire.id)]);
        } else {
            report
                .finding(&luminaire.id)
                .field("at")
                .related([bed.id.as_str()])
                .message(format!(
                    "{} has a halogen lamp low in bed {}: keep mulch, leaves and plants clear of its lens, and say so in the maintenance notes",
                    luminaire.id, bed.id
                ))
                .help("leave 12 in to 24 in (300 mm to 600 mm) clear around the lens, set it on gravel, or use an LED lamp")
                .add();
        }
    }
}
