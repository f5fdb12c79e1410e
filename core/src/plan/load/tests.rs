//! The example plan of the format, end to end.

mod errors;
mod hostile;
mod shared;

use super::{Loaded, load};
use crate::layout::NodeRef;
use crate::plan::ElementKind;
use crate::repository::Repository;
use std::path::{Path, PathBuf};

fn fixture() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/fernhollow")
}

fn example() -> Loaded {
    let path = fixture().join("plans/plan.yaml");
    load(&Repository::of(&path).unwrap(), &path)
}

/// Loads a plan from text, with other files beside it.
fn load_text(plan: impl AsRef<[u8]>, others: &[(&str, &str)]) -> Loaded {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("lintern.yaml"), "lintern: 1\n").unwrap();
    for (name, text) in others {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    let path = folder.path().join("plan.yaml");
    std::fs::write(&path, plan).unwrap();
    load(&Repository::of(&path).unwrap(), &path)
}

/// The diagnostics as plain text: place, text at the place, message, help, other places.
fn rendered(loaded: &Loaded) -> String {
    let place = |span| {
        let at = loaded.sources.line_column(span).unwrap();
        let text = loaded.sources.text(span);
        format!("{}:{}:{} `{text}`", loaded.sources.path(span), at.line, at.column)
    };
    let mut out = String::new();
    for d in &loaded.diagnostics {
        out += &format!("{}\n  {}\n", d.span.map_or("-".to_owned(), place), d.message);
        out.extend(d.label.iter().map(|l| format!("  label: {l}\n")));
        out.extend(d.help.iter().map(|h| format!("  help: {h}\n")));
        out.extend(d.also.iter().map(|(span, what)| format!("  {what}: {}\n", place(*span))));
    }
    out
}

#[test]
fn the_example_plan_resolves() {
    let loaded = example();
    assert_eq!(loaded.diagnostics, []);
    assert_eq!(loaded.file, "plans/plan.yaml");
    assert_eq!(
        loaded.sources.files().iter().map(|f| f.path.as_str()).collect::<Vec<_>>(),
        ["plans/plan.yaml", "schedules/standard.yaml"]
    );
    let layout = loaded.layout.unwrap();
    let r1 = &layout.runs[0];
    assert_eq!(r1.segments.len(), 1);
    assert_eq!(r1.segments[0].from, NodeRef::Output { supply: 0, output: 0 });
    assert_eq!(r1.segments[0].to, NodeRef::Junction(0));
    // (30, 2) - (36, 6) - (40, 12) ft, and 5 % slack.
    let feet = (52f64.sqrt() + 52f64.sqrt()) * 1.05;
    assert!((r1.segments[0].length_m - feet * 0.3048).abs() < 1e-12);
    assert!((layout.runs[1].segments[0].length_m - 12.0 * 0.3048).abs() < 1e-12);
    assert!((layout.runs[1].segments[0].added_ohms - 0.020).abs() < 1e-15);
    assert_eq!(layout.runs[2].covers[0].zone, 1);
    assert_eq!(layout.assumptions, Vec::<String>::new());
    assert_eq!(loaded.waivers.len(), 1);
    assert_eq!(loaded.waivers[0].subject, "R2");
}

#[test]
fn fields_are_located() {
    let loaded = example();
    let rows = [
        ("R1", "cover", "8 in"),
        ("R1", "route.0", "S1/12"),
        ("R1", "route.1", "[36, 6]"),
        ("R1", "cable", "burial-12-2"),
        ("R1", "cable.conductor", "12 AWG"),
        ("R3", "covers.0.cover", "20 in"),
        ("R3", "covers.0.zone.kind", "driveway"),
        ("R3", "covers.0.depth", "{ zone: drive, cover: 20 in, method: pvc-conduit }"),
        ("S1", "feed.breaker", "20 A"),
        ("S1", "feed.voltage", "feed"),
        ("S1", "type.outputs.1.volts", "14 V"),
        ("L1", "type.input.min", "9 V"),
        ("L1", "type.weight", "well-6"),
        ("L1", "splice.resistance", "1 mohm"),
        ("L1", "", "L1"),
        ("L1", "mount-height", "L1"),
        ("lawn", "kind", "lawn"),
        ("gas-1", "located", "marked"),
        ("", "project.code", "nec-2023"),
        ("", "", "Fernhollow Court, front garden"),
        ("", "nothing", "Fernhollow Court, front garden"),
        ("", "dig.ticket.called", "2026-03-02"),
    ];
    for (subject, field, text) in rows {
        let span = loaded.locate(subject, field).unwrap();
        assert_eq!(loaded.sources.text(span), text, "{subject} {field}");
    }
    assert_eq!(loaded.locate("L9", "cover"), None);
    assert_eq!(loaded.element_kind("J1"), Some(ElementKind::Junction));
    assert_eq!(loaded.element_kind("drive"), Some(ElementKind::Zone));
    assert_eq!(loaded.element_kind("well-6"), None);
    let span = loaded.locate("S1", "feed.breaker").unwrap();
    let at = loaded.sources.line_column(span).unwrap();
    let line = loaded.sources.files()[0].text.lines().nth(at.line as usize - 1).unwrap();
    assert_eq!(line.find("20 A").unwrap() + 1, at.column as usize);
    assert_eq!((at.end_line, at.end_column), (at.line, at.column + 4));
}

#[test]
fn what_is_filled_in_is_listed_and_only_for_what_is_installed() {
    let plan = "plan: 1
site: { grid: m }
schedule:
  luminaires: { a: { power: 1 W, nominal: 12 V }, unused: { power: 1 W, nominal: 12 V } }
  cables:
    awg: { conductor: 12 AWG }
    mm2: { conductor: 2.5 mm2 }
    maker: { resistance: 5.21 ohm/km }
  supplies: { s: { output-current: dc, outputs: [{ name: o, volts: 12 V }] } }
supplies: [{ id: S, type: s, at: [0, 0] }]
luminaires: [{ id: L1, type: a, at: [1, 0] }, { id: L2, type: a }]
runs:
  - { id: R1, cable: awg, route: [S, L1] }
  - { id: R2, cable: mm2, route: [L1, L2], length: 2 m }
  - { id: R3, cable: maker, route: [S, L1], slack: 1 m }
";
    let loaded = load_text(plan, &[]);
    assert_eq!(rendered(&loaded), "");
    let layout = loaded.layout.unwrap();
    insta::assert_snapshot!(layout.assumptions.join("\n"));
    let lengths_m: Vec<f64> = layout.runs.iter().map(|run| run.segments[0].length_m).collect();
    assert_eq!(lengths_m, [1.0, 2.0, 2.0]);
}
