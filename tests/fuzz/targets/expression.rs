//! Rules in expressions. A text that starts as a file of them is loaded as one; any other is an expression, with the
//! kind of element chosen by its first byte. Natively: places of mistakes lie in the text, and a value has the type
//! that was told before. In the sandbox: what was accepted runs on a plan without a trap.
#![no_main]

use libfuzzer_sys::fuzz_target;
use lintern_core::check::{Ask, CheckError, try_module};
use lintern_core::engine::LoadExpressionsError;
use lintern_core::expression;
use lintern_core::plan::Loaded;
use lintern_expression::check::{Checked, Names, check};
use lintern_expression::eval::{Scope, Source, Value, eval};
use lintern_expression::schema::{Kind, elements};
use lintern_expression::syntax::Mistake;
use lintern_expression::template::template;
use lintern_expression::types::Type;
use lintern_fuzz::{demo, elements::input, engine, options, oracle};
use std::sync::OnceLock;

fuzz_target!(init: { engine(); }, |bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    if text.starts_with("expressions:") {
        file(text);
        return;
    }
    let Some(first) = text.chars().next() else { return };
    let (kind, text) = (KINDS[first as usize % KINDS.len()], &text[first.len_utf8()..]);
    let checked = natively(kind.0, text);
    if let Some(checked) = checked {
        file(&rule(kind.1, text, &checked.of));
    }
});

const KINDS: [(Kind, &str); 9] = [
    (Kind::Plan, "plan"),
    (Kind::Supply, "supply"),
    (Kind::Output, "output"),
    (Kind::Junction, "junction"),
    (Kind::Luminaire, "luminaire"),
    (Kind::Run, "run"),
    (Kind::Segment, "segment"),
    (Kind::Zone, "zone"),
    (Kind::Utility, "utility"),
];

/// A file with one rule that uses the expression where its type fits.
fn rule(kind: &str, text: &str, of: &Type) -> String {
    let quoted = serde_json::to_string(text).expect("a text");
    let shown = serde_json::to_string(&format!("it is {{{text}}}")).expect("a text");
    let (test, message) = match of {
        Type::Flag => (format!("where: {quoted}\n    require: {quoted}"), "\"as told\"".to_owned()),
        Type::Number(_) => (
            format!("value: {quoted}\n    limit: most\n    settings: {{ most: {{ default: 3, tighter: lower }} }}"),
            shown,
        ),
        _ => ("require: \"1 == 2\"".to_owned(), shown),
    };
    format!(
        "expressions: 1\nrules:\n  - id: fuzzed/rule\n    title: Fuzzed\n    for: {kind}\n    {test}\n    \
         message: {message}\n    help: none\n    page: |\n      # Fuzzed\n"
    )
}

fn natively(kind: Kind, text: &str) -> Option<Checked> {
    let names = Names { kind, settings: &[] };
    if let Err(mistakes) = template(text, names) {
        places(&mistakes, text);
    }
    let checked = match check(text, names) {
        Ok(checked) => checked,
        Err(mistakes) => {
            assert!(!mistakes.is_empty());
            places(&mistakes, text);
            return None;
        }
    };
    let input = &input();
    for element in elements(input, kind) {
        let mut scope = Scope { input, kind, element, settings: &[], locals: Vec::new() };
        match eval(&checked.node, Source(text), &mut scope) {
            Ok(value) => {
                assert!(is_of(&value, &checked.of), "{value:?} is not {:?}", checked.of);
                assert!(scope.locals.is_empty(), "variables are left open");
            }
            Err(stop) => assert!(!stop.0.is_empty()),
        }
    }
    Some(checked)
}

fn is_of(value: &Value<'_>, of: &Type) -> bool {
    match (value, of) {
        (Value::Number(number), Type::Number(_)) => number.is_finite(),
        (Value::Object(kind, _), Type::Object(of)) => kind == of,
        (Value::List(items), Type::List(of)) => items.iter().all(|item| is_of(item, of)),
        (Value::Flag(_), Type::Flag) | (Value::Text(_), Type::Text(_) | Type::Day) | (Value::House(_), Type::House) => {
            true
        }
        _ => false,
    }
}

fn places(mistakes: &[Mistake], text: &str) {
    for mistake in mistakes {
        assert!(text.get(mistake.span.from..mistake.span.to).is_some(), "{mistake:?} in {text:?}");
        assert!(!mistake.message.is_empty(), "{mistake:?}");
    }
}

fn file(text: &str) {
    static DEMO: OnceLock<Loaded> = OnceLock::new();
    let file = expression::parse("fuzzed.rules.yaml", text.as_bytes());
    oracle::diagnostics(&file.diagnostics, &file.sources);
    match engine().load_expressions(&file) {
        Err(LoadExpressionsError::Wrong(mistakes)) => {
            assert!(!mistakes.is_empty());
            oracle::diagnostics(&mistakes, &file.sources);
        }
        Err(LoadExpressionsError::Module(error)) => assert!(is_of_budget(&error.to_string()), "{error}: {text}"),
        Ok(module) => {
            let plan = DEMO.get_or_init(|| demo("quarry-lane/side-yard.yaml"));
            let tried = try_module(plan.clone(), &module, &options(), Ask::All);
            oracle::findings(&tried.report);
            for error in &tried.report.errors {
                let CheckError::Module(error) = error else { panic!("{error:?}") };
                assert!(is_of_budget(error), "{error}: {text}");
            }
        }
    }
}

/// A file may ask for more than it gets; it may not bring the module down.
fn is_of_budget(error: &str) -> bool {
    ["computing budget", "MiB of memory", "too many", "at most", "more than"].iter().any(|bound| error.contains(bound))
}
