//! The modules that lintern brings along: that of the built-in rules, and the one that runs expressions.

use super::error::ModuleError;
use super::module::{Engine, Module};

/// The topics of the built-in rules.
const TOPICS: [&str; 10] =
    ["as-built", "burial", "clearance", "dig-safety", "feed", "light", "loading", "records", "voltage", "wet-location"];

/// The topics of the built-in rules, sorted.
pub fn builtin_topics() -> &'static [&'static str] {
    &TOPICS
}

/// The module of the built-in rules, of all topics: so a plan is copied into one sandbox and not into ten.
pub fn builtin_module() -> &'static [u8] {
    include_bytes!("../../../rules/dist/builtin.wasm")
}

/// The module that runs rules written as expressions; [`Engine::load_expressions`] loads it.
pub fn expression_module() -> &'static [u8] {
    include_bytes!("../../../rules/dist/expression.wasm")
}

impl Engine {
    /// Loads the module of the built-in rules. It is not bounded before compiling, as it comes with the program.
    pub fn load_builtin(&self) -> Result<Module, ModuleError> {
        const NAME: &str = "builtin";
        let bytes = builtin_module();
        self.compile_and_ask(NAME, bytes, bytes).map_err(|problem| ModuleError { module: NAME.to_owned(), problem })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn the_topics_are_those_of_the_rules() {
        let (engine, _) = Engine::new(super::super::EngineOptions::default());
        let module = engine.load_builtin().unwrap();
        let topic = |id: &str| id.split('/').next().unwrap_or_default().to_owned();
        let topics: BTreeSet<String> = module.rules().iter().map(|rule| topic(&rule.id)).collect();
        assert_eq!(topics.into_iter().collect::<Vec<_>>(), builtin_topics());
        let voltage = module.of_topics(&["voltage"]);
        assert!(!voltage.rules().is_empty() && voltage.rules().iter().all(|rule| topic(&rule.id) == "voltage"));
    }
}
