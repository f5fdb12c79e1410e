//! Evaluates checked expressions on a plan.
//!
//! What the plan leaves out stops an expression, and so does a number that is none (a division by zero); `&&`, `||`,
//! `?:`, `all` and `exists` go on without it where it does not matter, as the specification of the language has it.

mod fields;
mod value;

use crate::schema::{At, Kind};
use crate::syntax::{Operator, Span};
use crate::tree::{Each, Function, Node, NodeKind};
use lintern_rule::Input;
use std::borrow::Cow;
use std::rc::Rc;
pub use value::{Value, order};

/// Why an expression has no value: what is missing, each as the plan names it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stop(pub Vec<String>);

type Result<T> = std::result::Result<T, Stop>;

impl Stop {
    fn one(missing: impl Into<String>) -> Self {
        Self(vec![missing.into()])
    }

    fn and(self, other: Option<Self>) -> Self {
        let mut all = other.map_or_else(Vec::new, |other| other.0);
        all.extend(self.0);
        Self(all)
    }
}

/// What an expression is evaluated on.
#[derive(Debug)]
pub struct Scope<'a> {
    pub input: &'a Input,
    pub kind: Kind,
    pub element: At,
    /// The settings of the rule, in its order.
    pub settings: &'a [Value<'a>],
    /// Variables of `all`, `map` and the like that are open.
    pub locals: Vec<Value<'a>>,
}

/// Longest list: `+` and nested `map` could grow one without end.
const LONGEST_LIST: usize = 100_000;
/// Longest text, in bytes.
const LONGEST_TEXT: usize = 10_000;

/// The text of an expression, for messages about it.
#[derive(Debug, Clone, Copy)]
pub struct Source<'s>(pub &'s str);

impl Source<'_> {
    fn failed(self, span: Span, why: &str) -> Stop {
        Stop::one(format!("an answer of `{}`: {why}", self.0.get(span.from..span.to).unwrap_or_default()))
    }
}

/// Evaluates an expression.
pub fn eval<'a>(node: &Node, source: Source<'_>, scope: &mut Scope<'a>) -> Result<Value<'a>> {
    Evaluation { source, scope }.value(node)
}

struct Evaluation<'s, 'e, 'a> {
    source: Source<'s>,
    scope: &'e mut Scope<'a>,
}

impl<'a> Evaluation<'_, '_, 'a> {
    fn value(&mut self, node: &Node) -> Result<Value<'a>> {
        Ok(match &node.kind {
            NodeKind::Number(number) => Value::Number(*number),
            NodeKind::Text(text) => Value::Text(Cow::Owned(text.clone())),
            NodeKind::Flag(flag) => Value::Flag(*flag),
            NodeKind::Element => Value::Object(self.scope.kind, self.scope.element),
            NodeKind::Variable(variable) => fields::get(&variable.get, self.scope.input, self.scope.element)
                .ok_or_else(|| Stop::one(format!("`{}`", variable.name)))?,
            NodeKind::Setting(index) => self.scope.settings[*index].clone(),
            NodeKind::Local(index) => self.scope.locals[*index].clone(),
            NodeKind::Field { of, kind, field } => {
                let Value::Object(_, at) = self.value(of)? else { return Err(self.no_type(of)) };
                fields::get(&field.get, self.scope.input, at)
                    .ok_or_else(|| Stop::one(fields::missing(self.scope, *kind, at, field)))?
            }
            NodeKind::Key { of, key } => {
                let (key, key_name) = (self.text(key)?, of);
                let Value::House(house) = self.value(key_name)? else { return Err(self.no_type(of)) };
                match house.iter().find(|(name, _)| *name == key) {
                    Some((_, text)) => Value::Text(Cow::Borrowed(text)),
                    None => return Err(Stop::one(self.missing_key(of, &key))),
                }
            }
            NodeKind::Has(of) => Value::Flag(self.has(of)?),
            NodeKind::Index { of, at } => self.item(node, of, at)?,
            NodeKind::Not(of) => Value::Flag(!self.flag(of)?),
            NodeKind::Negate(of) => Value::Number(-self.number(of)?),
            NodeKind::Calculate { operator, left, right } => self.calculate(node, *operator, left, right)?,
            NodeKind::Compare { operator, left, right } => self.compare(*operator, left, right)?,
            NodeKind::Join(left, right) => self.join(node, left, right)?,
            NodeKind::Within { item, list } => {
                let (item, list) = (self.value(item)?, self.list(list)?);
                Value::Flag(list.iter().any(|other| other.same(&item)))
            }
            NodeKind::HasKey { key, house } => {
                let key = self.text(key)?;
                let Value::House(entries) = self.value(house)? else { return Err(self.no_type(house)) };
                Value::Flag(entries.iter().any(|(name, _)| *name == key))
            }
            NodeKind::And(terms) => Value::Flag(!self.any(terms.iter(), false)?),
            NodeKind::Or(terms) => Value::Flag(self.any(terms.iter(), true)?),
            NodeKind::Choice { condition, yes, no } => {
                if self.flag(condition)? {
                    self.value(yes)?
                } else {
                    self.value(no)?
                }
            }
            NodeKind::List(items) => {
                Value::List(items.iter().map(|item| self.value(item)).collect::<Result<Vec<_>>>()?.into())
            }
            NodeKind::Each { how, list, filter, body } => self.each(node, *how, list, filter.as_deref(), body)?,
            NodeKind::Function(function, arguments) => self.function(node, *function, arguments)?,
        })
    }

    /// Types were checked, so this tells of a mistake of ours.
    fn no_type(&self, node: &Node) -> Stop {
        self.source.failed(node.span, "its value has another type than was checked")
    }

    fn flag(&mut self, node: &Node) -> Result<bool> {
        let Value::Flag(flag) = self.value(node)? else { return Err(self.no_type(node)) };
        Ok(flag)
    }

    fn number(&mut self, node: &Node) -> Result<f64> {
        let Value::Number(number) = self.value(node)? else { return Err(self.no_type(node)) };
        Ok(number)
    }

    fn text(&mut self, node: &Node) -> Result<Cow<'a, str>> {
        let Value::Text(text) = self.value(node)? else { return Err(self.no_type(node)) };
        Ok(text)
    }

    fn list(&mut self, node: &Node) -> Result<Rc<[Value<'a>]>> {
        let Value::List(list) = self.value(node)? else { return Err(self.no_type(node)) };
        Ok(list)
    }

    /// A number that is one.
    fn finite(&self, node: &Node, number: f64) -> Result<Value<'a>> {
        if number.is_finite() {
            Ok(Value::Number(number))
        } else {
            Err(self.source.failed(node.span, "the number is too large"))
        }
    }

    fn missing_key(&mut self, of: &Node, key: &str) -> String {
        let owner = match &of.kind {
            NodeKind::Field { of, kind, .. } => match self.value(of) {
                Ok(Value::Object(_, at)) => format!(" of {}", crate::schema::title(self.scope.input, *kind, at)),
                _ => String::new(),
            },
            _ => String::new(),
        };
        format!("`house.{key}`{owner}")
    }

    /// Whether a field is stated. What is asked of something that is not stated itself is not.
    fn has(&mut self, node: &Node) -> Result<bool> {
        let of = match &node.kind {
            NodeKind::Field { of, .. } | NodeKind::Key { of, .. } => of,
            _ => return Err(self.no_type(node)),
        };
        let inner = matches!(of.kind, NodeKind::Field { .. } | NodeKind::Variable(_));
        if inner && self.absent(of)? {
            return Ok(false);
        }
        let value = self.value(of)?;
        Ok(match (&node.kind, value) {
            (NodeKind::Field { field, .. }, Value::Object(_, at)) => {
                fields::get(&field.get, self.scope.input, at).is_some()
            }
            (NodeKind::Key { key, .. }, Value::House(house)) => {
                let key = self.text(key)?;
                house.iter().any(|(name, _)| *name == key)
            }
            _ => return Err(self.no_type(node)),
        })
    }

    fn absent(&mut self, node: &Node) -> Result<bool> {
        match &node.kind {
            NodeKind::Field { .. } => Ok(!self.has(node)?),
            NodeKind::Variable(variable) => {
                Ok(fields::get(&variable.get, self.scope.input, self.scope.element).is_none())
            }
            _ => Ok(false),
        }
    }

    fn item(&mut self, node: &Node, of: &Node, at: &Node) -> Result<Value<'a>> {
        let (list, at) = (self.list(of)?, self.number(at)?);
        let index = (at >= 0.0 && at.fract() == 0.0).then_some(at as usize);
        index.and_then(|index| list.get(index)).cloned().ok_or_else(|| {
            let count = list.len();
            self.source.failed(node.span, &format!("the list has {count} items, counted from 0, and no item {at}"))
        })
    }

    fn calculate(&mut self, node: &Node, operator: Operator, left: &Node, right: &Node) -> Result<Value<'a>> {
        let (left, right) = self.both(left, right, Self::number)?;
        let fails = |why: &str| Err(self.source.failed(node.span, why));
        let number = match operator {
            Operator::Add => left + right,
            Operator::Subtract => left - right,
            Operator::Multiply => left * right,
            Operator::Divide | Operator::Remainder if right == 0.0 => return fails("it divides by zero"),
            Operator::Divide => left / right,
            _ if left.fract() != 0.0 || right.fract() != 0.0 => return fails("`%` needs whole numbers"),
            _ => left % right,
        };
        self.finite(node, number)
    }

    /// Both values; what both miss is told together.
    fn both<T>(&mut self, left: &Node, right: &Node, get: fn(&mut Self, &Node) -> Result<T>) -> Result<(T, T)> {
        match (get(self, left), get(self, right)) {
            (Ok(left), Ok(right)) => Ok((left, right)),
            (Err(left), Err(right)) => Err(right.and(Some(left))),
            (Err(stop), _) | (_, Err(stop)) => Err(stop),
        }
    }

    fn compare(&mut self, operator: Operator, left: &Node, right: &Node) -> Result<Value<'a>> {
        let (left, right) = self.both(left, right, Self::value)?;
        let order = match (&left, &right) {
            (Value::Number(a), Value::Number(b)) => order(*a, *b),
            (Value::Text(a), Value::Text(b)) => a.cmp(b),
            _ => {
                let same = left.same(&right);
                return Ok(Value::Flag(if operator == Operator::Unequal { !same } else { same }));
            }
        };
        Ok(Value::Flag(match operator {
            Operator::Equal => order.is_eq(),
            Operator::Unequal => order.is_ne(),
            Operator::Less => order.is_lt(),
            Operator::LessEqual => order.is_le(),
            Operator::Greater => order.is_gt(),
            _ => order.is_ge(),
        }))
    }

    fn join(&mut self, node: &Node, left: &Node, right: &Node) -> Result<Value<'a>> {
        match self.both(left, right, Self::value)? {
            (Value::Text(a), Value::Text(b)) if a.len() + b.len() <= LONGEST_TEXT => {
                Ok(Value::Text(Cow::Owned(format!("{a}{b}"))))
            }
            (Value::Text(_), _) => Err(self.source.failed(node.span, "the text is too long")),
            (Value::List(a), Value::List(b)) if a.len() + b.len() <= LONGEST_LIST => {
                Ok(Value::List(a.iter().chain(b.iter()).cloned().collect()))
            }
            _ => Err(self.source.failed(node.span, "the list is too long")),
        }
    }

    /// Whether any of the terms is `wanted`; what some of them miss matters only where none is.
    fn any<'n>(&mut self, terms: impl Iterator<Item = &'n Node>, wanted: bool) -> Result<bool> {
        let mut missing = None;
        for term in terms {
            match self.flag(term) {
                Ok(flag) if flag == wanted => return Ok(true),
                Ok(_) => {}
                Err(stop) => missing = Some(stop.and(missing)),
            }
        }
        missing.map_or(Ok(false), Err)
    }

    fn each(&mut self, node: &Node, how: Each, list: &Node, filter: Option<&Node>, body: &Node) -> Result<Value<'a>> {
        let list = self.list(list)?;
        let mut kept = Vec::new();
        let mut missing: Option<Stop> = None;
        let mut matches = 0_usize;
        for item in list.iter() {
            self.scope.locals.push(item.clone());
            let step = self.step(how, item, filter, body, &mut kept);
            self.scope.locals.pop();
            match (how, step) {
                (Each::All, Ok(false)) => return Ok(Value::Flag(false)),
                (Each::Exists, Ok(true)) => return Ok(Value::Flag(true)),
                (_, Ok(found)) => matches += usize::from(found),
                (_, Err(stop)) => missing = Some(stop.and(missing)),
            }
        }
        if let Some(missing) = missing {
            return Err(missing);
        }
        if kept.len() > LONGEST_LIST {
            return Err(self.source.failed(node.span, "the list is too long"));
        }
        Ok(match how {
            Each::All => Value::Flag(true),
            Each::Exists => Value::Flag(false),
            Each::ExistsOne => Value::Flag(matches == 1),
            Each::Filter | Each::Map => Value::List(kept.into()),
        })
    }

    fn step(
        &mut self,
        how: Each,
        item: &Value<'a>,
        filter: Option<&Node>,
        body: &Node,
        kept: &mut Vec<Value<'a>>,
    ) -> Result<bool> {
        match how {
            Each::All | Each::Exists | Each::ExistsOne => self.flag(body),
            Each::Filter => {
                let found = self.flag(body)?;
                kept.extend(found.then(|| item.clone()));
                Ok(found)
            }
            Each::Map => {
                let found = filter.map_or(Ok(true), |filter| self.flag(filter))?;
                if found {
                    kept.push(self.value(body)?);
                }
                Ok(found)
            }
        }
    }

    fn function(&mut self, node: &Node, function: Function, arguments: &[Node]) -> Result<Value<'a>> {
        let mut values = Vec::with_capacity(arguments.len());
        for argument in arguments {
            values.push(self.value(argument)?);
        }
        let fails = |why: &str| Err(self.source.failed(node.span, why));
        match (function, &values[..]) {
            (Function::Size, [value]) => {
                let count = match value {
                    Value::List(list) => list.len(),
                    Value::House(house) => house.len(),
                    Value::Text(text) => text.chars().count(),
                    _ => return Err(self.no_type(node)),
                };
                Ok(Value::Number(f64::from(crate::schema::index(count))))
            }
            (Function::Contains, [Value::Text(a), Value::Text(b)]) => Ok(Value::Flag(a.contains(&**b))),
            (Function::StartsWith, [Value::Text(a), Value::Text(b)]) => Ok(Value::Flag(a.starts_with(&**b))),
            (Function::EndsWith, [Value::Text(a), Value::Text(b)]) => Ok(Value::Flag(a.ends_with(&**b))),
            (Function::Int, [Value::Number(number)]) => Ok(Value::Number(number.trunc())),
            (Function::Double, [Value::Number(number)]) => Ok(Value::Number(*number)),
            (Function::Int | Function::Double, [Value::Text(text)]) => {
                let plain = text.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'-' | b'+' | b'e' | b'E'));
                let number = text.parse::<f64>().ok().filter(|number| plain && number.is_finite());
                match number.filter(|number| function == Function::Double || number.fract() == 0.0) {
                    Some(number) => Ok(Value::Number(number)),
                    None => fails(&format!("`{}` is no number", text.escape_debug())),
                }
            }
            (Function::String, [value]) => Ok(Value::Text(Cow::Owned(crate::template::shown(value, None)))),
            (Function::Abs, [Value::Number(number)]) => Ok(Value::Number(number.abs())),
            (Function::Min | Function::Max, [Value::Number(a), Value::Number(b)]) => {
                Ok(Value::Number(if function == Function::Min { a.min(*b) } else { a.max(*b) }))
            }
            (Function::Min | Function::Max, [Value::List(list)]) => {
                let numbers = numbers(list);
                let best = if function == Function::Min {
                    numbers.min_by(f64::total_cmp)
                } else {
                    numbers.max_by(f64::total_cmp)
                };
                best.map_or_else(|| fails("the list is empty"), |number| Ok(Value::Number(number)))
            }
            (Function::Sum, [Value::List(list)]) => self.finite(node, numbers(list).sum()),
            (Function::DaysBetween, [Value::Text(from), Value::Text(to)]) => {
                match lintern_rule::date::days_between(from, to) {
                    Some(days) => Ok(Value::Number(days as f64)),
                    None => fails("these are no two days"),
                }
            }
            _ => Err(self.no_type(node)),
        }
    }
}

fn numbers<'v>(list: &'v [Value<'_>]) -> impl Iterator<Item = f64> + 'v {
    list.iter().filter_map(|value| match value {
        Value::Number(number) => Some(*number),
        _ => None,
    })
}

#[cfg(test)]
mod tests;
