//! The settings that a rule runs with: the company's, or the rule's own defaults.

use crate::outcome::{BasisKind, SettingGiven, SettingValue};
use crate::rule::SettingDefault;
use crate::{Rule, Setting, Tighter};

/// Settings of one rule.
#[derive(Debug)]
pub struct Settings<'a> {
    rule: &'static Rule,
    given: &'a [SettingGiven],
}

impl<'a> Settings<'a> {
    pub(crate) fn new(rule: &'static Rule, given: &'a [SettingGiven]) -> Self {
        Self { rule, given }
    }

    /// A number, in the unit of its description.
    ///
    /// # Panics
    /// When the rule describes no such number.
    pub fn number(&self, name: &str) -> f64 {
        let described = self.described(name);
        let SettingDefault::Number(default) = described.default else { self.mismatch(name, "a number") };
        let mut own = true;
        self.numbers(name).fold(default, |current, (setting, value)| {
            let stricter = described.tighter == Tighter::Neither || described.tighter.is_stricter(value, current);
            if setting.replaces || stricter || (own && self.is_practice()) {
                own = false;
                value
            } else {
                current
            }
        })
    }

    /// Whether the rule's own numbers are practice everywhere, so that a company may loosen them without a reason.
    pub(crate) fn is_practice(&self) -> bool {
        self.rule.citations.iter().all(|citation| citation.basis.kind == BasisKind::Practice)
    }

    /// What amendments and the company give for a number, in the order of their layers.
    pub(crate) fn numbers(&self, name: &str) -> impl Iterator<Item = (&'a SettingGiven, f64)> {
        self.given.iter().filter(move |setting| setting.name == name).map(move |setting| match setting.value {
            SettingValue::Number(number) => (setting, number),
            _ => self.mismatch(&setting.name, "a number"),
        })
    }

    /// Yes or no.
    ///
    /// # Panics
    /// When the rule describes no such flag.
    pub fn flag(&self, name: &str) -> bool {
        match (self.given(name), self.described(name).default) {
            (Some(SettingValue::Flag(flag)), SettingDefault::Flag(_)) => *flag,
            (None, SettingDefault::Flag(flag)) => flag,
            _ => self.mismatch(name, "a flag"),
        }
    }

    /// A text.
    ///
    /// # Panics
    /// When the rule describes no such text.
    pub fn text(&self, name: &str) -> &'a str {
        match (self.given(name), self.described(name).default) {
            (Some(SettingValue::Text(text)), SettingDefault::Text(_)) => text,
            (None, SettingDefault::Text(text)) => text,
            _ => self.mismatch(name, "a text"),
        }
    }

    fn given(&self, name: &str) -> Option<&'a SettingValue> {
        self.given.iter().rev().find(|setting| setting.name == name).map(|setting| &setting.value)
    }

    pub(crate) fn described(&self, name: &str) -> &'static Setting {
        self.rule
            .settings
            .iter()
            .find(|setting| setting.name == name)
            .unwrap_or_else(|| panic!("rule `{}` describes no setting `{name}`", self.rule.id))
    }

    fn mismatch(&self, name: &str, wanted: &str) -> ! {
        panic!("setting `{name}` of rule `{}` is not {wanted}", self.rule.id)
    }
}
