//! Text to tokens.

use super::{Mistake, Span};

/// A token with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Token {
    pub kind: TokenKind,
    pub span: Span,
}

#[derive(Debug, Clone, PartialEq)]
pub enum TokenKind {
    Number(f64),
    Text(String),
    /// Also the words `true`, `false`, `in` and reserved ones.
    Word(String),
    /// An operator or a bracket.
    Sign(&'static str),
    End,
}

/// Longest first.
const SIGNS: [&str; 24] = [
    "==", "!=", "<=", ">=", "&&", "||", "<", ">", "+", "-", "*", "/", "%", "!", "?", ":", ".", ",", "(", ")", "[", "]",
    "{", "}",
];

/// All tokens of a text, ended by [`TokenKind::End`].
pub fn tokens(text: &str) -> Result<Vec<Token>, Mistake> {
    let mut lexer = Lexer { text, at: 0 };
    let mut tokens = Vec::new();
    loop {
        lexer.skip();
        let from = lexer.at;
        let kind = lexer.next()?;
        let end = kind == TokenKind::End;
        tokens.push(Token { kind, span: Span::new(from, lexer.at) });
        if end {
            return Ok(tokens);
        }
    }
}

struct Lexer<'t> {
    text: &'t str,
    at: usize,
}

impl<'t> Lexer<'t> {
    fn rest(&self) -> &'t str {
        &self.text[self.at..]
    }

    /// White space, and comments to the end of their line.
    fn skip(&mut self) {
        loop {
            let rest = self.rest();
            let blank = rest.len() - rest.trim_start_matches([' ', '\t', '\r', '\n', '\u{c}', '\u{b}']).len();
            self.at += blank;
            if !self.rest().starts_with("//") {
                return;
            }
            self.at += self.rest().find('\n').unwrap_or(self.rest().len());
        }
    }

    fn next(&mut self) -> Result<TokenKind, Mistake> {
        let rest = self.rest();
        let Some(first) = rest.chars().next() else { return Ok(TokenKind::End) };
        let second = rest[first.len_utf8()..].chars().next();
        if first.is_ascii_digit() || (first == '.' && second.is_some_and(|c| c.is_ascii_digit())) {
            return self.number();
        }
        if let Some(quoted) = self.quoted()? {
            return Ok(TokenKind::Text(quoted));
        }
        if first.is_ascii_alphabetic() || first == '_' {
            let length = rest.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_')).unwrap_or(rest.len());
            let word = rest[..length].to_owned();
            self.at += length;
            return Ok(TokenKind::Word(word));
        }
        match SIGNS.iter().find(|sign| rest.starts_with(**sign)) {
            Some(sign) => {
                self.at += sign.len();
                Ok(TokenKind::Sign(sign))
            }
            None => Err(self.unknown(first)),
        }
    }

    fn unknown(&self, found: char) -> Mistake {
        let span = Span::new(self.at, self.at + found.len_utf8());
        let mistake = Mistake::new(span, format!("`{}` has no meaning here", found.escape_debug()));
        match found {
            '=' => mistake.help("write `==` to compare"),
            '&' => mistake.help("write `&&`"),
            '|' => mistake.help("write `||`"),
            '≤' => mistake.help("write `<=`"),
            '≥' => mistake.help("write `>=`"),
            '≠' => mistake.help("write `!=`"),
            '×' | '·' => mistake.help("write `*`"),
            '“' | '”' | '„' | '‘' | '’' => mistake.help("put texts in straight quotes, `\"` or `'`"),
            _ => mistake,
        }
    }

    fn number(&mut self) -> Result<TokenKind, Mistake> {
        let from = self.at;
        let rest = self.rest();
        let digits = |text: &str| text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        if let Some(hex) = rest.strip_prefix("0x").or_else(|| rest.strip_prefix("0X")) {
            let length = hex.find(|c: char| !c.is_ascii_hexdigit()).unwrap_or(hex.len());
            let value = i64::from_str_radix(&hex[..length], 16);
            self.at += 2 + length;
            let span = Span::new(from, self.at);
            return value.map(|v| TokenKind::Number(v as f64)).map_err(|_| Mistake::new(span, "this is no number"));
        }
        let mut length = digits(rest);
        if rest[length..].starts_with('.') && digits(&rest[length + 1..]) > 0 {
            length += 1 + digits(&rest[length + 1..]);
        }
        if let Some(exponent) = rest[length..].strip_prefix(['e', 'E']) {
            let sign = usize::from(exponent.starts_with(['+', '-']));
            if digits(&exponent[sign..]) > 0 {
                length += 1 + sign + digits(&exponent[sign..]);
            }
        }
        let value = rest[..length].parse::<f64>().ok().filter(|value| value.is_finite());
        let tail = &rest[length..];
        let word = tail.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(tail.len());
        let unit = tail[..word].to_owned();
        self.at += length + word;
        let span = Span::new(from, self.at);
        if matches!(unit.as_str(), "u" | "U") {
            return Err(Mistake::new(span, "numbers have no `u` here").help("write the number alone"));
        }
        if !unit.is_empty() {
            return Err(Mistake::new(span, format!("`{unit}` can't follow a number"))
                .help("units stand in the names of fields: `run.cover_in >= 12`"));
        }
        value.map(TokenKind::Number).ok_or_else(|| Mistake::new(span, "this number is too large"))
    }

    /// A text in one of the four kinds of quotes, raw with `r` before it.
    fn quoted(&mut self) -> Result<Option<String>, Mistake> {
        let from = self.at;
        let rest = self.rest();
        let letters = rest.bytes().take(3).take_while(u8::is_ascii_alphabetic).count();
        let prefix = if rest[letters..].starts_with(['"', '\'']) { &rest[..letters] } else { "" };
        let raw = matches!(prefix, "r" | "R");
        if !prefix.is_empty() && !raw {
            if prefix.eq_ignore_ascii_case("b")
                || prefix.eq_ignore_ascii_case("rb")
                || prefix.eq_ignore_ascii_case("br")
            {
                return Err(Mistake::new(Span::new(from, from + prefix.len()), "there are no bytes here, only texts"));
            }
            return Ok(None);
        }
        let body = &rest[prefix.len()..];
        let Some(quote) = ["\"\"\"", "'''", "\"", "'"].into_iter().find(|quote| body.starts_with(quote)) else {
            return Ok(None);
        };
        let start = from + prefix.len() + quote.len();
        let mut at = start;
        loop {
            let here = &self.text[at..];
            let Some(next) = here.chars().next() else { break };
            if here.starts_with(quote) {
                self.at = at + quote.len();
                let inner = &self.text[start..at];
                return if raw { Ok(Some(inner.to_owned())) } else { escaped(inner, start).map(Some) };
            }
            if matches!(next, '\n' | '\r') && quote.len() == 1 {
                break;
            }
            at += next.len_utf8();
            if next == '\\' && !raw {
                at += self.text[at..].chars().next().map_or(0, char::len_utf8);
            }
        }
        Err(Mistake::new(Span::new(from, at), "this text has no closing quote")
            .help(format!("close it with `{quote}`")))
    }
}

/// A text with its escapes replaced; `start` is where it begins, for messages.
pub fn escaped(inner: &str, start: usize) -> Result<String, Mistake> {
    let mut text = String::with_capacity(inner.len());
    let mut rest = inner;
    while let Some(backslash) = rest.find('\\') {
        text.push_str(&rest[..backslash]);
        let from = start + inner.len() - rest.len() + backslash;
        let after = &rest[backslash + 1..];
        let letter = after.chars().next();
        let (character, length) = match letter {
            Some('n') => (Some('\n'), 1),
            Some('t') => (Some('\t'), 1),
            Some('r') => (Some('\r'), 1),
            Some('a') => (Some('\u{7}'), 1),
            Some('b') => (Some('\u{8}'), 1),
            Some('f') => (Some('\u{c}'), 1),
            Some('v') => (Some('\u{b}'), 1),
            Some(c @ ('\\' | '?' | '"' | '\'' | '`')) => (Some(c), 1),
            Some('x' | 'X') => (code(after, 1, 2, 16), 3),
            Some('u') => (code(after, 1, 4, 16), 5),
            Some('U') => (code(after, 1, 8, 16), 9),
            Some('0'..='3') => (code(after, 0, 3, 8), 3),
            _ => (None, 1),
        };
        let Some(character) = character else {
            let to = from + 1 + letter.map_or(0, char::len_utf8);
            return Err(Mistake::new(Span::new(from, to), "this escape has no meaning")
                .help("write `\\\\` for a backslash, or put an `r` before the quotes"));
        };
        text.push(character);
        rest = &after[length..];
    }
    text.push_str(rest);
    Ok(text)
}

fn code(text: &str, from: usize, digits: usize, radix: u32) -> Option<char> {
    let digits = text.get(from..from + digits).filter(|digits| digits.bytes().all(|b| b.is_ascii_hexdigit()))?;
    u32::from_str_radix(digits, radix).ok().and_then(char::from_u32)
}
