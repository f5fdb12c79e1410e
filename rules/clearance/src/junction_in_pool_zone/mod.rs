//! A joint inside the zones of a pool or fountain where none may be.

use crate::support::{Family, NO_FEED, family, feeds, output};
use crate::water::{Near, POOLS, is_drawn, near_place};
use crate::zones::{PoolZone, zone_of};
use lintern_rule::plan::{Junction, Listing};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/junction-in-pool-zone",
    title: "A joint is inside the zones of a pool or fountain where none may be",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::unconfirmed(Code::Iec60364, "IEC 60364-7-702", Some("2010")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "702.522.24")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if family(input) != Some(Family::Iec) || !is_drawn(input, POOLS) {
        return;
    }
    for (index, junction) in input.junctions().iter().enumerate() {
        let Some(place) = &input.junction_places()[index] else {
            report.undetermined(&junction.id, [format!("`at` of {}", junction.id)]);
            continue;
        };
        report.checked(&junction.id);
        for near in near_place(input, place, POOLS) {
            match zone_of(&near, None) {
                Some(PoolZone::Zero) => add(junction, &near, PoolZone::Zero, "no joint may be there", report),
                Some(PoolZone::One) => in_zone_1(input, index, junction, &near, report),
                Some(PoolZone::Two) | None => {}
            }
        }
    }
}

/// In zone 1 joints of SELV circuits are allowed.
fn in_zone_1(input: &Input, index: usize, junction: &Junction, near: &Near, report: &mut Report) {
    let node = NodeRef::Junction(u32::try_from(index).unwrap_or(u32::MAX));
    let outputs = feeds(input, node);
    if outputs.is_empty() {
        report.undetermined(&junction.id, [NO_FEED]);
    }
    let mut not_selv = false;
    for own in outputs {
        let (_, kind) = output(input, own);
        match kind.listing {
            Some(Listing::Selv) => {}
            Some(_) => not_selv = true,
            None => report.undetermined(&junction.id, [format!("`listing` of supply type `{}`", kind.name)]),
        }
    }
    if not_selv {
        add(
            junction,
            near,
            PoolZone::One,
            "only joints of SELV circuits may be there, and its supply is not listed as SELV",
            report,
        );
    }
}

fn add(junction: &Junction, near: &Near, zone: PoolZone, fault: &str, report: &mut Report) {
    report
        .finding(&junction.id)
        .field("at")
        .related([near.zone.id.as_str()])
        .message(format!("{} is in {} of {}; {fault}", junction.id, zone.name(), near.phrase()))
        .measured(near.distance_m, "m")
        .work(format!("distance to {}", near.phrase()), near.distance_m, "m", "computed from the plan")
        .help("joint the cable outside the zone and run it unbroken to the luminaire; the authority decides")
        .add();
}
