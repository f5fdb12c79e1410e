//! What lintern calls.

use crate::rule::{Compiled, compile, told};
use crate::source;
use lintern_rule::bindings::lintern::rules::diag;
use lintern_rule::outcome::{ModuleDescription, RuleRequest, RuleResult};
use lintern_rule::{Input, Module, Report, Settings};
use std::cell::Cell;

struct Exports;

thread_local! {
    /// The rule that runs: a check is a plain function, and all rules here have the same one.
    static RUNNING: Cell<Option<&'static Compiled>> = const { Cell::new(None) };
}

fn run(input: &Input, settings: &Settings, report: &mut Report) {
    if let Some(rule) = RUNNING.get() {
        rule.run(input, settings, report);
    }
}

impl lintern_rule::bindings::Guest for Exports {
    fn describe() -> ModuleDescription {
        report_panics();
        let mut rules = Vec::new();
        for (index, rule) in source::rules().iter().enumerate() {
            match compile(rule, run) {
                Ok(compiled) => {
                    let compiled: &'static Compiled = Box::leak(Box::new(compiled));
                    rules.push(&compiled.rule);
                }
                Err(mistakes) => {
                    let index = crate::schema::index(index);
                    mistakes.into_iter().for_each(|(part, mistake)| source::wrong(&told(index, part, mistake)));
                }
            }
        }
        module(rules).describe()
    }

    fn check(requests: Vec<RuleRequest>) -> Vec<RuleResult> {
        report_panics();
        let (sources, input) = (source::rules(), Input::default());
        requests.iter().map(|request| answer(&sources, &input, request)).collect()
    }
}

fn answer(sources: &[source::Rule], input: &Input, request: &RuleRequest) -> RuleResult {
    let source = sources.iter().find(|rule| rule.id == request.id);
    let source = source.unwrap_or_else(|| panic!("there is no rule `{}`", request.id));
    let compiled = compile(source, run).unwrap_or_else(|_| panic!("rule `{}` has mistakes", request.id));
    let compiled: &'static Compiled = Box::leak(Box::new(compiled));
    RUNNING.set(Some(compiled));
    module(vec![&compiled.rule]).check(input, std::slice::from_ref(request)).remove(0)
}

fn module(rules: Vec<&'static lintern_rule::Rule>) -> Module {
    Module { name: "expression", version: env!("CARGO_PKG_VERSION"), rules: Vec::leak(rules) }
}

/// A panic in WASM is a bare trap; its text reaches the user only through this hook.
fn report_panics() {
    std::panic::set_hook(Box::new(|info| diag::panicked(&info.to_string())));
}

lintern_rule::bindings::export!(Exports with_types_in lintern_rule::bindings);
