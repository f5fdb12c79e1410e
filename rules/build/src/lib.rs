//! Builds the rule modules and keeps the committed ones honest.
//!
//! Built modules are committed, so that `cargo run` needs no WASM target. Beside each stands a
//! record of what it was built from; a plain test compares that with the sources.

pub mod c;
pub mod digest;
pub mod guest;
pub mod record;
pub mod topic;
