//! `lintern explain RULE`.

use super::setup::Setup;
use super::{Exit, print};
use crate::args::Explain;
use crate::output::{escape, terminal};
use lintern_core::engine::RuleDescription;
use lintern_core::repository::Repository;
use lintern_core::settings::shown;
use std::fmt::Write as _;

pub fn run(args: &Explain) -> Exit {
    let mut setup = Setup::new();
    let rules = match Repository::of(&args.path) {
        Ok(repository) => setup.repository(&repository),
        Err(error) => {
            eprintln!("lintern: can't open {}: {error}", args.path.display());
            return Exit::NotChecked;
        }
    };
    let modules = setup.modules(&rules);
    let all: Vec<&RuleDescription> = modules.iter().flat_map(|module| module.rules()).collect();
    let Some(rule) = all.iter().find(|rule| rule.id == args.rule) else {
        let help = lintern_core::settings::near_rule(&args.rule, &all)
            .map_or_else(|| "`lintern rules` lists the rules".to_owned(), |near| format!("did you mean `{near}`?"));
        eprintln!("lintern: there is no rule `{}`; {help}", escape::terminal(&args.rule));
        return Exit::NotChecked;
    };
    print(&page(rule));
    Exit::Clean
}

fn page(rule: &RuleDescription) -> String {
    let mut out = format!(
        "{}\n{}\nlevel: {}{}\n",
        rule.id,
        rule.title,
        rule.level.word(),
        if rule.waivable { "" } else { ", can't be waived" }
    );
    out.push_str("\ncitations:\n");
    for citation in &rule.citations {
        let mark = if citation.confirmed { "" } else { "  (from memory: not shown in findings)" };
        let _ = writeln!(out, "  {:10}  {}{mark}", citation.code.to_string(), terminal::basis_text(&citation.basis));
    }
    out.push_str("  any other   common practice\n");
    if !rule.settings.is_empty() {
        out.push_str("\nsettings:\n");
        for setting in &rule.settings {
            let _ = writeln!(
                out,
                "  {} (default {}): {}",
                setting.name,
                setting.default.as_ref().map_or_else(
                    || format!("by the rule's table, in {}", setting.unit),
                    |default| shown(default, &setting.unit)
                ),
                setting.summary
            );
        }
    }
    let _ = write!(
        out,
        "\n{}\n\nThe adopted code and the authority having jurisdiction decide.\n",
        rule.documentation.trim()
    );
    escape::terminal(&out).into_owned()
}
