//! The grammar, and what is said of texts that are not of it.

use super::{Ast, AstKind, Mistake, parse};

/// The tree in brackets, so that it is seen what binds how.
fn shape(tree: &Ast) -> String {
    let all = |list: &[Ast], between: &str| list.iter().map(shape).collect::<Vec<_>>().join(between);
    match &tree.kind {
        AstKind::Number(number) => number.to_string(),
        AstKind::Text(text) => format!("{text:?}"),
        AstKind::Flag(flag) => flag.to_string(),
        AstKind::Name(name) => name.clone(),
        AstKind::Select { of, field, .. } => format!("{}.{field}", shape(of)),
        AstKind::Index { of, at } => format!("{}[{}]", shape(of), shape(at)),
        AstKind::Call { of, name, arguments, .. } => {
            let of = of.as_ref().map_or(String::new(), |of| format!("{}.", shape(of)));
            format!("{of}{name}({})", all(arguments, ", "))
        }
        AstKind::Not(of) => format!("(!{})", shape(of)),
        AstKind::Negate(of) => format!("(-{})", shape(of)),
        AstKind::Binary { operator, left, right } => {
            format!("({} {} {})", shape(left), operator.symbol(), shape(right))
        }
        AstKind::And(terms) => format!("({})", all(terms, " && ")),
        AstKind::Or(terms) => format!("({})", all(terms, " || ")),
        AstKind::Choice { condition, yes, no } => format!("({} ? {} : {})", shape(condition), shape(yes), shape(no)),
        AstKind::List(items) => format!("[{}]", all(items, ", ")),
    }
}

fn shown(text: &str) -> String {
    shape(&parse(text).unwrap_or_else(|mistake| panic!("{text}: {mistake:?}")))
}

/// The message and the text that it underlines.
fn wrong(text: &str) -> (String, String) {
    let Mistake { span, message, .. } = parse(text).expect_err(text);
    (message, text[span.from..span.to].to_owned())
}

/// Precedence and associativity of the specification's grammar (langdef.md, "Syntax" and "Operators").
#[test]
fn operators_bind_as_the_specification_says() {
    let rows = [
        ("a || b && c == d + e * -f.g", "(a || (b && (c == (d + (e * (-f.g))))))"),
        ("a - b - c", "((a - b) - c)"),
        ("a / b * c % d", "(((a / b) * c) % d)"),
        ("a < b == c", "((a < b) == c)"),
        ("a && b && c", "(a && b && c)"),
        ("a ? b : c ? d : e", "(a ? b : (c ? d : e))"),
        ("a || b ? c : d", "((a || b) ? c : d)"),
        ("!a.b(c)[0]", "(!a.b(c)[0])"),
        ("!!a", "(!(!a))"),
        ("--1", "(-(-1))"),
        ("x in [1, 2,]", "(x in [1, 2])"),
        ("(a + b) * c", "((a + b) * c)"),
        ("a.all(x, x > 0) && has(a.b)", "(a.all(x, (x > 0)) && has(a.b))"),
        ("f()", "f()"),
        ("a // to the end\n + b", "(a + b)"),
    ];
    for (text, expected) in rows {
        assert_eq!(shown(text), expected, "{text}");
    }
}

/// Literals of the specification (langdef.md, "Numeric values" and "String and bytes values").
#[test]
fn literals_are_those_of_the_specification() {
    let rows = [
        ("0x1F", "31"),
        ("1.5e3", "1500"),
        (".5", "0.5"),
        ("1e-1", "0.1"),
        (r#""a\n\"b\" \x41\u00e9\101""#, r#""a\n\"b\" AéA""#),
        (r"'it''s'", "x"),
        (r"r'a\n'", r#""a\\n""#),
        ("'''two\nlines'''", r#""two\nlines""#),
        (r#""""a"b""""#, r#""a\"b""#),
        ("true", "true"),
    ];
    for (text, expected) in rows {
        match expected {
            "x" => assert_eq!(wrong(text).0, "expected an operator or the end, found a text"),
            _ => assert_eq!(shown(text), expected, "{text}"),
        }
    }
}

#[test]
fn a_mistake_is_underlined_with_the_way_out() {
    let rows = [
        ("a = b", "`=` has no meaning here", "="),
        ("a & b", "`&` has no meaning here", "&"),
        ("a and b", "expected an operator or the end, found `and`", "and"),
        ("cover >= 12 in", "expected a value, found the end", ""),
        ("cover >= 12in", "`in` can't follow a number", "12in"),
        ("12u", "numbers have no `u` here", "12u"),
        ("a == null", "there is no `null` here", "null"),
        ("if", "the language keeps the word `if` for itself", "if"),
        ("{'a': 1}", "there are no maps here", "{"),
        ("b'x'", "there are no bytes here, only texts", "b"),
        ("'open", "this text has no closing quote", "'open"),
        (r"'\q'", "this escape has no meaning", r"\q"),
        ("a.", "expected the name of a field, found the end", ""),
        ("(a", "expected `)`, found the end", ""),
        ("f(a,)", "expected a value, found `)`", ")"),
        ("1e999", "this number is too large", "1e999"),
        ("", "there is no expression here", ""),
        ("“a”", "`“` has no meaning here", "“"),
        ("a ? b", "expected `:`, found the end", ""),
    ];
    for (text, message, underlined) in rows {
        assert_eq!(wrong(text), (message.to_owned(), underlined.to_owned()), "{text}");
    }
}

#[test]
fn what_is_nested_too_deep_or_too_long_is_refused_and_never_recursed_into() {
    let deep = "this expression is nested more than 32 levels deep";
    for text in [
        format!("{}1{}", "(".repeat(1_900), ")".repeat(1_900)),
        format!("{}1", "[".repeat(3_000)),
        "1 + ".repeat(900) + "1",
        "a.".repeat(900) + "a",
        "a ? b : ".repeat(400) + "c",
        "f(".repeat(1_000),
        "a[".repeat(1_000),
    ] {
        assert_eq!(wrong(&text).0, deep, "{}", &text[..10]);
    }
    assert!(wrong(&"(".repeat(100_000)).0.starts_with("this expression has 100000 bytes"));
    assert_eq!(shown(&("!".repeat(3_001) + "a")), "(!a)");
    assert_eq!(shown(&("-".repeat(3_000) + "1")), "(-(-1))");
    // As many terms as one likes.
    assert!(parse(&("a && ".repeat(500) + "a")).is_ok());
}
