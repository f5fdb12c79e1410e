//! What a finding asks of the network, where that can be told without running its rule: a first sieve for proposals.
//! The verdict is always that of the rules.

use crate::analysis::Solution;
use crate::finding::{Finding, WorkLine};
use crate::layout::Layout;

/// A computed number and the limit that it is to keep.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Goal {
    number: Number,
    limit: f64,
    /// Whether the number must not be above the limit, else not below it.
    at_most: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Number {
    Volts(usize),
    NoLoadVolts(usize),
    DropPercent(usize),
    LoadingPercent(usize),
    /// Volts at all: its part has an operating point.
    Operating(usize),
}

impl Goal {
    /// Of a finding on a luminaire or a supply with a measured number that the network gives.
    pub(super) fn of(layout: &Layout, finding: &Finding) -> Option<Self> {
        let limit = finding.limit.as_ref()?.value;
        let luminaire = || layout.luminaires.iter().position(|l| l.id.0 == finding.subject);
        let supply = || layout.supplies.iter().position(|s| s.id.0 == finding.subject);
        let (number, at_most) = match finding.rule.as_str() {
            "voltage/undervoltage" => (Number::Volts(luminaire()?), false),
            "voltage/overvoltage" => (Number::Volts(luminaire()?), true),
            "voltage/no-load-overvoltage" => (Number::NoLoadVolts(luminaire()?), true),
            "voltage/excess-drop" => (Number::DropPercent(luminaire()?), true),
            "loading/overloaded-supply" => (Number::LoadingPercent(supply()?), true),
            _ => return None,
        };
        Some(Self { number, limit, at_most })
    }

    /// That a luminaire's part has an operating point.
    pub(super) fn operating(luminaire: usize) -> Self {
        Self { number: Number::Operating(luminaire), limit: 0.0, at_most: false }
    }

    /// The number in a solution.
    pub(super) fn value(&self, solution: &Solution) -> Option<f64> {
        match self.number {
            Number::Volts(l) | Number::Operating(l) => solution.luminaires.get(l)?.node.volts,
            Number::NoLoadVolts(l) => solution.luminaires.get(l)?.node.no_load_volts,
            Number::DropPercent(l) => solution.luminaires.get(l)?.node.drop_percent,
            Number::LoadingPercent(s) => solution.supplies.get(s)?.loading_percent,
        }
    }

    /// Whether a solution keeps the limit.
    pub(super) fn met(&self, solution: &Solution) -> bool {
        // As rules compare: a difference in the last digits is none.
        let slack = 1e-9 * self.limit.abs();
        self.value(solution).is_some_and(|value| match self.at_most {
            true => value <= self.limit + slack,
            false => value >= self.limit - slack,
        })
    }

    /// The number before and after a change.
    pub(super) fn work(&self, layout: &Layout, before: &Solution, after: &Solution) -> Vec<WorkLine> {
        let luminaire = |l: usize| &layout.luminaires[l].id;
        let (what, unit) = match self.number {
            Number::Volts(l) | Number::Operating(l) => (format!("voltage at {}", luminaire(l)), "V"),
            Number::NoLoadVolts(l) => (format!("voltage without load at {}", luminaire(l)), "V"),
            Number::DropPercent(l) => (format!("drop at {}", luminaire(l)), "%"),
            Number::LoadingPercent(s) => (format!("loading of {}", layout.supplies[s].id), "%"),
        };
        let shown =
            |when: &str, value: Option<f64>| Some(super::line(format!("{what} {when}"), value?, unit, "solved"));
        let limit = super::line(format!("limit of the {what}"), self.limit, unit, "finding");
        let lines = [shown("now", self.value(before)), shown("after the change", self.value(after)), Some(limit)];
        lines.into_iter().flatten().collect()
    }
}
