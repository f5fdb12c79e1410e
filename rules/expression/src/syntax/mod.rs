//! The text of an expression to a tree in which every node knows its bytes.
//!
//! The grammar is that of the Common Expression Language (its specification, `doc/langdef.md`, section "Syntax"), less
//! bytes, unsigned numbers, `null`, maps and messages, which rules about plans have no use for: they are refused by name. It is
//! our own parser, because messages underline what they speak of: the known library tells the place of an operator but
//! not what it joins, and it is ten times as large. The tests hold the two against each other.

mod lexer;
mod parser;

pub use lexer::escaped;
pub use parser::parse;

/// Longest expression, in bytes.
pub const LONGEST: usize = 4_000;
/// Deepest tree: walking it takes stack, of which a module has 64 KiB.
pub const DEEPEST: u32 = 32;

/// A range of bytes of the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Span {
    pub from: usize,
    pub to: usize,
}

impl Span {
    pub fn new(from: usize, to: usize) -> Self {
        Self { from, to }
    }

    pub fn with(self, other: Self) -> Self {
        Self { from: self.from.min(other.from), to: self.to.max(other.to) }
    }
}

/// What is wrong with an expression, where, and the way out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mistake {
    pub span: Span,
    pub message: String,
    pub help: Option<String>,
}

impl Mistake {
    pub fn new(span: Span, message: impl Into<String>) -> Self {
        Self { span, message: message.into(), help: None }
    }

    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}

/// An operator with two operands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operator {
    Equal,
    Unequal,
    Less,
    LessEqual,
    Greater,
    GreaterEqual,
    In,
    Add,
    Subtract,
    Multiply,
    Divide,
    Remainder,
}

impl Operator {
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Equal => "==",
            Self::Unequal => "!=",
            Self::Less => "<",
            Self::LessEqual => "<=",
            Self::Greater => ">",
            Self::GreaterEqual => ">=",
            Self::In => "in",
            Self::Add => "+",
            Self::Subtract => "-",
            Self::Multiply => "*",
            Self::Divide => "/",
            Self::Remainder => "%",
        }
    }
}

/// An expression as written.
#[derive(Debug, Clone, PartialEq)]
pub struct Ast {
    pub span: Span,
    /// Levels of nodes in it, itself included.
    pub depth: u32,
    pub kind: AstKind,
}

#[derive(Debug, Clone, PartialEq)]
pub enum AstKind {
    Number(f64),
    Text(String),
    Flag(bool),
    Name(String),
    Select {
        of: Box<Ast>,
        field: String,
        field_span: Span,
    },
    Index {
        of: Box<Ast>,
        at: Box<Ast>,
    },
    Call {
        of: Option<Box<Ast>>,
        name: String,
        name_span: Span,
        arguments: Vec<Ast>,
    },
    Not(Box<Ast>),
    Negate(Box<Ast>),
    Binary {
        operator: Operator,
        left: Box<Ast>,
        right: Box<Ast>,
    },
    /// Two operands or more, as `a && b && c`.
    And(Vec<Ast>),
    Or(Vec<Ast>),
    Choice {
        condition: Box<Ast>,
        yes: Box<Ast>,
        no: Box<Ast>,
    },
    List(Vec<Ast>),
}

#[cfg(test)]
mod tests;
