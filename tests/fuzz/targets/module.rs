//! Bytes as a rule module. They are refused with words or loaded within the limits, and what is loaded comes back from
//! a plan with answers to what it was asked, or with errors that name it.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use lintern_core::check::{Ask, CheckError, try_module};
use lintern_core::engine::{Engine, EngineOptions, examine, limits};
use lintern_core::plan::Loaded;
use lintern_fuzz::change::Chance;
use lintern_fuzz::{demo, options, oracle};
use std::sync::OnceLock;

// A changed length tears a module apart, so that half of the changes keep it.
fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    let mut chance = Chance::new(seed);
    if size < 16 || chance.below(2) == 0 {
        return libfuzzer_sys::fuzzer_mutate(data, size, max_size);
    }
    for _ in 0..=chance.below(3) {
        let at = 8 + chance.below(size - 8);
        data[at] = match chance.below(3) {
            0 => data[at] ^ (1 << chance.below(8)),
            1 => data[8 + chance.below(size - 8)],
            _ => chance.below(256) as u8,
        };
    }
    size
});

fn engine() -> &'static Engine {
    static ENGINE: OnceLock<Engine> = OnceLock::new();
    ENGINE.get_or_init(|| {
        let mut options = EngineOptions::default();
        options.no_cache = true;
        Engine::new(options).0
    })
}

fuzz_target!(|bytes: &[u8]| {
    let examined = examine(bytes);
    assert_eq!(examined.size, bytes.len());
    let module = match engine().load("fuzzed", bytes) {
        Ok(module) => module,
        Err(error) => {
            let text = error.to_string();
            assert!(text.starts_with("rule module `fuzzed` ") && text.len() < 4_000, "{text}");
            return;
        }
    };
    assert_eq!(examined.problem, None, "what is not compiled is not loaded");
    assert!(module.rules().len() <= limits::RULES);
    for rule in module.rules() {
        assert!(rule.settings.len() <= limits::DESCRIPTION_ENTRIES, "{rule:?}");
    }
    static DEMO: OnceLock<Loaded> = OnceLock::new();
    let plan = DEMO.get_or_init(|| demo("quarry-lane/path-as-built.yaml"));
    let report = try_module(plan.clone(), &module, &options(), Ask::All).report;
    for finding in &report.findings {
        oracle::place(finding.span, &report.loaded.sources);
        let texts = finding.related.iter().chain([&finding.subject, &finding.message, &finding.help, &finding.field]);
        assert!(texts.into_iter().all(|text| text.len() <= limits::TEXT_BYTES + 4), "{finding:?}");
        assert!(finding.related.len() <= limits::LIST_ENTRIES && finding.work.len() <= limits::LIST_ENTRIES);
    }
    for error in &report.errors {
        let CheckError::Module(error) = error else { panic!("{error:?}") };
        assert!(error.contains("`fuzzed`"), "{error}");
    }
    let told = |rule: &str| {
        report.verdicts.contains_key(rule) || report.errors.iter().any(|e| matches!(e, CheckError::Module(_)))
    };
    assert!(module.rules().iter().all(|rule| told(&rule.id)), "a rule without an answer");
});
