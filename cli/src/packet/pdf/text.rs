//! Lines of text: breaking them to a width.

use crate::drawing::face::{Weight, settable};
use crate::output::escape;

/// A text as it is printed: nothing that moves the writing about, all characters in the face, backquotes as quotes.
pub fn printable(text: &str) -> String {
    let text = escape::terminal(text).replace(['\n', '\r', '\t'], " ");
    let text = if text.matches('`').count().is_multiple_of(2) { quoted(&text) } else { text };
    settable(&text).into_owned()
}

fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for (i, part) in text.split('`').enumerate() {
        if i > 0 {
            out.push(if i % 2 == 1 { '‘' } else { '’' });
        }
        out.push_str(part);
    }
    out
}

/// Breaks a printable text into lines of at most this width, mm. Words that are longer are broken where they must be.
pub fn lines(text: &str, weight: Weight, size_mm: f64, width_mm: f64) -> Vec<String> {
    let width = |text: &str| weight.width(text) * size_mm;
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used_mm = 0.0;
    let space_mm = width(" ");
    for word in text.split(' ') {
        let word_mm = width(word);
        if !line.is_empty() && used_mm + space_mm + word_mm > width_mm {
            lines.push(std::mem::take(&mut line));
            used_mm = 0.0;
        }
        if word_mm > width_mm && width_mm > 0.0 {
            for c in word.chars() {
                let c_mm = width(c.encode_utf8(&mut [0; 4]));
                if !line.is_empty() && used_mm + c_mm > width_mm {
                    lines.push(std::mem::take(&mut line));
                    used_mm = 0.0;
                }
                line.push(c);
                used_mm += c_mm;
            }
            continue;
        }
        if !line.is_empty() {
            line.push(' ');
            used_mm += space_mm;
        }
        line.push_str(word);
        used_mm += word_mm;
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::{Weight, lines, printable};

    #[test]
    fn lines_keep_their_width_and_all_words() {
        let text = "a plan of outdoor lighting with a-very-long-identifier-that-does-not-fit-anywhere at its end";
        for width_mm in [8.0, 20.0, 50.0] {
            let set = lines(text, Weight::Regular, 3.0, width_mm);
            assert!(set.iter().all(|line| Weight::Regular.width(line) * 3.0 <= width_mm + 1e-9), "{width_mm}: {set:?}");
            assert_eq!(set.concat().replace(' ', ""), text.replace(' ', ""), "{width_mm}");
        }
    }

    #[test]
    fn print_holds_nothing_that_moves_the_writing() {
        assert_eq!(printable("a\nb `c` \u{202e}"), "a b ‘c’ \\u{202e}");
        assert_eq!(printable("one ` alone"), "one ` alone");
    }
}
