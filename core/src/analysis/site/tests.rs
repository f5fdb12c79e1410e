//! Cases computed by hand. One foot is 0.3048 m.

mod against_brute_force;
mod bounds;

use super::scene::Scene;
use super::work::Work;
use super::{Piece, PlaceFacts, SegmentPlaces, UtilityDistance, WaterDistance, locate};
use crate::layout::{House, Layout, PointM, Utility, Zone};
use crate::plan::model::{Grid, UtilityKind, ZoneKind};
use crate::plan::scalar::Id;

const FT: f64 = 0.3048;

fn points(unit: f64, list: &[[f64; 2]]) -> Vec<PointM> {
    list.iter().map(|&[x, y]| PointM { x_m: x * unit, y_m: y * unit }).collect()
}

/// A site in feet.
fn site(zones: &[(ZoneKind, &[[f64; 2]])], utilities: &[&[[f64; 2]]]) -> Layout {
    let zone = |(i, (kind, outline)): (usize, &(ZoneKind, &[[f64; 2]]))| Zone {
        id: Id(format!("z{i}")),
        kind: *kind,
        outline: points(FT, outline),
        slab_thickness: None,
        slab_beyond: None,
        jets: None,
        house: House::default(),
    };
    let utility = |(i, path): (usize, &&[[f64; 2]])| Utility {
        id: Id(format!("u{i}")),
        kind: UtilityKind::Gas,
        path: points(FT, path),
        located: None,
        depth: None,
        width: None,
        house: House::default(),
    };
    Layout {
        grid: Some(Grid::Ft),
        zones: zones.iter().enumerate().map(zone).collect(),
        utilities: utilities.iter().enumerate().map(utility).collect(),
        ..Layout::default()
    }
}

fn place(layout: &Layout, x: f64, y: f64) -> PlaceFacts {
    Scene::new(layout).place(PointM { x_m: x * FT, y_m: y * FT }, &mut Work::new()).unwrap()
}

fn pieces(layout: &Layout, path: &[[f64; 2]]) -> Vec<Piece> {
    Scene::new(layout).pieces(&points(FT, path), &mut Work::new()).unwrap()
}

/// The pieces as (from, to, zones) in feet, to a billionth.
fn stretches(layout: &Layout, path: &[[f64; 2]]) -> Vec<(f64, f64, Vec<usize>)> {
    let feet = |metres: f64| (metres / FT * 1e9).round() / 1e9;
    pieces(layout, path).into_iter().map(|p| (feet(p.from_m), feet(p.to_m), p.zones)).collect()
}

const SQUARE: &[[f64; 2]] = &[[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]];

#[test]
fn a_point_on_an_edge_is_inside() {
    // (1, 2) is a third of the way from (0, 0) to (3, 6); so is (0.1, 0.2) of the way to (0.3, 0.6).
    let triangle: &[[f64; 2]] = &[[0.0, 0.0], [3.0, 6.0], [-4.0, 6.0]];
    let small: &[[f64; 2]] = &[[0.0, 0.0], [0.3, 0.6], [0.9, 0.1]];
    let layout = site(&[(ZoneKind::Lawn, triangle), (ZoneKind::Bed, small)], &[]);
    assert_eq!(place(&layout, 1.0, 2.0).zones, [0]);
    // The small zone lies on the other side of the same edge.
    assert_eq!(place(&layout, 0.1, 0.2).zones, [0, 1]);
    assert_eq!(place(&layout, 0.0, 0.0).zones, [0, 1]);
    // A millionth of a foot beside the edge.
    assert_eq!(place(&layout, 1.000_001, 2.0).zones, [0_usize; 0]);
    assert_eq!(place(&layout, 0.999_999, 2.0).zones, [0]);
    // On the lines of edges, beyond their ends.
    assert_eq!(place(&layout, 4.0, 8.0).zones, [0_usize; 0]);
    assert_eq!(place(&layout, 3.5, 6.0).zones, [0_usize; 0]);
}

#[test]
fn a_concave_outline_in_either_direction() {
    // A U: 3 wide bars with a notch from (3, 3) to (7, 10).
    let mut u =
        vec![[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [7.0, 10.0], [7.0, 3.0], [3.0, 3.0], [3.0, 10.0], [0.0, 10.0]];
    for _ in 0..2 {
        let layout = site(&[(ZoneKind::Lawn, &u)], &[]);
        let inside = |x, y| place(&layout, x, y).zones == [0];
        assert!(inside(1.0, 9.0) && inside(9.0, 9.0) && inside(5.0, 2.0));
        assert!(!inside(5.0, 9.0) && !inside(5.0, 3.1) && !inside(-1.0, 10.0) && !inside(-1.0, 3.0));
        assert!(inside(5.0, 3.0) && inside(3.0, 10.0) && inside(7.0, 3.0));
        // Through both bars and the notch: 1 + 3 + 4 + 3 + 1 ft.
        let expected =
            [(0.0, 1.0, vec![]), (1.0, 4.0, vec![0]), (4.0, 8.0, vec![]), (8.0, 11.0, vec![0]), (11.0, 12.0, vec![])];
        assert_eq!(stretches(&layout, &[[-1.0, 8.0], [11.0, 8.0]]), expected);
        // Along the bottom of the notch, which is an edge, and over the tops of both bars, which are edges too.
        assert_eq!(stretches(&layout, &[[0.0, 3.0], [10.0, 3.0]]), [(0.0, 10.0, vec![0])]);
        let tops = [(0.0, 3.0, vec![0]), (3.0, 7.0, vec![]), (7.0, 10.0, vec![0])];
        assert_eq!(stretches(&layout, &[[0.0, 10.0], [10.0, 10.0]]), tops);
        u.reverse();
    }
}

#[test]
fn a_path_along_an_edge_that_two_zones_share_is_in_both() {
    let right: &[[f64; 2]] = &[[10.0, -5.0], [20.0, -5.0], [20.0, 5.0], [10.0, 5.0]];
    let layout = site(&[(ZoneKind::Lawn, SQUARE), (ZoneKind::Driveway, right)], &[]);
    // The shared stretch of x = 10 runs from 0 to 5; below it the edge is the drive's alone, above it the lawn's.
    let expected =
        [(0.0, 1.0, vec![]), (1.0, 6.0, vec![1]), (6.0, 11.0, vec![0, 1]), (11.0, 16.0, vec![0]), (16.0, 17.0, vec![])];
    assert_eq!(stretches(&layout, &[[10.0, -6.0], [10.0, 11.0]]), expected);
    // Across it there is no length in both, but the point on it is.
    assert_eq!(stretches(&layout, &[[0.0, 2.0], [20.0, 2.0]]), [(0.0, 10.0, vec![0]), (10.0, 20.0, vec![1])]);
    assert_eq!(place(&layout, 10.0, 2.0).zones, [0, 1]);
}

#[test]
fn a_touch_makes_no_piece_and_a_bend_does_not_end_one() {
    let layout = site(&[(ZoneKind::Lawn, SQUARE)], &[]);
    // Over the corner (10, 10), from outside to outside, twice; then with the bend on the corner.
    assert_eq!(stretches(&layout, &[[6.0, 13.0], [14.0, 7.0]]), [(0.0, 10.0, vec![])]);
    assert_eq!(stretches(&layout, &[[5.0, 15.0], [15.0, 5.0]]), [(0.0, 14.142_135_624, vec![])]);
    assert_eq!(stretches(&layout, &[[10.0, 13.0], [10.0, 10.0], [14.0, 10.0]]), [(0.0, 7.0, vec![])]);
    // In at (0, 5), a bend at (5, 5), a point that is repeated, out at (5, 0): 1 + 5 + 5 + 2 ft.
    let path = [[-1.0, 5.0], [5.0, 5.0], [5.0, 5.0], [5.0, -2.0]];
    assert_eq!(stretches(&layout, &path), [(0.0, 1.0, vec![]), (1.0, 11.0, vec![0]), (11.0, 13.0, vec![])]);
    // Up to a bend that lies on the edge, and back.
    let path = [[-1.0, 5.0], [0.0, 5.0], [-1.0, 6.0]];
    assert_eq!(stretches(&layout, &path), [(0.0, 2.414_213_562, vec![])]);
}

#[test]
fn a_zone_in_a_zone_and_a_path_of_no_length() {
    let bed: &[[f64; 2]] = &[[4.0, 4.0], [6.0, 4.0], [6.0, 6.0], [4.0, 6.0]];
    let layout = site(&[(ZoneKind::Bed, bed), (ZoneKind::Lawn, SQUARE)], &[]);
    let expected = [(0.0, 3.0, vec![1]), (3.0, 5.0, vec![0, 1]), (5.0, 8.0, vec![1])];
    assert_eq!(stretches(&layout, &[[1.0, 5.0], [9.0, 5.0]]), expected);
    assert_eq!(stretches(&layout, &[[4.0, 4.5], [6.0, 5.5]]).len(), 1, "wholly inside, from edge to edge");
    for path in [vec![[6.0, 5.0]; 2], vec![[6.0, 5.0]; 5]] {
        let found = pieces(&layout, &path);
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].from_m, found[0].to_m, found[0].zones.as_slice()), (0.0, 0.0, &[0, 1][..]));
        assert_eq!((found[0].start, found[0].end), (found[0].start, points(FT, &path)[0]));
    }
}

#[test]
fn ends_of_pieces_are_points_of_the_path() {
    let layout = site(&[(ZoneKind::Lawn, SQUARE)], &[]);
    // From (-3, -4) through the corner (0, 0) to the bend (3, 4), 10 ft along, and on to (3, 14): out at (3, 10).
    let found = pieces(&layout, &[[-3.0, -4.0], [3.0, 4.0], [3.0, 14.0]]);
    let at = |p: PointM| [(p.x_m / FT * 1e9).round() / 1e9, (p.y_m / FT * 1e9).round() / 1e9];
    let ends: Vec<_> = found.iter().map(|p| (at(p.start), at(p.end))).collect();
    assert_eq!(ends, [([-3.0, -4.0], [0.0, 0.0]), ([0.0, 0.0], [3.0, 10.0]), ([3.0, 10.0], [3.0, 14.0])]);
    // The ends of the path are the plan's own numbers.
    assert_eq!(found[0].start, points(FT, &[[-3.0, -4.0]])[0]);
    assert_eq!(found[2].end, points(FT, &[[3.0, 14.0]])[0]);
}

fn water(zone: usize, feet: f64) -> WaterDistance {
    WaterDistance { zone, distance_m: feet * FT }
}

fn line(utility: usize, feet: f64, crosses: bool) -> UtilityDistance {
    UtilityDistance { utility, distance_m: feet * FT, crosses }
}

#[test]
fn distances_belong_to_the_piece() {
    let pool: &[[f64; 2]] = &[[20.0, 0.0], [30.0, 0.0], [30.0, 10.0], [20.0, 10.0]];
    let gas: &[[f64; 2]] = &[[-2.0, -20.0], [-2.0, 20.0]];
    let layout = site(&[(ZoneKind::Lawn, SQUARE), (ZoneKind::Pool, pool)], &[gas]);
    let found = pieces(&layout, &[[-5.0, 5.0], [25.0, 5.0]]);
    let facts: Vec<_> = found.iter().map(|p| (p.water.clone(), p.utilities.clone())).collect();
    let expected = [
        // From x = -5 to 0: the pool is at 20, the gas line at -2 is crossed.
        (vec![water(1, 20.0)], vec![line(0, 0.0, true)]),
        // From 0 to 10.
        (vec![water(1, 10.0)], vec![line(0, 2.0, false)]),
        // From 10 to 20: it ends on the edge of the pool.
        (vec![water(1, 0.0)], vec![line(0, 12.0, false)]),
        // From 20 to 25, in the pool.
        (vec![water(1, 0.0)], vec![line(0, 22.0, false)]),
    ];
    assert_eq!(facts, expected);
}

#[test]
fn a_line_that_is_met_where_a_piece_ends_is_met_by_both_pieces() {
    let gas: &[[f64; 2]] = &[[10.0, 5.0], [15.0, 25.0]];
    let layout = site(&[(ZoneKind::Lawn, SQUARE)], &[gas]);
    let found = pieces(&layout, &[[5.0, 5.0], [15.0, 5.0]]);
    assert_eq!(found.len(), 2);
    assert!(found.iter().all(|p| p.utilities == [line(0, 0.0, true)]), "{found:?}");
    // Along the edge x = 10 from 8 down to 5.5 it is at its nearest at the end: the line through (10, 5) with
    // direction (1, 4) is 0.5 / sqrt(17) ft from (10, 5.5).
    let found = pieces(&layout, &[[10.0, 8.0], [10.0, 5.5]]);
    let near = found[0].utilities[0];
    assert!(!near.crosses && (near.distance_m - 0.5 / 17_f64.sqrt() * FT).abs() < 1e-12, "{near:?}");
}

#[test]
fn distances_of_places() {
    let pool: &[[f64; 2]] = &[[20.0, 0.0], [30.0, 0.0], [30.0, 10.0], [20.0, 10.0]];
    let pond: &[[f64; 2]] = &[[0.0, 120.0], [9.0, 120.0], [9.0, 130.0]];
    let gas: &[[f64; 2]] = &[[0.0, -3.0], [0.0, -3.0], [8.0, -9.0]];
    let layout = site(&[(ZoneKind::Pool, pool), (ZoneKind::Pond, pond), (ZoneKind::Walk, SQUARE)], &[gas]);
    // 4 ft left of and 3 ft below the pool's corner: 5 ft. From (16, -3) to the end (8, -9): 8 and 6, 10 ft.
    let at = place(&layout, 16.0, -3.0);
    assert_eq!((at.water, at.utilities), (vec![water(0, 5.0)], vec![line(0, 10.0, false)]));
    // On the edge of the pool, in its corner, and inside: 0.
    for (x, y) in [(20.0, 7.0), (30.0, 10.0), (25.0, 1.0)] {
        assert_eq!(place(&layout, x, y).water, [water(0, 0.0)]);
    }
    // (4, -6) is on the gas line, halfway; (7, -2) is 5 ft to the left of it, at a right angle: (4, -6) + (3, 4).
    assert_eq!(place(&layout, 4.0, -6.0).utilities, [line(0, 0.0, true)]);
    assert_eq!(place(&layout, 7.0, -2.0).utilities, [line(0, 5.0, false)]);
}

#[test]
fn what_is_at_thirty_metres_is_near_and_what_is_beyond_is_not() {
    let mut layout = site(&[], &[&[[0.0, 0.0], [0.0, 1.0]]]);
    layout.grid = Some(Grid::M);
    layout.utilities[0].path = points(1.0, &[[0.0, 0.0], [0.0, 1.0]]);
    let near = |x_m| {
        let at = PointM { x_m, y_m: 0.5 };
        Scene::new(&layout).place(at, &mut Work::new()).unwrap().utilities.len()
    };
    assert_eq!([near(29.999_999), near(30.0), near(30.000_001), near(31.0)], [1, 1, 0, 0]);
}

#[test]
fn a_node_without_a_place_has_none() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("plan.yaml");
    let text = "plan: 1
schedule:
  luminaires: { well: { power: 6 W, load: constant-power, nominal: 12 V } }
  cables: { twelve: { conductor: 12 AWG } }
  supplies: { box: { output-current: dc, outputs: [{ name: a, volts: 12 V }] } }
site: { grid: ft, zones: [{ id: lawn, kind: lawn, outline: [[0, 0], [9, 0], [9, 9], [0, 0]] }] }
supplies: [{ id: S1, type: box }, { id: S2, type: box, at: [9, 5] }]
junctions: [{ id: J1, at: [20, 5] }]
luminaires: [{ id: L1, type: well, at: [6, 8] }, { id: L2, type: well }]
runs:
  - { id: R1, cable: twelve, route: [S1, L1], length: 12 ft }
  - { id: R2, cable: twelve, route: [S2, [12, 9], J1, L2], lengths: [9 ft, 9 ft] }
";
    std::fs::write(&path, text).unwrap();
    let loaded = crate::plan::load(&crate::repository::Repository::of(&path).unwrap(), &path);
    assert_eq!(loaded.diagnostics, []);
    let facts = locate(&loaded.layout.unwrap()).unwrap();
    let zones = |list: &[Option<PlaceFacts>]| -> Vec<_> { list.iter().map(|p| p.clone().map(|p| p.zones)).collect() };
    assert_eq!(zones(&facts.supplies), [None, Some(vec![0])]);
    assert_eq!(zones(&facts.junctions), [Some(vec![])]);
    assert_eq!(zones(&facts.luminaires), [Some(vec![]), None]);
    assert_eq!(facts.runs[0], [SegmentPlaces::Unplaced]);
    assert_eq!(facts.runs[1][1], SegmentPlaces::Unplaced);
    let SegmentPlaces::Pieces(pieces) = &facts.runs[1][0] else { panic!("both ends have a place") };
    // From the edge of the lawn outwards, (3, 4) and (8, -4): 5 + sqrt(80) ft.
    assert_eq!(pieces.len(), 1);
    assert!((pieces[0].to_m - (5.0 + 80_f64.sqrt()) * FT).abs() < 1e-12 && pieces[0].zones.is_empty());
}
