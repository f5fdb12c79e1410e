//! Loops while it is loaded, before any plan is there.

#[cfg(target_arch = "wasm32")]
mod exports {
    use lintern_rule::outcome::{ModuleDescription, RuleRequest, RuleResult};

    struct Forever;

    impl lintern_rule::bindings::Guest for Forever {
        fn describe() -> ModuleDescription {
            let mut turns = 0_u64;
            loop {
                turns = std::hint::black_box(turns.wrapping_add(1));
            }
        }

        fn check(_: Vec<RuleRequest>) -> Vec<RuleResult> {
            Vec::new()
        }
    }

    lintern_rule::bindings::export!(Forever with_types_in lintern_rule::bindings);
}
