//! The program as a user runs it: files in, text and exit codes out.

#![expect(clippy::unwrap_used, reason = "a panic here is a failing test")]

mod check;
mod formats;
mod guide;
mod house;
mod layers;
mod margins;
mod remedy;
mod rule;
mod size;
mod support;
