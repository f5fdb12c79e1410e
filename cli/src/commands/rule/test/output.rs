//! The result of a test, for people and for programs.

use super::Result;
use super::trial::{Ending, Trial};
use crate::output::escape;
use lintern_core::engine::{Effort, Module};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// For people.
pub fn text(result: &Result) -> String {
    let mut out = String::new();
    for trial in &result.trials {
        write_trial(&mut out, trial);
    }
    for rule in &result.untested {
        let _ = writeln!(out, "FAIL {rule}: it has no case; put a plan into cases/");
    }
    for lack in &result.lacks {
        let _ = writeln!(out, "warning: {lack}");
    }
    for file in &result.passed_over {
        let _ = writeln!(out, "note: {file} is no plan, and is passed over");
    }
    let agree = result.trials.iter().filter(|trial| matches!(trial.ending, Ending::Agrees)).count();
    let _ = writeln!(
        out,
        "{agree} of {} cases agree; computing budget: {}",
        result.trials.len(),
        effort_text(effort(result))
    );
    escape::terminal(&out).into_owned()
}

fn write_trial(out: &mut String, trial: &Trial) {
    let word = match &trial.ending {
        Ending::Agrees => "pass",
        Ending::Differs(_) | Ending::NotDeclared(_) => "FAIL",
        Ending::NotRun(_) => "NOT RUN",
    };
    let _ = writeln!(out, "{word} {}", trial.shown);
    match &trial.ending {
        Ending::Agrees => {}
        Ending::Differs(lines) | Ending::NotRun(lines) => {
            for line in lines {
                // A module's text must not look like another line of the output.
                let _ = writeln!(out, "     {}", line.replace('\n', "\n     "));
            }
        }
        Ending::NotDeclared(header) => {
            out.push_str("     it declares nothing. What the rule says now; check it by hand before you paste it:\n");
            for line in header.lines() {
                let _ = writeln!(out, "{line}");
            }
        }
    }
}

/// The largest effort of a case.
fn effort(result: &Result) -> Effort {
    result.trials.iter().map(|trial| trial.effort).max().unwrap_or_default()
}

fn effort_text(effort: Effort) -> String {
    let share = match effort {
        Effort::Tiny => "less than a thousandth of it",
        Effort::Small => "less than a hundredth of it",
        Effort::Medium => "less than a tenth of it",
        Effort::Large => "a tenth of it or more",
    };
    format!("{} ({share})", effort.word())
}

/// For programs.
pub fn document(result: &Result) -> Value {
    json!({
        "format": 1,
        "modules": result.modules.iter().map(module_json).collect::<Vec<_>>(),
        "cases": result.trials.iter().map(trial_json).collect::<Vec<_>>(),
        "rules-without-case": result.untested,
        "warnings": result.lacks,
        "passed-over": result.passed_over,
        "effort": effort(result),
    })
}

fn module_json(module: &Module) -> Value {
    json!({
        "name": module.described_name(),
        "version": module.version(),
        "digest": format!("sha256:{}", module.sha256()),
    })
}

fn trial_json(trial: &Trial) -> Value {
    let (ending, lines, header) = match &trial.ending {
        Ending::Agrees => ("agrees", [].as_slice(), None),
        Ending::Differs(lines) => ("differs", lines.as_slice(), None),
        Ending::NotDeclared(header) => ("not-declared", [].as_slice(), Some(header)),
        Ending::NotRun(lines) => ("not-run", lines.as_slice(), None),
    };
    json!({
        "file": trial.shown,
        "rule": trial.rule,
        "expect": trial.expect,
        "result": ending,
        "reasons": lines,
        "header": header,
        "effort": trial.effort,
    })
}
