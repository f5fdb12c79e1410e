//! `lintern rules`.

use super::setup::Setup;
use super::{Exit, print, style};
use crate::args::{self, Format};
use crate::output::{escape, terminal};
use lintern_core::engine::RuleDescription;
use lintern_core::repository::Repository;
use serde_json::json;
use std::fmt::Write as _;

pub fn run(args: &args::Rules) -> Exit {
    let mut setup = Setup::new();
    let rules = match Repository::of(&args.path) {
        Ok(repository) => setup.repository(&repository),
        Err(error) => {
            eprintln!("lintern: can't open {}: {error}", args.path.display());
            return Exit::NotChecked;
        }
    };
    let mut listed: Vec<(&str, &RuleDescription)> = Vec::new();
    for module in setup.modules(&rules) {
        listed.extend(module.rules().iter().map(|rule| (module.name(), rule)));
    }
    print(&match args.format {
        Format::Terminal => table(&listed),
        Format::Json => {
            let rules: Vec<_> = listed
                .iter()
                .map(|(module, rule)| {
                    let citations: Vec<_> = rule
                        .citations
                        .iter()
                        .map(|c| json!({ "code": c.code, "basis": c.basis, "confirmed": c.confirmed }))
                        .collect();
                    let settings: Vec<_> = rule
                        .settings
                        .iter()
                        .map(|s| {
                            let default = s.default.as_ref().map(|d| lintern_core::settings::shown(d, &s.unit));
                            json!({ "name": s.name, "summary": s.summary, "unit": s.unit, "default": default })
                        })
                        .collect();
                    json!({
                        "id": rule.id, "module": module, "title": rule.title, "level": rule.level,
                        "waivable": rule.waivable, "citations": citations, "settings": settings,
                    })
                })
                .collect();
            crate::output::pretty(&json!({ "format": 1, "rules": rules }))
        }
    });
    for error in &setup.errors {
        eprint!("{}", terminal::diagnostics(std::slice::from_ref(&error.diagnostic), &error.sources, style()));
    }
    if setup.errors.is_empty() { Exit::Clean } else { Exit::NotChecked }
}

fn table(listed: &[(&str, &RuleDescription)]) -> String {
    let width = listed.iter().map(|(_, rule)| rule.id.chars().count()).max().unwrap_or(0);
    let mut out = String::new();
    for (_, rule) in listed {
        let line = format!("{:width$}  {:9}  {}", rule.id, rule.level.word(), rule.title);
        let _ = writeln!(out, "{}", escape::terminal(&line));
    }
    let _ = writeln!(out, "\n{} rules; `lintern explain RULE` shows a rule's page.", listed.len());
    out
}
