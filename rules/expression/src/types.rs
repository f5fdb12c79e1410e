//! What an expression can be: a truth value, a number with its unit, a text with its words, a day, an object, a list.

use crate::schema::{Get, Kind};
use std::fmt;
use std::rc::Rc;

/// The type of an expression.
#[derive(Debug, Clone, PartialEq)]
pub enum Type {
    Flag,
    Number(Unit),
    /// With the words that it can have, where those are known.
    Text(Option<&'static [&'static str]>),
    Day,
    Object(Kind),
    House,
    List(Rc<Type>),
    /// Of the items of `[]`: fits everything.
    Nothing,
}

/// The unit of a number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unit {
    /// A number as written in an expression: fits every unit.
    Literal,
    /// Empty for a plain number, such as a count.
    Known(Rc<str>),
    /// Of a product or a quotient.
    Open,
}

impl Unit {
    pub fn known(symbol: &str) -> Self {
        Self::Known(symbol.into())
    }

    /// The unit of a sum of two; none where they do not go together.
    pub fn joined(&self, other: &Self) -> Option<Self> {
        match (self, other) {
            (Self::Known(a), Self::Known(b)) => (a == b).then(|| self.clone()),
            (Self::Literal, unit) | (unit, Self::Literal) => Some(unit.clone()),
            (Self::Open, _) | (_, Self::Open) => Some(Self::Open),
        }
    }
}

impl Type {
    pub fn number(symbol: &str) -> Self {
        Self::Number(Unit::known(symbol))
    }

    pub fn list(of: Self) -> Self {
        Self::List(Rc::new(of))
    }

    /// The type of what a table hands out.
    pub fn of(get: &Get) -> Self {
        match get {
            Get::Number(unit, _) => Self::number(unit),
            Get::Length(unit, _) => Self::number(unit.symbol()),
            Get::Flag(_) => Self::Flag,
            Get::Text(_) | Get::Name(_) => Self::Text(None),
            Get::Day(_) => Self::Day,
            Get::Word(words, _) => Self::Text(Some(words)),
            Get::Words(words, _) => Self::list(Self::Text(Some(words))),
            Get::Texts(_) => Self::list(Self::Text(None)),
            Get::One(kind, _) => Self::Object(*kind),
            Get::Many(kind, _) => Self::list(Self::Object(*kind)),
            Get::House(_) => Self::House,
        }
    }
}

/// With its article, for messages: `a number in m`.
impl fmt::Display for Type {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Flag => f.write_str("true or false"),
            Self::Number(Unit::Known(unit)) if !unit.is_empty() => write!(f, "a number in {unit}"),
            Self::Number(_) => f.write_str("a number"),
            Self::Text(_) => f.write_str("a text"),
            Self::Day => f.write_str("a day"),
            Self::Object(kind) => write!(f, "an object ({})", kind.word()),
            Self::House => f.write_str("a company's own data"),
            Self::List(_) | Self::Nothing => f.write_str("a list"),
        }
    }
}
