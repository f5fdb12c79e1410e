//! The modules that lintern brings along: every built module in `rules/dist`.

include!(concat!(env!("OUT_DIR"), "/builtin.rs"));

/// Names and bytes of the built-in modules, sorted by name.
pub fn builtin() -> &'static [(&'static str, &'static [u8])] {
    BUILTIN
}
