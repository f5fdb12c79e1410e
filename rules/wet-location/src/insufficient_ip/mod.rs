//! A luminaire whose IP code does not reach what its place asks for.

use crate::ip;
use crate::support::{is_nec, missing_placement, zones};
use crate::table::{self, Origin, Row, Spot};
use lintern_rule::compare::{above, below};
use lintern_rule::facts::Place;
use lintern_rule::plan::{Exposure, Location, Luminaire, LuminaireType, Placement, ZoneKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "wet-location/insufficient-ip",
    title: "The IP code of a luminaire is too low for its place",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "512.2.1")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-5-51", "2005", "Table 51A")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let code = input.project().code;
    let nec = is_nec(input);
    let basin_somewhere = input.zones().iter().any(|zone| surround_m(zone.kind).is_some());
    let hosed_somewhere = input.zones().iter().any(|zone| zone.jets == Some(true));
    for (l, luminaire) in input.luminaires().iter().enumerate() {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let Some(nec) = nec else {
            report.undetermined(id, ["`project.code`"]);
            continue;
        };
        let Some(placement) = luminaire.placement else {
            report.undetermined(id, missing_placement(luminaire));
            continue;
        };
        let spot = input.place(NodeRef::Luminaire(l as u32));
        let mut missing = Vec::new();
        if spot.is_none() && placement != Placement::Underwater && (hosed_somewhere || !nec && basin_somewhere) {
            missing.push(format!("`at` of {id}"));
        }
        let rows = rows(input, luminaire, kind, placement, spot, nec);
        if rows.is_empty() && missing.is_empty() && nec {
            // Above the ground NFPA 70 goes by the marking for wet locations, which is another rule.
            continue;
        }
        let failed: Vec<&Row> = rows.iter().copied().filter(|row| meets(kind, row) == Some(false)).collect();
        let Some(worst) = failed.iter().copied().max_by_key(|row| level(row.origin, code)) else {
            for row in &rows {
                missing.extend(missing_digits(kind, row));
            }
            missing.extend(missing_height(luminaire, kind, placement, nec));
            match missing.is_empty() {
                true => report.checked(id),
                false => report.undetermined(id, missing),
            }
            continue;
        };
        let level = level(worst.origin, code);
        let needed: Vec<&Row> = rows.iter().copied().filter(|row| self::level(row.origin, code) >= level).collect();
        let mut draft = report
            .finding(id)
            .field("type.ip")
            .level(level)
            .basis(code.and_then(|code| worst.origin.basis(code)).unwrap_or(Basis::PRACTICE))
            .message(format!(
                "{id} {}; type `{}` is marked {}, the place asks for {}",
                phrase(worst.place, placement),
                kind.name,
                ip::all_marked(&kind.ip),
                wanted(&needed)
            ))
            .help(format!("take a type that is marked {}{}", wanted(&rows), dual_note(&rows)));
        for row in failed.iter().filter(|row| self::level(row.origin, code) >= level) {
            let source = row.origin.source();
            if let Some(digit) = row.solids.filter(|&digit| ip::solids(&kind.ip, digit) == Some(false)) {
                draft = draft.work("protection against solids", f64::from(digit), "in the first digit", &source);
            }
            if let Some(digit) = row.water.filter(|&digit| ip::water(&kind.ip, digit) == Some(false)) {
                draft = draft.work("protection against water", f64::from(digit), "in the second digit", &source);
            }
        }
        draft.add();
    }
}

/// The level of a row that is not met: what a code of the IEC family asks for is required there, the rest is practice.
fn level(origin: Origin, code: Option<Code>) -> Level {
    match code.and_then(|code| origin.basis(code)) {
        Some(_) => Level::Violation,
        None => Level::Advice,
    }
}

/// Whether the codes of a type meet a row; not met as soon as one digit falls short.
fn meets(kind: &LuminaireType, row: &Row) -> ip::Met {
    let solids = row.solids.map_or(Some(true), |digit| ip::solids(&kind.ip, digit));
    let water = row.water.map_or(Some(true), |digit| ip::water(&kind.ip, digit));
    match (solids, water) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

/// The rows of the table that hold where a luminaire stands.
fn rows(
    input: &Input,
    luminaire: &Luminaire,
    kind: &LuminaireType,
    placement: Placement,
    spot: Option<&Place>,
    nec: bool,
) -> Vec<&'static Row> {
    // A luminaire that is listed for use under water has been tested for more than this table asks in the ground.
    let submersible = nec && kind.location == Some(Location::Submersible);
    let mut places = Vec::new();
    match placement {
        Placement::Underwater if !submersible => places.push(Spot::Underwater),
        Placement::InGround if !submersible => places.push(Spot::InGround),
        Placement::Underwater | Placement::InGround => {}
        _ if nec => {}
        _ => places.extend(above_grade(luminaire, placement)),
    }
    if let Some(spot) = spot.filter(|_| placement != Placement::Underwater) {
        if !nec && in_basin_surround(input, luminaire, spot) {
            places.push(Spot::PoolSurround);
        }
        if is_hosed(input, spot) {
            places.push(Spot::Hosed);
        }
    }
    places.into_iter().flat_map(table::rows).collect()
}

/// The places above grade by exposure, wet where none is stated and damp under an eave.
fn above_grade(luminaire: &Luminaire, placement: Placement) -> Vec<Spot> {
    match (luminaire.exposure, placement) {
        (Some(Exposure::Dry), _) => Vec::new(),
        (Some(Exposure::Damp), _) | (None, Placement::Eave) => vec![Spot::Sheltered],
        (Some(Exposure::Wet) | None, _) => {
            let mut places = vec![Spot::RainedOn];
            if !matches!(placement, Placement::Wall | Placement::Eave) {
                places.push(Spot::Open);
            }
            if table::stands_at_the_ground(placement) && is_near_grade(luminaire) == Some(true) {
                places.push(Spot::NearGrade);
            }
            places
        }
    }
}

/// Whether a luminaire stands lower than mud and sprinkler reach; `None` where its height is not stated.
fn is_near_grade(luminaire: &Luminaire) -> Option<bool> {
    luminaire.mount_height.as_ref().map(|height| match height.is_metric() {
        true => below(height.metres, table::NEAR_GRADE_M),
        false => below(height.inches(), table::NEAR_GRADE_IN),
    })
}

/// The height as a missing input, where it alone decides.
fn missing_height(luminaire: &Luminaire, kind: &LuminaireType, placement: Placement, nec: bool) -> Option<String> {
    let rained_on = matches!(luminaire.exposure, Some(Exposure::Wet) | None);
    let decides = table::rows(Spot::NearGrade).any(|row| meets(kind, row) == Some(false));
    let unknown = luminaire.mount_height.is_none() && table::stands_at_the_ground(placement);
    (!nec && rained_on && decides && unknown).then(|| format!("`mount-height` of {}", luminaire.id))
}

/// The digits that the codes leave open and a row asks for.
fn missing_digits(kind: &LuminaireType, row: &Row) -> Option<String> {
    if kind.ip.is_empty() {
        return Some(format!("`ip` of type `{}`", kind.name));
    }
    let open_solids = row.solids.is_some_and(|digit| ip::solids(&kind.ip, digit).is_none());
    let open_water = row.water.is_some_and(|digit| ip::water(&kind.ip, digit).is_none());
    match (open_solids, open_water) {
        (true, _) => Some(format!("the first digit of `ip` of type `{}`", kind.name)),
        (_, true) => Some(format!("the second digit of `ip` of type `{}`", kind.name)),
        (false, false) => None,
    }
}

/// How far the zones of a basin reach from its edge, m.
fn surround_m(kind: ZoneKind) -> Option<f64> {
    match kind {
        ZoneKind::Pool | ZoneKind::Spa => Some(table::POOL_SURROUND_M),
        ZoneKind::Fountain => Some(table::FOUNTAIN_SURROUND_M),
        _ => None,
    }
}

fn in_basin_surround(input: &Input, luminaire: &Luminaire, spot: &Place) -> bool {
    let low = luminaire.mount_height.as_ref().is_none_or(|height| !above(height.metres, table::ZONE_HEIGHT_M));
    low && spot.water.iter().any(|near| {
        surround_m(input.zones()[near.zone as usize].kind).is_some_and(|reach_m| !above(near.distance_m, reach_m))
    })
}

/// Whether the place is hosed: it lies in such a zone, or beside such a basin.
fn is_hosed(input: &Input, spot: &Place) -> bool {
    zones(input, spot).any(|zone| zone.jets == Some(true))
        || spot.water.iter().any(|near| {
            let zone = &input.zones()[near.zone as usize];
            zone.jets == Some(true) && !above(near.distance_m, table::POOL_SURROUND_M)
        })
}

/// Where it stands, in words.
fn phrase(place: Spot, placement: Placement) -> &'static str {
    match (place, placement) {
        (Spot::Underwater, _) => "stands under water",
        (Spot::Hosed, Placement::InGround) => "stands in the ground where a hose is used",
        (_, Placement::InGround) => "stands in the ground",
        (Spot::Hosed, _) => "stands where a hose is used",
        (Spot::PoolSurround, _) => "stands within the zones of a pool or fountain",
        (Spot::Sheltered, _) => "stands under a roof outdoors",
        (Spot::NearGrade, _) => "stands in the open near grade",
        (Spot::Open | Spot::RainedOn | Spot::InGround, _) => "stands in the open",
    }
}

/// The codes that rows ask for together: `IP44`, `IPX7`, or `IP65 and IP67` where jets and immersion come together.
fn wanted(rows: &[&Row]) -> String {
    let solids = rows.iter().filter_map(|row| row.solids).max();
    let spray = rows.iter().filter_map(|row| row.water).filter(|&digit| digit <= 6).max();
    let immersion = rows.iter().filter_map(|row| row.water).filter(|&digit| digit > 6).max();
    let code = |water: Option<u8>| ip::marked(&lintern_rule::plan::IpCode { solids, water });
    match (spray.filter(|&digit| immersion.is_none() || digit > 4), immersion) {
        (Some(spray), Some(immersion)) => format!("{} and {}", code(Some(spray)), code(Some(immersion))),
        (spray, immersion) => code(immersion.or(spray)),
    }
}

/// Why two codes are asked for.
fn dual_note(rows: &[&Row]) -> &'static str {
    let digits = || rows.iter().filter_map(|row| row.water);
    match digits().any(|digit| digit == 5 || digit == 6) && digits().any(|digit| digit > 6) {
        true => "; 7 and 8 do not include 5 and 6, so both must be marked",
        false => "",
    }
}
