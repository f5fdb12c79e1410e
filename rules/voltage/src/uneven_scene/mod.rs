//! Luminaires that are seen together get different voltages and so look different.

use lintern_rule::compare::{above, below, plain, shown};
use lintern_rule::plan::{LoadModel, LuminaireType};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

pub const RULE: Rule = Rule {
    id: "voltage/uneven-scene",
    title: "Luminaires of one scene get clearly different voltages",
    level: Level::Advice,
    waivable: true,
    settings: &[Setting::number(
        "limit",
        5.0,
        "%",
        Tighter::Lower,
        "largest difference of voltage between two luminaires of a scene, of their nominal voltage",
    )],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// A luminaire of a scene whose light follows its voltage.
struct Member<'a> {
    id: &'a str,
    volts: f64,
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let governing =
        Limit::new("largest difference", 5.0, "%", Tighter::Lower, "common practice").given(settings, "limit");
    let limit = governing.value();
    // By scene and nominal voltage: a difference means nothing between 12 V and 24 V luminaires.
    let mut scenes: BTreeMap<(&str, u64), Vec<Member>> = BTreeMap::new();
    for (luminaire, state) in input.luminaires().iter().zip(input.judged().luminaires()) {
        let Some(scene) = luminaire.scene.as_deref() else { continue };
        let kind = input.luminaire_type(luminaire);
        match state.node.volts {
            None => report.undetermined(&luminaire.id, crate::support::missing_voltage(&state.node)),
            Some(volts) if holds_its_light(kind, volts) => report.checked(&luminaire.id),
            Some(volts) => {
                scenes.entry((scene, kind.nominal_v.to_bits())).or_default().push(Member { id: &luminaire.id, volts });
            }
        }
    }
    for ((scene, nominal), members) in &scenes {
        let nominal = f64::from_bits(*nominal);
        let by_volts = |a: &&Member, b: &&Member| a.volts.total_cmp(&b.volts).then_with(|| b.id.cmp(a.id));
        let (Some(lowest), Some(highest)) = (members.iter().min_by(by_volts), members.iter().max_by(by_volts)) else {
            continue;
        };
        let spread = (highest.volts - lowest.volts) / nominal * 100.0;
        let compared = governing.compare(spread).field("scene");
        if !compared.passes() {
            report
                .finding(lowest.id)
                .related([highest.id])
                .message(format!(
                    "in scene {scene}, {} gets {:.2} V and {} gets {:.2} V: {} % apart, more than {} %",
                    lowest.id,
                    lowest.volts,
                    highest.id,
                    highest.volts,
                    shown(spread, limit),
                    plain(limit)
                ))
                .breaks(&compared)
                .work("highest voltage in the scene", highest.volts, "V", format!("computed at {}", highest.id))
                .work("lowest voltage in the scene", lowest.volts, "V", format!("computed at {}", lowest.id))
                .work("nominal voltage", nominal, "V", "plan")
                .help("feed the scene from its middle or as a star, use a thicker cable, or take luminaires whose driver holds the light over this range; where the driver does so already, state its `input` range")
                .add();
        }
        for member in members {
            match compared.passes() {
                true => report.passes(member.id, &compared),
                false if member.id == highest.id => report.also_breaks(member.id, &compared),
                // It is the two that are too far apart.
                false => {
                    report.limit(member.id, &governing);
                    report.checked(member.id);
                }
            }
        }
    }
}

/// Whether a driver keeps the light the same at this voltage: not a filament or resistor-limited load, and inside
/// its stated range.
fn holds_its_light(kind: &LuminaireType, volts: f64) -> bool {
    let driver = kind.load != LoadModel::Resistive;
    let inside = kind.input_min_v.is_some_and(|min| !below(volts, min))
        && kind.input_max_v.is_some_and(|max| !above(volts, max));
    driver && inside
}
