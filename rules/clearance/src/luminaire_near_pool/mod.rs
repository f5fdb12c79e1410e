//! A low-voltage luminaire nearer to a pool, spa or fountain than its type and its supply allow.

use crate::distance::{Unit, written};
use crate::pool_system::Conditions;
use crate::support::{Family, family, feeds, level};
use crate::table::{ADJACENT_HEIGHT, CLOSE, LIGHTING, LUMINAIRE_HEIGHT};
use crate::water::{Near, POOLS, is_drawn, near_place};
use lintern_rule::compare::below;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Luminaire, Placement};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/luminaire-near-pool",
    title: "A low-voltage luminaire is nearer to a pool, spa or fountain than its type and supply allow",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table(
            "minimum-distance",
            "ft",
            Tighter::Higher,
            "distance from the water at which lighting that is not made for pools may start",
        ),
        Setting::table("minimum-distance-metric", "m", Tighter::Higher, "the same for a plan in metres"),
    ],
    citations: LIGHTING_BY_WATER,
    doc: include_str!("doc.md"),
    check,
};

/// The section that keeps low-voltage lighting from water.
pub const LIGHTING_BY_WATER: &[Citation] = &[
    Citation::nec(Code::Nec2017, "411.5(B)", Confirmed),
    Citation::nec(Code::Nec2020, "411.5(B)", Confirmed),
    Citation::nec(Code::Nec2023, "411.6(B)", Confirmed),
    Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
];

/// The distance from water of low-voltage lighting that is not made for pools.
pub fn lighting_limit(unit: Unit, settings: &Settings) -> Limit {
    let names = ["minimum-distance", "minimum-distance-metric"];
    LIGHTING.at_least("distance of low-voltage lighting from water", unit, settings, names, "NFPA 70, Article 411")
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) || !is_drawn(input, POOLS) {
        return;
    }
    let unit = Unit::of(input);
    let limit = lighting_limit(unit, settings);
    for (index, luminaire) in input.luminaires().iter().enumerate() {
        if luminaire.placement == Some(Placement::Underwater) {
            continue;
        }
        let Some(place) = &input.luminaire_places()[index] else {
            report.undetermined(&luminaire.id, [format!("`at` of {}", luminaire.id)]);
            continue;
        };
        report.checked(&luminaire.id);
        report.limit(&luminaire.id, &limit);
        for near in near_place(input, place, POOLS) {
            let compared = limit.compare(unit.of_metres(near.distance_m)).field("at");
            if compared.passes() {
                report.passes(&luminaire.id, &compared);
            } else {
                judge(input, index, luminaire, &near, unit, &compared, report);
            }
        }
    }
}

fn judge(
    input: &Input,
    index: usize,
    luminaire: &Luminaire,
    near: &Near,
    unit: Unit,
    compared: &Comparison,
    report: &mut Report,
) {
    let limit = compared.limit();
    if input.project().code.is_none() {
        report.undetermined(&luminaire.id, ["`project.code`"]);
        return;
    }
    if near.distance_m <= 0.0 && luminaire.placement.is_none() {
        report.undetermined(&luminaire.id, [format!("`placement` of {}", luminaire.id)]);
        return;
    }
    let distance = compared.measured();
    let is_close = below(distance, CLOSE.in_unit(unit));
    if luminaire.mount_height.as_ref().is_some_and(|height| !LUMINAIRE_HEIGHT.is_above(height)) {
        return;
    }
    let node = NodeRef::Luminaire(u32::try_from(index).unwrap_or(u32::MAX));
    let mut conditions = Conditions::of_feeds(input, &feeds(input, node));
    conditions.of_type(input.luminaire_type(luminaire));
    if conditions.is_open() {
        report.undetermined(&luminaire.id, conditions.missing);
        return;
    }
    let Some(broken) = conditions.why_not() else { return };
    // High enough, it would be allowed.
    let may_be_high = matches!(luminaire.placement, Some(Placement::Wall | Placement::Eave | Placement::Tree));
    if may_be_high && luminaire.mount_height.is_none() {
        report.undetermined(&luminaire.id, [format!("`mount-height` of {}", luminaire.id)]);
        return;
    }
    let fixed = matches!(luminaire.placement, Some(Placement::Wall | Placement::Eave | Placement::Surface));
    let high = luminaire.mount_height.as_ref().is_some_and(|height| !ADJACENT_HEIGHT.is_above(height));
    let left_to_authority = !is_close && fixed && high;
    let distance_text = written(distance, limit);
    let (own_level, message, help) = if left_to_authority {
        (
            Level::Reminder,
            format!(
                "{} is {distance_text} from {} and high on a structure, where the code allows luminaires; ask whether that holds for it, since {broken}",
                luminaire.id,
                near.phrase()
            ),
            "ask the authority before the work, or take a luminaire and a supply that are made for the place",
        )
    } else {
        (
            level(input, Level::Violation),
            format!(
                "{} is {distance_text} from {}; lighting nearer than {} {} has to be made for it, and here {broken}",
                luminaire.id,
                near.phrase(),
                limit.value(),
                limit.unit()
            ),
            "move it, or use a listed luminaire that needs no grounding on a supply listed for pool and spa use with an isolated, ungrounded output within the contact limit; the authority decides",
        )
    };
    report
        .finding(&luminaire.id)
        .level(own_level)
        .related([near.zone.id.as_str()])
        .message(message)
        .breaks(compared)
        .work(format!("horizontal distance to {}", near.phrase()), distance, unit.symbol(), "computed from the plan")
        .help(help)
        .add();
}
