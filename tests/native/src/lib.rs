//! The built-in rules run natively, on the very records that lintern hands to their module. The same rules, twice
//! compiled: what differs between the two runs is the sandbox's doing, and what a changed rule answers here can be held
//! against the committed module.

use lintern_rule::outcome::{RuleRequest, RuleResult};
use lintern_rule::{Given, Input, Module};
use serde_json::Value;

/// The built-in rules of all topics.
pub const MODULE: &Module = &lintern_builtin::MODULE;

/// The built-in rules by topic.
pub const TOPICS: &[(&str, &Module)] = &[
    ("as-built", &lintern_as_built::MODULE),
    ("burial", &lintern_burial::MODULE),
    ("clearance", &lintern_clearance::MODULE),
    ("dig-safety", &lintern_dig_safety::MODULE),
    ("feed", &lintern_feed::MODULE),
    ("light", &lintern_light::MODULE),
    ("loading", &lintern_loading::MODULE),
    ("records", &lintern_records::MODULE),
    ("voltage", &lintern_voltage::MODULE),
    ("wet-location", &lintern_wet_location::MODULE),
];

/// A plan and its facts as rules read them.
///
/// # Errors
/// When the text does not have the shape of the interface.
pub fn input(records: &str) -> Result<Input, serde_json::Error> {
    Ok(Input::from(serde_json::from_str::<Given>(records)?))
}

/// The requests to a module.
///
/// # Errors
/// When the value does not have the shape of the interface.
pub fn requests(requests: Value) -> Result<Vec<RuleRequest>, serde_json::Error> {
    serde_json::from_value(requests)
}

/// The answers of a module as JSON.
///
/// # Errors
/// When they have no form in JSON.
pub fn answers(results: &[RuleResult]) -> Result<Value, serde_json::Error> {
    serde_json::to_value(results)
}
