//! The modules that lintern brings along: every built module in `rules/dist`, and apart from them the one that runs
//! expressions.

include!(concat!(env!("OUT_DIR"), "/builtin.rs"));

/// Names and bytes of the built-in modules, sorted by name.
pub fn builtin() -> &'static [(&'static str, &'static [u8])] {
    BUILTIN
}

/// The module that runs rules written as expressions; [`Engine::load_expressions`](super::Engine::load_expressions) loads it.
pub fn expression_module() -> &'static [u8] {
    EXPRESSION
}
