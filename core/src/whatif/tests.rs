use super::{Change, NotMade, changed_text, with_changes};
use crate::plan::scalar::{Conductor, Id, Point, Rating, RouteStep};
use crate::plan::{Loaded, load};
use crate::repository::Repository;

const PLAN: &str = "\
plan: 1
site: { grid: ft, zones: [{ id: drive, kind: driveway, outline: [[20, -5], [30, -5], [30, 5], [20, 5]] }] }
schedule:
  luminaires: { spot: { power: 6 W, apparent-power: 7 VA, load: constant-power, nominal: 12 V } }
  cables:
    # The usual one.
    thin-12: { conductor: 12 AWG, stranding: stranded, ampacity: 20 A }
  supplies: { box-150: { rating: 150 VA, output-current: ac, outputs: [{ name: \"12\", volts: 12 V }, { name: \"14\", volts: 14 V }] } }
supplies:
  - { id: S1, type: box-150, at: [0, 0] }   # by the porch
luminaires:
  - { id: L1, type: spot, at: [10, 0] }
  - { id: L2, type: spot, at: [20, 0] }
  - { id: L3, type: spot, at: [40, 0] }
runs:
  - id: R1   # the only one
    cable: thin-12
    route: [S1/12, L1, [15, 1], L2, L3]
    slack: 0 %
    cover: 8 in
    covers: [{ zone: drive, cover: 18 in }]
  - { id: R2, cable: thin-12, route: [S1/14, L3], length: 60 ft, slack: 0 % }
";

struct Case {
    _folder: tempfile::TempDir,
    repository: Repository,
    loaded: Loaded,
}

fn case(text: &str) -> Case {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.yaml");
    std::fs::write(&path, text).unwrap();
    let repository = Repository::of(&path).unwrap();
    let loaded = load(&repository, &path);
    assert!(loaded.layout.is_some(), "{:?}", loaded.diagnostics);
    Case { _folder: folder, repository, loaded }
}

fn id(text: &str) -> Id {
    Id(text.to_owned())
}

/// The changed text, which is a sound plan.
fn changed(changes: &[Change]) -> (String, Loaded) {
    let case = case(PLAN);
    let loaded = with_changes(&case.repository, &case.loaded, changes).unwrap();
    let text = changed_text(&case.loaded, changes).unwrap();
    assert_eq!(loaded.sha256, crate::repository::sha256_hex(text.as_bytes()));
    (text, loaded)
}

#[test]
fn a_thicker_cable_comes_with_its_type() {
    let (text, loaded) = changed(&[
        Change::CableType { name: id("thin-10"), like: id("thin-12"), conductor: Conductor::Awg(10) },
        Change::Cable { run: id("R1"), cable: id("thin-10") },
    ]);
    let expected = PLAN
        .replace("ampacity: 20 A }\n", "ampacity: 20 A }\n    thin-10: { conductor: 10 AWG, stranding: stranded }\n")
        .replace("    cable: thin-12\n", "    cable: thin-10\n");
    assert_eq!(text, expected);
    let layout = loaded.layout.unwrap();
    assert_eq!((layout.runs[0].cable.conductor, layout.runs[0].cable.ampacity), (Some(Conductor::Awg(10)), None));
    assert_eq!(layout.runs[1].cable.conductor, Some(Conductor::Awg(12)));
}

#[test]
fn a_run_is_split_at_a_node_with_its_bends_and_covers() {
    let (text, loaded) = changed(&[
        Change::Split { run: id("R1"), segments: 2, new: id("R1b") },
        Change::Covers { run: id("R1"), keep: vec![] },
    ]);
    assert!(
        text.contains("    route: [S1/12, L1, [15, 1], L2]\n    slack: 0 %\n    cover: 8 in\n  - { id: R1b"),
        "{text}"
    );
    assert!(text.contains(
        "{ id: R1b, cable: thin-12, route: [L2, L3], slack: 0 %, cover: 8 in, covers: [{ zone: drive, cover: 18 in }] }"
    ));
    let layout = loaded.layout.unwrap();
    assert_eq!([0, 1].map(|run| layout.runs[run].segments.len()), [2, 1]);
    assert_eq!(layout.runs[1].segments[0].length_m, 20.0 * 0.3048);
}

#[test]
fn an_output_a_feed_and_a_shorter_run() {
    let (text, loaded) = changed(&[
        Change::Shorten { run: id("R1"), segments: 1 },
        Change::Covers { run: id("R1"), keep: vec![] },
        Change::End { run: id("R1"), last: false, node: RouteStep::Output(id("S1"), id("14")) },
        Change::Run {
            new: id("R3"),
            like: id("R2"),
            route: vec![
                RouteStep::Output(id("S1"), id("14")),
                RouteStep::Bend(Point { x: 3.0, y: -0.5 }),
                RouteStep::Node(id("L2")),
            ],
            lengths_m: None,
        },
        Change::Run {
            new: id("R4"),
            like: id("R2"),
            route: vec![RouteStep::Node(id("L2")), RouteStep::Node(id("L1"))],
            lengths_m: Some(vec![12.0 * 0.3048]),
        },
    ]);
    assert!(text.contains("    route: [S1/14, L1]\n"), "{text}");
    assert!(text.contains("{ id: R3, cable: thin-12, route: [S1/14, [3, -0.5], L2], slack: 0 % }"), "{text}");
    assert!(text.contains("route: [L2, L1], slack: 0 %, lengths: [12 ft] }"), "{text}");
    let layout = loaded.layout.unwrap();
    assert_eq!(layout.runs.len(), 4);
}

#[test]
fn a_larger_supply_and_one_beside_it() {
    let (text, loaded) = changed(&[
        Change::SupplyType { name: id("box-300"), like: id("box-150"), rating: "300 VA".parse::<Rating>().unwrap() },
        Change::Supply { supply: id("S1"), kind: id("box-300") },
        Change::SupplyBeside { new: id("S2"), like: id("S1") },
        Change::End { run: id("R2"), last: false, node: RouteStep::Output(id("S2"), id("14")) },
    ]);
    assert!(text.contains("box-300: { rating: 300 VA, output-current: ac,"), "{text}");
    assert!(text.contains("at: [0, 0] }   # by the porch\n  - { id: S2, type: box-300, at: [0, 0] }\n"), "{text}");
    assert!(text.contains("route: [S2/14, L3]"), "{text}");
    assert_eq!(loaded.layout.unwrap().supplies.len(), 2);
}

#[test]
fn a_value_a_route_and_a_run_that_is_not_laid() {
    let (text, _) = changed(&[
        Change::Value { element: id("R1"), field: "covers.0.cover".to_owned(), value: "24 in".to_owned() },
        Change::Value { element: id("R1"), field: "method".to_owned(), value: "pvc-conduit".to_owned() },
        Change::Remove { run: id("R2") },
    ]);
    assert!(
        text.contains("covers: [{ zone: drive, cover: 24 in }]\n    method: pvc-conduit\n")
            && text.ends_with("conduit\n")
    );
    let (text, _) = changed(&[Change::Route {
        run: id("R2"),
        route: vec![
            RouteStep::Output(id("S1"), id("14")),
            RouteStep::Bend(Point { x: 25.0, y: 9.5 }),
            RouteStep::Node(id("L3")),
        ],
    }]);
    assert!(text.contains("{ id: R2, cable: thin-12, route: [S1/14, [25, 9.5], L3], slack: 0 % }"), "{text}");
}

#[test]
fn what_would_reach_further_is_refused() {
    let shared = PLAN
        .replace("    cable: thin-12\n    route", "    cable: &c thin-12\n    route")
        .replace("R2, cable: thin-12", "R2, cable: *c");
    let case = case(&shared);
    let change = |run: &str| {
        let type_of = Change::CableType { name: id("t"), like: id("thin-12"), conductor: Conductor::Awg(8) };
        with_changes(&case.repository, &case.loaded, &[type_of, Change::Cable { run: id(run), cable: id("t") }])
    };
    assert!(matches!(change("R2"), Err(NotMade::AltersMore("runs"))), "R1 has the text that R2 repeats");
    assert!(change("R9").is_err());
}
