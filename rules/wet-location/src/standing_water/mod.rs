//! Luminaires, joints and supplies in low ground, where water stands.

use crate::ip;
use crate::support::{Joined, Laying, has_zone, seen, zone_of_kind};
use lintern_rule::compare::plain;
use lintern_rule::facts::Place;
use lintern_rule::plan::{Drain, Enclosure, Location, Luminaire, Placement, Supply, Zone, ZoneKind};
use lintern_rule::prelude::*;

/// Least height of a supply where water stands: 18 in, 450 mm. Common practice, no source.
const HEIGHT_IN: f64 = 18.0;
const HEIGHT_MM: f64 = 450.0;

pub const RULE: Rule = Rule {
    id: "wet-location/standing-water",
    title: "Electrical parts are in low ground where water stands",
    level: Level::Advice,
    waivable: true,
    settings: &[
        Setting::number(
            "minimum-height",
            HEIGHT_IN,
            "in",
            Tighter::Higher,
            "height of a supply in low ground in inch plans",
        ),
        Setting::number(
            "minimum-height-metric",
            HEIGHT_MM,
            "mm",
            Tighter::Higher,
            "height of a supply in low ground in metric plans",
        ),
    ],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

const LOW: &[ZoneKind] = &[ZoneKind::LowGround];

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if !has_zone(input, LOW) {
        return;
    }
    for (l, luminaire) in input.luminaires().iter().enumerate() {
        if luminaire.placement != Some(Placement::InGround) {
            continue;
        }
        if let Some(zone) = low(input, &luminaire.id, input.place(NodeRef::Luminaire(l as u32)), report) {
            check_luminaire(input, luminaire, zone, report);
        }
    }
    let joined = Joined::new(input);
    for (j, junction) in input.junctions().iter().enumerate() {
        if junction.above_ground_box.is_some() {
            continue;
        }
        let place = input.place(NodeRef::Junction(j as u32));
        check_lying(input, &junction.id, junction.splice, place, joined.at_junction(j), report);
    }
    for (l, luminaire) in input.luminaires().iter().enumerate() {
        if luminaire.placement == Some(Placement::Stake) {
            let place = input.place(NodeRef::Luminaire(l as u32));
            check_lying(input, &luminaire.id, luminaire.splice, place, joined.at_luminaire(l), report);
        }
    }
    for (s, supply) in input.supplies().iter().enumerate() {
        if let Some(zone) = low(input, &supply.id, input.supply_places()[s].as_ref(), report) {
            check_supply(input, supply, zone, settings, report);
        }
    }
}

/// A joint that lies in the ground where a run reaches it there.
fn check_lying(
    input: &Input,
    id: &str,
    splice: Option<u32>,
    place: Option<&Place>,
    laying: Laying,
    report: &mut Report,
) {
    if matches!(laying, Laying::Open | Laying::Unconnected) {
        return;
    }
    if let Some(zone) = low(input, id, place, report) {
        match laying {
            Laying::NotStated(missing) => report.undetermined(id, missing),
            _ => check_joint(input, id, splice, zone, report),
        }
    }
}

/// The low ground that an element stands in. Elsewhere it is checked; without a place it can't be.
fn low<'a>(input: &'a Input, id: &str, place: Option<&'a Place>, report: &mut Report) -> Option<&'a Zone> {
    let Some(place) = place else {
        report.undetermined(id, [format!("`at` of {id}")]);
        return None;
    };
    let zone = zone_of_kind(input, place, LOW);
    if zone.is_none() {
        report.checked(id);
    }
    zone
}

fn check_luminaire(input: &Input, luminaire: &Luminaire, zone: &Zone, report: &mut Report) {
    let id = &luminaire.id;
    let kind = input.luminaire_type(luminaire);
    let drain = luminaire.excavation.as_ref().and_then(|hole| hole.drain);
    if drain == Some(Drain::Daylight) {
        report.checked(id);
        return;
    }
    let under_water = match (kind.location, ip::water(&kind.ip, 8)) {
        (Some(Location::Submersible), _) | (_, Some(true)) => Some(true),
        (Some(_), _) | (_, Some(false)) => Some(false),
        (None, None) => None,
    };
    match (under_water, drain) {
        (Some(true), _) => check_joint(input, id, luminaire.splice, zone, report),
        (None, _) => report.undetermined(id, [format!("`location` or `ip` of type `{}`", kind.name)]),
        (Some(false), drain) => report
            .finding(id)
            .field("excavation.drain")
            .related([zone.id.as_str()])
            .message(format!(
                "{id} is let into the low ground {} {}, and type `{}` is not made to stand under water",
                zone.id,
                match drain {
                    Some(Drain::Sump) => "with a sump that fills with the ground around it",
                    Some(_) => "without a drain",
                    None => "and no drain is stated (`excavation.drain`)",
                },
                kind.name
            ))
            .help("lead a drain line to daylight, move it out of the low ground, or take a type for use under water (IPX8)")
            .add(),
    }
}

fn check_joint(input: &Input, id: &str, splice: Option<u32>, zone: &Zone, report: &mut Report) {
    let Some(splice) = input.splice_type(splice) else {
        report.undetermined(id, [format!("`splice` of {id}")]);
        return;
    };
    match splice.location {
        None => report.undetermined(id, [format!("`location` of splice type `{}`", splice.name)]),
        Some(Location::Submersible) => report.checked(id),
        Some(Location::Dry | Location::Damp | Location::Wet) => report
            .finding(id)
            .field("splice.location")
            .related([zone.id.as_str()])
            .message(format!(
                "the joint at {id} lies in the low ground {}, and splice `{}` is not made to stand under water",
                zone.id, splice.name
            ))
            .help("move the joint to higher ground, bring it up into a box, or use a splice for use under water")
            .add(),
    }
}

fn check_supply(input: &Input, supply: &Supply, zone: &Zone, settings: &Settings, report: &mut Report) {
    let id = &supply.id;
    let kind = input.supply_type(supply);
    if kind.enclosure.as_ref().is_some_and(stands_flooding) {
        report.checked(id);
        return;
    }
    let Some(height) = &supply.mount_height else {
        report.undetermined(id, [format!("`mount-height` of {id}")]);
        return;
    };
    let practice =
        |least, unit| Limit::new("height of a supply in low ground", least, unit, Tighter::Higher, "common practice");
    let (height, unit, limit) = match height.is_metric() {
        true => (height.millimetres(), "mm", practice(HEIGHT_MM, "mm").given(settings, "minimum-height-metric")),
        false => (height.inches(), "in", practice(HEIGHT_IN, "in").given(settings, "minimum-height")),
    };
    let least = limit.value();
    let compared = limit.compare(height).field("mount-height");
    if compared.passes() {
        report.passes(id, &compared);
        return;
    }
    report
        .finding(id)
        .related([zone.id.as_str()])
        .message(format!(
            "{id} stands {} {unit} above grade in the low ground {}; the practice there is at least {} {unit}",
            seen(height, least),
            zone.id,
            plain(least)
        ))
        .breaks(&compared)
        .work("height that is missing", least - height, unit, "least height - height")
        .help(format!(
            "move it to higher ground, or raise it to at least {} {unit} and above the known high water",
            plain(least)
        ))
        .add();
}

/// Enclosure types 6 and 6P of NFPA 70 Table 110.28, and IPX7 and IPX8.
fn stands_flooding(enclosure: &Enclosure) -> bool {
    match enclosure {
        Enclosure::Ip(code) => ip::water(std::slice::from_ref(code), 7) == Some(true),
        Enclosure::ListedType(name) => matches!(name.as_str(), "6" | "6P"),
        Enclosure::Indoor | Enclosure::Outdoor => false,
    }
}
