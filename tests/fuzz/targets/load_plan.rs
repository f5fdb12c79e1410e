//! Bytes to a plan. Places lie in the text, the same bytes give the same plan, and a text that another reader refuses
//! as YAML, or reads as something else, is no plan, where the two speak of one YAML.
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
    if let (Some(layout), Ok(text)) = (&plan.layout, std::str::from_utf8(bytes))
        && is_the_same_in_both(text)
    {
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

/// Whether a text has nothing that YAML 1.2, which plans are read as, takes and the 1.1 of the other reader does not, or
/// takes for something else: separators of lines beyond ASCII, tabs for blanks, anchors of any characters, pairs of
/// escapes, keys in quotes over several lines, and values that start with `?`.
fn is_the_same_in_both(text: &str) -> bool {
    let words = |sign: char| {
        text.split(sign).skip(1).map(|rest| rest.split([' ', '\n', ',', ']', '}']).next().unwrap_or_default())
    };
    let is_name = |name: &str| !name.is_empty() && name.bytes().all(|b| b.is_ascii_alphanumeric());
    let closes = |line: &str| ['"', '\''].iter().all(|quote| line.matches(*quote).count() % 2 == 0);
    text.bytes().all(|byte| byte == b'\n' || (b' '..=b'~').contains(&byte))
        && !text.contains(['\\', '?'])
        && words('&').chain(words('*')).all(is_name)
        && text.lines().all(closes)
}

/// What the other reader refuses by other bounds: of depth, of aliases, of whole numbers.
fn has_other_bounds(error: &str) -> bool {
    ["recursion limit", "repetition limit", "invalid type: integer"].iter().any(|bound| error.contains(bound))
}

/// Whether the other reader keeps the spelling of every scalar: it turns `1.50` into 1.5, and `True` into true.
fn reads_alike(value: &Value, text: &str) -> bool {
    let is_of_word = |c: char| c.is_ascii_alphanumeric() || "+-._".contains(c);
    let stands = |word: String| text.split(|c| !is_of_word(c)).any(|other| other == word);
    let other_spellings = ["True", "TRUE", "False", "FALSE", "0x", "0o", "0b", "+", "-0"];
    match value {
        Value::Null | Value::String(_) => true,
        Value::Bool(flag) => stands(flag.to_string()) && !other_spellings.iter().any(|other| text.contains(other)),
        Value::Number(number) => {
            stands(number.to_string()) && !other_spellings.iter().any(|other| text.contains(other))
        }
        Value::Sequence(items) => items.iter().all(|item| reads_alike(item, text)),
        Value::Mapping(entries) => {
            entries.iter().all(|(key, value)| reads_alike(key, text) && reads_alike(value, text))
        }
        Value::Tagged(_) => false,
    }
}
