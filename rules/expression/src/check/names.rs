//! Names: variables, fields, keys of a company's own data.

use super::{Checked, Checker};
use crate::schema::{Kind, VARIABLES};
use crate::syntax::{Ast, AstKind, Mistake, Span};
use crate::tree::{Node, NodeKind};
use crate::types::Type;

/// The name that stands for the element that a rule judges.
pub fn element(kind: Kind) -> &'static str {
    kind.word()
}

impl Checker<'_> {
    pub(super) fn name(&mut self, name: &str, span: Span) -> Option<Checked> {
        let done = |kind, of| Some(Checked { node: Node { span, kind }, of });
        if let Some(local) = self.locals.iter().rposition(|(local, _)| local == name) {
            return done(NodeKind::Local(local), self.locals[local].1.clone());
        }
        if name == element(self.names.kind) {
            return done(NodeKind::Element, Type::Object(self.names.kind));
        }
        if let Some(variable) = VARIABLES.iter().find(|variable| variable.name == name) {
            return done(NodeKind::Variable(variable), Type::of(&variable.get));
        }
        let mistake = match name {
            "settings" => Mistake::new(span, "a setting is named after `settings`").help(self.settings_help()),
            _ => {
                let mistake = Mistake::new(span, format!("there is nothing called `{name}` here"));
                match Kind::ALL.iter().find(|kind| kind.word() == name) {
                    Some(_) => mistake.help(format!(
                        "this rule is `for: {}`; write `{}.…`",
                        element(self.names.kind),
                        element(self.names.kind)
                    )),
                    None => mistake.help(help(name, self.known_names())),
                }
            }
        };
        self.wrong(mistake)
    }

    fn known_names(&self) -> Vec<&str> {
        let mut known = vec![element(self.names.kind), "settings"];
        known.extend(VARIABLES.iter().map(|variable| variable.name));
        known.extend(self.locals.iter().map(|(local, _)| local.as_str()));
        known
    }

    fn settings_help(&self) -> String {
        let known: Vec<_> = self.names.settings.iter().map(|setting| format!("`settings.{}`", setting.name)).collect();
        match known.len() {
            0 => "this rule has no settings: declare them under `settings:`".to_owned(),
            _ => format!("this rule has {}", known.join(", ")),
        }
    }

    pub(super) fn select(&mut self, of: &Ast, name: &str, name_span: Span, span: Span) -> Option<Checked> {
        let is_settings = matches!(&of.kind, AstKind::Name(name) if name == "settings");
        if is_settings && !self.locals.iter().any(|(local, _)| local == "settings") {
            return self.setting(name, name_span, span);
        }
        let Checked { node, of } = self.expression(of)?;
        match of {
            Type::Object(kind) => {
                let Some(field) = kind.field(name) else { return self.unknown_field(&node, kind, name, name_span) };
                let of = Type::of(&field.get);
                Some(Checked { node: Node { span, kind: NodeKind::Field { of: node.into(), kind, field } }, of })
            }
            Type::House => {
                let key = Node { span: name_span, kind: NodeKind::Text(name.to_owned()) };
                Some(Checked {
                    node: Node { span, kind: NodeKind::Key { of: node.into(), key: key.into() } },
                    of: Type::Text(None),
                })
            }
            Type::List(_) => self.wrong(
                Mistake::new(name_span, format!("this is a list, and a list has no `{name}`"))
                    .help("`list.all(x, …)`, `list.exists(x, …)` and `list.map(x, …)` look at its items, `list[0]` is the first"),
            ),
            _ => self.wrong(Mistake::new(name_span, format!("this is {of}, which has no `{name}`"))),
        }
    }

    fn setting(&mut self, name: &str, name_span: Span, span: Span) -> Option<Checked> {
        match self.names.settings.iter().position(|setting| setting.name == name) {
            Some(index) => Some(Checked {
                node: Node { span, kind: NodeKind::Setting(index) },
                of: self.names.settings[index].of.clone(),
            }),
            None => {
                let near = nearest(name, self.names.settings.iter().map(|setting| setting.name.as_str()));
                let help = near.map_or_else(|| self.settings_help(), |near| format!("did you mean `settings.{near}`?"));
                self.wrong(Mistake::new(name_span, format!("this rule has no setting `{name}`")).help(help))
            }
        }
    }

    fn unknown_field(&mut self, of: &Node, kind: Kind, name: &str, span: Span) -> Option<Checked> {
        let mistake = Mistake::new(span, format!("a {} has no `{name}`", kind.word()));
        let of = self.source(of.span).to_owned();
        let with_unit: Vec<String> =
            ["_m", "_mm", "_in", "_ft", "_w", "_va", "_v", "_a", "_ohm", "_percent", "_k", "_lm"]
                .iter()
                .map(|unit| format!("{name}{unit}"))
                .filter(|name| kind.field(name).is_some())
                .map(|name| format!("`{of}.{name}`"))
                .collect();
        let through = kind.fields().find_map(|through| match &through.get {
            crate::schema::Get::One(inner, _) if inner.field(name).is_some() => Some(through.name),
            _ => None,
        });
        let help = match (with_unit.is_empty(), through) {
            (false, _) => format!("say in which unit: {}", with_unit.join(", ")),
            (true, Some(through)) => format!("write `{of}.{through}.{name}`"),
            (true, None) => help(name, kind.fields().map(|field| field.name).collect()),
        };
        self.wrong(mistake.help(help))
    }

    pub(super) fn index(&mut self, of: &Ast, at: &Ast, span: Span) -> Option<Checked> {
        let (of, at) = (self.expression(of), self.expression(at));
        let (of, at) = (of?, at?);
        match (&of.of, &at.of) {
            (Type::List(item), Type::Number(_)) => Some(Checked {
                of: (**item).clone(),
                node: Node { span, kind: NodeKind::Index { of: of.node.into(), at: at.node.into() } },
            }),
            (Type::House, Type::Text(_)) => Some(Checked {
                of: Type::Text(None),
                node: Node { span, kind: NodeKind::Key { of: of.node.into(), key: at.node.into() } },
            }),
            (Type::List(_), other) => {
                let message = format!("items of a list are counted from 0, and this is {other}");
                self.wrong(Mistake::new(at.node.span, message))
            }
            (Type::House, other) => self
                .wrong(Mistake::new(at.node.span, format!("`house` is read by a key in quotes, and this is {other}"))),
            (other, _) => self.wrong(Mistake::new(of.node.span, format!("`[…]` needs a list, and this is {other}"))),
        }
    }
}

/// The known name that is nearest, if one is near enough: a third of its letters may differ.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if name.len() > 64 {
        return None;
    }
    let allowed = (name.chars().count() / 3).max(1);
    let near = known.into_iter().map(|known| (strsim::osa_distance(name, known), known));
    near.filter(|(distance, _)| *distance <= allowed).min_by_key(|(distance, _)| *distance).map(|(_, known)| known)
}

/// A sentence that helps with an unknown name.
pub fn help(name: &str, known: Vec<&str>) -> String {
    match nearest(name, known.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("there are: {}", known.join(", ")),
    }
}
