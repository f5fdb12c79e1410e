//! What is asked of a sizing, and why one can't be made.

use crate::check::CheckOptions;
use crate::engine::Module;
use crate::plan::Diagnostic;
use crate::plan::scalar::{Point, Slack};
use crate::repository::Repository;
use std::path::Path;

/// What the user asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct Request {
    /// Where the runs start, in grid units; for plans without a supply that has a place.
    pub from: Option<Point>,
    /// Allowance on each straight segment.
    pub slack: Slack,
    /// Volts of the outputs; `None` means the nominal voltage of the luminaires.
    pub volts: Option<f64>,
    /// What counts how much.
    pub weights: Weights,
}

/// Weights of a comparison: plain numbers of whatever the user counts in. All zero means that none are given.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Weights {
    /// For each metre of any cable without a weight of its own.
    pub cable_per_m: f64,
    /// For each metre of a cable type, by its name.
    pub cable_type_per_m: Vec<(String, f64)>,
    /// For each metre of trench.
    pub trench_per_m: f64,
    /// For each splice: one at each luminaire and one at each junction.
    pub splice_each: f64,
    /// For each VA (W on DC) of the ratings of the supplies.
    pub supply_per_va: f64,
}

impl Weights {
    /// Whether any is given.
    pub fn are_given(&self) -> bool {
        let plain = [self.cable_per_m, self.trench_per_m, self.splice_each, self.supply_per_va];
        plain.into_iter().chain(self.cable_type_per_m.iter().map(|(_, weight)| *weight)).any(|weight| weight != 0.0)
    }

    /// For each metre of a cable type.
    pub fn of_cable(&self, name: &str) -> f64 {
        let own = self.cable_type_per_m.iter().find(|(of, _)| of == name);
        own.map_or(self.cable_per_m, |(_, weight)| *weight)
    }
}

/// What judges a proposal.
#[derive(Clone, Copy)]
pub struct Rules<'a> {
    /// The plan repository.
    pub repository: &'a Repository,
    /// The plan's file, from which its shared schedules are found.
    pub path: &'a Path,
    /// All modules; those of the topics `voltage` and `loading` are used.
    pub modules: &'a [&'a Module],
    /// The day, settings and amendments.
    pub options: &'a CheckOptions,
}

/// Why a plan can't be sized.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SizingError {
    /// The plan can't be read; its diagnostics tell.
    #[error("the plan can't be read")]
    Plan(Vec<Diagnostic>),
    /// The plan has nothing to size or more than a sketch.
    #[error("{0}")]
    Unsuited(String),
    /// The rules could not be run.
    #[error("{0}")]
    Rules(String),
}
