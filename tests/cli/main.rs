//! The program as a user runs it: files in, text and exit codes out.

#![expect(clippy::unwrap_used, reason = "a panic here is a failing test")]

mod c_rule;
mod check;
mod comfort;
mod coverage;
mod editor;
mod exchange;
mod expression;
#[cfg(unix)]
mod faults;
mod formats;
mod guide;
mod house;
mod layers;
mod margins;
mod packet;
mod packs;
mod remedy;
mod review;
mod rule;
mod size;
mod steps;
mod support;
mod watch;
