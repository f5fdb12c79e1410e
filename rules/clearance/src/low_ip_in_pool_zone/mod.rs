//! A luminaire in a zone of a pool or fountain whose IP code is too low for it.

use crate::support::{Family, family};
use crate::water::{POOLS, is_drawn, near_place};
use crate::zones::{PoolZone, meets_water_digit, zone_of};
use lintern_rule::plan::{IpCode, LuminaireType};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/low-ip-in-pool-zone",
    title: "A luminaire in a zone of a pool or fountain lets in more water than it may",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::unconfirmed(Code::Iec60364, "IEC 60364-7-702", Some("2010")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "702.512.2")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if family(input) != Some(Family::Iec) || !is_drawn(input, POOLS) {
        return;
    }
    for (index, luminaire) in input.luminaires().iter().enumerate() {
        let Some(place) = &input.luminaire_places()[index] else {
            report.undetermined(&luminaire.id, [format!("`at` of {}", luminaire.id)]);
            continue;
        };
        report.checked(&luminaire.id);
        let kind = input.luminaire_type(luminaire);
        let height_m = luminaire.mount_height.as_ref().map(|height| height.metres);
        for near in near_place(input, place, POOLS) {
            let Some(zone) = zone_of(&near, height_m) else { continue };
            let row = zone.row();
            if !kind.ip.iter().any(|code| code.water.is_some()) {
                report.undetermined(&luminaire.id, [format!("`ip` of type `{}`", kind.name)]);
                continue;
            }
            let jets = near.zone.jets;
            let required = if jets == Some(true) { row.jets_digit } else { row.water_digit };
            if !meets(kind, required) {
                let jets = if jets == Some(true) && zone != PoolZone::Zero { " cleaned with jets" } else { "" };
                report
                    .finding(&luminaire.id)
                    .field("type.ip")
                    .related([near.zone.id.as_str()])
                    .message(format!(
                        "{} is {} and stands in {} of {}{jets}, where at least IPX{required} is asked for",
                        luminaire.id,
                        marked(&kind.ip),
                        zone.name(),
                        near.phrase()
                    ))
                    .work(format!("distance to {}", near.phrase()), near.distance_m, "m", "computed from the plan")
                    .help(if required == 8 {
                        "use a luminaire marked IPX8 for the depth of the water; the authority decides"
                    } else {
                        "use a luminaire with that second digit, or with two marks where it is immersed as well: IPX7 and IPX8 do not include jets; the authority decides"
                    })
                    .add();
            } else if jets.is_none() && !meets(kind, row.jets_digit) {
                report.undetermined(&luminaire.id, [format!("`jets` of {}", near.zone.id)]);
            }
        }
    }
}

fn meets(kind: &LuminaireType, required: u8) -> bool {
    kind.ip.iter().filter_map(|code| code.water).any(|digit| meets_water_digit(digit, required))
}

/// The codes as they are marked: `IP65/IP67`.
fn marked(codes: &[IpCode]) -> String {
    let digit = |digit: Option<u8>| digit.map_or("X".to_owned(), |digit| digit.to_string());
    let codes: Vec<String> =
        codes.iter().map(|code| format!("IP{}{}", digit(code.solids), digit(code.water))).collect();
    codes.join("/")
}
