//! The comparison for programs.

use super::Comparison;

/// The whole document.
pub fn render(comparison: &Comparison) -> String {
    crate::output::pretty(comparison)
}
