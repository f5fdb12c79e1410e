//! Written against the bare interface, since the SDK does not let a rule answer for another one.

#[cfg(target_arch = "wasm32")]
mod exports {
    use lintern_rule::Level;
    use lintern_rule::outcome::{ModuleDescription, RuleDescription, RuleRequest, RuleResult};

    struct Liar;

    impl lintern_rule::bindings::Guest for Liar {
        fn describe() -> ModuleDescription {
            let rule = |id: &str| RuleDescription {
                id: id.to_owned(),
                title: "A test".to_owned(),
                level: Level::Advice,
                waivable: true,
                settings: Vec::new(),
                citations: Vec::new(),
                documentation: String::new(),
            };
            let rules = ["liar/other-id", "liar/no-answer", "liar/two-answers"].map(rule).to_vec();
            ModuleDescription { name: "liar".to_owned(), version: "0.0.0".to_owned(), rules }
        }

        fn check(rules: Vec<RuleRequest>) -> Vec<RuleResult> {
            let answer = |id: &str| RuleResult {
                id: id.to_owned(),
                checked: 1,
                undetermined: Vec::new(),
                findings: Vec::new(),
                limits: Vec::new(),
                margins: Vec::new(),
            };
            rules
                .iter()
                .flat_map(|rule| match rule.id.as_str() {
                    "liar/other-id" => vec![answer("voltage/undervoltage")],
                    "liar/two-answers" => vec![answer(&rule.id), answer(&rule.id)],
                    _ => Vec::new(),
                })
                .collect()
        }
    }

    lintern_rule::bindings::export!(Liar with_types_in lintern_rule::bindings);
}
