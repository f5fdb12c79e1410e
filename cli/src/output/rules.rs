//! The list of rules: where each comes from, and what configurations and packs change of it.

use super::escape;
use lintern_core::engine::{Module, RuleDescription};
use lintern_core::rulebook::{AppliedSetting, Origin, Rulebook};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// A rule with its module, where it has one, and where that comes from.
pub type Listed<'a> = (Option<&'a Module>, &'a Origin, &'a RuleDescription);

/// For people.
pub fn table(book: &Rulebook, listed: &[Listed<'_>]) -> String {
    let width = |texts: &mut dyn Iterator<Item = usize>| texts.max().unwrap_or(0);
    let id = width(&mut listed.iter().map(|(_, _, rule)| rule.id.chars().count()));
    // The column is of interest only where somebody else brings rules.
    let all_built_in = listed.iter().all(|(_, origin, _)| **origin == Origin::BuiltIn);
    let from = |origin: &Origin| if all_built_in { String::new() } else { format!("{origin}  ") };
    let from_width = width(&mut listed.iter().map(|(_, origin, _)| from(origin).chars().count()));
    let mut out = String::new();
    for (_, origin, rule) in listed {
        let level = book.level(rule).0.word();
        let line = format!("{:id$}  {level:9}  {:from_width$}{}", rule.id, from(origin), rule.title);
        let _ = writeln!(out, "{}", escape::terminal(&line));
        for setting in book.applied(rule) {
            let _ = writeln!(out, "    {}", escape::terminal(&sentence(&setting)));
        }
    }
    let _ = writeln!(out, "\n{} rules; `lintern explain RULE` shows a rule's page.", listed.len());
    out
}

/// What counts of a setting, in a line.
fn sentence(setting: &AppliedSetting) -> String {
    let last = setting.given.last();
    match setting.counts.and_then(|counts| setting.given.get(counts)) {
        Some(counts) => format!("{}: {}, by {}", setting.name, counts.value, counts.from),
        None => format!(
            "{}: {}, by {}, where that is stricter than the rule's table",
            setting.name,
            last.map_or("", |given| &given.value),
            last.map_or("", |given| &given.from)
        ),
    }
}

/// For programs.
pub fn json(book: &Rulebook, listed: &[Listed<'_>]) -> Value {
    let rules: Vec<Value> = listed.iter().map(|(module, origin, rule)| one(book, *module, origin, rule)).collect();
    json!({ "format": 1, "rules": rules })
}

fn one(book: &Rulebook, module: Option<&Module>, origin: &Origin, rule: &RuleDescription) -> Value {
    let citations: Vec<Value> =
        rule.citations.iter().map(|c| json!({ "code": c.code, "basis": c.basis, "confirmed": c.confirmed })).collect();
    let settings: Vec<Value> = rule
        .settings
        .iter()
        .map(|s| {
            let default = s.default.as_ref().map(|d| lintern_core::settings::shown(d, &s.unit));
            json!({ "name": s.name, "summary": s.summary, "unit": s.unit, "default": default })
        })
        .collect();
    json!({
        "id": rule.id, "module": module.map(Module::name), "origin": self::origin(origin), "title": rule.title,
        "level": rule.level, "applied-level": book.level(rule).0, "waivable": rule.waivable, "citations": citations,
        "settings": settings, "applied": book.applied(rule).iter().map(applied).collect::<Vec<_>>(),
    })
}

/// Where something comes from.
pub fn origin(origin: &Origin) -> Value {
    match origin {
        Origin::BuiltIn => json!({ "kind": "built-in" }),
        Origin::Repository => json!({ "kind": "repository" }),
        Origin::Pack { name, version } => json!({ "kind": "pack", "name": name, "version": version }),
    }
}

/// A setting with all that is given for it.
pub fn applied(setting: &AppliedSetting) -> Value {
    let given: Vec<Value> = setting
        .given
        .iter()
        .enumerate()
        .map(|(index, given)| {
            json!({ "value": given.value, "from": given.from, "counts": setting.counts.map(|counts| counts == index) })
        })
        .collect();
    json!({ "name": setting.name, "given": given })
}
