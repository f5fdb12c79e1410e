//! Bytes to a plan. Places lie in the text, the same bytes give the same plan, and a text that another reader refuses
//! as YAML, or reads as something else, is no plan.
#![no_main]

use libfuzzer_sys::{fuzz_mutator, fuzz_target};
use lintern_fuzz::{change, loaded, oracle};
use serde_yaml::Value;

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    change::mutate(data, size, max_size, seed)
});

fuzz_target!(|bytes: &[u8]| {
    let plan = loaded(bytes);
    oracle::diagnostics(&plan.diagnostics, &plan.sources);
    assert_eq!(plan.layout.is_some(), plan.diagnostics.is_empty());
    let again = loaded(bytes);
    assert_eq!(plan.diagnostics, again.diagnostics);
    assert_eq!(plan.layout, again.layout);
    if let (Some(layout), Ok(text)) = (&plan.layout, std::str::from_utf8(bytes)) {
        match serde_yaml::from_str::<Value>(text) {
            Err(error) => assert!(has_other_bounds(&error.to_string()), "the other reader: {error}"),
            Ok(value) if reads_alike(&value, text) => {
                let written = serde_yaml::to_string(&value).expect("YAML");
                let rewritten = loaded(written.as_bytes());
                assert_eq!(rewritten.diagnostics, [], "{written}");
                assert_eq!(rewritten.layout.as_ref(), Some(layout), "{written}");
            }
            Ok(_) => {}
        }
    }
});

/// The other reader bounds depth and aliases by other numbers.
fn has_other_bounds(error: &str) -> bool {
    ["recursion limit", "repetition limit"].iter().any(|bound| error.contains(bound))
}

/// Whether the other reader keeps the spelling of every scalar: it turns `1.50` into 1.5, and `True` into true.
fn reads_alike(value: &Value, text: &str) -> bool {
    match value {
        Value::Null | Value::String(_) => true,
        Value::Bool(flag) => {
            text.contains(&flag.to_string())
                && !text.contains("True")
                && !text.contains("TRUE")
                && !text.contains("False")
                && !text.contains("FALSE")
        }
        Value::Number(number) => text.contains(&number.to_string()) && !text.contains("0x") && !text.contains("0o"),
        Value::Sequence(items) => items.iter().all(|item| reads_alike(item, text)),
        Value::Mapping(entries) => {
            entries.iter().all(|(key, value)| reads_alike(key, text) && reads_alike(value, text))
        }
        Value::Tagged(_) => false,
    }
}
