//! Functions and what is done with each item of a list.

use super::names::nearest;
use super::{Checked, Checker};
use crate::syntax::{Ast, AstKind, Mistake, Span};
use crate::tree::{Each, Function, Node, NodeKind};
use crate::types::{Type, Unit};

/// Functions that stand before their arguments.
const GLOBAL: [&str; 10] = ["has", "size", "int", "double", "string", "abs", "min", "max", "sum", "days_between"];
/// Functions that stand behind what they work on.
const MEMBER: [&str; 9] =
    ["all", "exists", "exists_one", "filter", "map", "size", "contains", "startsWith", "endsWith"];

impl Checker<'_> {
    pub(super) fn call(
        &mut self,
        of: Option<&Ast>,
        name: &str,
        name_span: Span,
        arguments: &[Ast],
        span: Span,
    ) -> Option<Checked> {
        match (of, name) {
            (None, "has") => self.has(name_span, arguments, span),
            (Some(list), "all") => self.each(Each::All, list, name, name_span, arguments, span),
            (Some(list), "exists") => self.each(Each::Exists, list, name, name_span, arguments, span),
            (Some(list), "exists_one" | "existsOne") => {
                self.each(Each::ExistsOne, list, name, name_span, arguments, span)
            }
            (Some(list), "filter") => self.each(Each::Filter, list, name, name_span, arguments, span),
            (Some(list), "map") => self.each(Each::Map, list, name, name_span, arguments, span),
            (None, "size" | "int" | "double" | "string" | "abs" | "min" | "max" | "sum" | "days_between")
            | (Some(_), "size" | "contains" | "startsWith" | "endsWith") => {
                let checked: Vec<_> = of.into_iter().chain(arguments).map(|tree| self.expression(tree)).collect();
                let arguments: Vec<Checked> = checked.into_iter().collect::<Option<_>>()?;
                self.function(of.is_some(), name, name_span, arguments, span)
            }
            _ => self.unknown_function(of.is_some(), name, name_span),
        }
    }

    fn unknown_function(&mut self, member: bool, name: &str, span: Span) -> Option<Checked> {
        let mistake = Mistake::new(span, format!("there is no function `{name}` here"));
        let (known, other) = if member { (&MEMBER[..], &GLOBAL[..]) } else { (&GLOBAL[..], &MEMBER[..]) };
        let help = match (name, member) {
            ("matches", _) => "there are no patterns: use `contains`, `startsWith` or `endsWith`".to_owned(),
            (name, true) if other.contains(&name) => format!("write `{name}(…)`"),
            (name, false) if other.contains(&name) => format!("write `….{name}(…)`"),
            _ => match nearest(name, known.iter().chain(other).copied()) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("there are: {}", known.join(", ")),
            },
        };
        self.wrong(mistake.help(help))
    }

    fn count(&mut self, name: &str, span: Span, found: usize, wanted: &str) -> Option<Checked> {
        self.wrong(Mistake::new(span, format!("`{name}` takes {wanted}, and here are {found}")))
    }

    fn has(&mut self, name_span: Span, arguments: &[Ast], span: Span) -> Option<Checked> {
        let [argument] = arguments else { return self.count("has", name_span, arguments.len(), "one argument") };
        if !matches!(argument.kind, AstKind::Select { .. } | AstKind::Index { .. }) {
            return self
                .wrong(Mistake::new(argument.span, "`has` asks for a field").help("write it like `has(run.cover_m)`"));
        }
        let Checked { node, .. } = self.expression(argument)?;
        match node.kind {
            NodeKind::Field { .. } | NodeKind::Key { .. } => {
                Some(Checked { node: Node { span, kind: NodeKind::Has(node.into()) }, of: Type::Flag })
            }
            _ => self.wrong(
                Mistake::new(argument.span, "`has` asks whether the plan states a field, and this always is")
                    .help("leave `has` out"),
            ),
        }
    }

    fn each(
        &mut self,
        how: Each,
        list: &Ast,
        name: &str,
        name_span: Span,
        arguments: &[Ast],
        span: Span,
    ) -> Option<Checked> {
        let Checked { node: list, of } = self.expression(list)?;
        let Type::List(item) = &of else {
            return self.wrong(Mistake::new(list.span, format!("`{name}` needs a list, and this is {of}")));
        };
        let (variable, filter, body) = match (how, arguments) {
            (_, [variable, body]) => (variable, None, body),
            (Each::Map, [variable, filter, body]) => (variable, Some(filter), body),
            _ => {
                return self.wrong(
                    Mistake::new(name_span, format!("`{name}` takes a name and an expression"))
                        .help(format!("write it like `luminaires.{name}(x, x.volts > 11)`")),
                );
            }
        };
        let AstKind::Name(variable) = &variable.kind else {
            return self.wrong(
                Mistake::new(variable.span, "here stands a name for the items of the list")
                    .help(format!("write it like `luminaires.{name}(x, x.volts > 11)`")),
            );
        };
        self.locals.push((variable.clone(), (**item).clone()));
        let filter = filter.map(|filter| self.flag(filter, "the condition of `map` has to be"));
        let body = match how {
            Each::Map => self.expression(body),
            _ => self
                .flag(body, &format!("the condition of `{name}` has to be"))
                .map(|node| Checked { node, of: Type::Flag }),
        };
        self.locals.pop();
        let (filter, body) = (filter.map_or(Some(None), |filter| filter.map(|node| Some(Box::new(node))))?, body?);
        let of = match how {
            Each::All | Each::Exists | Each::ExistsOne => Type::Flag,
            Each::Filter => of.clone(),
            Each::Map => Type::list(body.of),
        };
        let kind = NodeKind::Each { how, list: list.into(), filter, body: body.node.into() };
        Some(Checked { node: Node { span, kind }, of })
    }

    fn function(
        &mut self,
        member: bool,
        name: &str,
        name_span: Span,
        arguments: Vec<Checked>,
        span: Span,
    ) -> Option<Checked> {
        let types: Vec<&Type> = arguments.iter().map(|argument| &argument.of).collect();
        let (function, of) = match (name, &types[..]) {
            ("size", [Type::List(_) | Type::Text(_) | Type::House]) => (Function::Size, Type::number("")),
            ("contains", [Type::Text(_), Type::Text(_)]) => (Function::Contains, Type::Flag),
            ("startsWith", [Type::Text(_), Type::Text(_)]) => (Function::StartsWith, Type::Flag),
            ("endsWith", [Type::Text(_), Type::Text(_)]) => (Function::EndsWith, Type::Flag),
            ("int", [Type::Number(unit)]) => (Function::Int, Type::Number(unit.clone())),
            ("int", [Type::Text(_)]) => (Function::Int, Type::Number(Unit::Open)),
            ("double", [Type::Number(unit)]) => (Function::Double, Type::Number(unit.clone())),
            ("double", [Type::Text(_)]) => (Function::Double, Type::Number(Unit::Open)),
            ("string", [Type::Number(_) | Type::Text(_) | Type::Day | Type::Flag]) => {
                (Function::String, Type::Text(None))
            }
            ("abs", [Type::Number(unit)]) => (Function::Abs, Type::Number(unit.clone())),
            ("min" | "max", [Type::List(item)]) if matches!(**item, Type::Number(_)) => {
                (if name == "min" { Function::Min } else { Function::Max }, (**item).clone())
            }
            ("min" | "max", [Type::Number(_), Type::Number(_)]) => {
                let of = self.one_type(&arguments[0], &arguments[1], &format!("the arguments of `{name}`"))?;
                (if name == "min" { Function::Min } else { Function::Max }, of)
            }
            ("sum", [Type::List(item)]) if matches!(**item, Type::Number(_)) => (Function::Sum, (**item).clone()),
            ("days_between", [Type::Day | Type::Text(_), Type::Day | Type::Text(_)]) => {
                for argument in &arguments {
                    if matches!(argument.of, Type::Text(_)) {
                        self.days(&argument.node)?;
                    }
                }
                (Function::DaysBetween, Type::number("days"))
            }
            _ => return self.misfit(member, name, name_span, &arguments),
        };
        let arguments = arguments.into_iter().map(|argument| argument.node).collect();
        Some(Checked { node: Node { span, kind: NodeKind::Function(function, arguments) }, of })
    }

    fn misfit(&mut self, member: bool, name: &str, span: Span, arguments: &[Checked]) -> Option<Checked> {
        let found: Vec<String> = arguments.iter().map(|argument| argument.of.to_string()).collect();
        let takes = match name {
            "size" => "a list or a text",
            "contains" | "startsWith" | "endsWith" => "texts",
            "int" | "double" => "a number or a text",
            "string" => "a number, a text, a day, or true or false",
            "abs" => "a number",
            "min" | "max" => "two numbers, or a list of numbers",
            "sum" => "a list of numbers",
            _ => "two days",
        };
        let found = if found.is_empty() { "nothing".to_owned() } else { found.join(" and ") };
        let example = match (name, member) {
            ("contains" | "startsWith" | "endsWith", _) => Some("write it like `run.id.startsWith(\"R\")`"),
            ("sum", _) => Some("write it like `sum(luminaires.map(x, x.type.power_w))`"),
            ("days_between", _) => Some("write it like `days_between(dig.called, dig.starts)`"),
            _ => None,
        };
        let mistake = Mistake::new(span, format!("`{name}` takes {takes}, and here is {found}"));
        self.wrong(Mistake { help: example.map(str::to_owned), ..mistake })
    }
}
