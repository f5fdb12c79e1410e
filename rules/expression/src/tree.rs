//! An expression that was checked: every name is what it stands for, every type fits.

use crate::schema::{Field, Kind, Variable};
use crate::syntax::{Operator, Span};

/// A checked expression.
pub struct Node {
    pub span: Span,
    pub kind: NodeKind,
}

pub enum NodeKind {
    Number(f64),
    Text(String),
    Flag(bool),
    /// The element that the rule judges.
    Element,
    Variable(&'static Variable),
    /// Index into the settings of the rule.
    Setting(usize),
    /// Variable of an `all`, `map` and the like, counted from the outermost.
    Local(usize),
    Field {
        of: Box<Node>,
        kind: Kind,
        field: &'static Field,
    },
    /// A company's own text under a key.
    Key {
        of: Box<Node>,
        key: Box<Node>,
    },
    /// Whether the field or key is stated.
    Has(Box<Node>),
    Index {
        of: Box<Node>,
        at: Box<Node>,
    },
    Not(Box<Node>),
    Negate(Box<Node>),
    Calculate {
        operator: Operator,
        left: Box<Node>,
        right: Box<Node>,
    },
    /// Of numbers, texts and days, by order or equality.
    Compare {
        operator: Operator,
        left: Box<Node>,
        right: Box<Node>,
    },
    Join(Box<Node>, Box<Node>),
    Within {
        item: Box<Node>,
        list: Box<Node>,
    },
    HasKey {
        key: Box<Node>,
        house: Box<Node>,
    },
    And(Vec<Node>),
    Or(Vec<Node>),
    Choice {
        condition: Box<Node>,
        yes: Box<Node>,
        no: Box<Node>,
    },
    List(Vec<Node>),
    Each {
        how: Each,
        list: Box<Node>,
        filter: Option<Box<Node>>,
        body: Box<Node>,
    },
    Function(Function, Vec<Node>),
}

/// What is done with each item of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Each {
    All,
    Exists,
    ExistsOne,
    Filter,
    Map,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    Size,
    Contains,
    StartsWith,
    EndsWith,
    Int,
    Double,
    String,
    Abs,
    Min,
    Max,
    Sum,
    DaysBetween,
}
