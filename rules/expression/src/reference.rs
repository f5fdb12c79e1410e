//! The reference of names for people who write expressions, printed from the table: `fields.md`.

use crate::schema::{Field, Get, Kind, VARIABLES};
use std::fmt::Write as _;

const INTRODUCTION: &str = include_str!("introduction.md");

/// The reference, in Markdown.
pub fn reference() -> String {
    let mut text = INTRODUCTION.to_owned();
    text.push_str("\n## Variables\n\n| name | type | meaning |\n|---|---|---|\n");
    text.push_str("| the kind under `for:`, such as `run` | object | the element that is judged |\n");
    text.push_str("| `settings.NAME` | as declared | a setting of the rule, `-` written as `_` |\n");
    for variable in VARIABLES {
        row(&mut text, variable.name, &variable.get, variable.doc, "");
    }
    for &kind in Kind::ALL {
        let title = kind.word();
        let _ = write!(text, "\n## {title}\n\nA value of this kind is {}.\n\n", kind.doc());
        text.push_str("| field | type | meaning | in the plan |\n|---|---|---|---|\n");
        for field in kind.fields() {
            row(&mut text, field.name, &field.get, field.doc, &plan_key(kind, field));
        }
    }
    text
}

fn plan_key(kind: Kind, field: &Field) -> String {
    match (field.plan, kind) {
        ("", _) => " computed |".to_owned(),
        (key, Kind::SupplyType | Kind::LuminaireType | Kind::Cable | Kind::Splice | Kind::Ip) => {
            format!(" `{key}` of the schedule entry |")
        }
        (key, _) => format!(" `{key}` |"),
    }
}

fn row(text: &mut String, name: &str, get: &Get, doc: &str, rest: &str) {
    let _ = writeln!(text, "| `{name}` | {} | {doc}{} |{rest}", type_of(get), words(get));
}

fn type_of(get: &Get) -> String {
    match get {
        Get::Number("", _) => "number".to_owned(),
        Get::Number(unit, _) => format!("number, {unit}"),
        Get::Length(unit, _) => format!("number, {}", unit.symbol()),
        Get::Flag(_) => "true or false".to_owned(),
        Get::Text(_) | Get::Name(_) => "text".to_owned(),
        Get::Day(_) => "day".to_owned(),
        Get::Word(..) => "word".to_owned(),
        Get::Words(..) => "list of words".to_owned(),
        Get::Texts(_) => "list of texts".to_owned(),
        Get::One(kind, _) => format!("[{}](#{})", kind.word(), anchor(*kind)),
        Get::Many(kind, _) => format!("list of [{}](#{})", kind.word(), anchor(*kind)),
        Get::House(_) => "texts by key".to_owned(),
    }
}

fn anchor(kind: Kind) -> String {
    kind.word().to_lowercase().replace(' ', "-")
}

fn words(get: &Get) -> String {
    match get {
        Get::Word(words, _) | Get::Words(words, _) => {
            format!(": {}", words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", "))
        }
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::reference;

    #[test]
    fn the_committed_reference_is_current() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fields.md");
        if std::env::var_os("UPDATE_FIELDS").is_some() {
            std::fs::write(&path, reference()).expect("the reference is written");
        }
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(committed == reference(), "fields.md is not current: run this test with UPDATE_FIELDS=1");
    }
}
