//! Luminaires that are seen together are of different whites.

use crate::support::PRACTICE;
use lintern_rule::compare::plain;
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

/// Less is hardly seen between two lamps of one garden, more is. Common practice, no source.
const LARGEST_DIFFERENCE_K: f64 = 200.0;

pub const RULE: Rule = Rule {
    id: "light/mixed-whites",
    title: "Luminaires of one scene have clearly different colour temperatures",
    level: Level::Advice,
    waivable: true,
    settings: &[Setting::number(
        "limit",
        LARGEST_DIFFERENCE_K,
        "K",
        Tighter::Lower,
        "largest difference of colour temperature between two luminaires of a scene",
    )],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

/// A luminaire of a scene with the colour temperature that its type states.
struct Member<'a> {
    id: &'a str,
    kind: &'a str,
    cct_k: Option<f64>,
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let name = "largest difference in a scene";
    let limit = Limit::new(name, LARGEST_DIFFERENCE_K, "K", Tighter::Lower, PRACTICE).given(settings, "limit");
    let mut scenes: BTreeMap<&str, Vec<Member>> = BTreeMap::new();
    for luminaire in input.luminaires() {
        let Some(scene) = luminaire.scene.as_deref() else { continue };
        let kind = input.luminaire_type(luminaire);
        scenes.entry(scene).or_default().push(Member { id: &luminaire.id, kind: &kind.name, cct_k: kind.cct_k });
    }
    for (scene, members) in &scenes {
        let known = || members.iter().filter_map(|member| member.cct_k.map(|cct_k| (member.id, cct_k)));
        // Among equals the first by id, whatever their order in the plan.
        let warmest = known().min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(b.0)));
        let coolest = known().max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(a.0)));
        // A scene of which no colour temperature is stated is not spoken of.
        let (Some((warm, warm_k)), Some((cool, cool_k))) = (warmest, coolest) else { continue };
        let apart_k = cool_k - warm_k;
        let compared = limit.compare(apart_k).field("type.cct");
        for member in members {
            match member.cct_k {
                Some(_) if compared.passes() => report.passes(member.id, &compared),
                Some(_) if member.id == warm => report.also_breaks(member.id, &compared),
                // It is the two that are too far apart.
                Some(_) => {
                    report.limit(member.id, &limit);
                    report.checked(member.id);
                }
                None => report.undetermined(member.id, [format!("`cct` of type `{}`", member.kind)]),
            }
        }
        if !compared.passes() {
            report
                .finding(cool)
                .related([warm])
                .message(format!(
                    "in scene {scene}, {cool} is {} K and {warm} is {} K: {} K apart, more than {} K",
                    plain(cool_k),
                    plain(warm_k),
                    plain(apart_k),
                    plain(limit.value())
                ))
                .work("coolest white in the scene", cool_k, "K", format!("plan, type of {cool}"))
                .work("warmest white in the scene", warm_k, "K", format!("plan, type of {warm}"))
                .breaks(&compared)
                .help("take one colour temperature for what is seen together; where the difference is meant, waive it")
                .add();
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::MODULE;
    use lintern_rule::outcome::RuleRequest;
    use lintern_rule::plan::{Luminaire, LuminaireType};
    use lintern_rule::{Given, blank};

    #[test]
    fn of_equal_whites_the_first_by_id_is_named_whatever_the_order() {
        let kind = |name: &str, cct_k| LuminaireType { cct_k: Some(cct_k), ..blank::luminaire_type(name, 6.0) };
        let lamp = |id: &str, kind| Luminaire { scene: Some("entry".to_owned()), ..blank::luminaire(id, kind) };
        let mut lamps = vec![lamp("L1", 0), lamp("L2", 1), lamp("L3", 0), lamp("L4", 1)];
        for _ in 0..2 {
            let types = vec![kind("warm", 2700.0), kind("white", 3000.0)];
            let given = Given { luminaire_types: types, luminaires: lamps.clone(), ..Given::default() };
            let id = super::RULE.id.to_owned();
            let request = RuleRequest { id, settings: Vec::new(), wants_limits: false, wants_margins: false };
            let found = MODULE.check(&given.into(), &[request]).remove(0).findings;
            let named: Vec<(&str, &[String])> = found.iter().map(|f| (f.subject.as_str(), &f.related[..])).collect();
            assert_eq!(named, [("L2", &["L1".to_owned()][..])]);
            lamps.reverse();
        }
    }
}
