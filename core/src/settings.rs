//! What configurations and packs set for rules, checked against what the rules say of themselves.

use crate::engine::{AppliedLimit, GivenSetting, Layer, RuleDescription, SettingDescription, SettingValue, Tighter};
use crate::finding::{Basis, BasisKind, Level};
use crate::plan::Diagnostic;
use crate::plan::field::Span;
use crate::plan::nearest::nearest;
use crate::plan::scalar::Date;
use crate::repository::{AmendmentFile, Applies, Setting, Settings};
use crate::rulebook::Origin;
use std::collections::BTreeMap;

/// What configurations and packs set for one rule.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RuleSettings {
    /// The level that replaces the rule's own, and who sets it.
    pub level: Option<(Level, Origin)>,
    /// Whether plans may waive the rule's findings, and who says so.
    pub waivable: Option<(bool, Origin)>,
    /// Values of the rule's settings, those of one name in the order in which they count.
    pub values: Vec<GivenSetting>,
    /// Sentences that every output shows: what of the code was loosened, and why.
    pub notes: Vec<String>,
}

/// Checks the settings of configurations and packs, which stand in the order in which they count. Those that are wrong
/// are reported with the index of who gives them and left out.
pub fn resolve(
    given: &[(&Origin, &[Settings])],
    rules: &[&RuleDescription],
) -> (BTreeMap<String, RuleSettings>, Vec<(usize, Diagnostic)>) {
    let mut resolved: BTreeMap<String, RuleSettings> = BTreeMap::new();
    let mut errors = Vec::new();
    for (layer, (origin, settings)) in given.iter().enumerate() {
        for settings in *settings {
            let Some(rule) = rules.iter().find(|rule| rule.id == settings.rule) else {
                errors.push((layer, unknown_rule(&settings.rule, settings.span, rules)));
                continue;
            };
            let mut entry = resolved.get(&rule.id).cloned().unwrap_or_default();
            let mut wrong = Vec::new();
            if add(&mut entry, settings, rule, origin, &mut wrong) {
                resolved.insert(rule.id.clone(), entry);
            }
            errors.extend(wrong.into_iter().map(|diagnostic| (layer, diagnostic)));
        }
    }
    (resolved, errors)
}

/// Adds what one configuration or pack sets for a rule; false where none of it may be used.
fn add(
    entry: &mut RuleSettings,
    given: &Settings,
    rule: &RuleDescription,
    origin: &Origin,
    errors: &mut Vec<Diagnostic>,
) -> bool {
    let mut loosened = Vec::new();
    if let Some(level) = given.level {
        if level < rule.level {
            loosened.push(format!("its level is lowered from {} to {}", rule.level.word(), level.word()));
        }
        match &entry.level {
            Some((stricter, by)) if *stricter > level && given.reason.is_none() => entry.notes.push(format!(
                "the level {} of {} in {origin} is not used: {by} sets {}, and no reason is given",
                level.word(),
                rule.id,
                stricter.word()
            )),
            _ => entry.level = Some((level, origin.clone())),
        }
    }
    match given.waivable {
        Some(true) if !rule.waivable => {
            let message = format!("`{}` can't be waived: its findings can't be made waivable", rule.id);
            errors.push(Diagnostic::new(given.span, message).help("remove `waivable: true`"));
        }
        Some(true) if given.reason.is_none() && matches!(entry.waivable, Some((false, _))) => {
            let by = entry.waivable.as_ref().map_or(origin, |(_, by)| by);
            entry.notes.push(format!(
                "`waivable: true` of {} in {origin} is not used: {by} says that its findings can't be waived, and no reason is given",
                rule.id
            ));
        }
        Some(waivable) => entry.waivable = Some((waivable, origin.clone())),
        None => {}
    }
    for setting in &given.values {
        match value(setting, rule) {
            Ok((described, value)) => {
                loosened.extend(loosening(described, &value));
                if described.default.is_none() {
                    entry.notes.push(of_table(rule, described, &value, given.reason.as_deref(), origin));
                }
                entry.values.push(GivenSetting {
                    name: described.name.clone(),
                    value,
                    layer: Layer::House,
                    source: source(origin, given.reason.as_deref()),
                    replaces: given.reason.is_some(),
                    basis: Basis { kind: BasisKind::Practice, document: None, edition: None, section: None },
                });
            }
            Err(error) => errors.push(error),
        }
    }
    if is_of_code(rule) && !loosened.is_empty() {
        let what = loosened.join(", ");
        match &given.reason {
            Some(reason) => {
                entry.notes.push(format!("{} loosens {}: {what}; reason: {reason}", who(origin), rule.id));
            }
            None => {
                errors.push(
                    Diagnostic::new(
                        given.span,
                        format!("`{}` loosens a rule of the code without a reason: {what}", rule.id),
                    )
                    .help("add `reason:`; every output shows it"),
                );
                return false;
            }
        }
    }
    true
}

/// Who sets something, as the subject of a sentence.
fn who(origin: &Origin) -> String {
    match origin {
        Origin::Repository | Origin::BuiltIn => "the configuration".to_owned(),
        Origin::Pack { .. } => origin.to_string(),
    }
}

/// What a value is called in outputs.
fn source(origin: &Origin, reason: Option<&str>) -> String {
    let of = match origin {
        Origin::Repository | Origin::BuiltIn => "house setting".to_owned(),
        Origin::Pack { .. } => format!("house setting of {origin}"),
    };
    reason.map_or_else(|| of.clone(), |reason| format!("{of}: {}", crate::plan::elide(reason)))
}

/// A local amendment of one limit of a rule.
#[derive(Debug, Clone, PartialEq)]
pub struct Amendment {
    /// The plans that it is for.
    pub applies: Applies,
    /// The first day that it holds.
    pub date: Option<Date>,
    /// Id of the rule.
    pub rule: String,
    /// The document that it restates.
    pub document: String,
    /// The value for the rule's setting.
    pub given: GivenSetting,
    /// What every output says where it holds.
    pub note: String,
}

/// Checks local amendments against the rules. Those that are wrong are reported with the index of their file and left
/// out. Amendments of one limit stand in the order of their dates.
pub fn amendments(files: &[AmendmentFile], rules: &[&RuleDescription]) -> (Vec<Amendment>, Vec<(usize, Diagnostic)>) {
    let mut taken = Vec::new();
    let mut errors = Vec::new();
    for (index, file) in files.iter().enumerate() {
        for limit in &file.limits {
            let (id, span) = &limit.rule;
            let Some(rule) = rules.iter().find(|rule| rule.id == *id) else {
                errors.push((index, unknown_rule(id, *span, rules)));
                continue;
            };
            let setting = &Setting {
                name: limit.setting.0.clone(),
                value: limit.limit.0.clone(),
                span: if rule.settings.iter().any(|known| known.name == limit.setting.0) {
                    limit.limit.1
                } else {
                    limit.setting.1
                },
            };
            match value(setting, rule) {
                Err(error) => errors.push((index, error)),
                Ok((described, _)) if described.tighter == Tighter::Neither => errors.push((
                    index,
                    Diagnostic::new(limit.setting.1, format!("`{}` of `{id}` is no limit", described.name))
                        .help("amendments change limits; other settings belong to lintern.yaml"),
                )),
                Ok((described, value)) => {
                    let section = limit.section.as_ref().map(|section| format!(", {section}")).unwrap_or_default();
                    let source = format!("{}{section}", file.document);
                    taken.push(Amendment {
                        applies: file.applies.clone(),
                        date: limit.date,
                        rule: id.clone(),
                        document: file.document.clone(),
                        note: format!(
                            "{source} sets {} of {id} to {} ({})",
                            described.name,
                            shown(&value, &described.unit),
                            file.name
                        ),
                        given: GivenSetting {
                            name: described.name.clone(),
                            value,
                            layer: Layer::Local,
                            source,
                            replaces: true,
                            basis: Basis {
                                kind: BasisKind::Code,
                                document: Some(file.document.clone()),
                                edition: limit.date.map(|date| date.to_string()),
                                section: limit.section.clone(),
                            },
                        },
                    });
                }
            }
        }
    }
    taken.sort_by_key(|amendment| amendment.date);
    (taken, errors)
}

/// The limits of a rule that are plain numbers of its description, with what is given for them.
pub fn plain_limits(rule: &RuleDescription, given: &[GivenSetting], authority: &str) -> Vec<AppliedLimit> {
    let limit = |described: &SettingDescription| {
        let Some(SettingValue::Number(default)) = described.default else { return None };
        if described.tighter == Tighter::Neither {
            return None;
        }
        let mut limit = AppliedLimit {
            name: described.name.clone(),
            unit: described.unit.clone(),
            tighter: described.tighter,
            settings: vec![described.name.clone()],
            subjects: Vec::new(),
            layers: vec![(Layer::Code, default, authority.to_owned())],
            governing: 0,
        };
        for setting in given.iter().filter(|setting| setting.name == described.name) {
            let SettingValue::Number(value) = setting.value else { continue };
            limit.layers.push((setting.layer, value, setting.source.clone()));
            let own_practice = limit.governing == 0 && !is_of_code(rule);
            if setting.replaces || own_practice || described.tighter.is_stricter(value, limit.layers[limit.governing].1)
            {
                limit.governing = limit.layers.len() - 1;
            }
        }
        Some(limit)
    };
    rule.settings.iter().filter_map(limit).collect()
}

fn unknown_rule(id: &str, span: Span, rules: &[&RuleDescription]) -> Diagnostic {
    let error = Diagnostic::new(span, format!("there is no rule `{}`", crate::plan::elide(id)));
    match near_rule(id, rules) {
        Some(near) => error.help(format!("did you mean `{near}`? `lintern rules` lists the rules")),
        None => error.help("`lintern rules` lists the rules"),
    }
}

/// The value of one setting by the rule's description.
fn value<'a>(
    setting: &Setting,
    rule: &'a RuleDescription,
) -> Result<(&'a SettingDescription, SettingValue), Diagnostic> {
    let Some(described) = rule.settings.iter().find(|described| described.name == setting.name) else {
        let names = rule.settings.iter().map(|described| described.name.as_str());
        let error = Diagnostic::new(setting.span, format!("rule `{}` has no setting `{}`", rule.id, setting.name));
        return Err(match nearest(&setting.name, names) {
            Some(near) => error.help(format!("did you mean `{near}`?")),
            None => error.help(format!("`lintern explain {}` shows its settings", rule.id)),
        });
    };
    let text = setting.value.trim();
    let parsed = match &described.default {
        None | Some(SettingValue::Number(_)) => {
            // The unit is part of the value, as in plans.
            let number = text.strip_suffix(described.unit.as_str()).map(str::trim_end);
            let plain =
                number.filter(|n| n.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e')));
            plain.and_then(|n| n.parse::<f64>().ok()).filter(|n| n.is_finite()).map(SettingValue::Number)
        }
        Some(SettingValue::Flag(_)) => match text {
            "true" => Some(SettingValue::Flag(true)),
            "false" => Some(SettingValue::Flag(false)),
            _ => None,
        },
        Some(SettingValue::Text(_)) => Some(SettingValue::Text(setting.value.clone())),
    };
    parsed.map(|value| (described, value)).ok_or_else(|| {
        Diagnostic::new(setting.span, format!("`{}` is no value of `{}`", crate::plan::elide(text), setting.name)).help(
            format!(
                "write it like `{}`",
                shown(described.default.as_ref().unwrap_or(&SettingValue::Number(12.0)), &described.unit)
            ),
        )
    })
}

/// What a value loosens, if it does.
fn loosening(described: &SettingDescription, value: &SettingValue) -> Option<String> {
    let default = described.default.as_ref()?;
    let (SettingValue::Number(own), SettingValue::Number(set)) = (default, value) else { return None };
    let looser = match described.tighter {
        Tighter::Lower => set > own,
        Tighter::Higher => set < own,
        Tighter::Neither => false,
    };
    let text = |value| shown(value, &described.unit);
    looser.then(|| format!("{} from {} to {}", described.name, text(default), text(value)))
}

/// What every output says of a value for a limit that has a table of its own. The table may hold the law of a state,
/// which a rule cites by finding and not in its description, so it is said of every such rule.
fn of_table(
    rule: &RuleDescription,
    described: &SettingDescription,
    value: &SettingValue,
    reason: Option<&str>,
    origin: &Origin,
) -> String {
    let who = who(origin);
    let (id, name, value) = (&rule.id, &described.name, shown(value, &described.unit));
    match reason {
        Some(reason) => format!(
            "{who} sets {name} of {id} to {value} in place of what the code or the law asks for; reason: {reason}"
        ),
        None => format!("{who} sets {name} of {id} to {value}; where the code or the law is stricter, that governs"),
    }
}

/// Whether the rule rests on a code anywhere, so that a company needs a reason to loosen it.
pub fn is_of_code(rule: &RuleDescription) -> bool {
    rule.citations.iter().any(|citation| citation.basis.kind == BasisKind::Code)
}

/// A value as the configuration writes it.
pub fn shown(value: &SettingValue, unit: &str) -> String {
    match value {
        SettingValue::Number(number) if unit.is_empty() => number.to_string(),
        SettingValue::Number(number) => format!("{number} {unit}"),
        SettingValue::Flag(flag) => flag.to_string(),
        SettingValue::Text(text) => text.clone(),
    }
}

/// The rule that a misspelt id most likely means.
pub fn near_rule<'a>(id: &str, rules: &[&'a RuleDescription]) -> Option<&'a str> {
    nearest(id, rules.iter().map(|rule| rule.id.as_str()))
}
