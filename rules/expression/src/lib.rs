//! The module that runs rules written as expressions: one for all files of them.
//!
//! lintern hands over the rules of a file ([`source`]) when the module describes itself and when it checks a plan. A
//! rule's texts are parsed ([`syntax`]), checked against the table of everything that can be named ([`schema`],
//! [`check`](mod@check)), and evaluated on every element that the rule is for ([`eval`](mod@eval)). All of that is plain
//! Rust and is tested natively; only [`source`] and the exports below need lintern around them.

pub mod check;
pub mod eval;
pub mod reference;
pub mod rule;
pub mod schema;
pub mod source;
pub mod syntax;
pub mod template;
pub mod tree;
pub mod types;

#[cfg(target_arch = "wasm32")]
mod exports;
