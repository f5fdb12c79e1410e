//! The limits that a proposal is built to, and comparing with them as the rules do.

/// Computed values are good to better than this share, as in the rules.
const ROUNDING: f64 = 1e-9;

/// Limits of two rules as they apply to the plan, settings and amendments included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Largest drop, % of a luminaire's nominal voltage: `voltage/excess-drop`.
    pub drop_percent: f64,
    /// Largest load of a supply, % of its rating: `loading/overloaded-supply`.
    pub loading_percent: f64,
}

/// Whether a value is above a limit.
pub(super) fn above(value: f64, limit: f64) -> bool {
    value > limit + limit.abs() * ROUNDING
}

/// Whether a value is below a limit.
pub(super) fn below(value: f64, limit: f64) -> bool {
    value < limit - limit.abs() * ROUNDING
}
