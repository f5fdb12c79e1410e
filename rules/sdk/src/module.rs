//! A module as a whole: what it says of itself, and running the rules that are asked for.

use crate::bindings::lintern::rules::diag;
use crate::outcome::{ModuleDescription, RuleRequest, RuleResult};
use crate::{Input, Report, Rule, Settings, told};

/// The rules of a module. [`module!`](crate::module) makes it.
#[derive(Debug, Clone, Copy)]
pub struct Module {
    /// Its name.
    pub name: &'static str,
    /// Its version.
    pub version: &'static str,
    /// Its rules.
    pub rules: &'static [&'static Rule],
}

impl Module {
    #[doc(hidden)]
    pub const fn joined<const COUNT: usize>(parts: &[Self]) -> [&'static Rule; COUNT] {
        let mut rules = [parts[0].rules[0]; COUNT];
        let (mut count, mut part) = (0, 0);
        while part < parts.len() {
            let mut rule = 0;
            while rule < parts[part].rules.len() {
                rules[count] = parts[part].rules[rule];
                (count, rule) = (count + 1, rule + 1);
            }
            part += 1;
        }
        rules
    }

    /// What the module says of itself.
    pub fn describe(&self) -> ModuleDescription {
        ModuleDescription {
            name: self.name.to_owned(),
            version: self.version.to_owned(),
            rules: self.rules.iter().map(|rule| rule.describe()).collect(),
        }
    }

    /// Runs the named rules on the input and answers once for each, in the same order.
    ///
    /// # Panics
    /// When a rule is named that the module does not have, or a rule itself panics.
    pub fn check(&self, input: &Input, requests: &[RuleRequest]) -> Vec<RuleResult> {
        let mut next = 0;
        requests
            .iter()
            .map(|request| {
                // Most are asked for in the order of the module.
                let is_asked = |rule: &&Rule| rule.id == request.id;
                let place = match self.rules.get(next) {
                    Some(rule) if is_asked(rule) => next,
                    _ => (self.rules.iter().position(is_asked))
                        .unwrap_or_else(|| panic!("module `{}` has no rule `{}`", self.name, request.id)),
                };
                next = place + 1;
                let rule = self.rules[place];
                run(rule, input, request).unwrap_or_else(|| decisive(rule, input, request))
            })
            .collect()
    }

    #[doc(hidden)]
    pub fn describe_to_host(&self) -> ModuleDescription {
        report_panics();
        self.describe()
    }

    #[doc(hidden)]
    pub fn check_for_host(&self, requests: &[RuleRequest]) -> Vec<RuleResult> {
        report_panics();
        // Nothing outlives the run, so nothing of it has to be taken apart.
        let input = std::mem::ManuallyDrop::new(Input::from_host());
        self.check(&input, requests)
    }
}

/// Runs a rule; `None` where it had to keep more than was asked for.
fn run(rule: &'static Rule, input: &Input, request: &RuleRequest) -> Option<RuleResult> {
    let mut report = Report::new(rule, input.project().code, request);
    (rule.check)(input, &Settings::new(rule, &request.settings), &mut report);
    report.finish()
}

/// What is decisive of everything, where keeping the closest few did not tell: all of them were among what fails.
fn decisive(rule: &'static Rule, input: &Input, request: &RuleRequest) -> RuleResult {
    let all = RuleRequest { wants_limits: true, ..request.clone() };
    let mut result = run(rule, input, &all).expect("everything was kept");
    result.limits.clear();
    result.margins = told::decisive(result.margins);
    result
}

/// A panic in WASM is a bare trap; its text reaches the user only through this hook.
fn report_panics() {
    std::panic::set_hook(Box::new(|info| diag::panicked(&info.to_string())));
}
