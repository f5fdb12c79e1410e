//! What a rule should bring with it and doesn't. These are warnings: a rule works without.

use super::trial::Trial;
use lintern_core::engine::{RuleDescription, SettingValue};

/// What rules lack.
pub fn of<'a>(rules: impl Iterator<Item = &'a RuleDescription>, trials: &[Trial]) -> Vec<String> {
    let mut lacks: Vec<String> = trials.iter().flat_map(|trial| trial.remarks.clone()).collect();
    for rule in rules {
        let own: Vec<&Trial> = trials.iter().filter(|trial| trial.rule == rule.id).collect();
        lacks.extend(of_rule(rule, &own).into_iter().map(|lack| format!("{}: {lack}", rule.id)));
    }
    lacks
}

fn of_rule(rule: &RuleDescription, own: &[&Trial]) -> Vec<String> {
    let mut lacks = Vec::new();
    // A file of expressions gives a rule without a page its title as one.
    if rule.documentation.trim().is_empty() || rule.documentation == rule.title {
        lacks.push("no page".to_owned());
    }
    if own.is_empty() {
        return lacks;
    }
    for (kind, expect) in [("passing", "pass"), ("failing", "fail")] {
        if !own.iter().any(|trial| trial.expect == expect) {
            lacks.push(format!("no {kind} case"));
        }
    }
    for setting in &rule.settings {
        let Some(SettingValue::Number(limit)) = setting.default else { continue };
        let told = || own.iter().flat_map(|trial| &trial.told);
        let compared = |passes: bool| told().any(|margin| margin.limit == limit && margin.passes == passes);
        if !(compared(true) && compared(false)) {
            lacks.push(format!("no case on each side of {limit} {}, the default of `{}`", setting.unit, setting.name));
        }
    }
    lacks
}
