//! A strong luminaire that shines upwards without a shield.

use crate::support::{PRACTICE, ids, missing_shielded};
use lintern_rule::compare::plain;
use lintern_rule::plan::{Aim, Luminaire};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

/// Where many outdoor lighting ordinances begin to want a shield; they differ. Common practice, no source.
const GREATEST_FLUX_LM: f64 = 1000.0;

pub const RULE: Rule = Rule {
    id: "light/unshielded-uplight",
    title: "A strong luminaire shines upwards without a shield",
    level: Level::Reminder,
    waivable: true,
    settings: &[Setting::number(
        "limit",
        GREATEST_FLUX_LM,
        "lm",
        Tighter::Lower,
        "greatest luminous flux of a luminaire that is aimed up without a shield",
    )],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let name = "greatest flux without a shield";
    let limit = Limit::new(name, GREATEST_FLUX_LM, "lm", Tighter::Lower, PRACTICE).given(settings, "limit");
    let limit_lm = limit.value();
    let mut groups: BTreeMap<u32, (f64, Vec<&Luminaire>)> = BTreeMap::new();
    for luminaire in input.luminaires() {
        if luminaire.aim != Some(Aim::Up) {
            continue;
        }
        report.limit(&luminaire.id, &limit);
        let kind = input.luminaire_type(luminaire);
        match (kind.flux_lm, luminaire.shielded) {
            (_, Some(true)) => report.checked(&luminaire.id),
            (Some(flux_lm), _) if limit.compare(flux_lm).passes() => {
                report.passes(&luminaire.id, &limit.compare(flux_lm).field("aim"));
            }
            (Some(flux_lm), Some(false)) => {
                groups.entry(luminaire.kind).or_insert((flux_lm, Vec::new())).1.push(luminaire);
            }
            (None, Some(false)) => report.undetermined(&luminaire.id, [format!("`flux` of type `{}`", kind.name)]),
            (_, None) => report.undetermined(&luminaire.id, [missing_shielded(input, luminaire)]),
        }
    }
    for (flux_lm, members) in groups.values() {
        let Some((first, others)) = members.split_first() else { continue };
        let compared = limit.compare(*flux_lm).field("aim");
        for other in others {
            report.also_breaks(&other.id, &compared);
        }
        report
            .finding(&first.id)
            .related(others.iter().map(|luminaire| luminaire.id.as_str()))
            .message(format!(
                "{} sends {} lm upwards without a shield; outdoor lighting ordinances often want a shield above {} lm",
                ids(members),
                plain(*flux_lm),
                plain(limit_lm)
            ))
            .work("luminous flux of the type", *flux_lm, "lm", "plan")
            .breaks(&compared)
            .help("look up the ordinance of the place, and shield it or take a smaller lamp")
            .add();
    }
}
