use super::{Editor, Part, find, flow};
use crate::plan::diagnostic::{Diagnostics, Sources};
use crate::plan::yaml::{self, NodeId, Tree};

fn tree(text: &str) -> Tree {
    let (mut sources, mut errors) = (Sources::default(), Diagnostics::default());
    let tree = yaml::parse("plan.yaml", text.as_bytes(), &mut sources, &mut errors);
    assert!(errors.is_empty(), "{:?}", errors.into_sorted());
    tree.expect("a document")
}

fn at(tree: &Tree, route: &str) -> NodeId {
    let steps: Vec<&str> = route.split('.').filter(|s| !s.is_empty()).collect();
    find(tree, tree.root(), &steps).expect(route)
}

fn edited(text: &str, edit: impl FnOnce(&Tree, &mut Editor<'_>)) -> String {
    let tree = tree(text);
    let mut editor = Editor::new(&tree);
    edit(&tree, &mut editor);
    let changed = editor.finish().expect("no two changes meet");
    // Whatever is written can be read again.
    self::tree(&changed);
    changed
}

const BLOCK: &str = "\
runs:   # all of them
  # the first
  - id: R1          # kept
    cable: a
    cover: 8 in  # deep enough
  - { id: R2, cable: b, cover: 6 in } # kept too
zones: []
";

#[test]
fn a_value_is_replaced_and_nothing_else() {
    let changed = edited(BLOCK, |tree, editor| {
        editor.set(at(tree, "runs.0"), "cable", "thicker");
        editor.set(at(tree, "runs.1"), "cover", "18 in");
    });
    assert_eq!(changed, BLOCK.replace("cable: a", "cable: thicker").replace("6 in", "18 in"));
}

#[test]
fn a_new_entry_takes_the_style_of_its_mapping() {
    let changed = edited(BLOCK, |tree, editor| {
        editor.set(at(tree, "runs.0"), "method", "surface");
        editor.set(at(tree, "runs.1"), "method", "aerial");
        editor.set(tree.root(), "dig", "{ method: hand }");
    });
    let expected = BLOCK
        .replace("# deep enough\n", "# deep enough\n    method: surface\n")
        .replace("6 in }", "6 in, method: aerial }")
        .replace("zones: []\n", "zones: []\ndig: { method: hand }\n");
    assert_eq!(changed, expected);
}

#[test]
fn a_new_item_takes_the_style_of_its_list() {
    let changed = edited(BLOCK, |tree, editor| {
        editor.add_item(at(tree, "runs"), 0, "{ id: R3 }");
        editor.add_item(at(tree, "zones"), 0, "{ id: z }");
    });
    let expected =
        BLOCK.replace("# deep enough\n", "# deep enough\n  - { id: R3 }\n").replace("zones: []", "zones: [{ id: z }]");
    assert_eq!(changed, expected);
}

#[test]
fn a_file_without_an_end_of_line_and_one_of_windows() {
    let changed = edited("runs:\n- id: R1", |tree, editor| editor.add_item(at(tree, "runs"), 0, "{ id: R2 }"));
    assert_eq!(changed, "runs:\n- id: R1\n- { id: R2 }\n");
    let changed = edited("runs:\r\n- id: R1\r\n", |tree, editor| editor.set(at(tree, "runs.0"), "cover", "8 in"));
    assert_eq!(changed, "runs:\r\n- id: R1\r\n  cover: 8 in\r\n");
    let changed = edited("\u{feff}runs: [a, b]\n", |tree, editor| editor.add_item(at(tree, "runs"), 9, "c"));
    assert_eq!(changed, "\u{feff}runs: [a, b, c]\n");
}

#[test]
fn items_and_entries_are_taken_out() {
    let without = |route: &str, index: usize| edited(BLOCK, |tree, e| e.remove_item(at(tree, route), index));
    assert_eq!(without("runs", 1), BLOCK.replace("  - { id: R2, cable: b, cover: 6 in } # kept too\n", ""));
    let entry = |route: &str, key: &str| edited(BLOCK, |tree, e| e.remove_entry(at(tree, route), key));
    assert_eq!(entry("runs.0", "cable"), BLOCK.replace("    cable: a\n", ""));
    assert_eq!(entry("runs.0", "id"), BLOCK.replace("id: R1          # kept\n    ", ""));
    assert_eq!(entry("runs.1", "cable"), BLOCK.replace("cable: b, ", ""));
    assert_eq!(entry("runs.1", "cover"), BLOCK.replace(", cover: 6 in", ""));
    assert_eq!(entry("runs.1", "absent"), BLOCK);
    let list = |index| edited("a: [x, y, z]\n", |tree, e| e.remove_item(at(tree, "a"), index));
    assert_eq!((list(0), list(1), list(2)), ("a: [y, z]\n".into(), "a: [x, z]\n".into(), "a: [x, y]\n".into()));
}

#[test]
fn a_key_without_a_value_gets_one() {
    let changed = edited("schedule:\nruns: []\n", |tree, editor| editor.set(tree.root(), "schedule", "{ cables: {} }"));
    assert_eq!(changed, "schedule: { cables: {} }\nruns: []\n");
}

#[test]
fn two_changes_of_the_same_bytes_are_refused() {
    let tree = tree(BLOCK);
    let mut editor = Editor::new(&tree);
    editor.replace(at(&tree, "runs.1"), "{}");
    editor.set(at(&tree, "runs.1"), "cover", "9 in");
    assert_eq!(editor.finish(), None);
}

#[test]
fn a_copy_stands_on_one_line() {
    let text = "\
type:
  rating: 300 VA   # a comment
  'odd key': \"with, comma\"
  note: >-
    two
    lines
  outputs:
    - { name: \"12\", volts: 12 V }
    - name: 14
  at: [1.5, -2]
";
    let tree = tree(text);
    let copied =
        flow(&tree, at(&tree, "type"), &[Part::Is("rating", "600 VA"), Part::Without("at"), Part::Is("x", "1")]);
    assert_eq!(
        copied,
        r#"{ rating: 600 VA, "odd key": "with, comma", note: "two lines", outputs: [{ name: "12", volts: 12 V }, { name: 14 }], x: 1 }"#
    );
    assert_eq!(flow(&tree, at(&tree, "type.at"), &[]), "[1.5, -2]");
}

#[test]
fn a_list_is_cut_off_and_the_rest_keeps_its_comments() {
    let text = "a:\n  - x   # first\n  # between\n  - y\n  - z   # last\nb: [1, 2, 3]\n";
    let changed = edited(text, |tree, editor| {
        editor.truncate(at(tree, "a"), 1);
        editor.truncate(at(tree, "b"), 2);
    });
    assert_eq!(changed, "a:\n  - x   # first\n  # between\nb: [1, 2]\n");
    assert_eq!(edited(text, |tree, editor| editor.truncate(at(tree, "a"), 3)), text);
}

/// A list, the mapping around it and the root end on the same line.
#[test]
fn lines_that_go_to_one_place_stand_under_what_they_belong_to() {
    let text = "a:\n  list:\n    - one\nlast:\n- two";
    for (from, place) in [(text, "last"), ("last:\n- two\na:\n  list:\n    - one", "a.list")] {
        let changed = edited(from, |tree, editor| {
            editor.add_entry(tree.root(), "new", "1");
            editor.add_entry(at(tree, "a"), "inner", "2");
            editor.add_item(at(tree, "a.list"), 0, "three");
            editor.add_item(at(tree, "last"), 0, "four");
        });
        let tree = self::tree(&changed);
        assert_eq!(tree.items(at(&tree, "a.list")).len(), 2, "{place}: {changed}");
        assert_eq!(tree.items(at(&tree, "last")).len(), 2, "{place}: {changed}");
        assert_eq!(tree.scalar(at(&tree, "a.inner")), "2", "{place}: {changed}");
        assert_eq!(tree.scalar(at(&tree, "new")), "1", "{place}: {changed}");
    }
}
