//! Plans from and to other programs: surveys in GeoJSON (RFC 7946) and luminaire schedules in CSV (RFC 4180).
//!
//! What comes in is untrusted and seldom complete. Each feature and each cell is placed, or told with the reason.

pub mod collect;
pub mod export;
mod features;
pub mod ground;
mod ids;
pub mod kinds;
mod middle;
mod place;
pub mod schedule;
mod shapes;
mod values;

use lintern_core::plan::additions::NewElement;

/// Bytes of the largest survey or schedule that is read.
pub const MOST_BYTES: u64 = 64 << 20;

/// What came of an import.
#[derive(Debug, Default)]
pub struct Brought {
    /// Elements for the plan, each with where it comes from.
    pub elements: Vec<(Origin, NewElement)>,
    /// What was changed on the way: heights that were dropped, ids that were given.
    pub changed: Vec<Remark>,
    /// What is not in the plan, and why.
    pub left_out: Vec<Remark>,
    /// What concerns the whole file.
    pub notes: Vec<String>,
}

/// Where something comes from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    /// The number of the feature, or of the line; both count from 1.
    pub number: usize,
    /// In words, such as ``feature 3 `lawn` ``.
    pub shown: String,
}

/// What is told of a feature or a cell.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Remark {
    /// Where.
    pub origin: Origin,
    /// What.
    pub text: String,
}

impl Brought {
    /// Tells of something that is not in the plan.
    pub fn leave(&mut self, origin: &Origin, text: impl Into<String>) {
        self.left_out.push(Remark { origin: origin.clone(), text: text.into() });
    }

    /// Tells of something that was changed.
    pub fn change(&mut self, origin: &Origin, text: impl Into<String>) {
        self.changed.push(Remark { origin: origin.clone(), text: text.into() });
    }
}
