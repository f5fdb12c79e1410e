//! Bytes of a text and places as editors count them: lines from 0, and columns in the units that both sides agreed on.

use lsp_types::{Position, Range};

/// What columns count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// Bytes, for clients that offer it.
    Utf8,
    /// What the protocol counts by default: a character beyond the first plane is two.
    Utf16,
}

/// Where the lines of a text start. A line ends with `\n`, `\r\n` or `\r`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    /// Of a text.
    pub fn of(text: &str) -> Self {
        let bytes = text.as_bytes();
        let ends = |at: usize, byte: u8| byte == b'\n' || (byte == b'\r' && bytes.get(at + 1) != Some(&b'\n'));
        let starts = bytes.iter().enumerate().filter(|(at, byte)| ends(*at, **byte)).map(|(at, _)| at + 1);
        Self { starts: std::iter::once(0).chain(starts).collect() }
    }

    /// The place of a byte; one inside a character counts as that character's start.
    pub fn position(&self, text: &str, byte: usize, encoding: Encoding) -> Position {
        let byte = floor(text, byte);
        let line = self.starts.partition_point(|start| *start <= byte).saturating_sub(1);
        let start = self.starts.get(line).copied().unwrap_or(0);
        let before = text.get(start..byte).unwrap_or_default();
        let column = match encoding {
            Encoding::Utf8 => before.len(),
            Encoding::Utf16 => before.chars().map(char::len_utf16).sum(),
        };
        Position { line: line as u32, character: column as u32 }
    }

    /// The byte at a place; beyond the end of a line it is that end, beyond the last line the end of the text.
    pub fn byte(&self, text: &str, position: Position, encoding: Encoding) -> usize {
        let Some(&start) = self.starts.get(position.line as usize) else { return text.len() };
        let next = self.starts.get(position.line as usize + 1).copied().unwrap_or(text.len());
        let line = text.get(start..next).unwrap_or_default();
        let line = line.strip_suffix('\n').unwrap_or(line);
        let line = line.strip_suffix('\r').unwrap_or(line);
        let wanted = position.character as usize;
        if encoding == Encoding::Utf8 {
            return start + floor(line, wanted);
        }
        let mut column = 0;
        for (at, c) in line.char_indices() {
            column += c.len_utf16();
            // A place between both halves of a character is its start.
            if column > wanted {
                return start + at;
            }
        }
        start + line.len()
    }

    /// The place of some bytes.
    pub fn range(&self, text: &str, bytes: std::ops::Range<usize>, encoding: Encoding) -> Range {
        Range {
            start: self.position(text, bytes.start, encoding),
            end: self.position(text, bytes.end.max(bytes.start), encoding),
        }
    }

    /// The bytes of a place; the end is never before the start.
    pub fn bytes(&self, text: &str, range: Range, encoding: Encoding) -> std::ops::Range<usize> {
        let (start, end) = (self.byte(text, range.start, encoding), self.byte(text, range.end, encoding));
        start.min(end)..end.max(start)
    }
}

/// The start of the character that a byte is in.
fn floor(text: &str, byte: usize) -> usize {
    (0..=byte.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A mark, line ends of all three sorts, and characters of one to four bytes.
    const TEXT: &str = "\u{feff}aé\r\nß✓x\r🌳b\n";

    fn at(line: u32, character: u32) -> Position {
        Position { line, character }
    }

    #[test]
    fn columns_are_units_of_what_was_agreed_on() {
        let lines = Lines::of(TEXT);
        // By hand: the byte, then line and column in UTF-16 and in bytes.
        for (byte, utf16, utf8) in [
            (0, at(0, 0), at(0, 0)),
            (3, at(0, 1), at(0, 3)),
            (4, at(0, 2), at(0, 4)),
            (6, at(0, 3), at(0, 6)),
            (8, at(1, 0), at(1, 0)),
            (10, at(1, 1), at(1, 2)),
            (13, at(1, 2), at(1, 5)),
            (15, at(2, 0), at(2, 0)),
            (19, at(2, 2), at(2, 4)),
            (20, at(2, 3), at(2, 5)),
            (21, at(3, 0), at(3, 0)),
        ] {
            assert_eq!(lines.position(TEXT, byte, Encoding::Utf16), utf16, "{byte}");
            assert_eq!(lines.position(TEXT, byte, Encoding::Utf8), utf8, "{byte}");
            assert_eq!(lines.byte(TEXT, utf16, Encoding::Utf16), byte);
            assert_eq!(lines.byte(TEXT, utf8, Encoding::Utf8), byte);
        }
    }

    #[test]
    fn places_outside_of_the_text_are_its_nearest_places() {
        let lines = Lines::of(TEXT);
        for (position, utf16, utf8) in [
            (at(0, 99), 6, 6),
            (at(2, 1), 15, 15),
            (at(9, 0), 21, 21),
            (at(u32::MAX, u32::MAX), 21, 21),
            (at(1, 99), 14, 14),
        ] {
            assert_eq!(lines.byte(TEXT, position, Encoding::Utf16), utf16, "{position:?}");
            assert_eq!(lines.byte(TEXT, position, Encoding::Utf8), utf8, "{position:?}");
        }
        let backwards = Range { start: at(1, 1), end: at(0, 1) };
        assert_eq!(lines.bytes(TEXT, backwards, Encoding::Utf16), 3..10);
        assert_eq!(Lines::of("").byte("", at(0, 3), Encoding::Utf16), 0);
    }
}
