//! The WASM host: loads rule modules and runs them on plans. The only place that knows the engine.
//!
//! A module goes through [`Engine::load`]: it is read and bounded before compiling (`inspect`), its
//! version is compared (`version`), it is compiled through a cache and asked for its rules
//! (`describe`). [`Module::check`] runs rules on an [`Input`] in a fresh instance with limits
//! (`limits`): nothing that a module does can stop another one, or outlive the plan.

mod builtin;
mod cache;
mod charge;
mod convert;
mod cost;
mod describe;
mod error;
mod examine;
mod expressions;
#[cfg(test)]
mod growth;
mod host;
mod inspect;
pub mod limits;
mod module;
mod outside;
mod reserved;
mod run;
mod version;

pub use builtin::{builtin_module, builtin_topics, expression_module};
pub use convert::{Analysed, Input};
pub use describe::{Citation, RuleDescription, SettingDescription, SettingValue, Tighter};
pub(crate) use describe::{is_rule_id, is_word};
pub use error::{ModuleError, Problem};
pub use examine::{Examined, ModuleKind, examine};
pub use expressions::LoadExpressionsError;
pub(crate) use expressions::wit as expression_types;
pub use module::{Engine, EngineOptions, Module};
pub use outside::Exchange;
pub use reserved::{refuse_reserved, reserved_topics};
pub use run::{
    AppliedLimit, Effort, GivenSetting, Layer, ModuleOutcome, ModuleRunError, Quantity, RawFinding, RawMargin,
    RuleOutcome, RuleRequest,
};
pub use version::HOST as INTERFACE_VERSION;
