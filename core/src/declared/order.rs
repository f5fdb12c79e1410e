//! The same plan with its lists in another order: nothing that a rule says may depend on it.

use crate::check::{PlanReport, Tried};
use crate::finding::{Finding, Measure};
use serde_yaml::Value;

/// The lists of a plan whose order means nothing: the keys that lead to each.
const LISTS: [&[&str]; 6] =
    [&["luminaires"], &["runs"], &["junctions"], &["supplies"], &["site", "zones"], &["site", "utilities"]];

/// The text of a plan with these lists the other way round; `None` where it is no YAML mapping. Comments and layout
/// are lost.
pub fn reordered(text: &str) -> Option<String> {
    let mut plan: Value = serde_yaml::from_str(text).ok()?;
    plan.as_mapping()?;
    for keys in LISTS {
        let list = keys.iter().try_fold(&mut plan, |value, key| value.get_mut(*key));
        if let Some(Value::Sequence(list)) = list {
            list.reverse();
        }
    }
    serde_yaml::to_string(&plan).ok()
}

/// Whether a rule says the same of the same text in two trials, to the letter.
pub fn is_same(one: &Tried, other: &Tried, rule: &str) -> bool {
    let findings = |tried: &Tried| tried.report.findings.iter().filter(|f| f.rule == rule).cloned().collect::<Vec<_>>();
    let undetermined = |tried: &Tried| {
        let mut own: Vec<_> = tried.undetermined.iter().filter(|(of, ..)| of == rule).cloned().collect();
        own.sort_unstable();
        own
    };
    one.report.verdicts.get(rule) == other.report.verdicts.get(rule)
        && findings(one) == findings(other)
        && undetermined(one) == undetermined(other)
}

/// Whether two trials of a plan and the same plan in another order say the same: texts and the choice of the element
/// that stands for a group may differ, numbers by what floating point is good for.
pub fn agrees(one: &PlanReport, other: &PlanReport) -> bool {
    let mut theirs: Vec<&Finding> = other.findings.iter().collect();
    one.verdicts.len() == other.verdicts.len()
        && one.verdicts.iter().all(|(rule, verdict)| other.verdicts.get(rule) == Some(verdict))
        && one.findings.len() == theirs.len()
        && one.findings.iter().all(|finding| {
            let found = theirs.iter().position(|other| same(finding, other));
            found.map(|index| theirs.remove(index)).is_some()
        })
}

fn same(one: &Finding, other: &Finding) -> bool {
    let elements = |finding: &Finding| {
        let mut ids: Vec<String> = finding.related.clone();
        ids.push(finding.subject.clone());
        ids.sort_unstable();
        ids
    };
    let close = |a: &Option<Measure>, b: &Option<Measure>| match (a, b) {
        (Some(a), Some(b)) => a.unit == b.unit && (a.value - b.value).abs() <= 1e-6 * a.value.abs().max(1e-6),
        (a, b) => a.is_none() && b.is_none(),
    };
    (&one.rule, one.level, &one.basis) == (&other.rule, other.level, &other.basis)
        && elements(one) == elements(other)
        && close(&one.measured, &other.measured)
        && close(&one.limit, &other.limit)
}

#[cfg(test)]
mod tests {
    use super::reordered;

    #[test]
    fn the_lists_are_turned_round_and_names_that_look_like_numbers_stay_texts() {
        let text = "plan: 1\nsupplies: [{ id: \"12\" }, { id: S2 }]\nsite: { zones: [{ id: a }, { id: no }] }\n\
                    runs:\n  - { id: R1, route: [S1, L1] }\n";
        let other = reordered(text).expect("a mapping");
        let value: serde_yaml::Value = serde_yaml::from_str(&other).expect("YAML");
        assert_eq!(value["supplies"][1]["id"].as_str(), Some("12"), "{other}");
        assert_eq!(value["site"]["zones"][0]["id"].as_str(), Some("no"), "{other}");
        assert_eq!(value["runs"][0]["route"][0].as_str(), Some("S1"), "routes keep their order");
        assert_eq!(reordered("- a list"), None);
    }
}
