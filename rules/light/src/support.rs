//! What several rules of this topic need: words of the trade, and what is missing.

use lintern_rule::plan::{Lights, Luminaire};
use lintern_rule::prelude::*;

/// Where a number that no code has comes from.
pub const PRACTICE: &str = "common practice, no source";

/// What a luminaire lights, as a sentence has it.
pub fn lit(lights: Lights) -> &'static str {
    match lights {
        Lights::Path => "a path",
        Lights::Steps => "steps",
        Lights::Tree => "a tree",
        Lights::Facade => "a facade",
        Lights::Entry => "an entry",
        Lights::Water => "water",
        Lights::Area => "an area",
    }
}

/// What is missing where the plan does not say whether the source of light is hidden.
pub fn missing_shielded(input: &Input, luminaire: &Luminaire) -> String {
    format!("`shielded` of {} or of its type `{}`", luminaire.id, input.luminaire_type(luminaire).name)
}

/// The luminaires that one finding stands for: the first is its subject, the others are related.
pub fn ids(luminaires: &[&Luminaire]) -> String {
    match luminaires {
        [] => String::new(),
        [one] => one.id.clone(),
        [one, rest @ ..] => format!("{} (and {} more of its type)", one.id, rest.len()),
    }
}
