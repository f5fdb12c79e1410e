//! lintern-core: loads a lighting plan, computes its facts and runs rule modules on it.
//!
//! One direction, no way back: [`plan`] reads YAML into a typed plan with spans; [`layout`] is the
//! same plan resolved; [`analysis`] computes facts from it.
//! [`finding`] is what rules say of a plan.

pub mod analysis;
pub mod finding;
pub mod layout;
pub mod plan;
pub mod repository;
