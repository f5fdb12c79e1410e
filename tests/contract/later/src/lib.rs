//! A rule that reads what only a later version of the interface hands out.

#[cfg(target_arch = "wasm32")]
mod bindings {
    wit_bindgen::generate!({
        world: "lintern:rules/later@1.1.0",
        path: ["../../../core/wit/v1.0", "wit"],
        generate_all,
    });
}

#[cfg(target_arch = "wasm32")]
mod exports {
    use crate::bindings::lintern::rules1_0_0::{facts, report, types};
    use crate::bindings::lintern::rules1_1_0::plan as later;

    struct Later;

    impl crate::bindings::Guest for Later {
        fn describe() -> report::ModuleDescription {
            let rule = report::RuleDescription {
                id: "later/added".to_owned(),
                title: "Tells the number that came later".to_owned(),
                level: types::Level::Reminder,
                waivable: true,
                settings: Vec::new(),
                citations: Vec::new(),
                documentation: String::new(),
            };
            report::ModuleDescription { name: "later".to_owned(), version: "1.0.0".to_owned(), rules: vec![rule] }
        }

        fn check(rules: Vec<report::RuleRequest>) -> Vec<report::RuleResult> {
            let message = format!("on {} it is {}", facts::as_of(), later::added());
            let finding = report::Finding {
                subject: String::new(),
                field: String::new(),
                level: None,
                related: Vec::new(),
                message,
                measured: None,
                limit: None,
                work: Vec::new(),
                basis: report::Basis {
                    kind: report::BasisKind::Practice,
                    document: None,
                    edition: None,
                    section: None,
                },
                help: String::new(),
            };
            let answer = |rule: report::RuleRequest| report::RuleResult {
                id: rule.id,
                checked: 1,
                undetermined: Vec::new(),
                findings: vec![finding.clone()],
                limits: Vec::new(),
                margins: Vec::new(),
            };
            rules.into_iter().map(answer).collect()
        }
    }

    crate::bindings::export!(Later with_types_in crate::bindings);
}
