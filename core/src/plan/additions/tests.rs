use super::{Additions, NewElement, add, flow_text};
use crate::plan::{ElementKind, Loaded, load_text};
use crate::repository::Repository;
use std::path::PathBuf;

/// A folder for plans that are not written.
fn place() -> (tempfile::TempDir, Repository, PathBuf) {
    let folder = tempfile::TempDir::new().unwrap();
    let repository = Repository::of(folder.path()).unwrap();
    let path = folder.path().join("plan.yaml");
    (folder, repository, path)
}

fn zone(id: &str, outline: &str) -> NewElement {
    let fields = vec![("kind".to_owned(), "lawn".to_owned()), ("outline".to_owned(), outline.to_owned())];
    NewElement { kind: ElementKind::Zone, id: id.to_owned(), fields }
}

const SQUARE: &str = "[[0, 0], [4, 0], [4, 4]]";

/// The text, and what was refused with its place in the list.
type Made = (String, Vec<(usize, String)>);

fn added(base: &str, additions: &Additions) -> Result<Made, Box<Loaded>> {
    let (_folder, repository, path) = place();
    let base = load_text(&repository, &path, base.as_bytes());
    assert!(base.diagnostics.is_empty(), "{:?}", base.diagnostics);
    let added = add(&repository, &path, &base, additions)?;
    let refused = added.refused.into_iter().map(|(index, diagnostic)| (index, diagnostic.message)).collect();
    Ok((added.text, refused))
}

#[test]
fn elements_go_into_a_plan_in_the_style_that_it_has() {
    let lamp = NewElement {
        kind: ElementKind::Luminaire,
        id: "L2".to_owned(),
        fields: vec![("type".to_owned(), "a".to_owned())],
    };
    let additions = Additions {
        site: vec![("grid".to_owned(), "m".to_owned())],
        luminaire_types: vec![("a".to_owned(), "{ power: 1 W, nominal: 12 V }".to_owned())],
        elements: vec![zone("z1", SQUARE), lamp, zone("z2", SQUARE)],
    };
    let (text, refused) = added("plan: 1\n# kept\n", &additions).unwrap();
    assert_eq!(refused, []);
    assert_eq!(
        text,
        "plan: 1\nschedule:\n  luminaires:\n    a: { power: 1 W, nominal: 12 V }\nsite:\n  grid: m\n  zones:\n    \
         - { id: z1, kind: lawn, outline: [[0, 0], [4, 0], [4, 4]] }\n    \
         - { id: z2, kind: lawn, outline: [[0, 0], [4, 0], [4, 4]] }\nluminaires:\n  - { id: L2, type: a }\n# kept\n"
    );
    for base in [
        "{ plan: 1 }",
        "plan: 1\nsite: {}\nluminaires: []\nschedule: {}\n",
        "plan: 1\nsite: { zones: [] } # here\nschedule: { luminaires: {} }\n",
        "plan: 1\r\nsite:\r\n  zones:\r\n    - { id: old, kind: bed, outline: [[0, 0], [1, 0], [1, 1]] }\r\n  grid: m",
        "plan: 1\nsite: { grid: m, zones: [{ id: old, kind: bed, outline: [[0, 0], [1, 0], [1, 1]] }] }\n",
        "plan: 1\nuse: []\nluminaires: []\nsite:\n  grid: m\n  zones:\n  - { id: old, kind: bed, outline: [[0, 0], [1, 0], [1, 1]] }",
        "plan: 1\nluminaires:\n- { id: L1, type: b }\nschedule:\n  luminaires:\n    b: { power: 1 W, nominal: 12 V }\n",
    ] {
        let (text, refused) =
            added(base, &additions).unwrap_or_else(|loaded| panic!("{base}: {:?}", loaded.diagnostics));
        assert_eq!(refused, [], "{base}");
        let first = base.lines().next().unwrap();
        assert!(
            text.contains("z1") && text.contains("L2") && (text.starts_with(first) || base.starts_with('{')),
            "{text}"
        );
    }
}

#[test]
fn what_the_loader_refuses_is_left_out_and_named() {
    let crossed = zone("crossed", "[[0, 0], [4, 4], [4, 0], [0, 4]]");
    let elements = vec![zone("a", SQUARE), crossed, zone("b", "[[0, 0]]"), zone("c", SQUARE)];
    let additions = Additions { site: vec![("grid".to_owned(), "m".to_owned())], elements, ..Additions::default() };
    let (text, refused) = added("plan: 1\n", &additions).unwrap();
    assert!(text.contains("id: a") && text.contains("id: c") && !text.contains("crossed"), "{text}");
    let [(1, crosses), (2, corners)] = &refused[..] else { panic!("{refused:?}") };
    assert!(crosses.contains("the outline crosses itself"), "{crosses}");
    assert!(corners.contains("at least 3 corners"), "{corners}");
}

#[test]
fn what_is_wrong_with_the_rest_refuses_all() {
    let additions = Additions { elements: vec![zone("a", SQUARE)], ..Additions::default() };
    // No grid: the first coordinate is blamed, and with it the element.
    let (text, refused) = added("plan: 1\n", &additions).unwrap();
    assert_eq!((text.as_str(), refused.len()), ("plan: 1\n", 1));
    let site = vec![("grid".to_owned(), "yards".to_owned())];
    let refused = added("plan: 1\n", &Additions { site, ..Additions::default() }).unwrap_err();
    assert!(!refused.diagnostics.is_empty());
}

#[test]
fn texts_come_back_as_they_are() {
    let (_folder, repository, path) = place();
    for text in [
        "well",
        "6 W",
        "12",
        "1e3",
        "0x1f",
        "true",
        "Null",
        "no",
        "",
        " ",
        "a: b",
        "a #b",
        "-",
        "[x",
        "{",
        "\"",
        "\\",
        "a\nb",
        "\t",
        "\u{1b}[31m",
        "\u{202e}x",
        "é",
        "\u{85}",
        "\u{2028}",
        "\u{feff}",
        "\u{fffe}",
        "\u{1F600}",
        "12.",
        ".5",
        "2026-03-01",
        "1_000",
        "~",
        "'",
        "*a",
        "&a",
        "!t",
        "%",
        "@",
        "`",
        "a, b",
        "12:30",
        "\u{7f}",
        "+1",
        "0o7",
        "\u{e0001}",
    ] {
        let plan = format!("plan: 1\nhouse: {{ a: {} }}\n", flow_text(text));
        let loaded = load_text(&repository, &path, plan.as_bytes());
        assert!(loaded.diagnostics.is_empty(), "{text:?} {plan}: {:?}", loaded.diagnostics);
        let doc = loaded.doc().unwrap();
        let kept: Vec<_> = doc.house.get().unwrap().entries.iter().filter_map(|(_, value)| value.get()).collect();
        assert_eq!(kept, [text], "{plan}");
    }
}
