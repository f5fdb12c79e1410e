//! The layers of the zone, and where a run meets a line.

use super::*;
use crate::MODULE;
use crate::states::STATES;
use lintern_rule::facts::{Piece, UtilityDistance};
use lintern_rule::outcome::{self, Layer, RuleRequest, RuleResult, SettingGiven, SettingValue};
use lintern_rule::plan::{DigPlan, Method, Segment, ZoneCover, ZoneKind};
use lintern_rule::{Given, Length, Level, NodeRef, blank};

fn point(x_m: f64, y_m: f64) -> Point {
    Point { x_m, y_m }
}

/// A buried run along x from 0 to 10 m, and a marked gas line of 2 in whose middle is so many metres beside it.
fn plan(region: Option<&str>, distance_m: f64) -> Given {
    let path = vec![point(0.0, 0.0), point(10.0, 0.0)];
    let ends = (NodeRef::Junction(0), NodeRef::Junction(1));
    let segment = Segment { start: ends.0, end: ends.1, length_m: 10.0, path };
    let run = Run { segments: vec![segment], method: Some(Method::DirectBurial), ..blank::run("R1", 0) };
    let near = UtilityDistance { utility: 0, distance_m, crosses: false };
    let mut piece = blank::piece(10.0);
    piece.utilities.push(near);
    let mut given = Given {
        runs: vec![run],
        run_pieces: vec![vec![Some(vec![piece])]],
        utilities: vec![Utility {
            path: vec![point(-1.0, distance_m), point(11.0, distance_m)],
            located: Some(Located::Marked),
            width: Some(Length { value: 2.0, unit: "in".to_owned(), metres: 0.0508 }),
            ..blank::utility("gas-1", UtilityKind::Gas)
        }],
        dig: Some(DigPlan { method: Some(DigMethod::Machine), ..blank::dig_plan() }),
        ..Given::default()
    };
    given.project.country = Some("US".to_owned());
    given.project.region = region.map(str::to_owned);
    given
}

fn set(layer: Layer, inches: f64, replaces: bool) -> SettingGiven {
    let kind = if layer == Layer::Local { BasisKind::Code } else { BasisKind::Practice };
    SettingGiven {
        name: "tolerance-zone".to_owned(),
        value: SettingValue::Number(inches),
        layer,
        source: "x".to_owned(),
        replaces,
        basis: outcome::Basis { kind, document: None, edition: None, section: None },
    }
}

fn check(given: Given, settings: &[SettingGiven]) -> RuleResult {
    let id = "dig-safety/machine-in-tolerance-zone".to_owned();
    let request = RuleRequest { id, settings: settings.to_vec(), wants_limits: true, wants_margins: false };
    MODULE.check(&given.into(), &[request]).remove(0)
}

fn level(given: Given, settings: &[SettingGiven]) -> Option<Level> {
    check(given, settings).findings.first().map(|finding| finding.level.expect("the rule sets it"))
}

#[test]
fn the_layers_of_the_zone_are_practice_state_amendment_company() {
    let settings = [set(Layer::Local, 30.0, true), set(Layer::House, 36.0, false)];
    let result = check(plan(Some("US-CA"), 5.0), &settings);
    let [limit] = &result.limits[..] else { panic!("one limit") };
    let layers: Vec<(Layer, f64)> = limit.layers.iter().map(|layer| (layer.layer, layer.value)).collect();
    assert_eq!(layers, [(Layer::Code, 18.0), (Layer::Region, 24.0), (Layer::Local, 30.0), (Layer::House, 36.0)]);
    assert_eq!((limit.governing, limit.layers[1].source.as_str()), (3, "Cal. Gov. Code 4216, as of 2024"));
}

#[test]
fn the_level_says_whose_zone_is_broken() {
    // The middle is 28 in away: 27 in clear, outside the 24 in of the law.
    let metres = 28.0 * 0.0254;
    assert_eq!(level(plan(Some("US-CA"), metres), &[]), None);
    assert_eq!(level(plan(Some("US-CA"), metres), &[set(Layer::House, 36.0, false)]), Some(Level::Advice));
    assert_eq!(level(plan(Some("US-CA"), metres), &[set(Layer::Local, 36.0, true)]), Some(Level::Violation));
    // 23 in clear.
    assert_eq!(level(plan(Some("US-CA"), 24.0 * 0.0254), &[]), Some(Level::Violation));
    // Private lines are not the law's.
    let mut private = plan(Some("US-CA"), 24.0 * 0.0254);
    private.utilities[0].located = Some(Located::Private);
    assert_eq!(level(private, &[]), Some(Level::Reminder));
}

#[test]
fn where_the_zone_is_not_known_only_the_widest_passes() {
    let missing = |region, inches: f64| {
        let result = check(plan(region, inches * 0.0254), &[]);
        let missing: Vec<String> = result.undetermined.into_iter().flat_map(|element| element.missing).collect();
        (result.findings.len(), missing)
    };
    // 1 in is half of the line; 48 in is the widest zone.
    assert_eq!(missing(Some("US-WA"), 49.1), (0, vec![]));
    assert_eq!(missing(Some("US-WA"), 48.9), (0, vec!["a confirmed tolerance zone of Washington".to_owned()]));
    assert_eq!(missing(None, 48.9), (0, vec!["`project.region`".to_owned()]));
    assert_eq!(missing(None, 18.9), (1, vec![]));
}

#[test]
fn the_nearest_point_is_where_paths_cross_or_come_closest() {
    let path = [point(0.0, 0.0), point(10.0, 0.0), point(10.0, 10.0)];
    let near = |other: &[Point]| nearest_point(&path, other).map(|at| (at.x_m, at.y_m));
    assert_eq!(near(&[point(4.0, -5.0), point(4.0, 5.0)]), Some((4.0, 0.0)));
    assert_eq!(near(&[point(12.0, 7.0), point(15.0, 7.0)]), Some((10.0, 7.0)));
    // Beyond the end of the path, its end.
    assert_eq!(near(&[point(-3.0, -5.0), point(-3.0, 5.0)]), Some((0.0, 0.0)));
    assert_eq!(near(&[point(0.0, 0.0)]), None);
    assert_eq!(
        nearest_point(&[point(0.0, 0.0), point(0.0, 0.0)], &[point(1.0, 0.0), point(1.0, 1.0)]).map(|at| at.x_m),
        Some(0.0)
    );
}

#[test]
fn places_are_told_in_the_units_of_the_country() {
    let mut given = plan(Some("US-CA"), 0.3048);
    given.utilities[0].path = vec![point(3.048, -1.0), point(3.048, 1.0)];
    let message = check(given.clone(), &[]).findings.remove(0).message;
    assert!(message.contains("nearest at x 10 ft, y 0 ft"), "{message}");
    given.project.country = Some("DE".to_owned());
    given.project.region = None;
    let message = check(given, &[]).findings.remove(0).message;
    assert!(message.contains("279.4 mm from the edge of gas-1, nearest at x 3 m, y 0 m"), "{message}");
}

/// Where a survey has its origin says nothing of the garden.
#[test]
fn the_nearest_point_moves_with_the_plan() {
    let rows = [
        // Across a run aslant in its middle; beside it, nearest at the foot (2, 1); off its end.
        ([(2.0, 3.0), (2.0, -1.0)], (2.0, 1.0)),
        ([(1.0, 3.0), (0.0, 5.0)], (2.0, 1.0)),
        ([(-2.0, 1.0), (-2.0, -3.0)], (0.0, 0.0)),
        ([(7.0, 2.0), (9.0, 6.0)], (6.0, 3.0)),
    ];
    for (dx, dy) in [(0.0, 0.0), (40.0, 24.0), (-32.0, 8.0), (16.0, -64.0)] {
        let moved = |(x, y): (f64, f64)| point(x + dx, y + dy);
        let run = [(0.0, 0.0), (6.0, 3.0)].map(moved);
        for (line, at) in rows {
            let found = nearest_point(&run, &line.map(moved)).expect("a point");
            assert!(length(found, moved(at)) < 1e-9, "{line:?} with {dx}, {dy} added: {found:?}");
        }
    }
}

/// A line of unstated width may be 24 in (610 mm) wide, so its edge up to 305 mm nearer than its middle.
#[test]
fn a_metric_zone_is_kept_for_the_widest_line() {
    let missing = |distance_m| {
        let mut given = plan(None, distance_m);
        given.project.country = Some("DE".to_owned());
        given.utilities[0].width = None;
        let result = check(given, &[]);
        let missing: Vec<String> = result.undetermined.into_iter().flat_map(|element| element.missing).collect();
        (result.findings.len(), missing)
    };
    // The zone is 457 mm.
    assert_eq!(missing(0.45), (1, vec![]));
    assert_eq!(missing(0.46), (0, vec!["`width` of gas-1".to_owned()]));
    assert_eq!(missing(0.76), (0, vec!["`width` of gas-1".to_owned()]));
    assert_eq!(missing(0.77), (0, vec![]));
}

/// A wider zone of an amendment is that of the lines that the one-call center marks.
#[test]
fn an_amendment_is_law_for_marked_lines() {
    let level_of = |located| {
        let mut given = plan(Some("US-CA"), 28.0 * 0.0254);
        given.utilities[0].located = located;
        level(given, &[set(Layer::Local, 36.0, true)])
    };
    assert_eq!(level_of(Some(Located::Marked)), Some(Level::Violation));
    assert_eq!(level_of(Some(Located::Private)), Some(Level::Reminder));
    assert_eq!(level_of(None), Some(Level::Reminder));
}

/// The duty of Connecticut is one at lines of fuel; its zone is not confirmed, so this one has that of California.
#[test]
fn a_duty_at_fuel_lines_is_none_at_water() {
    let state = |region| *STATES.iter().find(|state| state.region == region).expect("there is a row");
    let own: &'static State = Box::leak(Box::new(State { zone_in: state("US-CA").zone_in, ..state("US-CT") }));
    let forbidden = |kind| {
        let line = Utility { located: Some(Located::Marked), ..blank::utility("u", kind) };
        forbidden_to_machines_in(&Place::State(own), &line)
    };
    assert_eq!((forbidden(UtilityKind::Gas), forbidden(UtilityKind::Water)), (Some(24.0), None));
}

/// Of a run of two segments the one that comes nearer, or crosses, is told, in whatever order they are drawn.
#[test]
fn a_run_is_as_near_as_its_nearest_segment() {
    let message = |near: [(f64, bool); 2], line: [(f64, f64); 2]| {
        let mut given = plan(Some("US-CA"), 0.3);
        let (start, end) = (NodeRef::Junction(1), NodeRef::Junction(2));
        let path = vec![point(10.0, 0.0), point(10.0, 10.0)];
        given.runs[0].segments.push(Segment { start, end, length_m: 10.0, path });
        let piece = |(distance_m, crosses)| {
            let near = UtilityDistance { utility: 0, distance_m, crosses };
            Some(vec![Piece { utilities: vec![near], ..blank::piece(10.0) }])
        };
        given.run_pieces = vec![near.map(piece).to_vec()];
        given.utilities[0].path = line.map(|(x, y)| point(x, y)).to_vec();
        check(given, &[]).findings.remove(0).message
    };
    let across = message([(6.096, false), (0.0, true)], [(8.0, 6.096), (12.0, 6.096)]);
    assert!(across.contains("across gas-1, at x 32.8 ft, y 20 ft"), "{across}");
    let across = message([(0.0, true), (6.096, false)], [(3.048, -2.0), (3.048, 2.0)]);
    assert!(across.contains("across gas-1, at x 10 ft, y 0 ft"), "{across}");
    // 12 in from the middle of a line of 2 in, at the second segment.
    let beside = message([(6.096, false), (0.3048, false)], [(10.3048, 6.096), (14.0, 6.096)]);
    assert!(beside.contains("11 in from the edge of gas-1, nearest at x 32.8 ft, y 20 ft"), "{beside}");
}

/// What is farther from every line than distances look was checked all the same.
#[test]
fn a_run_far_from_all_lines_is_checked() {
    let mut given = plan(Some("US-CA"), 100.0);
    given.run_pieces[0][0].iter_mut().flatten().for_each(|piece| piece.utilities.clear());
    let result = check(given, &[]);
    assert_eq!((result.checked, result.undetermined.len(), result.findings.len()), (1, 0, 0));
}

/// A run on the lawn goes under the drive in conduit. Where the zones overlap the drive's entry holds, whichever of the two
/// comes first in the plan.
#[test]
fn the_entry_for_the_drive_holds_whatever_the_order() {
    let lawn = ZoneCover { zone: 0, cover: None, method: Some(Method::Surface), concrete: None, backfill: None };
    let drive = ZoneCover { zone: 1, method: Some(Method::PvcConduit), ..lawn.clone() };
    let found = |covers: Vec<ZoneCover>| {
        let mut given = plan(Some("US-CA"), 0.2);
        given.zones = vec![blank::zone("lawn", ZoneKind::Lawn), blank::zone("drive", ZoneKind::Driveway)];
        given.runs[0].method = Some(Method::Surface);
        given.runs[0].covers = covers;
        if let Some(pieces) = &mut given.run_pieces[0][0] {
            pieces[0].zones = vec![0, 1];
        }
        check(given, &[]).findings.len()
    };
    assert_eq!(found(vec![lawn.clone(), drive.clone()]), 1);
    assert_eq!(found(vec![drive, lawn.clone()]), 1);
    assert_eq!(found(vec![lawn]), 0, "nothing is dug on the lawn");
}
