//! Messages with expressions in them: `{run.id} is {run.length_m:.1} m long`.

use crate::check::{Names, check};
use crate::eval::{Scope, Source, Value, eval};
use crate::syntax::{Mistake, Span};
use crate::tree::Node;
use crate::types::Type;
use lintern_rule::compare::plain;

/// A checked template.
pub struct Template {
    parts: Vec<Part>,
}

enum Part {
    Text(String),
    Value { source: String, node: Node, decimals: Option<usize> },
}

/// Longest template, in bytes.
const LONGEST: usize = 2_000;
/// Most decimals.
const DECIMALS: usize = 6;

/// Reads and checks a template. Spans are bytes of its text.
pub fn template(text: &str, names: Names<'_>) -> Result<Template, Vec<Mistake>> {
    if text.len() > LONGEST {
        let message = format!("this text has {} bytes, and at most {LONGEST} are allowed", text.len());
        return Err(vec![Mistake::new(Span::new(0, 0), message)]);
    }
    let mut template = Template { parts: Vec::new() };
    let mut mistakes = Vec::new();
    let mut plain = String::new();
    let mut at = 0;
    while let Some(brace) = text[at..].find(['{', '}']).map(|offset| at + offset) {
        plain.push_str(&text[at..brace]);
        let rest = &text[brace..];
        if rest.starts_with("{{") || rest.starts_with("}}") {
            plain.push_str(&rest[..1]);
            at = brace + 2;
            continue;
        }
        if rest.starts_with('}') {
            let mistake = Mistake::new(Span::new(brace, brace + 1), "this `}` closes nothing");
            return Err(vec![mistake.help("write `}}` for a brace")]);
        }
        let Some(end) = closing(text, brace + 1) else {
            let mistake = Mistake::new(Span::new(brace, brace + 1), "this `{` is not closed");
            return Err(vec![mistake.help("close the expression with `}`, or write `{{` for a brace")]);
        };
        if !plain.is_empty() {
            template.parts.push(Part::Text(std::mem::take(&mut plain)));
        }
        match value(text, brace + 1, end, names) {
            Ok(part) => template.parts.push(part),
            Err(found) => mistakes.extend(found),
        }
        at = end + 1;
    }
    plain.push_str(&text[at..]);
    if !plain.is_empty() {
        template.parts.push(Part::Text(plain));
    }
    if mistakes.is_empty() { Ok(template) } else { Err(mistakes) }
}

/// The brace that closes an expression, past texts in quotes.
fn closing(text: &str, from: usize) -> Option<usize> {
    let mut quote = None;
    let mut escaped = false;
    for (offset, byte) in text.bytes().enumerate().skip(from) {
        match (quote, byte) {
            _ if escaped => escaped = false,
            (Some(_), b'\\') => escaped = true,
            (Some(open), _) if open == byte => quote = None,
            (None, b'"' | b'\'') => quote = Some(byte),
            (None, b'}') => return Some(offset),
            _ => {}
        }
    }
    None
}

fn value(text: &str, from: usize, end: usize, names: Names<'_>) -> Result<Part, Vec<Mistake>> {
    let inner = &text[from..end];
    let (source, decimals) = match inner.rsplit_once(":.") {
        Some((source, digits)) if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => {
            let span = Span::new(from + source.len() + 2, end);
            match digits.parse::<usize>().ok().filter(|digits| *digits <= DECIMALS) {
                Some(decimals) => (source, Some(decimals)),
                None => return Err(vec![Mistake::new(span, format!("at most {DECIMALS} decimals are shown"))]),
            }
        }
        _ => (inner, None),
    };
    let shift = |span: Span| Span::new(span.from + from, span.to + from);
    let checked = check(source, names).map_err(|mistakes| {
        mistakes.into_iter().map(|mistake| Mistake { span: shift(mistake.span), ..mistake }).collect::<Vec<_>>()
    })?;
    let span = shift(checked.node.span);
    let wrong = |message: String, help: &str| Err(vec![Mistake::new(span, message).help(help)]);
    match &checked.of {
        Type::Object(_) => return wrong("an object can't be printed".to_owned(), "print its `id` or `name`"),
        Type::House => return wrong("`house` can't be printed as a whole".to_owned(), "print one of its keys"),
        Type::List(of) if matches!(**of, Type::Object(_) | Type::List(_)) => {
            return wrong(
                "a list of objects can't be printed".to_owned(),
                "print their names: `luminaires.map(x, x.id)`",
            );
        }
        Type::Number(_) | Type::List(_) => {}
        of if decimals.is_some() => {
            return wrong(format!("decimals are for numbers, and this is {of}"), "leave them out");
        }
        _ => {}
    }
    Ok(Part::Value { source: source.to_owned(), node: checked.node, decimals })
}

impl Template {
    /// The text for an element. What the plan does not state is told as such.
    pub fn fill(&self, scope: &mut Scope<'_>) -> String {
        let mut text = String::new();
        for part in &self.parts {
            match part {
                Part::Text(plain) => text.push_str(plain),
                Part::Value { source, node, decimals } => match eval(node, Source(source), scope) {
                    Ok(value) => text.push_str(&shown(&value, *decimals)),
                    Err(_) => text.push_str("(not stated)"),
                },
            }
        }
        text
    }
}

/// A value as messages show it.
pub fn shown(value: &Value<'_>, decimals: Option<usize>) -> String {
    match (value, decimals) {
        (Value::Number(number), Some(decimals)) => format!("{number:.decimals$}"),
        (Value::Number(number), None) => plain(*number),
        (Value::Flag(flag), _) => flag.to_string(),
        (Value::Text(text), _) => text.to_string(),
        (Value::List(list), _) => list.iter().map(|item| shown(item, decimals)).collect::<Vec<_>>().join(", "),
        // Refused when the template was checked.
        (Value::Object(kind, _), _) => kind.word().to_owned(),
        (Value::House(_), _) => "house".to_owned(),
    }
}
