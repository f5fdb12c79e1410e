//! The tree against another YAML reader (package yaml_serde), and its spans against the text.
//!
//! Intended differences: the tree keeps the text of every scalar, so `007`, `1e3` and `on` stay what they
//! are, and numbers follow the rule of quantities: hexadecimal, octal, `.inf` and `.nan` are texts here.

use super::{NodeId, Tree, Value, parse};
use crate::plan::diagnostic::{Diagnostics, Sources};
use crate::plan::quantity::bare_number;
use proptest::prelude::*;
use serde_yaml::Value as Theirs;
use std::path::Path;

fn tree(text: &str) -> Result<Tree, String> {
    let (mut sources, mut errors) = (Sources::default(), Diagnostics::default());
    let tree = parse("test.yaml", text.as_bytes(), &mut sources, &mut errors);
    match (tree, errors.is_empty()) {
        (Some(tree), true) => Ok(tree),
        _ => Err(format!("{:?}", errors.into_sorted())),
    }
}

/// Whether a node says the same as the other reader's value.
fn same(tree: &Tree, node: NodeId, theirs: &Theirs) -> Result<(), String> {
    let differ = || Err(format!("{:?} is not {theirs:?}", tree.value(node)));
    match (tree.value(node), theirs) {
        (Value::Scalar { .. }, Theirs::Null) if tree.is_null(node) => Ok(()),
        (Value::Scalar { text, plain: true }, Theirs::Bool(b)) if text.parse() == Ok(*b) => Ok(()),
        (Value::Scalar { text, plain: true }, Theirs::Number(n)) if bare_number(text) == n.as_f64() => Ok(()),
        (Value::Scalar { text, .. }, Theirs::String(s)) if text == s => Ok(()),
        (Value::Sequence(ours), Theirs::Sequence(theirs)) if ours.len() == theirs.len() => {
            ours.iter().zip(theirs).try_for_each(|(&ours, theirs)| same(tree, ours, theirs))
        }
        (Value::Mapping(ours), Theirs::Mapping(theirs)) if ours.len() == theirs.len() => {
            ours.iter().zip(theirs).try_for_each(|(ours, (key, value))| {
                same(tree, ours.key, key)?;
                same(tree, ours.value, value)
            })
        }
        _ => differ(),
    }
}

#[test]
fn the_corpus_reads_as_another_reader_reads_it() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/yaml-corpus");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    assert!(files.len() >= 30, "only {} documents", files.len());
    for path in files {
        let text = std::fs::read_to_string(&path).unwrap();
        let theirs: Theirs = serde_yaml::from_str(&text).unwrap();
        let tree = tree(&text).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        same(&tree, tree.root(), &theirs).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    }
}

#[test]
fn the_comparison_can_fail() {
    let ours = tree("a: [1, x]\n").unwrap();
    for other in
        ["a: [1, y]\n", "a: [2, x]\n", "a: [1]\n", "b: [1, x]\n", "a: ['1', x, y]\n", "a: x\n", "a: [1, x]\nb: 1\n"]
    {
        assert!(same(&ours, ours.root(), &serde_yaml::from_str(other).unwrap()).is_err(), "{other}");
    }
}

/// Any value without numbers that the two sides mean to read differently.
fn value() -> impl Strategy<Value = Theirs> {
    let leaf = prop_oneof![
        Just(Theirs::Null),
        any::<bool>().prop_map(Theirs::Bool),
        any::<i32>().prop_map(|n| Theirs::Number(n.into())),
        "[ -~éß✓\\n]{0,12}".prop_map(Theirs::String),
        "(on|off|no|~|null|1_000|0x1F|12:30|<<|- a|a: b|#x|&a|\\*a|!t|%d|@x|`x)".prop_map(Theirs::String),
    ];
    leaf.prop_recursive(4, 32, 5, |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..5).prop_map(Theirs::Sequence),
            proptest::collection::btree_map("[a-z][a-z0-9-]{0,6}|[0-9]{1,3}x", inner, 0..5)
                .prop_map(|map| Theirs::Mapping(map.into_iter().map(|(k, v)| (Theirs::String(k), v)).collect())),
        ]
    })
}

proptest! {
    #[test]
    fn what_another_writer_writes_is_read_back(value in value()) {
        let text = serde_yaml::to_string(&value).unwrap();
        let tree = tree(&text);
        prop_assert!(tree.is_ok(), "{text}: {tree:?}");
        let tree = tree.unwrap();
        prop_assert_eq!(same(&tree, tree.root(), &value), Ok(()), "{}", text);
    }

    #[test]
    fn no_text_panics(text in "[ -~\\n\\t\\ré\u{feff}&*!|>%@:#\\[\\]{},?-]{0,80}") {
        // Either is a proper end; spans lie in the text and on its characters.
        if let Ok(tree) = tree(&text) {
            for node in 0..tree.nodes.len() as u32 {
                let span = tree.span(NodeId(node));
                prop_assert!(text.get(span.start as usize..span.end as usize).is_some(), "{text:?} {span:?}");
            }
        }
    }
}

#[test]
fn spans_cover_the_text_of_their_node() {
    let text = "a: plain text  # comment\nb: 'quoted'\nc: [1,\n  2]\nd:\n  e: f\n  g:\n    - h\n    - i\n\nj: k\nl: &x [y]\nm: *x\n";
    let tree = tree(text).unwrap();
    let span = |keys: &[&str]| {
        let node = keys.iter().fold(tree.root(), |node, key| tree.get(node, key).unwrap());
        let span = tree.span(node);
        &text[span.start as usize..span.end as usize]
    };
    assert_eq!(span(&["a"]), "plain text");
    assert_eq!(span(&["b"]), "'quoted'");
    assert_eq!(span(&["c"]), "[1,\n  2]");
    assert_eq!(span(&["d"]), "e: f\n  g:\n    - h\n    - i");
    assert_eq!(span(&["d", "g"]), "- h\n    - i");
    // An alias stands for the node that it names.
    assert_eq!(span(&["m"]), "[y]");
}
