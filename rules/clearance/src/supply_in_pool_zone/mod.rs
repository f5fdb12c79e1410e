//! The source of the lighting inside the zones of a pool or fountain.

use crate::support::{Family, family, feeds};
use crate::water::{Near, POOLS, is_drawn, near_place};
use crate::zones::{PoolZone, zone_of};
use lintern_rule::compare::{plain, shown};
use lintern_rule::plan::Supply;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/supply-in-pool-zone",
    title: "A lighting supply stands inside the zones of a pool or fountain",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::unconfirmed(Code::Iec60364, "IEC 60364-7-702", Some("2010")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "702.410.3.4")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// Rated residual operating current that lets a source stand in zone 2, mA.
const RCD_MA: f64 = 30.0;

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if family(input) != Some(Family::Iec) || !is_drawn(input, POOLS) {
        return;
    }
    for (index, supply) in input.supplies().iter().enumerate() {
        let Some(place) = &input.supply_places()[index] else {
            report.undetermined(&supply.id, [format!("`at` of {}", supply.id)]);
            continue;
        };
        report.checked(&supply.id);
        let height_m = supply.mount_height.as_ref().map(|height| height.metres);
        for near in near_place(input, place, POOLS) {
            match zone_of(&near, height_m) {
                None => {}
                Some(PoolZone::Two) => in_zone_2(input, index, supply, &near, report),
                Some(zone) => add(supply, &near, zone, "the source of lighting stands outside", report),
            }
        }
    }
}

/// In zone 2 a source may stand behind a residual-current device, where it feeds nothing in zones 0 and 1.
fn in_zone_2(input: &Input, index: usize, supply: &Supply, near: &Near, report: &mut Report) {
    if feeds_inner_zones(input, index, near.index) {
        add(supply, near, PoolZone::Two, "it feeds lighting in zone 0 or 1, so it stands outside all zones", report);
        return;
    }
    let limit =
        Limit::new("residual operating current in zone 2", RCD_MA, "mA", Tighter::Lower, "Section 702 of the code");
    let rcd_ma = supply.feed.as_ref().and_then(|feed| feed.rcd_a).map(|amps| amps * 1000.0);
    match rcd_ma.map(|rcd_ma| limit.compare(rcd_ma).field("feed.rcd")) {
        None => report.undetermined(&supply.id, [format!("`feed.rcd` of {}", supply.id)]),
        Some(compared) if !compared.passes() => report
            .finding(&supply.id)
            .related([near.zone.id.as_str()])
            .message(format!(
                "{} is in zone 2 of {} behind a residual-current device of {} mA; there it has at most {} mA",
                supply.id,
                near.phrase(),
                shown(compared.measured(), RCD_MA),
                plain(RCD_MA)
            ))
            .breaks(&compared)
            .work(format!("distance to {}", near.phrase()), near.distance_m, "m", "computed from the plan")
            .help("move it out of zone 2, or protect its circuit by a residual-current device of 30 mA; the authority decides")
            .add(),
        Some(compared) => report.passes(&supply.id, &compared),
    }
}

fn add(supply: &Supply, near: &Near, zone: PoolZone, fault: &str, report: &mut Report) {
    report
        .finding(&supply.id)
        .field("at")
        .related([near.zone.id.as_str()])
        .message(format!("{} is in {} of {}; {fault}", supply.id, zone.name(), near.phrase()))
        .measured(near.distance_m, "m")
        .work(format!("distance to {}", near.phrase()), near.distance_m, "m", "computed from the plan")
        .help(
            "move it more than 3.5 m from the basin, 2 m for a fountain, or behind a fixed wall; the authority decides",
        )
        .add();
}

/// Whether a supply feeds a luminaire in zone 0 or 1 of a water.
fn feeds_inner_zones(input: &Input, supply: usize, water: u32) -> bool {
    let places = input.luminaires().iter().zip(input.luminaire_places()).enumerate();
    places.into_iter().any(|(index, (luminaire, place))| {
        let Some(place) = place else { return false };
        let height_m = luminaire.mount_height.as_ref().map(|height| height.metres);
        let near = near_place(input, place, POOLS);
        let zone = near.iter().find(|near| near.index == water).and_then(|near| zone_of(near, height_m));
        let node = NodeRef::Luminaire(u32::try_from(index).unwrap_or(u32::MAX));
        matches!(zone, Some(PoolZone::Zero | PoolZone::One))
            && feeds(input, node).iter().any(|(own, _)| *own as usize == supply)
    })
}
