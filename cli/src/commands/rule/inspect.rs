//! `lintern rule inspect FILE.wasm`: what a module holds, before anyone trusts it.

use super::stop;
use crate::args::{Format, RuleInspect};
use crate::commands::setup::read_module;
use crate::commands::{Exit, print};
use crate::output::{escape, terminal};
use lintern_core::engine::{
    Engine, EngineOptions, Examined, Module, ModuleError, RuleDescription, SettingDescription, SettingValue, Tighter,
    examine,
};
use lintern_core::settings::shown;
use serde_json::{Value, json};
use std::fmt::Write as _;

pub fn run(args: &RuleInspect) -> Exit {
    let file = args.file.display().to_string();
    let bytes = match read_module(&args.file) {
        Ok(bytes) => bytes,
        Err(error) => return stop(&format!("can't read {file}: {error}")),
    };
    let examined = examine(&bytes);
    // What may be hostile leaves nothing in the cache.
    let mut options = EngineOptions::default();
    options.no_cache = true;
    let loaded = Engine::new(options).0.load(&file, &bytes);
    match args.format {
        Format::Terminal => print(&escape::terminal(&text(&file, &examined, &loaded))),
        Format::Json => print(&crate::output::pretty(&document(&file, &examined, &loaded))),
    }
    if loaded.is_ok() { Exit::Clean } else { Exit::NotChecked }
}

fn text(file: &str, examined: &Examined, loaded: &Result<Module, ModuleError>) -> String {
    let mut out = format!("{file}\n");
    let mut line = |name: &str, value: &str| {
        let _ = writeln!(out, "  {name:<10} {value}");
    };
    if let Ok(module) = loaded {
        line("name", &one_line(module.described_name()));
        line("version", &one_line(module.version()));
    }
    line("kind", examined.kind.map_or("not WASM", |kind| kind.words()));
    line(
        "interface",
        &if examined.interfaces.is_empty() { "none named".to_owned() } else { examined.interfaces.join(", ") },
    );
    line("size", &format!("{} bytes", examined.size));
    line("digest", &format!("sha256:{}", examined.sha256));
    for (index, import) in examined.imports.iter().enumerate() {
        line(if index == 0 { "imports" } else { "" }, &one_line(import));
    }
    if examined.imports.is_empty() {
        line("imports", "none");
    }
    match loaded {
        Err(error) => {
            let _ = writeln!(out, "\nrefused: {}", one_line(&error.to_string()));
        }
        Ok(module) => module.rules().iter().for_each(|rule| rule_text(&mut out, rule)),
    }
    out
}

fn rule_text(out: &mut String, rule: &RuleDescription) {
    let waivable = if rule.waivable { "" } else { ", can't be waived" };
    let _ = writeln!(out, "\n{}  {}{waivable}\n  {}", one_line(&rule.id), rule.level.word(), one_line(&rule.title));
    for setting in &rule.settings {
        let tighter = match setting.tighter {
            Tighter::Neither => String::new(),
            direction => format!("; {} is stricter", word(direction)),
        };
        let _ = writeln!(
            out,
            "  setting {}: {}{tighter}: {}",
            one_line(&setting.name),
            one_line(&default_text(setting)),
            one_line(&setting.summary)
        );
    }
    for citation in &rule.citations {
        let mark = if citation.confirmed { "" } else { " (from memory: not shown in findings)" };
        let _ = writeln!(out, "  cites {}: {}{mark}", citation.code, one_line(&terminal::basis_text(&citation.basis)));
    }
    if rule.documentation.trim().is_empty() {
        out.push_str("  no page\n");
    }
}

/// A module's text must not look like another line of the output.
fn one_line(text: &str) -> String {
    text.replace('\n', "\\n")
}

fn default_text(setting: &SettingDescription) -> String {
    setting.default.as_ref().map_or_else(
        || format!("by the rule's table, in {}", setting.unit),
        |default| format!("default {}", shown(default, &setting.unit)),
    )
}

fn word(tighter: Tighter) -> &'static str {
    match tighter {
        Tighter::Lower => "lower",
        Tighter::Higher => "higher",
        Tighter::Neither => "neither",
    }
}

fn document(file: &str, examined: &Examined, loaded: &Result<Module, ModuleError>) -> Value {
    json!({
        "format": 1,
        "file": file,
        "name": loaded.as_ref().ok().map(Module::described_name),
        "version": loaded.as_ref().ok().map(Module::version),
        "kind": examined.kind,
        "interfaces": examined.interfaces,
        "size": examined.size,
        "digest": format!("sha256:{}", examined.sha256),
        "imports": examined.imports,
        "refused": loaded.as_ref().err().map(ToString::to_string),
        "rules": loaded.as_ref().map(|module| module.rules().iter().map(rule_json).collect()).unwrap_or_else(|_| Vec::new()),
    })
}

fn rule_json(rule: &RuleDescription) -> Value {
    let setting = |setting: &SettingDescription| {
        let default = match &setting.default {
            None => Value::Null,
            Some(SettingValue::Number(number)) => json!(number),
            Some(SettingValue::Flag(flag)) => json!(flag),
            Some(SettingValue::Text(text)) => json!(text),
        };
        json!({ "name": setting.name, "summary": setting.summary, "unit": setting.unit, "default": default,
                "tighter": word(setting.tighter) })
    };
    json!({
        "id": rule.id,
        "title": rule.title,
        "level": rule.level.word(),
        "waivable": rule.waivable,
        "settings": rule.settings.iter().map(setting).collect::<Vec<_>>(),
        "citations": rule.citations.iter().map(|citation| json!({
            "code": citation.code.to_string(), "basis": citation.basis, "confirmed": citation.confirmed,
        })).collect::<Vec<_>>(),
        "has-page": !rule.documentation.trim().is_empty(),
    })
}
