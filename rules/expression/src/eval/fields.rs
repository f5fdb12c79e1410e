//! From the table to values, and what is missing where there is none.

use super::{Scope, Value};
use crate::schema::{At, Field, Get, Kind, title};
use lintern_rule::Input;
use std::borrow::Cow;

/// The value of a field or a variable; none where it is absent.
pub fn get<'a>(get: &Get, input: &'a Input, at: At) -> Option<Value<'a>> {
    let list = |items: Vec<Value<'a>>| Value::List(items.into());
    Some(match get {
        Get::Number(_, get) => Value::Number(get(input, at)?),
        Get::Length(unit, get) => Value::Number(unit.of(get(input, at)?)),
        Get::Flag(get) => Value::Flag(get(input, at)?),
        Get::Text(get) | Get::Day(get) => Value::Text(Cow::Borrowed(get(input, at)?)),
        Get::Name(get) => Value::Text(Cow::Owned(get(input, at)?)),
        Get::Word(_, get) => Value::Text(Cow::Borrowed(get(input, at)?)),
        Get::Words(_, get) => list(get(input, at)?.into_iter().map(|word| Value::Text(Cow::Borrowed(word))).collect()),
        Get::Texts(get) => list(get(input, at)?.into_iter().map(|text| Value::Text(Cow::Owned(text))).collect()),
        Get::One(kind, get) => Value::Object(*kind, get(input, at)?),
        Get::Many(kind, get) => list(get(input, at)?.into_iter().map(|at| Value::Object(*kind, at)).collect()),
        Get::House(get) => Value::House(get(input, at)),
    })
}

/// What is missing where a field is absent, as the plan names it: `` `cover` of R3 ``.
pub fn missing(scope: &Scope<'_>, kind: Kind, at: At, field: &Field) -> String {
    let own = kind == scope.kind && at == scope.element;
    let of = || title(scope.input, kind, at);
    match (field.plan, field.missing) {
        (key, _) if !key.is_empty() && matches!(kind, Kind::Plan | Kind::Project | Kind::Dig | Kind::Records) => {
            format!("`{key}`")
        }
        ("", "") => format!("`{}` of {}", field.name, of()),
        ("", missing) if own && !missing.starts_with('`') => missing.to_owned(),
        ("", missing) if missing.starts_with('`') => format!("{missing} of {}", of()),
        ("", missing) => format!("{missing} ({})", of()),
        (key, _) => format!("`{key}` of {}", of()),
    }
}
