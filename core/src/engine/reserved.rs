//! Topics that belong to the built-in rules: a rule under one of them would pass for one of theirs.

use super::builtin::builtin_topics;
use super::error::{ModuleError, Problem};
use super::module::Module;

/// The topics of the built-in rules, and that of waivers.
pub fn reserved_topics() -> impl Iterator<Item = &'static str> {
    builtin_topics().iter().copied().chain([crate::waivers::TOPIC])
}

/// Refuses a module that is not built in, but brings a rule of a reserved topic.
pub fn refuse_reserved(module: &Module) -> Result<(), ModuleError> {
    for rule in module.rules() {
        let topic = rule.id.split('/').next().unwrap_or_default();
        if reserved_topics().any(|reserved| reserved == topic) {
            let problem = Problem::ReservedTopic { rule: rule.id.clone(), topic: topic.to_owned() };
            return Err(ModuleError { module: module.name().to_owned(), problem });
        }
    }
    Ok(())
}
