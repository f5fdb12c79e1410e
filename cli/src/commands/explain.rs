//! `lintern explain RULE [--plan PLAN]`.

use super::setup::Setup;
use super::{Exit, print, style};
use crate::args::Explain;
use crate::output::{escape, limits, terminal};
use lintern_core::check::applied_limits;
use lintern_core::engine::{Module, RuleDescription, Tighter};
use lintern_core::plan::load;
use lintern_core::plan::scalar::Date;
use lintern_core::rulebook::{Origin, Rulebook};
use lintern_core::settings::shown;
use std::fmt::Write as _;

pub fn run(args: &Explain) -> Exit {
    let mut setup = Setup::new(&args.rules);
    let path = args.plan.as_ref().unwrap_or(&args.path);
    let repository = match super::repository(path) {
        Ok(repository) => repository,
        Err(exit) => return exit,
    };
    let book = setup.repository(&repository);
    let all: Vec<_> = book.rules(setup.shared().builtin).collect();
    let Some((module, origin, rule)) = all.iter().find(|(_, _, rule)| rule.id == args.rule).copied() else {
        // What could not be loaded may have brought it.
        super::report(&setup.errors);
        let all: Vec<&RuleDescription> = all.iter().map(|(_, _, rule)| *rule).collect();
        let help = lintern_core::settings::near_rule(&args.rule, &all)
            .map_or_else(|| "`lintern rules` lists the rules".to_owned(), |near| format!("did you mean `{near}`?"));
        eprintln!("lintern: there is no rule `{}`; {help}", escape::terminal(&args.rule));
        return Exit::NotChecked;
    };
    let (Some(plan), Some(module)) = (&args.plan, module) else {
        print(&page(rule, module, origin, &book));
        return Exit::Clean;
    };
    // A wrong configuration could hide a layer.
    let told = super::report(&setup.errors);
    let options = book.options(args.as_of.unwrap_or_else(|| Date(jiff::ZonedDateTime::now().date())));
    let loaded = load(&repository, plan);
    let Some(layout) = &loaded.layout else {
        eprint!("{}", terminal::diagnostics(&loaded.diagnostics, &loaded.sources, style()));
        return Exit::NotChecked;
    };
    match applied_limits(layout, module, &rule.id, &options) {
        Ok(applied) => print(&limits::render(rule, layout, &applied, &loaded.file, &options)),
        Err(problem) => {
            eprintln!("lintern: {}", escape::terminal(&problem));
            return Exit::NotChecked;
        }
    }
    told
}

fn page(rule: &RuleDescription, module: Option<&Module>, origin: &Origin, book: &Rulebook) -> String {
    let mut out = format!(
        "{}\n{}\nlevel: {}{}\n",
        rule.id,
        rule.title,
        rule.level.word(),
        if rule.waivable { "" } else { ", can't be waived" }
    );
    if let (true, Some(module)) = (*origin != Origin::BuiltIn, module) {
        let _ = writeln!(out, "brought by: {origin}, module {}", module.name());
    }
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
                "  {} (default {}{}): {}",
                setting.name,
                setting.default.as_ref().map_or_else(
                    || format!("by the rule's table, in {}", setting.unit),
                    |default| shown(default, &setting.unit)
                ),
                match setting.tighter {
                    Tighter::Lower => "; lower is stricter",
                    Tighter::Higher => "; higher is stricter",
                    Tighter::Neither => "",
                },
                setting.summary
            );
        }
    }
    for applied in book.applied(rule) {
        let _ = writeln!(out, "\nset for {}:", applied.name);
        for (index, given) in applied.given.iter().enumerate() {
            let mark = if applied.counts == Some(index) { "applies" } else { "" };
            let _ = writeln!(out, "  {mark:7}  {}  {}", given.value, given.from);
        }
    }
    let _ = write!(
        out,
        "\n{}\n\nThe adopted code and the authority having jurisdiction decide.\n",
        rule.documentation.trim()
    );
    escape::terminal(&out).into_owned()
}
