//! A tree to typed values, with every error of the file in one pass.
//!
//! Serde stops at its first error; here an error is recorded where it arises and the field stays
//! empty, so that its siblings are read. The protocol with fields is that of [`super::read`].

use super::diagnostic::{Diagnostic, Diagnostics};
use super::field::{Field, Span};
use super::nearest;
use super::quantity::bare_number;
use super::read::{FIELD, Node};
use super::yaml::{Entry, NodeId, Tree, Value, elide};
use serde::de::value::{SeqDeserializer, StrDeserializer};
use serde::de::{self, Deserialize, DeserializeSeed, Deserializer, Expected, IntoDeserializer, Visitor};
use std::cell::RefCell;
use std::fmt;

/// Reads a whole document. What is wrong goes to `errors`; what could be read is in the field.
pub(crate) fn read<T: for<'de> Deserialize<'de> + Node>(tree: &Tree, errors: &mut Diagnostics) -> Field<T> {
    let reader = Reader { tree, errors: RefCell::new(errors) };
    let root = Reading { reader: &reader, node: tree.root(), key: None, required: &[] };
    // A field records its errors and never fails.
    Field::deserialize(root).unwrap_or_default()
}

struct Reader<'t> {
    tree: &'t Tree,
    errors: RefCell<&'t mut Diagnostics>,
}

impl Reader<'_> {
    fn record(&self, diagnostic: impl FnOnce() -> Diagnostic) {
        self.errors.borrow_mut().push(diagnostic);
    }
}

/// Why a value could not be read; becomes a diagnostic at the field that holds the value.
#[derive(Debug)]
pub(crate) struct Error {
    message: String,
    help: Option<String>,
    span: Option<Span>,
}

impl Error {
    fn new(message: impl Into<String>, help: Option<String>) -> Self {
        Self { message: message.into(), help, span: None }
    }

    fn at(mut self, span: Span) -> Self {
        self.span.get_or_insert(span);
        self
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Error {}

impl de::Error for Error {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self::new(message.to_string(), None)
    }
}

/// A node that is being read as some type.
#[derive(Clone, Copy)]
struct Reading<'r, 't> {
    reader: &'r Reader<'t>,
    node: NodeId,
    /// The key that the node stands under.
    key: Option<NodeId>,
    /// Keys that it must have when it is a mapping; told by the field around it.
    required: &'static [&'static str],
}

/// Longest text that is looked at as a quantity, an id or a word.
const LONGEST_WORD: usize = 200;

impl<'r, 't> Reading<'r, 't> {
    fn tree(&self) -> &'r Tree {
        self.reader.tree
    }

    fn value(&self) -> Value<'r> {
        self.tree().value(self.node)
    }

    /// A node inside this one.
    fn child(&self, node: NodeId, key: Option<NodeId>) -> Self {
        Self { reader: self.reader, node, key, required: &[] }
    }

    /// The error that this node is not what was expected.
    fn wrong(&self, expected: &dyn fmt::Display) -> Error {
        let found = match self.value() {
            Value::Scalar { text, .. } => format!("`{}`", elide(text)),
            Value::Sequence(_) => "a list".to_owned(),
            Value::Mapping(_) => "a mapping".to_owned(),
        };
        Error::new(format!("expected {expected}, found {found}"), None).at(self.place())
    }

    /// Where to point for an error of this node as a whole: not the whole of a long block.
    fn place(&self) -> Span {
        self.tree().first_line(self.node)
    }

    /// Where to point for something that this mapping lacks: its key, else its first line.
    fn heading(&self) -> Span {
        self.key.map_or_else(|| self.place(), |key| self.tree().span(key))
    }

    fn text(&self, expected: &dyn fmt::Display) -> Result<&'r str, Error> {
        match self.value() {
            Value::Scalar { text, .. } if text.len() <= LONGEST_WORD => Ok(text),
            Value::Scalar { text, .. } => {
                Err(Error::new(format!("expected {expected}, found a text of {} bytes", text.len()), None)
                    .at(self.place()))
            }
            Value::Sequence(_) | Value::Mapping(_) => Err(self.wrong(expected)),
        }
    }

    /// A text without quotes, as numbers and truth values are written.
    fn unquoted(&self, expected: &str) -> Result<&'r str, Error> {
        match self.value() {
            Value::Scalar { text, plain: true } => Ok(text),
            Value::Scalar { .. } => {
                let mut error = self.wrong(&expected);
                error.message += " in quotes";
                error.help = Some("remove the quotes".to_owned());
                Err(error)
            }
            Value::Sequence(_) | Value::Mapping(_) => Err(self.wrong(&expected)),
        }
    }

    /// Records an error of this node.
    fn record(&self, error: Error) {
        let Error { message, help, span } = error;
        let span = span.unwrap_or_else(|| self.place());
        self.reader.record(|| Diagnostic { message, span: Some(span), label: None, help, also: Vec::new() });
    }

    /// Records that a field has no value.
    fn record_no_value(&self) {
        match self.key {
            Some(key) => self.reader.record(|| {
                Diagnostic::new(self.tree().span(key), format!("`{}` has no value", elide(self.tree().scalar(key))))
                    .help("give it a value or remove the key")
            }),
            None => self.reader.record(|| {
                Diagnostic::new(self.place(), "this item has no value").help("give it a value or remove it")
            }),
        }
    }
}

impl<'de, 'r: 'de> Deserializer<'de> for Reading<'r, '_> {
    type Error = Error;

    /// Only types that are a text or a list ask for this.
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.value() {
            Value::Scalar { .. } => self.deserialize_str(visitor),
            Value::Sequence(_) => self.deserialize_seq(visitor),
            Value::Mapping(_) => Err(self.wrong(&(&visitor as &dyn Expected))),
        }
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        let text = self.text(&(&visitor as &dyn Expected))?;
        visitor.visit_str(text)
    }

    /// Any text of any length: names, reasons, a company's own data.
    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.value() {
            Value::Scalar { text, .. } => visitor.visit_str(text),
            Value::Sequence(_) | Value::Mapping(_) => Err(self.wrong(&"a text")),
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        const EXPECTED: &str = "`true` or `false`";
        match self.unquoted(EXPECTED)? {
            "true" => visitor.visit_bool(true),
            "false" => visitor.visit_bool(false),
            _ => Err(self.wrong(&EXPECTED)),
        }
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        const EXPECTED: &str = "a whole number like `1`";
        let text = self.unquoted(EXPECTED)?;
        let digits = text.bytes().all(|b| b.is_ascii_digit());
        match text.parse() {
            Ok(number) if digits => visitor.visit_u64(number),
            _ => Err(self.wrong(&EXPECTED)),
        }
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        const EXPECTED: &str = "a number like `36` or `0.9`";
        match bare_number(self.unquoted(EXPECTED)?) {
            Some(number) => visitor.visit_f64(number),
            None => Err(self.wrong(&EXPECTED)),
        }
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.value() {
            Value::Sequence(items) => visitor.visit_seq(Items { list: self, rest: items.iter() }),
            Value::Scalar { .. } | Value::Mapping(_) => match (&visitor as &dyn Expected).to_string().as_str() {
                "a sequence" => Err(self.wrong(&"a list, in `[ ]` or in lines that start with `- `")),
                expected => Err(self.wrong(&expected)),
            },
        }
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        match self.value() {
            Value::Mapping(entries) => {
                visitor.visit_map(Entries { mapping: self, rest: entries.iter(), known: None, value: None })
            }
            Value::Scalar { .. } | Value::Sequence(_) => Err(self.wrong(&"a mapping, in lines like `key: value`")),
        }
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        if name == FIELD {
            // Here `fields` are the keys that the value must have.
            return visitor.visit_seq(FieldParts { field: Self { required: fields, ..self }, next: Part::Span });
        }
        let Value::Mapping(entries) = self.value() else {
            let mut error = self.wrong(&"a mapping, in lines like `key: value`");
            error.help = Some(nearest::list("keys", fields.iter().copied()));
            return Err(error);
        };
        let has = |key: &str| entries.iter().any(|e| self.tree().scalar(e.key) == key);
        for key in self.required.iter().filter(|key| !has(key)) {
            self.reader.record(|| {
                Diagnostic::new(self.heading(), format!("`{key}` is missing here")).help(format!("add `{key}: …`"))
            });
        }
        visitor.visit_map(Entries { mapping: self, rest: entries.iter(), known: Some(fields), value: None })
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        words: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        let list = || words.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(", ");
        let text = self.text(&format_args!("one of {}", list()))?;
        if words.contains(&text) {
            let word: StrDeserializer<'_, Error> = text.into_deserializer();
            return visitor.visit_enum(word);
        }
        let near = nearest::nearest(text, words.iter().copied()).map(|near| format!("did you mean `{near}`?"));
        Err(Error::new(format!("`{}` is not accepted here; accepted: {}", elide(text), list()), near))
    }

    fn deserialize_ignored_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_unit()
    }

    serde::forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u32 u128 f32 char bytes byte_buf option unit unit_struct newtype_struct tuple
        tuple_struct identifier
    }
}

/// The two parts of a field: its span, then its value.
struct FieldParts<'r, 't> {
    field: Reading<'r, 't>,
    next: Part,
}

enum Part {
    Span,
    Value,
    End,
}

impl<'de, 'r: 'de> de::SeqAccess<'de> for FieldParts<'r, '_> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        match self.next {
            Part::Span => {
                self.next = Part::Value;
                let span = self.field.tree().span(self.field.node);
                seed.deserialize(SeqDeserializer::new([span.file, span.start, span.end].into_iter())).map(Some)
            }
            Part::Value => {
                self.next = Part::End;
                if self.field.tree().is_null(self.field.node) {
                    self.field.record_no_value();
                    return Ok(None);
                }
                Ok(match seed.deserialize(self.field) {
                    Ok(value) => Some(value),
                    Err(error) => {
                        self.field.record(error);
                        None
                    }
                })
            }
            Part::End => Ok(None),
        }
    }
}

/// The items of a list.
struct Items<'r, 't> {
    list: Reading<'r, 't>,
    rest: std::slice::Iter<'r, NodeId>,
}

impl<'de, 'r: 'de> de::SeqAccess<'de> for Items<'r, '_> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        let Some(&node) = self.rest.next() else { return Ok(None) };
        let item = self.list.child(node, None);
        seed.deserialize(item).map(Some).map_err(|e| e.at(item.place()))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.rest.len())
    }
}

/// The entries of a mapping; with `known` keys, others are reported and skipped.
struct Entries<'r, 't> {
    mapping: Reading<'r, 't>,
    rest: std::slice::Iter<'r, Entry>,
    known: Option<&'static [&'static str]>,
    value: Option<Entry>,
}

impl<'de, 'r: 'de> de::MapAccess<'de> for Entries<'r, '_> {
    type Error = Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<Option<S::Value>, Error> {
        let tree = self.mapping.tree();
        for &entry in self.rest.by_ref() {
            let key = tree.scalar(entry.key);
            let Some(known) = self.known else {
                self.value = Some(entry);
                return seed.deserialize(self.mapping.child(entry.key, None)).map(Some);
            };
            if known.contains(&key) {
                self.value = Some(entry);
                let key: StrDeserializer<'_, Error> = key.into_deserializer();
                return seed.deserialize(key).map(Some);
            }
            self.mapping.reader.record(|| {
                Diagnostic::new(tree.span(entry.key), format!("unknown key `{}`", elide(key))).help(nearest::help(
                    key,
                    "keys",
                    known.iter().copied(),
                ))
            });
        }
        Ok(None)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Error> {
        match self.value.take() {
            Some(entry) => seed.deserialize(self.mapping.child(entry.value, Some(entry.key))),
            None => Err(de::Error::custom("a value was asked for before its key")),
        }
    }
}
