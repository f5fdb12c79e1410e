//! Numbers and words as a packet shows them: in the units of the plan.

use crate::output::terminal::number;
use lintern_core::layout::Layout;
use lintern_core::plan::quantity::METRES_PER_FOOT;
use std::fmt::Display;

/// What stands where there is nothing to say.
pub const NONE: &str = "–";

/// A length of cable or of ground in the unit of the plan, to a tenth of a foot or to a centimetre.
pub fn length(layout: &Layout, metres: f64) -> String {
    match layout.is_in_feet() {
        true => format!("{:.1} ft", metres / METRES_PER_FOOT),
        false => format!("{metres:.2} m"),
    }
}

/// A number with its unit.
pub fn unit(value: Option<f64>, unit: &str) -> String {
    value.map_or_else(|| NONE.to_owned(), |value| format!("{} {unit}", number(value)))
}

/// Volts to a hundredth.
pub fn volts(value: Option<f64>) -> String {
    value.map_or_else(|| NONE.to_owned(), |value| format!("{value:.2} V"))
}

/// What the plan says, as it says it.
pub fn said(value: Option<impl Display>) -> String {
    value.map_or_else(|| NONE.to_owned(), |value| value.to_string())
}

/// Yes and no.
pub fn yes(value: Option<bool>) -> String {
    match value {
        Some(true) => "yes".to_owned(),
        Some(false) => "no".to_owned(),
        None => NONE.to_owned(),
    }
}

/// A word of the plan format as people write it.
pub fn word(value: Option<impl Display>) -> String {
    value.map_or_else(|| NONE.to_owned(), |value| value.to_string().replace('-', " "))
}

/// Words between commas; a dash where there are none.
pub fn list<T: Display>(items: &[T]) -> String {
    if items.is_empty() {
        return NONE.to_owned();
    }
    items.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
}
