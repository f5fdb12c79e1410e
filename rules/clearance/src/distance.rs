//! Distances in the system of the plan, and limits that are given in both.

use lintern_rule::compare::{below, shown};
use lintern_rule::plan::GridUnit;
use lintern_rule::prelude::*;
use std::borrow::Cow;

/// Metres in a foot, exact.
const METRES_PER_FOOT: f64 = 0.3048;

/// The unit in which a plan's distances are compared and shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// International feet.
    Feet,
    /// Metres.
    Metres,
}

impl Unit {
    /// Metres under IEC 60364 and BS 7671, and where the plan's coordinates are in metres; else feet.
    pub fn of(input: &Input) -> Self {
        match (input.project().code, input.grid()) {
            (Some(Code::Iec60364 | Code::Bs7671), _) | (_, Some(GridUnit::M)) => Self::Metres,
            _ => Self::Feet,
        }
    }

    /// Its symbol.
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Feet => "ft",
            Self::Metres => "m",
        }
    }

    /// A distance in this unit.
    pub fn of_metres(self, metres: f64) -> f64 {
        match self {
            Self::Feet => metres / METRES_PER_FOOT,
            Self::Metres => metres,
        }
    }
}

/// A limit as a code prints it in both systems.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Both {
    /// In feet.
    pub feet: f64,
    /// In metres.
    pub metres: f64,
}

impl Both {
    /// The number in a unit.
    pub fn in_unit(self, unit: Unit) -> f64 {
        match unit {
            Unit::Feet => self.feet,
            Unit::Metres => self.metres,
        }
    }

    /// A lower limit in a unit, with what a local amendment and the company set; `settings` names the setting in feet
    /// and the one in metres.
    pub fn at_least(
        self,
        name: &'static str,
        unit: Unit,
        given: &Settings,
        settings: [&'static str; 2],
        source: impl Into<Cow<'static, str>>,
    ) -> Limit {
        let [feet, metres] = settings;
        let setting = if unit == Unit::Feet { feet } else { metres };
        Limit::new(name, self.in_unit(unit), unit.symbol(), Tighter::Higher, source).given(given, setting)
    }

    /// Whether a length is below this, each compared in the system that the length is written in.
    pub fn is_above(self, length: &Length) -> bool {
        if length.is_metric() {
            below(length.millimetres(), self.metres * 1000.0)
        } else {
            below(length.inches(), self.feet * 12.0)
        }
    }
}

/// A measured distance against its limit, so that a reader sees the difference: `9.50 ft`.
pub fn written(value: f64, limit: &Limit) -> String {
    format!("{} {}", shown(value, limit.value()), limit.unit())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(value: f64, unit: &str, metres: f64) -> Length {
        Length { value, unit: unit.to_owned(), metres }
    }

    #[test]
    fn a_length_is_compared_in_its_own_system() {
        let height = Both { feet: 12.0, metres: 3.7 };
        assert!(!height.is_above(&length(12.0, "ft", 3.6576)));
        assert!(height.is_above(&length(143.0, "in", 3.6322)));
        assert!(!height.is_above(&length(3.7, "m", 3.7)));
        assert!(height.is_above(&length(3.69, "m", 3.69)), "3.69 m is more than 12 ft and less than 3.7 m");
    }

    #[test]
    fn a_distance_of_ten_feet_is_ten_feet() {
        assert!((Unit::Feet.of_metres(3.048) - 10.0).abs() < 1e-12);
        assert_eq!(Unit::Metres.of_metres(3.0), 3.0);
    }
}
