//! What applies to the plans of a repository, for people and for programs.

use super::{escape, rules};
use crate::report::baseline;
use lintern_core::engine::{Module, RuleDescription};
use lintern_core::repository::{CONFIG_FILE, FailOn, Repository};
use lintern_core::rulebook::{AppliedSetting, Rulebook};
use lintern_core::settings::{Amendment, shown};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::path::PathBuf;

/// A resolved configuration.
pub struct Resolved<'a> {
    /// The repository.
    pub repository: &'a Repository,
    /// The user's own configuration, where there is one.
    pub user: Option<PathBuf>,
    /// Its rules.
    pub book: &'a Rulebook,
    /// The built-in modules.
    pub builtin: &'a [Module],
    /// Its baseline, where there is one.
    pub baseline: Option<&'a baseline::InForce>,
}

impl Resolved<'_> {
    /// The file of the repository's configuration, where there is one.
    fn file(&self) -> Option<&'static str> {
        (!self.repository.sources().files().is_empty()).then_some(CONFIG_FILE)
    }

    fn globs(&self) -> Option<Vec<String>> {
        let globs = self.repository.config().plans.as_ref()?;
        Some(globs.iter().map(|glob| glob.glob().to_string()).collect())
    }

    /// From which level on findings change the exit code, and whether that is the default.
    fn fail_on(&self) -> (&'static str, bool) {
        match self.repository.config().fail_on {
            None => ("violation", true),
            Some(FailOn::Violation) => ("violation", false),
            Some(FailOn::Advice) => ("advice", false),
            Some(FailOn::Reminder) => ("reminder", false),
            Some(FailOn::Undetermined) => ("undetermined", false),
        }
    }

    /// The rules of which something is set.
    fn set(&self) -> impl Iterator<Item = (&RuleDescription, Vec<AppliedSetting>)> {
        let rules = self.book.rules(self.builtin).map(|(_, _, rule)| (rule, self.book.applied(rule)));
        rules.filter(|(_, applied)| !applied.is_empty())
    }
}

/// For people.
pub fn text(resolved: &Resolved<'_>) -> String {
    let mut out = String::new();
    let _ = write_text(&mut out, resolved);
    escape::terminal(&out).into_owned()
}

fn write_text(out: &mut String, resolved: &Resolved<'_>) -> std::fmt::Result {
    let book = resolved.book;
    let user = resolved.user.as_ref().map(|file| file.display().to_string());
    writeln!(out, "configuration       {}", resolved.file().unwrap_or("none: everything is as built in"))?;
    writeln!(out, "user configuration  {}", user.as_deref().unwrap_or("none"))?;
    let globs = resolved.globs().map_or_else(|| "every YAML file with a `plan` key".to_owned(), |g| g.join(", "));
    writeln!(out, "plans               {globs}")?;
    let baseline = match resolved.baseline {
        Some(known) => {
            let findings = super::terminal::count(known.recorded.findings.len(), "finding", "findings");
            format!("{}, {findings} as of {}", baseline::FILE, known.recorded.as_of)
        }
        None => "none: every finding counts".to_owned(),
    };
    writeln!(out, "baseline            {baseline}")?;
    let (level, default) = resolved.fail_on();
    writeln!(out, "fail-on             {level}{}", if default { " (default)" } else { "" })?;
    if !book.packs.is_empty() {
        writeln!(out, "\npacks, of which a later one counts before an earlier one:")?;
        for pack in &book.packs {
            writeln!(out, "  {} {}  {}  sha256:{}", pack.name, pack.version, pack.shown, pack.sha256)?;
            if let Some(about) = &pack.about {
                writeln!(out, "    {about}")?;
            }
        }
    }
    if !book.files.is_empty() {
        writeln!(out, "\nfiles of rules:")?;
        for file in &book.files {
            let pinned = if file.pinned { "pinned" } else { "not pinned" };
            let (kind, origin) = (file.kind.word(), file.origin.to_string());
            writeln!(out, "  {kind:11}  {}  by {origin}, {pinned}\n    sha256:{}", file.name, file.sha256)?;
        }
    }
    let mut heading = "\nsettings, in the order in which they count (>: the one that applies):\n";
    for (rule, applied) in resolved.set() {
        writeln!(out, "{heading}  {}", rule.id)?;
        heading = "";
        for setting in &applied {
            write_setting(out, setting)?;
        }
    }
    if !book.amendments.is_empty() {
        writeln!(out, "\nlocal amendments, for plans whose `project` says so:")?;
        for amendment in &book.amendments {
            let value = shown(&amendment.given.value, unit(resolved, amendment));
            let from = amendment.date.map(|date| format!(" from {date}")).unwrap_or_default();
            writeln!(out, "  {}: {} {value}{from}", amendment.rule, amendment.given.name)?;
            writeln!(out, "    {}, in {}", amendment.given.source, places(amendment).join(", "))?;
        }
    }
    Ok(())
}

fn write_setting(out: &mut String, setting: &AppliedSetting) -> std::fmt::Result {
    writeln!(out, "    {}", setting.name)?;
    for (index, given) in setting.given.iter().enumerate() {
        let mark = if setting.counts == Some(index) { ">" } else { " " };
        writeln!(out, "    {mark} {}  {}", given.value, given.from)?;
    }
    if setting.counts.is_none() {
        writeln!(out, "      the plan decides: `lintern explain RULE --plan PLAN` shows it")?;
    }
    Ok(())
}

/// The unit of the setting that an amendment changes.
fn unit<'a>(resolved: &'a Resolved<'_>, amendment: &Amendment) -> &'a str {
    let rule = resolved.book.rules(resolved.builtin).find(|(_, _, rule)| rule.id == amendment.rule);
    let setting = rule.and_then(|(_, _, rule)| rule.settings.iter().find(|s| s.name == amendment.given.name));
    setting.map_or("", |setting| &setting.unit)
}

/// Where an amendment holds.
fn places(amendment: &Amendment) -> Vec<String> {
    let applies = &amendment.applies;
    [&applies.authority, &applies.region, &applies.country].into_iter().flatten().cloned().collect()
}

/// For programs.
pub fn json(resolved: &Resolved<'_>) -> Value {
    let book = resolved.book;
    let packs: Vec<Value> = book
        .packs
        .iter()
        .map(|p| json!({ "name": p.name, "version": p.version, "folder": p.shown, "about": p.about, "sha256": p.sha256 }))
        .collect();
    let files: Vec<Value> = book
        .files
        .iter()
        .map(|file| {
            json!({
                "file": file.name, "kind": file.kind.word(), "origin": rules::origin(&file.origin),
                "sha256": file.sha256, "pinned": file.pinned,
            })
        })
        .collect();
    let settings: serde_json::Map<String, Value> =
        resolved.set().map(|(rule, applied)| (rule.id.clone(), applied.iter().map(rules::applied).collect())).collect();
    let amendments: Vec<Value> = book
        .amendments
        .iter()
        .map(|a| {
            json!({
                "rule": a.rule, "setting": a.given.name, "value": shown(&a.given.value, unit(resolved, a)),
                "source": a.given.source, "from": a.date.map(|date| date.to_string()), "for": places(a),
            })
        })
        .collect();
    json!({
        "format": 1, "configuration": resolved.file(),
        "user-configuration": resolved.user.as_ref().map(|file| file.display().to_string()),
        "plans": resolved.globs(), "fail-on": resolved.fail_on().0,
        "baseline": resolved.baseline.map(|known| {
            json!({ "file": baseline::FILE, "sha256": known.sha256, "as-of": known.recorded.as_of, "findings": known.recorded.findings.len() })
        }),
        "packs": packs, "files": files,
        "settings": settings, "amendments": amendments,
    })
}
