//! Text from plans and modules is untrusted: on a terminal it must not move the cursor or change colours.

use lintern_core::plan::snippet::is_harmful;
use std::borrow::Cow;

/// The text with control characters (line ends and tabs apart) and bidirectional overrides made visible.
pub fn terminal(text: &str) -> Cow<'_, str> {
    // A lone carriage return would overwrite the line.
    let harmful = |c: char| is_harmful(c) || c == '\r';
    if !text.contains(harmful) {
        return Cow::Borrowed(text);
    }
    let mut safe = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if harmful(c) {
            safe.extend(c.escape_unicode());
        } else {
            safe.push(c);
        }
    }
    Cow::Owned(safe)
}

/// A JSON document in which control characters and bidirectional overrides are escapes: it may be looked at on a terminal.
pub fn json(document: String) -> String {
    // Those of ASCII are escapes already.
    let harmful = |c: char| is_harmful(c) && (!c.is_ascii() || c == '\u{7f}');
    if !document.contains(harmful) {
        return document;
    }
    let mut safe = String::with_capacity(document.len() + 32);
    for c in document.chars() {
        if harmful(c) {
            safe.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            safe.push(c);
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::{json, terminal};

    #[test]
    fn json_says_the_same_and_holds_nothing_that_a_terminal_acts_on() {
        let text = "a\u{1b}[31m\u{9b}31m\u{202e}\u{7f}é";
        let document = json(serde_json::json!({ "text": text }).to_string());
        assert!(document.chars().all(|c| !c.is_control() && c != '\u{202e}') && document.contains('é'), "{document}");
        let read: serde_json::Value = serde_json::from_str(&document).unwrap();
        assert_eq!(read["text"], text);
    }

    #[test]
    fn control_sequences_become_visible() {
        assert_eq!(terminal("a\u{1b}[31mb\r\u{202e}c\td\n"), "a\\u{1b}[31mb\\u{d}\\u{202e}c\td\n");
        assert_eq!(terminal("plain ≥ Ω"), "plain ≥ Ω");
    }
}
