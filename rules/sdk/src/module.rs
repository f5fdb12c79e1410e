//! A module as a whole: what it says of itself, and running the rules that are asked for.

use crate::bindings::lintern::rules::diag;
use crate::outcome::{ModuleDescription, RuleRequest, RuleResult};
use crate::{Input, Report, Rule, Settings};

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
        requests
            .iter()
            .map(|request| {
                let rule = self
                    .rules
                    .iter()
                    .find(|rule| rule.id == request.id)
                    .unwrap_or_else(|| panic!("module `{}` has no rule `{}`", self.name, request.id));
                let settings = Settings::new(rule, &request.settings);
                let report = Report::new(rule, input.project().code);
                let report = if request.wants_limits { report.with_limits() } else { report };
                let mut report = if request.wants_margins { report.with_margins() } else { report };
                (rule.check)(input, &settings, &mut report);
                report.finish()
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
        self.check(&Input::from_host(), requests)
    }
}

/// A panic in WASM is a bare trap; its text reaches the user only through this hook.
fn report_panics() {
    std::panic::set_hook(Box::new(|info| diag::panicked(&info.to_string())));
}
