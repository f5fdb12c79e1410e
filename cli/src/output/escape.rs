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

#[cfg(test)]
mod tests {
    use super::terminal;

    #[test]
    fn control_sequences_become_visible() {
        assert_eq!(terminal("a\u{1b}[31mb\r\u{202e}c\td\n"), "a\\u{1b}[31mb\\u{d}\\u{202e}c\td\n");
        assert_eq!(terminal("plain ≥ Ω"), "plain ≥ Ω");
    }
}
