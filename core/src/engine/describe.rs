//! What a module says of its rules, checked before anyone relies on it.

use super::error::Problem;
use super::host::wit;
use super::limits;
use crate::finding::{Basis, BasisKind, Level};
use crate::plan::model::Code;
use std::collections::BTreeSet;

/// A rule as its module describes it.
#[derive(Debug, Clone, PartialEq)]
pub struct RuleDescription {
    /// `topic/defect`.
    pub id: String,
    /// What is wrong when it finds something, in one line.
    pub title: String,
    /// Level of its findings unless a finding says otherwise.
    pub level: Level,
    /// Whether a plan may waive its findings.
    pub waivable: bool,
    /// Its settings.
    pub settings: Vec<SettingDescription>,
    /// Its authority by code.
    pub citations: Vec<Citation>,
    /// Its page, in Markdown.
    pub documentation: String,
}

/// A setting of a rule.
#[derive(Debug, Clone, PartialEq)]
pub struct SettingDescription {
    /// Its name.
    pub name: String,
    /// What it means.
    pub summary: String,
    /// Unit of a number; empty for other values.
    pub unit: String,
    /// Its value where nobody sets one; `None` for a number whose default stands in the rule's own table.
    pub default: Option<SettingValue>,
    /// Which direction is stricter.
    pub tighter: Tighter,
}

/// The value of a setting.
#[derive(Debug, Clone, PartialEq)]
pub enum SettingValue {
    /// A number in the setting's unit.
    Number(f64),
    /// Yes or no.
    Flag(bool),
    /// A text.
    Text(String),
}

/// Which direction of a setting is stricter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tighter {
    /// A lower number.
    Lower,
    /// A higher number.
    Higher,
    /// Neither, or it cannot be said.
    Neither,
}

impl Tighter {
    /// Whether the first number is stricter than the second.
    pub fn is_stricter(self, value: f64, than: f64) -> bool {
        match self {
            Self::Lower => value < than,
            Self::Higher => value > than,
            Self::Neither => false,
        }
    }
}

/// The authority of a rule under one code.
#[derive(Debug, Clone, PartialEq)]
pub struct Citation {
    /// The code of the plan.
    pub code: Code,
    /// What is cited then.
    pub basis: Basis,
    /// Whether the section was confirmed for the edition, or is from memory.
    pub confirmed: bool,
}

/// Checks a description and takes it over.
pub(super) fn take(described: wit::ModuleDescription) -> Result<Vec<RuleDescription>, Problem> {
    let wrong = |what: String| Err(Problem::Description(what));
    if described.rules.is_empty() {
        return wrong("it has no rules".to_owned());
    }
    if described.rules.len() > limits::RULES {
        return wrong(format!("it has {} rules, and at most {} are allowed", described.rules.len(), limits::RULES));
    }
    let mut ids = BTreeSet::new();
    let mut rules = Vec::with_capacity(described.rules.len());
    for rule in described.rules {
        let id = cut(rule.id);
        if !is_rule_id(&id) {
            return wrong(format!("rule id `{}` is not of the form `topic/defect`", id.escape_debug()));
        }
        if !ids.insert(id.clone()) {
            return wrong(format!("it has two rules `{id}`"));
        }
        if rule.documentation.len() > limits::DOCUMENTATION_BYTES {
            return wrong(format!("the page of rule `{id}` is longer than {} kB", limits::DOCUMENTATION_BYTES >> 10));
        }
        if rule.settings.len().max(rule.citations.len()) > limits::DESCRIPTION_ENTRIES {
            return wrong(format!("rule `{id}` has more than {} settings or citations", limits::DESCRIPTION_ENTRIES));
        }
        let mut settings: Vec<SettingDescription> = Vec::with_capacity(rule.settings.len());
        for setting in rule.settings {
            let setting = take_setting(setting);
            if !is_word(&setting.name) {
                return wrong(format!("setting `{}` of rule `{id}` is no name", setting.name.escape_debug()));
            }
            if settings.iter().any(|other| other.name == setting.name) {
                return wrong(format!("rule `{id}` has two settings `{}`", setting.name));
            }
            if matches!(setting.default, Some(SettingValue::Number(number)) if !number.is_finite()) {
                return wrong(format!("the default of setting `{}` of rule `{id}` is no number", setting.name));
            }
            settings.push(setting);
        }
        rules.push(RuleDescription {
            title: cut(rule.title),
            level: level(rule.level),
            waivable: rule.waivable,
            settings,
            citations: rule.citations.into_iter().map(take_citation).collect(),
            documentation: rule.documentation,
            id,
        });
    }
    Ok(rules)
}

/// Two words in kebab case with a slash between them.
pub(crate) fn is_rule_id(id: &str) -> bool {
    id.len() <= 100 && id.split_once('/').is_some_and(|(topic, defect)| is_word(topic) && is_word(defect))
}

/// A word in kebab case.
pub(crate) fn is_word(word: &str) -> bool {
    word.split('-')
        .all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit()))
        && word.starts_with(|first: char| first.is_ascii_lowercase())
}

/// A text of bounded length in one line, with a mark where it was cut. A line of its own could pass for one of lintern's,
/// or for a command to the service that runs it.
pub(super) fn cut(mut text: String) -> String {
    if text.contains('\n') {
        text = text.replace("\r\n", " ").replace('\n', " ");
    }
    if text.len() > limits::TEXT_BYTES {
        let end = (0..=limits::TEXT_BYTES).rev().find(|&end| text.is_char_boundary(end)).unwrap_or(0);
        text.truncate(end);
        text.push_str(" […]");
    }
    text
}

fn take_setting(setting: wit::SettingDescription) -> SettingDescription {
    SettingDescription {
        name: setting.name,
        summary: cut(setting.summary),
        unit: cut(setting.unit),
        default: setting.default.map(|default| match default {
            wit::SettingValue::Number(number) => SettingValue::Number(number),
            wit::SettingValue::Flag(flag) => SettingValue::Flag(flag),
            wit::SettingValue::Text(text) => SettingValue::Text(cut(text)),
        }),
        tighter: tighter(setting.tighter),
    }
}

pub(super) fn tighter(tighter: wit::Tighter) -> Tighter {
    match tighter {
        wit::Tighter::Smaller => Tighter::Lower,
        wit::Tighter::Larger => Tighter::Higher,
        wit::Tighter::Neither => Tighter::Neither,
    }
}

fn take_citation(citation: wit::Citation) -> Citation {
    Citation {
        code: match citation.code {
            wit::Code::Nec2017 => Code::Nec2017,
            wit::Code::Nec2020 => Code::Nec2020,
            wit::Code::Nec2023 => Code::Nec2023,
            wit::Code::Nec2026 => Code::Nec2026,
            wit::Code::Iec60364 => Code::Iec60364,
            wit::Code::Bs7671 => Code::Bs7671,
        },
        basis: basis(citation.basis),
        confirmed: citation.confidence == wit::Confidence::Confirmed,
    }
}

pub(super) fn basis(basis: wit::Basis) -> Basis {
    Basis {
        kind: match basis.kind {
            wit::BasisKind::Code => BasisKind::Code,
            wit::BasisKind::Practice => BasisKind::Practice,
        },
        document: basis.document.map(cut),
        edition: basis.edition.map(cut),
        section: basis.section.map(cut),
    }
}

/// The other way round.
pub(super) fn to_wit(basis: &Basis) -> wit::Basis {
    wit::Basis {
        kind: match basis.kind {
            BasisKind::Code => wit::BasisKind::Code,
            BasisKind::Practice => wit::BasisKind::Practice,
        },
        document: basis.document.clone(),
        edition: basis.edition.clone(),
        section: basis.section.clone(),
    }
}

pub(super) fn level(level: wit::Level) -> Level {
    match level {
        wit::Level::Reminder => Level::Reminder,
        wit::Level::Advice => Level::Advice,
        wit::Level::Violation => Level::Violation,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rule_ids_are_two_words() {
        for good in ["voltage/undervoltage", "wet-location/ip44-wanted"] {
            assert!(is_rule_id(good), "{good}");
        }
        for bad in ["voltage", "/x", "x/", "a/b/c", "Voltage/x", "a/b_c", "a/-b", "a/b-", "a /b", "a/\u{1b}[31m", "1/x"]
        {
            assert!(!is_rule_id(bad), "{bad}");
        }
    }

    #[test]
    fn a_text_is_cut_between_characters() {
        let text = cut("é".repeat(limits::TEXT_BYTES));
        assert!(text.len() <= limits::TEXT_BYTES + " […]".len() && text.ends_with(" […]"));
        assert_eq!(cut("one\r\ntwo\n\nthree".to_owned()), "one two  three");
    }
}
