//! `lintern rule test DIR`: the rules of a folder against the plans in its `cases`.

mod build;
mod cases;
mod lacks;
mod modules;
mod output;
mod trial;

use super::Stop;
use crate::args::{Format, RuleTest};
use crate::commands::{Exit, print};
use cases::CaseFile;
use lintern_core::engine::Module;
use trial::{Ending, Trial};

/// What came of a folder.
struct Result {
    /// One for the crate, one for each module and for each file of expressions.
    modules: Vec<Module>,
    trials: Vec<Trial>,
    /// Rules without any case.
    untested: Vec<String>,
    /// What the rules should bring and don't.
    lacks: Vec<String>,
    /// Files in `cases` that are no plans.
    passed_over: Vec<String>,
}

pub fn run(args: &RuleTest) -> Exit {
    let result = match test(args) {
        Ok(result) => result,
        Err(problem) => return problem.tell(),
    };
    match args.format {
        Format::Terminal => print(&output::text(&result)),
        Format::Json => print(&crate::output::pretty(&output::document(&result))),
    }
    result.exit()
}

fn test(args: &RuleTest) -> std::result::Result<Result, Stop> {
    let modules = modules::of(&args.folder, args.module.as_deref())?;
    let cases::Found { cases, passed_over } = cases::find(&args.folder, &modules)?;
    let trials: Vec<Trial> = cases.iter().map(|case| trial::run(case, &modules)).collect();
    let tested = |id: &str| cases.iter().any(|case: &CaseFile| case.rule.as_deref().is_ok_and(|rule| rule == id));
    let rules = || modules.iter().flat_map(Module::rules);
    let untested = rules().map(|rule| rule.id.clone()).filter(|id| !tested(id)).collect();
    let lacks = lacks::of(rules(), &trials);
    Ok(Result { modules, trials, untested, lacks, passed_over })
}

impl Result {
    fn exit(&self) -> Exit {
        let any = |wanted: fn(&Ending) -> bool| self.trials.iter().any(|trial| wanted(&trial.ending));
        if any(|ending| matches!(ending, Ending::NotRun(_))) {
            Exit::NotChecked
        } else if !self.untested.is_empty() || any(|ending| !matches!(ending, Ending::Agrees)) {
            Exit::Found
        } else {
            Exit::Clean
        }
    }
}
