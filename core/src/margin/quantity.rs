//! Compared numbers, computed again from a solution of the network: the very ones that rules compute from the facts.

use super::ROUNDING;
use crate::analysis::{Solution, SupplyState};
use crate::engine::{Quantity, Tighter};
use crate::layout::Layout;
use crate::plan::scalar::Rating;

/// A compared number in another network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The number; `None` where the network has no answer.
    pub value: Option<f64>,
    /// Whether the rule would pass.
    pub passes: bool,
    /// How far the number is inside its limit, below 0 outside; `None` where it does not decide alone.
    pub room: Option<f64>,
}

/// What is read, and what it is held against.
#[derive(Debug, Clone, Copy)]
pub struct Sought {
    /// The number.
    pub quantity: Quantity,
    /// The limit.
    pub limit: f64,
    /// Which direction is stricter.
    pub tighter: Tighter,
}

/// The number that a rule compared, with the verdict on it, in a solution.
pub fn read(layout: &Layout, solution: &Solution, sought: Sought) -> Reading {
    let value = value(layout, solution, sought.quantity);
    let keeps = value.is_some_and(|value| keeps(value, sought.limit, sought.tighter));
    let dark = is_dark(solution, sought);
    let room = value.filter(|_| !dark).and_then(|value| match sought.tighter {
        Tighter::Lower => Some(sought.limit - value),
        Tighter::Higher => Some(value - sought.limit),
        Tighter::Neither => None,
    });
    Reading { value, passes: keeps && !dark, room }
}

/// Whether a number keeps a limit, with the tolerance of the rules.
pub fn keeps(value: f64, limit: f64, tighter: Tighter) -> bool {
    let tolerance = limit.abs() * ROUNDING;
    let (above, below) = (value > limit + tolerance, value < limit - tolerance);
    match tighter {
        Tighter::Lower => !above,
        Tighter::Higher => !below,
        Tighter::Neither => !above && !below,
    }
}

/// A luminaire that its driver keeps dark has too few volts, whatever the limit.
fn is_dark(solution: &Solution, sought: Sought) -> bool {
    match (sought.quantity, sought.tighter) {
        (Quantity::LuminaireVolts(luminaire), Tighter::Higher) => {
            solution.luminaires.get(luminaire).is_some_and(|state| state.lit == Some(false))
        }
        _ => false,
    }
}

fn value(layout: &Layout, solution: &Solution, quantity: Quantity) -> Option<f64> {
    match quantity {
        Quantity::Other => None,
        Quantity::LuminaireVolts(luminaire) => solution.luminaires.get(luminaire)?.node.volts,
        Quantity::LuminaireNoLoadVolts(luminaire) => solution.luminaires.get(luminaire)?.node.no_load_volts,
        Quantity::LuminaireDropPercent(luminaire) => solution.luminaires.get(luminaire)?.node.drop_percent,
        Quantity::SupplyLoad(supply) => load_va(solution.supplies.get(supply)?),
        Quantity::SupplyLoadingPercent(supply) => {
            Some(load_va(solution.supplies.get(supply)?)? / rating(layout, supply)? * 100.0)
        }
        Quantity::OutputAmps { supply, output } => {
            Some(solution.supplies.get(supply)?.outputs.get(output)?.amps?.abs())
        }
        Quantity::RunAmps { run, factor } => {
            let segments = solution.segments.get(run)?;
            let amps = segments.iter().filter_map(|segment| segment.amps.map(f64::abs)).max_by(f64::total_cmp)?;
            Some(factor * amps)
        }
    }
}

/// The larger of the computed load with cable loss and the sum of the nameplates, VA; `None` without an answer.
fn load_va(state: &SupplyState) -> Option<f64> {
    Some(state.load_va?.max(state.nameplate_va?))
}

fn rating(layout: &Layout, supply: usize) -> Option<f64> {
    match layout.supplies.get(supply)?.kind.rating? {
        Rating::Apparent(va) => Some(va.si()),
        Rating::Real(watts) => Some(watts.si()),
    }
}

/// The rating behind a loading, in its unit.
pub fn rating_of(layout: &Layout, quantity: Quantity) -> Option<(f64, &'static str)> {
    let Quantity::SupplyLoadingPercent(supply) = quantity else { return None };
    let unit = match layout.supplies.get(supply)?.kind.rating? {
        Rating::Apparent(_) => "VA",
        Rating::Real(_) => "W",
    };
    Some((rating(layout, supply)?, unit))
}
