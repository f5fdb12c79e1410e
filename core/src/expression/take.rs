//! From the file as written to rules, with every mistake that shows without its expressions.

use super::document::{BasisDoc, EntityWord, ExpressionsDoc, KindWord, LevelWord, RuleDoc, SettingDoc, TighterWord};
use super::{Placed, wit};
use crate::engine::limits;
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::elide;
use crate::plan::field::{Field, Span};
use crate::plan::read::Map;
use std::collections::BTreeMap;

/// The version of the format that is read.
const FORMAT: u64 = 1;
/// Bytes of a title, a route, a name of a document and the like.
const LINE_BYTES: usize = 500;
/// Settings of one rule.
const SETTINGS: usize = 50;

/// Units of settings: those of the fields, as plans write them.
const UNITS: [&str; 22] = [
    "m", "mm", "in", "ft", "W", "VA", "V", "A", "ohm", "%", "lm", "K", "h", "degC", "mm2", "AWG", "days", "N", "cm",
    "kW", "kVA", "mA",
];

pub(super) fn rules(doc: &ExpressionsDoc, errors: &mut Diagnostics) -> Vec<Placed> {
    if let Some(version) = doc.expressions.get().filter(|version| **version != FORMAT) {
        errors.push(|| {
            Diagnostic::new(doc.expressions.span, format!("format {version} of expressions is not known"))
                .help(format!("this version reads format {FORMAT}"))
        });
    }
    let list = doc.rules.get().map_or(&[][..], Vec::as_slice);
    if doc.rules.get().is_some() && list.is_empty() {
        errors.push(|| Diagnostic::new(doc.rules.span, "the file has no rules"));
    }
    if list.len() > limits::RULES {
        let (found, most) = (list.len(), limits::RULES);
        errors.push(|| {
            Diagnostic::new(None, format!("the file has {found} rules, and at most {most} are read"))
                .help("split the file")
        });
        return Vec::new();
    }
    let mut ids: BTreeMap<&str, Span> = BTreeMap::new();
    let mut taken = Vec::with_capacity(list.len());
    for rule in list.iter().filter_map(Field::get) {
        if let (Some(id), Some(span)) = (rule.id.get(), rule.id.span) {
            match ids.get(id.as_str()) {
                Some(&first) => errors.push(|| {
                    Diagnostic::new(span, format!("there are two rules `{}`", elide(id)))
                        .also(first, "first defined here")
                }),
                None => {
                    ids.insert(id, span);
                }
            }
        }
        taken.extend(take(rule, errors));
    }
    taken
}

fn take(rule: &RuleDoc, errors: &mut Diagnostics) -> Option<Placed> {
    bounds(rule, errors);
    let test = test(rule, errors);
    let settings = settings(&rule.settings, errors);
    let (id, id_span) = (rule.id.cloned()?, rule.id.span?);
    if !crate::engine::is_rule_id(&id) {
        errors.push(|| {
            Diagnostic::new(id_span, format!("`{}` is no id of a rule", elide(&id)))
                .help("write two words with a slash between them, like `house/long-pull`: lower case, `-` within words")
        });
    }
    let (test, test_parts) = test?;
    let mut parts = test_parts;
    for (part, field) in
        [(wit::Part::Where, &rule.r#where), (wit::Part::Message, &rule.message), (wit::Part::Help, &rule.help)]
    {
        parts.extend(field.span.map(|span| (part, span)));
    }
    Some(Placed {
        id: id_span,
        parts,
        rule: wit::Rule {
            title: rule.title.cloned().unwrap_or_default(),
            level: match rule.level.get() {
                Some(LevelWord::Violation) => wit::Level::Violation,
                Some(LevelWord::Reminder) => wit::Level::Reminder,
                Some(LevelWord::Advice) | None => wit::Level::Advice,
            },
            waivable: rule.waivable.cloned().unwrap_or(true),
            entity: entity(*rule.r#for.get()?),
            where_: rule.r#where.cloned(),
            test,
            settings,
            message: rule.message.cloned()?,
            help: rule.help.cloned().unwrap_or_default(),
            field: rule.field.cloned().unwrap_or_default(),
            basis: rule.basis.get().map(basis),
            page: rule.page.cloned().unwrap_or_else(|| rule.title.cloned().unwrap_or_default()),
            id,
        },
    })
}

/// Texts that are too long.
fn bounds(rule: &RuleDoc, errors: &mut Diagnostics) {
    let line = [("title", &rule.title), ("field", &rule.field), ("limit", &rule.limit)];
    let texts = [
        ("where", &rule.r#where),
        ("require", &rule.require),
        ("value", &rule.value),
        ("message", &rule.message),
        ("help", &rule.help),
    ];
    let bounded = line
        .into_iter()
        .map(|(key, field)| (key, field, LINE_BYTES))
        .chain(texts.into_iter().map(|(key, field)| (key, field, limits::TEXT_BYTES)))
        .chain([("page", &rule.page, limits::DOCUMENTATION_BYTES)]);
    for (key, field, most) in bounded {
        let Some(text) = field.get() else { continue };
        if text.len() > most {
            let at = field.span.map(|span| Span { end: span.start + 1, ..span });
            let found = text.len();
            errors.push(|| Diagnostic::new(at, format!("`{key}` has {found} bytes, and at most {most} are read")));
        }
    }
}

/// Exactly one of `require`, and `value` with `limit`.
fn test(rule: &RuleDoc, errors: &mut Diagnostics) -> Option<(wit::Test, Vec<(wit::Part, Span)>)> {
    const HELP: &str = "write `require: …` for a condition, or `value: …` and `limit: …` for a number with a limit";
    let (require, value, limit) = (&rule.require, &rule.value, &rule.limit);
    match (require.span, value.span, limit.span) {
        (Some(span), None, None) => Some((wit::Test::Require(require.cloned()?), vec![(wit::Part::Require, span)])),
        (None, Some(at), Some(of)) => {
            let comparison = wit::Comparison { value: value.cloned()?, limit: limit.cloned()? };
            Some((wit::Test::Compare(comparison), vec![(wit::Part::Value, at), (wit::Part::Limit, of)]))
        }
        (None, None, None) => {
            errors.push(|| Diagnostic::new(rule.id.span, "this rule tests nothing").help(HELP));
            None
        }
        (Some(span), ..) => {
            errors.push(|| Diagnostic::new(span, "a rule has either `require` or `value` and `limit`").help(HELP));
            None
        }
        (None, at, of) => {
            let missing = if at.is_none() { "value" } else { "limit" };
            errors.push(|| Diagnostic::new(at.or(of), format!("`{missing}` is missing beside this")).help(HELP));
            None
        }
    }
}

fn settings(table: &Field<Map<SettingDoc>>, errors: &mut Diagnostics) -> Vec<wit::Setting> {
    let Some(table) = table.get() else { return Vec::new() };
    if table.entries.len() > SETTINGS {
        let found = table.entries.len();
        errors.push(|| Diagnostic::new(None, format!("a rule has {found} settings, and at most {SETTINGS} are read")));
        return Vec::new();
    }
    let mut settings = Vec::with_capacity(table.entries.len());
    for (name, setting) in &table.entries {
        let (Some(name), Some(at), Some(setting)) = (name.get(), name.span, setting.get()) else { continue };
        if !crate::engine::is_word(name) {
            errors.push(|| {
                Diagnostic::new(at, format!("`{}` is no name of a setting", elide(name)))
                    .help("write lower case with `-` within words, like `least-cover`")
            });
            continue;
        }
        settings.extend(setting_of(name, setting, errors));
    }
    settings
}

fn setting_of(name: &str, setting: &SettingDoc, errors: &mut Diagnostics) -> Option<wit::Setting> {
    let text = setting.default.get()?.trim();
    let (default, unit) = match text {
        "true" => (wit::SettingValue::Flag(true), ""),
        "false" => (wit::SettingValue::Flag(false), ""),
        _ => match number(text) {
            Some((number, unit)) if unit.is_empty() || UNITS.contains(&unit) => {
                (wit::SettingValue::Number(number), unit)
            }
            Some((_, unit)) => {
                let near = crate::plan::nearest::help(unit, "units", UNITS);
                errors
                    .push(|| Diagnostic::new(setting.default.span, format!("`{}` is no unit", elide(unit))).help(near));
                return None;
            }
            None => (wit::SettingValue::Text(text.to_owned()), ""),
        },
    };
    let is_number = matches!(default, wit::SettingValue::Number(_));
    if let (Some(span), false) = (setting.tighter.span, is_number) {
        errors.push(|| {
            Diagnostic::new(span, "only a number has a direction that is tighter").help("leave `tighter` out")
        });
    }
    Some(wit::Setting {
        name: name.to_owned(),
        about: setting.about.cloned().unwrap_or_default(),
        unit: unit.to_owned(),
        default,
        tighter: match setting.tighter.get() {
            Some(TighterWord::Lower) => wit::Tighter::Smaller,
            Some(TighterWord::Higher) => wit::Tighter::Larger,
            None => wit::Tighter::Neither,
        },
    })
}

/// A number with what stands behind it; none for a text that is no number.
fn number(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+'))).unwrap_or(text.len());
    let number = text.get(..end)?.parse::<f64>().ok().filter(|number| number.is_finite())?;
    let unit = text.get(end..)?.trim();
    // `12-volt crew` and `2026-03-02` are texts.
    unit.chars().all(|c| c.is_alphanumeric() || c == '%').then_some((number, unit))
}

fn basis(basis: &BasisDoc) -> wit::Basis {
    wit::Basis {
        code: matches!(basis.kind.get(), Some(KindWord::Code)),
        document: basis.document.cloned(),
        edition: basis.edition.cloned(),
        section: basis.section.cloned(),
    }
}

fn entity(word: EntityWord) -> wit::Entity {
    match word {
        EntityWord::Plan => wit::Entity::Plan,
        EntityWord::Supply => wit::Entity::Supply,
        EntityWord::Output => wit::Entity::Output,
        EntityWord::Junction => wit::Entity::Junction,
        EntityWord::Luminaire => wit::Entity::Luminaire,
        EntityWord::Run => wit::Entity::Run,
        EntityWord::Segment => wit::Entity::Segment,
        EntityWord::Zone => wit::Entity::Zone,
        EntityWord::Utility => wit::Entity::Utility,
    }
}
