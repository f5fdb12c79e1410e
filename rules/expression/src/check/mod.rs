//! Checks an expression before any plan is read: names, types, units, words.

mod functions;
mod names;
mod operators;

use crate::schema::Kind;
use crate::syntax::{Ast, AstKind, Mistake, Span};
use crate::tree::{Node, NodeKind};
use crate::types::{Type, Unit};

pub use names::{help, nearest};

/// A setting of the rule, as expressions see it.
#[derive(Debug, Clone)]
pub struct SettingType {
    /// In snake case.
    pub name: String,
    pub of: Type,
}

/// What the expressions of a rule can name.
#[derive(Debug, Clone, Copy)]
pub struct Names<'r> {
    /// The kind of element that the rule judges.
    pub kind: Kind,
    pub settings: &'r [SettingType],
}

/// A checked expression with its type.
pub struct Checked {
    pub node: Node,
    pub of: Type,
}

/// Parses and checks an expression. All mistakes of its names and types are told; a text that can't be parsed has one.
pub fn check(text: &str, names: Names<'_>) -> Result<Checked, Vec<Mistake>> {
    let tree = crate::syntax::parse(text).map_err(|mistake| vec![mistake])?;
    let mut checker = Checker { text, names, locals: Vec::new(), mistakes: Vec::new() };
    let checked = checker.expression(&tree);
    match checked {
        Some(checked) if checker.mistakes.is_empty() => Ok(checked),
        _ => Err(checker.mistakes),
    }
}

struct Checker<'r> {
    text: &'r str,
    names: Names<'r>,
    /// Variables of `all`, `map` and the like that are open.
    locals: Vec<(String, Type)>,
    mistakes: Vec<Mistake>,
}

impl Checker<'_> {
    /// Records a mistake. What it is in has no type, so that nothing follows from it.
    fn wrong(&mut self, mistake: Mistake) -> Option<Checked> {
        self.mistakes.push(mistake);
        None
    }

    fn source(&self, span: Span) -> &str {
        self.text.get(span.from..span.to).unwrap_or_default()
    }

    fn expression(&mut self, tree: &Ast) -> Option<Checked> {
        let span = tree.span;
        let done = |kind, of| Some(Checked { node: Node { span, kind }, of });
        match &tree.kind {
            AstKind::Number(number) => done(NodeKind::Number(*number), Type::Number(Unit::Literal)),
            AstKind::Text(text) => done(NodeKind::Text(text.clone()), Type::Text(None)),
            AstKind::Flag(flag) => done(NodeKind::Flag(*flag), Type::Flag),
            AstKind::Name(name) => self.name(name, span),
            AstKind::Select { of, field, field_span } => self.select(of, field, *field_span, span),
            AstKind::Index { of, at } => self.index(of, at, span),
            AstKind::Call { of, name, name_span, arguments } => {
                self.call(of.as_deref(), name, *name_span, arguments, span)
            }
            AstKind::Not(of) => {
                let of = self.flag(of, "`!` needs")?;
                done(NodeKind::Not(of.into()), Type::Flag)
            }
            AstKind::Negate(of) => {
                let Checked { node, of } = self.expression(of)?;
                match of {
                    Type::Number(_) => done(NodeKind::Negate(node.into()), of),
                    _ => self.wrong(Mistake::new(node.span, format!("`-` needs a number, and this is {of}"))),
                }
            }
            AstKind::Binary { operator, left, right } => self.binary(*operator, left, right, span),
            AstKind::And(terms) => {
                let terms = self.flags(terms, "`&&` needs")?;
                done(NodeKind::And(terms), Type::Flag)
            }
            AstKind::Or(terms) => {
                let terms = self.flags(terms, "`||` needs")?;
                done(NodeKind::Or(terms), Type::Flag)
            }
            AstKind::Choice { condition, yes, no } => {
                let condition = self.flag(condition, "what stands before `?` has to be");
                let (yes, no) = (self.expression(yes), self.expression(no));
                let (condition, yes, no) = (condition?, yes?, no?);
                let of = self.one_type(&yes, &no, "both sides of `:`")?;
                done(NodeKind::Choice { condition: condition.into(), yes: yes.node.into(), no: no.node.into() }, of)
            }
            AstKind::List(items) => self.list(items, span),
        }
    }

    /// An expression that has to be true or false.
    fn flag(&mut self, tree: &Ast, needs: &str) -> Option<Node> {
        let Checked { node, of } = self.expression(tree)?;
        if of == Type::Flag {
            return Some(node);
        }
        let mistake = Mistake::new(node.span, format!("{needs} true or false, and this is {of}"));
        self.mistakes.push(match of {
            Type::Number(_) => mistake.help("compare it: `… > 0`"),
            Type::Text(_) => mistake.help("compare it: `… == \"…\"`"),
            _ => mistake,
        });
        None
    }

    fn flags(&mut self, terms: &[Ast], needs: &str) -> Option<Vec<Node>> {
        let checked: Vec<_> = terms.iter().map(|term| self.flag(term, needs)).collect();
        checked.into_iter().collect()
    }

    fn list(&mut self, items: &[Ast], span: Span) -> Option<Checked> {
        let checked: Vec<_> = items.iter().map(|item| self.expression(item)).collect();
        let mut nodes = Vec::with_capacity(checked.len());
        let mut of = Type::Nothing;
        let mut first: Option<Checked> = None;
        for item in checked {
            let item = item?;
            if let Some(first) = &first {
                of = self.one_type(first, &item, "the items of a list")?;
            } else {
                of = item.of.clone();
            }
            let kept = Checked { node: Node { span: item.node.span, kind: NodeKind::Flag(false) }, of: of.clone() };
            first = Some(kept);
            nodes.push(item.node);
        }
        Some(Checked { node: Node { span, kind: NodeKind::List(nodes) }, of: Type::list(of) })
    }

    /// The type of two expressions that stand for one another.
    fn one_type(&mut self, left: &Checked, right: &Checked, what: &str) -> Option<Type> {
        let of = match (&left.of, &right.of) {
            (Type::Number(a), Type::Number(b)) => match a.joined(b) {
                Some(unit) => Some(Type::Number(unit)),
                None => {
                    self.units_differ(left, right, what);
                    return None;
                }
            },
            (Type::Text(a), Type::Text(b)) => Some(Type::Text(if a == b { *a } else { None })),
            (Type::Nothing, of) | (of, Type::Nothing) => Some(of.clone()),
            (a, b) if a == b => Some(a.clone()),
            _ => None,
        };
        if of.is_none() {
            let message = format!("{what} have to be of one type; this is {}, the other is {}", right.of, left.of);
            self.mistakes.push(Mistake::new(right.node.span, message));
        }
        of
    }
}

#[cfg(test)]
mod tests;
