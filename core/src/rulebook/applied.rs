//! Which settings of a rule apply: what each layer gives, and which of it counts.

use super::{Origin, Rulebook};
use crate::engine::{Layer, RuleDescription, SettingDescription, SettingValue};
use crate::finding::Level;
use crate::settings::{plain_limits, shown};

/// A setting of a rule with everything that was given for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AppliedSetting {
    /// Its name; `level` and `waivable` for those of the rule itself.
    pub name: String,
    /// What was given, the rule's own first.
    pub given: Vec<GivenValue>,
    /// Which of it counts; `None` where that depends on the plan.
    pub counts: Option<usize>,
}

/// A value of a setting with who gives it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GivenValue {
    /// The value as a configuration writes it.
    pub value: String,
    /// Who gives it.
    pub from: String,
}

impl Rulebook {
    /// The level of a rule's findings, and who sets it where it is not the rule's own.
    pub fn level(&self, rule: &RuleDescription) -> (Level, Option<&Origin>) {
        match self.settings.get(&rule.id).and_then(|settings| settings.level.as_ref()) {
            Some((level, origin)) => (*level, Some(origin)),
            None => (rule.level, None),
        }
    }

    /// The settings of a rule that configurations and packs change. Local amendments are apart, since they depend on
    /// the plan.
    pub fn applied(&self, rule: &RuleDescription) -> Vec<AppliedSetting> {
        let mut applied = Vec::new();
        if let (level, Some(origin)) = self.level(rule) {
            let value = |level: Level, from: &str| GivenValue { value: level.word().to_owned(), from: from.to_owned() };
            let given = vec![value(rule.level, RULE), value(level, &origin.to_string())];
            applied.push(AppliedSetting { name: "level".to_owned(), given, counts: Some(1) });
        }
        if let Some((waivable, origin)) = self.settings.get(&rule.id).and_then(|settings| settings.waivable.as_ref()) {
            let value = |waivable: bool, from: &str| GivenValue { value: waivable.to_string(), from: from.to_owned() };
            let given = vec![value(rule.waivable, RULE), value(*waivable, &origin.to_string())];
            applied.push(AppliedSetting { name: "waivable".to_owned(), given, counts: Some(1) });
        }
        for described in &rule.settings {
            applied.extend(self.applied_setting(rule, described));
        }
        applied
    }

    fn applied_setting(&self, rule: &RuleDescription, described: &SettingDescription) -> Option<AppliedSetting> {
        let all = &self.settings.get(&rule.id)?.values;
        let given: Vec<_> = all.iter().filter(|given| given.name == described.name).collect();
        given.last()?;
        let text = |value: &SettingValue| shown(value, &described.unit);
        let own = described.default.as_ref().map_or_else(|| "by its table".to_owned(), &text);
        let mut values = vec![GivenValue { value: own, from: RULE.to_owned() }];
        values.extend(given.iter().map(|given| GivenValue { value: text(&given.value), from: given.source.clone() }));
        let counts = match described.default {
            // The table may be stricter or looser at each place.
            None => None,
            Some(_) => plain_limits(rule, all, RULE)
                .iter()
                .find(|limit| limit.name == described.name)
                .map(|limit| {
                    debug_assert!(limit.layers.iter().skip(1).all(|(layer, ..)| *layer == Layer::House));
                    limit.governing
                })
                .or(Some(given.len())),
        };
        Some(AppliedSetting { name: described.name.clone(), given: values, counts })
    }
}

/// Who gives the value of the rule itself.
const RULE: &str = "the rule";
