//! lintern-core: loads a lighting plan, computes its facts and runs rule modules on it.
//!
//! One direction, no way back: [`plan`] reads YAML into a typed plan with spans; [`layout`] is the
//! same plan resolved; [`analysis`] computes facts from it; [`engine`] runs rules, compiled to WASM,
//! on plan and facts; [`finding`] is what comes out. [`whatif`] asks the same of a plan with changes,
//! and [`remedy`] looks for the smallest change that cures a finding.

pub mod analysis;
pub mod check;
pub mod coverage;
pub mod declared;
pub mod engine;
pub mod expression;
pub mod finding;
mod geometry;
pub mod identity;
pub mod layout;
pub mod margin;
pub mod plan;
pub mod remedy;
pub mod repository;
pub mod rulebook;
pub mod schemas;
pub mod settings;
pub mod sizing;
pub mod steps;
pub mod waivers;
pub mod whatif;
