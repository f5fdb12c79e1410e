//! A dimmer that the supply or the drivers behind it are not made for.

use lintern_rule::plan::{Dimming, LoadModel, Luminaire, LuminaireType, OutputCurrent, Supply, SupplyType};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

pub const RULE: Rule = Rule {
    id: "light/unfit-dimmer",
    title: "A dimmer does not fit the supply or the luminaires behind it",
    level: Level::Advice,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// A way of dimming, as a sentence has it.
fn word(dimming: Dimming) -> &'static str {
    match dimming {
        Dimming::None => "in no way",
        Dimming::Phase => "by phase cut",
        Dimming::Pwm => "by pulse width",
        Dimming::Analog => "by 0-10 V",
        Dimming::Digital => "by a digital bus",
    }
}

/// What reaches the luminaires of a dimmed supply.
enum Reaching {
    /// This way of dimming.
    Method(Dimming),
    /// The supply can't be dimmed so: why, and the field at fault.
    Barred(&'static str),
    /// The plan does not say: what is missing.
    Open(String),
}

/// What reaches the luminaires where a supply of this type is dimmed in this way.
fn reaching(kind: &SupplyType, dimmer: Dimming) -> Reaching {
    match (kind.dimming, dimmer, kind.current) {
        (Some(Dimming::None), ..) => Reaching::Barred("its type can't be dimmed"),
        // A supply that takes the dimmer's way and gives its own.
        (Some(given), ..) => Reaching::Method(given),
        (None, Dimming::Pwm, OutputCurrent::Ac) => {
            Reaching::Barred("pulse width needs a DC output, and its type gives AC")
        }
        // Behind the supply a pulse-width dimmer cuts the DC itself; phase cut passes a transformer.
        (None, Dimming::Pwm, OutputCurrent::Dc) => Reaching::Method(Dimming::Pwm),
        (None, Dimming::Phase, OutputCurrent::Ac) => Reaching::Method(Dimming::Phase),
        // A converter makes something else of phase cut; signals go to the supply or to the luminaires.
        (None, ..) => Reaching::Open(format!("`dimming` of type `{}`", kind.name)),
    }
}

/// Whether a luminaire can be dimmed so; `None` where the plan does not say.
fn accepts(kind: &LuminaireType, method: Dimming) -> Option<bool> {
    match kind.dimming.as_slice() {
        // Without a driver the light follows the voltage.
        [] if kind.load == LoadModel::Resistive && matches!(method, Dimming::Phase | Dimming::Pwm) => Some(true),
        [] => None,
        accepted => Some(accepted.contains(&method)),
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, supply) in (0_u32..).zip(input.supplies()) {
        // A supply without a dimmer is not spoken of.
        let Some(dimmer) = supply.dimmer.filter(|dimmer| *dimmer != Dimming::None) else { continue };
        let kind = input.supply_type(supply);
        match reaching(kind, dimmer) {
            Reaching::Barred(why) => report
                .finding(&supply.id)
                .field("control.dimmer")
                .message(format!("{} is dimmed {}, but {why}", supply.id, word(dimmer)))
                .help("take a supply that is made for this dimmer, or a dimmer that is made for the supply")
                .add(),
            Reaching::Open(missing) => report.undetermined(&supply.id, [missing]),
            Reaching::Method(method) => judge(input, (index, supply), method, report),
        }
    }
}

/// Compares what reaches the luminaires of a supply with what they are made for.
fn judge(input: &Input, (index, supply): (u32, &Supply), method: Dimming, report: &mut Report) {
    report.checked(&supply.id);
    let states = input.judged().luminaires();
    let mut by_type: BTreeMap<u32, Vec<&Luminaire>> = BTreeMap::new();
    for (luminaire, state) in input.luminaires().iter().zip(states) {
        if state.node.fed_by.iter().any(|(fed_by, _)| *fed_by == index) {
            by_type.entry(luminaire.kind).or_default().push(luminaire);
        }
    }
    for luminaires in by_type.values() {
        let Some(first) = luminaires.first() else { continue };
        let kind = input.luminaire_type(first);
        match accepts(kind, method) {
            Some(true) => {}
            None => report.undetermined(&supply.id, [format!("`dimming` of type `{}`", kind.name)]),
            Some(false) => {
                let accepted: Vec<&str> =
                    kind.dimming.iter().filter(|way| **way != Dimming::None).map(|way| word(*way)).collect();
                let accepted = match accepted.as_slice() {
                    [] => "can't be dimmed".to_owned(),
                    ways => format!("can be dimmed {} only", ways.join(" or ")),
                };
                report
                    .finding(&supply.id)
                    .field("control.dimmer")
                    .related(luminaires.iter().map(|luminaire| luminaire.id.as_str()))
                    .message(format!(
                        "{} dims its luminaires {}; type {} {accepted}",
                        supply.id,
                        word(method),
                        kind.name
                    ))
                    .help("take luminaires that are made for this way of dimming, or feed them from a supply without a dimmer")
                    .add();
            }
        }
    }
}
