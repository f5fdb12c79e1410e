//! Rule modules that misbehave. For each: the error names the module and what it did, and the rules
//! that behave still answer.

#![expect(clippy::unwrap_used, reason = "a panic here is a failing test")]

mod layout;
mod loading;

use lintern_core::engine::{
    Engine, EngineOptions, GivenSetting, Input, Layer, Module, ModuleOutcome, RuleRequest, SettingValue,
};
use lintern_core::finding::{Basis, BasisKind};
use std::sync::OnceLock;

const GUEST: &[u8] = include_bytes!("dist/guest.wasm");
const LIAR: &[u8] = include_bytes!("dist/liar.wasm");

fn engine() -> &'static Engine {
    static ENGINE: OnceLock<Engine> = OnceLock::new();
    ENGINE.get_or_init(|| {
        let mut options = EngineOptions::default();
        options.cache_dir = Some(std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("cache"));
        let (engine, notes) = Engine::new(options);
        assert_eq!(notes, Vec::<String>::new());
        engine
    })
}

fn guest() -> &'static Module {
    static GUEST_MODULE: OnceLock<Module> = OnceLock::new();
    GUEST_MODULE.get_or_init(|| engine().load("guest", GUEST).unwrap())
}

fn three_lights() -> Input {
    layout::input(&[Some(11.2), Some(10.1), None])
}

fn ask(rule: &str) -> RuleRequest {
    RuleRequest { rule: rule.to_owned(), settings: Vec::new(), wants_limits: false, wants_margins: false }
}

/// Runs the rule beside the one that behaves: that one must answer, and the other be named.
fn misbehave(rule: &str) -> String {
    let outcome = guest().check(&three_lights(), &[ask(rule), ask("hostile/well-behaved")]);
    assert_well_behaved(&outcome);
    let [error] = &outcome.errors[..] else { panic!("one error for {rule}: {:?}", outcome.errors) };
    assert_eq!(error.rule.as_deref(), Some(rule));
    assert_eq!(error.module, "guest");
    error.to_string()
}

fn assert_well_behaved(outcome: &ModuleOutcome) {
    let answer = outcome.results.iter().find(|result| result.rule == "hostile/well-behaved");
    let answer = answer.unwrap_or_else(|| panic!("the rule that behaves did not answer: {:?}", outcome.errors));
    assert_eq!(answer.checked, 2);
    assert_eq!(answer.undetermined, [("L3".to_owned(), vec!["a feed".to_owned()])]);
    assert_eq!(answer.findings.len(), 1);
}

#[test]
fn a_rule_that_behaves_reads_the_plan_and_the_facts() {
    let outcome = guest().check(&three_lights(), &[ask("hostile/well-behaved")]);
    assert_eq!(outcome.errors, []);
    assert_well_behaved(&outcome);
    let finding = &outcome.results[0].findings[0];
    assert_eq!(finding.subject, "L2");
    assert_eq!(finding.message, "path-light gets 10.10 V of 10.5 V");
    assert_eq!(finding.measured.as_ref().map(|m| (m.value, m.unit.as_str())), Some((10.1, "V")));
    assert_eq!(finding.related, ["S1/12"]);
    assert_eq!(finding.level, lintern_core::finding::Level::Advice, "the rule's own level");
}

#[test]
fn a_setting_reaches_the_rule() {
    let with = |value| {
        let setting = GivenSetting {
            name: "minimum".to_owned(),
            value,
            layer: Layer::House,
            source: "house setting".to_owned(),
            replaces: true,
            basis: Basis { kind: BasisKind::Practice, document: None, edition: None, section: None },
        };
        let request = RuleRequest { settings: vec![setting], ..ask("hostile/well-behaved") };
        guest().check(&three_lights(), &[request])
    };
    assert_eq!(with(SettingValue::Number(11.5)).results[0].findings.len(), 2);
    assert_eq!(with(SettingValue::Number(9.0)).results[0].findings.len(), 0);
    let wrong = with(SettingValue::Flag(true));
    assert!(wrong.results.is_empty());
    assert!(wrong.errors[0].to_string().contains("setting `minimum` of the wrong type"), "{}", wrong.errors[0]);
}

#[test]
fn an_endless_loop_is_stopped() {
    let error = misbehave("hostile/endless-loop");
    assert_eq!(
        error,
        "rule `hostile/endless-loop` of module `guest` was stopped: it used up its computing budget (an endless loop?)"
    );
}

/// What the host copies for a module counts as the module's work.
#[test]
fn a_storm_of_calls_is_stopped() {
    assert!(misbehave("hostile/host-call-storm").contains("used up its computing budget"));
}

#[test]
fn a_memory_eater_is_stopped() {
    assert!(misbehave("hostile/memory-eater").ends_with("was stopped: it needed more than its 128 MiB of memory"));
}

#[test]
fn a_trap_is_reported() {
    assert!(misbehave("hostile/unreachable").ends_with("trapped: it reached code marked unreachable"));
}

#[test]
fn a_panic_keeps_its_message() {
    let error = misbehave("hostile/panic");
    assert!(error.contains("panicked") && error.contains("the 13th cable is missing"), "{error}");
    assert!(!error.contains(env!("CARGO_MANIFEST_DIR")), "no path of the builder: {error}");
}

#[test]
fn deep_recursion_is_stopped() {
    assert!(misbehave("hostile/deep-recursion").contains("recurs"));
}

#[test]
fn an_answer_is_bounded() {
    let error = misbehave("hostile/million-findings");
    assert!(error.contains("was stopped"), "{error}");
    let kept = guest().check(&three_lights(), &[ask("hostile/many-findings")]);
    assert_eq!(kept.errors, []);
    assert_eq!(kept.results[0].findings.len(), 20_000, "an honest answer for a large plan");
}

#[test]
fn a_huge_message_is_cut() {
    let outcome = guest().check(&three_lights(), &[ask("hostile/huge-message")]);
    assert!(outcome.results[0].findings[0].message.len() < 5_000);
}

#[test]
fn numbers_are_finite() {
    let error = misbehave("hostile/not-a-number");
    assert!(error.ends_with("`measured` of its finding on `L1` is NaN, not a number"), "{error}");
}

#[test]
fn many_failures_are_each_named_and_bounded() {
    let rules = ["hostile/endless-loop", "hostile/panic", "hostile/well-behaved", "hostile/unreachable"].map(ask);
    let outcome = guest().check(&three_lights(), &rules);
    assert_well_behaved(&outcome);
    let failed: Vec<_> = outcome.errors.iter().filter_map(|error| error.rule.as_deref()).collect();
    assert_eq!(failed, ["hostile/endless-loop", "hostile/panic", "hostile/unreachable"]);
}

#[test]
fn an_unknown_rule_is_not_sent_to_the_module() {
    let outcome = guest().check(&three_lights(), &[ask("voltage/undervoltage"), ask("hostile/well-behaved")]);
    assert_well_behaved(&outcome);
    assert_eq!(outcome.errors[0].to_string(), "rule `voltage/undervoltage` of module `guest` is not one of its rules");
}

#[test]
fn answers_must_fit_the_questions() {
    let liar = engine().load("liar", LIAR).unwrap();
    let lie = |rule: &str| {
        let outcome = liar.check(&three_lights(), &[ask(rule)]);
        assert!(outcome.results.is_empty(), "nothing of it is believed");
        outcome.errors[0].to_string()
    };
    assert_eq!(
        lie("liar/other-id"),
        "rule module `liar` was asked for rule `liar/other-id` and answered for `voltage/undervoltage`"
    );
    assert_eq!(lie("liar/no-answer"), "rule module `liar` gave 0 answers to 1 rules");
    assert_eq!(lie("liar/two-answers"), "rule module `liar` gave 2 answers to 1 rules");
    // Another module is untouched.
    assert_well_behaved(&guest().check(&three_lights(), &[ask("hostile/well-behaved")]));
}
