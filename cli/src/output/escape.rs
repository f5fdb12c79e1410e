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
    match part_of_json(&document) {
        Cow::Borrowed(_) => document,
        Cow::Owned(safe) => safe,
    }
}

/// The same of a part of a document.
pub fn part_of_json(text: &str) -> Cow<'_, str> {
    // Those of ASCII are escapes already.
    let harmful = |c: char| is_harmful(c) && (!c.is_ascii() || c == '\u{7f}');
    if !text.contains(harmful) {
        return Cow::Borrowed(text);
    }
    let mut safe = String::with_capacity(text.len() + 32);
    for c in text.chars() {
        if harmful(c) {
            safe.push_str(&format!("\\u{:04x}", u32::from(c)));
        } else {
            safe.push(c);
        }
    }
    Cow::Owned(safe)
}

/// A line of a log of GitHub Actions that is no command, whatever it says: commands start with `::`, which may be
/// indented, or have `##[` anywhere.
pub fn log(text: &str) -> String {
    let text = terminal(text).replace(['\n', '\r'], " ").replace("##[", "##\u{200b}[");
    match text.trim_start().starts_with("::") {
        true => format!("\u{200b}{text}"),
        false => text,
    }
}

/// The message of a command of GitHub Actions.
pub fn command_data(text: &str) -> String {
    terminal(text).replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")
}

/// The value of a property of a command of GitHub Actions.
pub fn command_property(text: &str) -> String {
    command_data(text).replace(':', "%3A").replace(',', "%2C")
}

/// Text inside a line of Markdown as it is: no emphasis, link, HTML, table border, mention or reference comes of it.
///
/// What stands between backquotes, as in the texts of rules, becomes code, where they come in pairs.
pub fn markdown(text: &str) -> String {
    if text.matches('`').count() % 2 == 1 {
        return plain_markdown(text);
    }
    let part = |(index, part): (usize, &str)| if index % 2 == 0 { plain_markdown(part) } else { code(part) };
    text.split('`').enumerate().map(part).collect()
}

fn plain_markdown(text: &str) -> String {
    let mut safe = String::with_capacity(text.len() + 16);
    let text = terminal(text).replace(['\n', '\r', '\t'], " ");
    let mut before = ' ';
    for c in text.chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '~' | '!' | '$' => {
                safe.push('\\');
                safe.push(c);
            }
            // A word joiner keeps `@name`, `#12`, `https://…` and `www.…` from becoming links that tell somebody.
            '@' | '#' => {
                safe.push(c);
                safe.push('\u{2060}');
            }
            '/' if before == ':' => safe.push_str("\u{2060}/"),
            '.' if safe.ends_with("www") || safe.ends_with("WWW") => safe.push_str("\u{2060}."),
            _ => safe.push(c),
        }
        before = c;
    }
    safe
}

/// Text in a span of code of Markdown, which may be in a table.
pub fn code(text: &str) -> String {
    let text = terminal(text).replace(['\n', '\r', '\t'], " ").replace('`', "'").replace('|', "\u{2502}");
    if text.trim().is_empty() { String::new() } else { format!("`{text}`") }
}

/// Text in an element or a quoted attribute of XML and HTML. What XML can't hold is told by its number.
pub fn xml(text: &str) -> String {
    let mut safe = String::with_capacity(text.len() + 16);
    for c in terminal(text).chars() {
        match c {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => safe.extend(c.escape_unicode()),
            _ => safe.push(c),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::{code, command_data, command_property, json, log, markdown, terminal, xml};

    #[test]
    fn nothing_in_a_log_becomes_a_command() {
        for text in ["::error::x", "  ::stop-commands::x", "a ##[error]b", "a\n::error::b"] {
            let line = log(text);
            assert!(!line.trim_start().starts_with("::") && !line.contains("##[") && !line.contains('\n'), "{line}");
        }
        assert_eq!(command_data("50 %\nb"), "50 %25%0Ab");
        assert_eq!(command_property("a:b,c"), "a%3Ab%2Cc");
    }

    #[test]
    fn markdown_is_the_text_itself() {
        assert_eq!(markdown("a|b <b>*x*</b> `c`"), "a\\|b &lt;b&gt;\\*x\\*&lt;/b&gt; `c`");
        for (text, link) in [("@team", "@team"), ("see #12", "#12"), ("https://x.example", "://"), ("www.x", "www.x")] {
            assert!(!markdown(text).contains(link), "{text}");
        }
        assert_eq!(markdown("one ` alone"), "one \\` alone");
        assert_eq!(code("a`b|c"), "`a'b\u{2502}c`");
    }

    #[test]
    fn xml_holds_no_markup_of_others() {
        assert_eq!(xml("<b a='\"'>&\u{1b}\u{ffff}"), "&lt;b a=&#39;&quot;&#39;&gt;&amp;\\u{1b}\\u{ffff}");
    }

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
