//! Operators with two operands: types, units and words have to go together.

use super::names::nearest;
use super::{Checked, Checker};
use crate::syntax::{Ast, Mistake, Operator, Span};
use crate::tree::{Node, NodeKind};
use crate::types::{Type, Unit};
use lintern_rule::date::Day;

impl Checker<'_> {
    pub(super) fn binary(&mut self, operator: Operator, left: &Ast, right: &Ast, span: Span) -> Option<Checked> {
        let (left, right) = (self.expression(left), self.expression(right));
        let (left, right) = (left?, right?);
        match operator {
            Operator::In => self.within(left, right, span),
            Operator::Add | Operator::Subtract | Operator::Multiply | Operator::Divide | Operator::Remainder => {
                self.calculate(operator, left, right, span)
            }
            _ => self.compare(operator, left, right, span),
        }
    }

    fn calculate(&mut self, operator: Operator, left: Checked, right: Checked, span: Span) -> Option<Checked> {
        let unit = match (&left.of, &right.of) {
            (Type::Number(a), Type::Number(b)) => match operator {
                Operator::Add | Operator::Subtract | Operator::Remainder => match a.joined(b) {
                    Some(unit) => unit,
                    None => {
                        self.units_differ(&left, &right, &format!("the numbers around `{}`", operator.symbol()));
                        return None;
                    }
                },
                _ if *a == Unit::Literal && *b == Unit::Literal => Unit::Literal,
                _ => Unit::Open,
            },
            (Type::Text(_), Type::Text(_)) if operator == Operator::Add => {
                let kind = NodeKind::Join(left.node.into(), right.node.into());
                return Some(Checked { node: Node { span, kind }, of: Type::Text(None) });
            }
            (Type::List(_), Type::List(_)) if operator == Operator::Add => {
                let of = self.one_type(&items(&left), &items(&right), "the items of a list")?;
                let kind = NodeKind::Join(left.node.into(), right.node.into());
                return Some(Checked { node: Node { span, kind }, of: Type::list(of) });
            }
            (Type::Day, Type::Day) if operator == Operator::Subtract => {
                return self.wrong(
                    Mistake::new(span, "days are not subtracted").help("`days_between(from, to)` counts the days"),
                );
            }
            (Type::Number(_), other) => return self.needs_number(operator, &right, other),
            (other, _) => return self.needs_number(operator, &left, other),
        };
        let kind = NodeKind::Calculate { operator, left: left.node.into(), right: right.node.into() };
        Some(Checked { node: Node { span, kind }, of: Type::Number(unit) })
    }

    fn needs_number(&mut self, operator: Operator, at: &Checked, found: &Type) -> Option<Checked> {
        let message = format!("`{}` needs a number, and this is {found}", operator.symbol());
        self.wrong(Mistake::new(at.node.span, message))
    }

    fn compare(&mut self, operator: Operator, left: Checked, right: Checked, span: Span) -> Option<Checked> {
        let equality = matches!(operator, Operator::Equal | Operator::Unequal);
        match (&left.of, &right.of) {
            (Type::Flag, Type::Flag) if equality => {}
            (Type::Flag, Type::Flag) => {
                return self.wrong(Mistake::new(span, format!("`{}` needs numbers", operator.symbol())));
            }
            (Type::Object(_), Type::Object(_)) | (Type::House, Type::House) => {
                return self.wrong(Mistake::new(span, "objects are not compared").help("compare their `id` or `name`"));
            }
            (Type::List(_), Type::List(_)) => {
                return self.wrong(
                    Mistake::new(span, "lists are not compared").help("look at their items with `all` or `exists`"),
                );
            }
            _ => self.comparable(&left, &right)?,
        }
        let kind = NodeKind::Compare { operator, left: left.node.into(), right: right.node.into() };
        Some(Checked { node: Node { span, kind }, of: Type::Flag })
    }

    /// Whether two values can be equal or in an order; a mistake where they can't.
    fn comparable(&mut self, left: &Checked, right: &Checked) -> Option<()> {
        match (&left.of, &right.of) {
            (Type::Number(a), Type::Number(b)) => match a.joined(b) {
                Some(_) => Some(()),
                None => {
                    self.units_differ(left, right, "compared numbers");
                    None
                }
            },
            (Type::Text(a), Type::Text(b)) => self.words(left, *a, right, *b),
            (Type::Day, Type::Day) => Some(()),
            (Type::Day, Type::Text(_)) => self.days(&right.node),
            (Type::Text(_), Type::Day) => self.days(&left.node),
            (Type::Flag, Type::Flag) | (Type::Nothing, _) | (_, Type::Nothing) => Some(()),
            (a, b) => {
                let mistake = Mistake::new(
                    left.node.span.with(right.node.span),
                    format!("{b} is compared with {a}: they can't be equal"),
                );
                self.mistakes.push(match (a, b) {
                    (Type::Number(_), Type::Text(_)) | (Type::Text(_), Type::Number(_)) => {
                        mistake.help("write numbers without quotes and unit: `run.cover_in >= 12`")
                    }
                    (Type::Flag, Type::Text(_)) | (Type::Text(_), Type::Flag) => {
                        mistake.help("write `true` and `false` without quotes")
                    }
                    _ => mistake,
                });
                None
            }
        }
    }

    /// Texts in quotes have to be words of the other side.
    fn words(
        &mut self,
        left: &Checked,
        of_left: Option<&'static [&'static str]>,
        right: &Checked,
        of_right: Option<&'static [&'static str]>,
    ) -> Option<()> {
        let mut sound = Some(());
        for (words, other) in [(of_left, &right.node), (of_right, &left.node)] {
            let Some(words) = words else { continue };
            for (text, span) in texts(other) {
                if words.contains(&text) {
                    continue;
                }
                let mistake = Mistake::new(span, format!("this is never `{text}`"));
                self.mistakes.push(mistake.help(match nearest(text, words.iter().copied()) {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => format!("it is one of: {}", words.join(", ")),
                }));
                sound = None;
            }
        }
        if let (Some(a), Some(b)) = (of_left, of_right)
            && !a.iter().any(|word| b.contains(word))
        {
            let span = left.node.span.with(right.node.span);
            self.mistakes.push(Mistake::new(span, "these two have no word in common, so they are never equal"));
            sound = None;
        }
        sound
    }

    /// Texts in quotes that stand for days have to be days.
    pub(super) fn days(&mut self, node: &Node) -> Option<()> {
        let mut sound = Some(());
        let texts: Vec<(String, Span)> = texts(node).into_iter().map(|(text, span)| (text.to_owned(), span)).collect();
        if texts.is_empty() {
            self.mistakes.push(Mistake::new(node.span, "a day is compared with a text"));
            return None;
        }
        for (text, span) in texts {
            if text.len() != 10 || Day::parse(&text).is_none() {
                let mistake = Mistake::new(span, format!("`{text}` is no day"));
                self.mistakes.push(mistake.help("write it like `\"2026-03-02\"`"));
                sound = None;
            }
        }
        sound
    }

    fn within(&mut self, item: Checked, list: Checked, span: Span) -> Option<Checked> {
        let kind = match (&item.of, &list.of) {
            (_, Type::List(inner)) => {
                if matches!(item.of, Type::Object(_) | Type::List(_) | Type::House) {
                    return self.wrong(
                        Mistake::new(item.node.span, "objects are not compared")
                            .help("look at the items: `list.exists(x, x.id == …)`"),
                    );
                }
                let of = (**inner).clone();
                // The list itself stands for its items: texts in quotes are found in it.
                let Checked { node, .. } = list;
                let items = Checked { node, of };
                self.comparable(&item, &items)?;
                NodeKind::Within { item: item.node.into(), list: items.node.into() }
            }
            (Type::Text(_), Type::House) => NodeKind::HasKey { key: item.node.into(), house: list.node.into() },
            (_, other) => {
                return self.wrong(Mistake::new(list.node.span, format!("`in` needs a list, and this is {other}")));
            }
        };
        Some(Checked { node: Node { span, kind }, of: Type::Flag })
    }

    /// Two units that do not go together, with the field of the other unit where there is one.
    pub(super) fn units_differ(&mut self, left: &Checked, right: &Checked, what: &str) {
        let unit = |checked: &Checked| match &checked.of {
            Type::Number(Unit::Known(unit)) => unit.to_string(),
            _ => String::new(),
        };
        let shown = |unit: &str| if unit.is_empty() { "a plain number".to_owned() } else { format!("in {unit}") };
        let (a, b) = (unit(left), unit(right));
        let span = left.node.span.with(right.node.span);
        let mut mistake = Mistake::new(
            span,
            format!(
                "{what} need one unit: `{}` is {}, `{}` is {}",
                self.source(left.node.span),
                shown(&a),
                self.source(right.node.span),
                shown(&b)
            ),
        );
        let way = self.in_unit(&left.node, &a, &b).or_else(|| self.in_unit(&right.node, &b, &a));
        let setting = |node: &Node| matches!(node.kind, NodeKind::Setting(_));
        mistake.help = match way {
            Some(way) => Some(format!("write `{way}`")),
            None if setting(&right.node) => Some(format!("give the setting {}", shown(&a))),
            None if setting(&left.node) => Some(format!("give the setting {}", shown(&b))),
            None => None,
        };
        self.mistakes.push(mistake);
    }

    /// The same field in another unit.
    fn in_unit(&self, node: &Node, unit: &str, wanted: &str) -> Option<String> {
        let NodeKind::Field { of, kind, field } = &node.kind else { return None };
        let stem = field.name.strip_suffix(unit)?.strip_suffix('_')?;
        let other = kind.field(&format!("{stem}_{wanted}"))?;
        Some(format!("{}.{}", self.source(of.span), other.name))
    }
}

/// The items of a list, as one value of their type.
fn items(list: &Checked) -> Checked {
    let of = match &list.of {
        Type::List(of) => (**of).clone(),
        _ => Type::Nothing,
    };
    Checked { node: Node { span: list.node.span, kind: NodeKind::Flag(false) }, of }
}

/// Texts in quotes that a value may be.
fn texts(node: &Node) -> Vec<(&str, Span)> {
    match &node.kind {
        NodeKind::Text(text) => vec![(text, node.span)],
        NodeKind::List(items) => items.iter().flat_map(texts).collect(),
        NodeKind::Choice { yes, no, .. } => texts(yes).into_iter().chain(texts(no)).collect(),
        _ => Vec::new(),
    }
}
