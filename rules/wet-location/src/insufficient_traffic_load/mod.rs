//! An in-ground luminaire under feet or wheels that is not made for them.

use crate::support::{has_zone, in_ground, seen, zone_of_kind};
use lintern_rule::compare::plain;
use lintern_rule::facts::Place;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{LuminaireType, TrafficLoad, Zone, ZoneKind};
use lintern_rule::prelude::*;

/// Static loads of IEC 60598-2-13, kN, as quoted in the trade: the standard was not read, so they never make more than a
/// reminder.
const DRIVE_KN: f64 = 20.0;
const WALK_KN: f64 = 5.0;

pub const RULE: Rule = Rule {
    id: "wet-location/insufficient-traffic-load",
    title: "An in-ground luminaire is not made for the traffic over it",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::number("drive-over", DRIVE_KN, "kN", Tighter::Higher, "static load of a luminaire under vehicles"),
        Setting::number("walk-over", WALK_KN, "kN", Tighter::Higher, "static load of a luminaire under feet"),
    ],
    citations: &[
        Citation::nec(Code::Nec2017, "110.3(B)", Confirmed),
        Citation::nec(Code::Nec2020, "110.3(B)", Confirmed),
        Citation::nec(Code::Nec2023, "110.3(B)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018+A2:2022", "559.10")),
        Citation::unconfirmed(Code::Iec60364, "IEC 60598-2-13", Some("2006")),
    ],
    doc: include_str!("doc.md"),
    check,
};

const VEHICLES: &[ZoneKind] = &[ZoneKind::Driveway, ZoneKind::Parking, ZoneKind::Road];
const FEET: &[ZoneKind] = &[ZoneKind::Walk, ZoneKind::Slab];

/// What goes over a luminaire.
struct Traffic<'a> {
    zone: &'a Zone,
    vehicles: bool,
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if !has_zone(input, VEHICLES) && !has_zone(input, FEET) {
        return;
    }
    for (l, luminaire, kind) in in_ground(input) {
        let id = &luminaire.id;
        let Some(place) = input.place(NodeRef::Luminaire(l as u32)) else {
            report.undetermined(id, [format!("`at` of {id}")]);
            continue;
        };
        let Some(traffic) = traffic(input, place) else {
            report.checked(id);
            continue;
        };
        match kind.traffic {
            // Vehicles go only over what is declared for them, and a plan has to say so.
            None if traffic.vehicles => declared_less(id, kind, &traffic, report),
            None => report.undetermined(id, [format!("`traffic` of type `{}`", kind.name)]),
            Some(TrafficLoad::DriveOver) => report.checked(id),
            Some(TrafficLoad::WalkOver) if !traffic.vehicles => report.checked(id),
            Some(TrafficLoad::StaticNewtons(newtons)) => check_load(id, newtons / 1000.0, &traffic, settings, report),
            Some(TrafficLoad::None | TrafficLoad::WalkOver) => declared_less(id, kind, &traffic, report),
        }
    }
}

/// What goes over a place: vehicles before feet.
fn traffic<'a>(input: &'a Input, place: &'a Place) -> Option<Traffic<'a>> {
    let of = |kinds, vehicles| zone_of_kind(input, place, kinds).map(|zone| Traffic { zone, vehicles });
    of(VEHICLES, true).or_else(|| of(FEET, false))
}

/// The maker declares less than the place asks for.
fn declared_less(id: &str, kind: &LuminaireType, traffic: &Traffic, report: &mut Report) {
    let declared = match kind.traffic {
        Some(TrafficLoad::WalkOver) => "is declared for feet only",
        None => "is not stated to be declared for any load",
        _ => "is declared for no load",
    };
    let mut draft = report.finding(id).field("type.traffic").related([traffic.zone.id.as_str()]);
    if !traffic.vehicles {
        draft = draft.level(Level::Advice);
    }
    let (over, take) = match traffic.vehicles {
        true => ("vehicles drive over", "drive-over"),
        false => ("people walk over", "walk-over"),
    };
    draft
        .message(format!("{over} {id} in {}; type `{}` {declared}", traffic.zone.id, kind.name))
        .help(format!("take a type that is declared {take}, or move it out of {}", traffic.zone.id))
        .add();
}

/// A declared load against a figure at second hand: a person confirms it.
fn check_load(id: &str, declared: f64, traffic: &Traffic, settings: &Settings, report: &mut Report) {
    let (name, figure, over) = match traffic.vehicles {
        true => ("drive-over", DRIVE_KN, "vehicles"),
        false => ("walk-over", WALK_KN, "people on foot"),
    };
    let source = "IEC 60598-2-13 as quoted in the trade, not read";
    let limit = Limit::new("static load", figure, "kN", Tighter::Higher, source).given(settings, name);
    let needed = limit.value();
    let compared = limit.compare(declared).field("type.traffic");
    if compared.passes() {
        report.passes(id, &compared);
        return;
    }
    report
        .finding(id)
        .level(Level::Reminder)
        .related([traffic.zone.id.as_str()])
        .message(format!(
            "{id} in {} is declared for {} kN; for {over} {} kN is usual: confirm what its maker allows there",
            traffic.zone.id,
            seen(declared, needed),
            plain(needed)
        ))
        .basis(Basis::PRACTICE)
        .breaks(&compared)
        .help("ask the maker for the declared class, or take a type declared for it")
        .add();
}
