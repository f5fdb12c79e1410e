//! Whether a building stands between a place and the nearest edge of a water: a cord would go around it.

use lintern_rule::plan::{Zone, ZoneKind};
use lintern_rule::{Input, Point};

/// Points nearer than this to one another are one, m.
const SAME_M: f64 = 1e-6;

/// Whether the straight line from a place to the nearest point of a water's edge leads through a wall of a building.
pub fn building_between(input: &Input, from: &Point, water: &Zone) -> bool {
    let Some(to) = nearest_on_outline(from, &water.outline) else { return false };
    let buildings = input.zones().iter().filter(|zone| zone.kind == ZoneKind::Building);
    let mut outlines = buildings.map(|zone| zone.outline.as_slice());
    outlines.any(|outline| leads_through(from, &to, outline))
}

fn edges(outline: &[Point]) -> impl Iterator<Item = (&Point, &Point)> {
    outline.iter().zip(outline.iter().cycle().skip(1))
}

/// The point of an outline that is nearest to a place.
fn nearest_on_outline(from: &Point, outline: &[Point]) -> Option<Point> {
    let on_edges = edges(outline).map(|(a, b)| nearest_on(from, a, b));
    on_edges.min_by(|a, b| squared_m2(from, a).total_cmp(&squared_m2(from, b)))
}

/// The point of an edge that is nearest to a place.
fn nearest_on(from: &Point, a: &Point, b: &Point) -> Point {
    let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let squared = dx * dx + dy * dy;
    let along = if squared > 0.0 { ((from.x_m - a.x_m) * dx + (from.y_m - a.y_m) * dy) / squared } else { 0.0 };
    let along = along.clamp(0.0, 1.0);
    Point { x_m: a.x_m + along * dx, y_m: a.y_m + along * dy }
}

/// The square of the distance of two points, m².
fn squared_m2(a: &Point, b: &Point) -> f64 {
    (a.x_m - b.x_m).powi(2) + (a.y_m - b.y_m).powi(2)
}

/// Whether part of a line is inside of an outline and part of it outside. Along a wall, or at a corner, it is neither.
fn leads_through(from: &Point, to: &Point, outline: &[Point]) -> bool {
    let (dx, dy) = (to.x_m - from.x_m, to.y_m - from.y_m);
    let at = |share: f64| Point { x_m: from.x_m + share * dx, y_m: from.y_m + share * dy };
    let mut shares: Vec<f64> = edges(outline).filter_map(|(a, b)| meets(from, to, a, b)).chain([0.0, 1.0]).collect();
    shares.sort_by(f64::total_cmp);
    let (mut inside, mut outside) = (false, false);
    for [begin, end] in shares.array_windows() {
        let middle = at(f64::midpoint(*begin, *end));
        if edges(outline).any(|(a, b)| squared_m2(&middle, &nearest_on(&middle, a, b)) <= SAME_M * SAME_M) {
            continue;
        }
        if is_inside(&middle, outline) { inside = true } else { outside = true }
    }
    inside && outside
}

/// Where a line meets an edge, as a share of the line; `None` for parallel ones, whose neighbours tell.
fn meets(from: &Point, to: &Point, a: &Point, b: &Point) -> Option<f64> {
    let (dx, dy) = (to.x_m - from.x_m, to.y_m - from.y_m);
    let (ex, ey) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let across = dx * ey - dy * ex;
    if across == 0.0 {
        return None;
    }
    let (ox, oy) = (a.x_m - from.x_m, a.y_m - from.y_m);
    let (of_line, of_edge) = ((ox * ey - oy * ex) / across, (ox * dy - oy * dx) / across);
    // A stretch more costs nothing, one less would be missed: ends count generously.
    let is_on = |share: f64| (-1e-9..=1.0 + 1e-9).contains(&share);
    (is_on(of_line) && is_on(of_edge)).then(|| of_line.clamp(0.0, 1.0))
}

/// Whether a point that is on no edge is inside: a ray from it meets the outline an odd number of times.
fn is_inside(point: &Point, outline: &[Point]) -> bool {
    let crossed = edges(outline).filter(|(a, b)| {
        (a.y_m > point.y_m) != (b.y_m > point.y_m)
            && point.x_m < a.x_m + (point.y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m)
    });
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::{Given, blank};

    fn point(x_m: f64, y_m: f64) -> Point {
        Point { x_m, y_m }
    }

    fn square(id: &str, kind: ZoneKind, x: f64, y: f64, side: f64) -> Zone {
        let outline = vec![point(x, y), point(x + side, y), point(x + side, y + side), point(x, y + side)];
        Zone { outline, ..blank::zone(id, kind) }
    }

    #[test]
    fn the_nearest_point_may_lie_within_an_edge_or_be_a_corner() {
        let pool = square("P", ZoneKind::Pool, 0.0, 0.0, 5.0);
        let nearest = |x, y, outline: &[Point]| nearest_on_outline(&point(x, y), outline).map(|at| (at.x_m, at.y_m));
        assert_eq!(nearest(8.0, 1.5, &pool.outline), Some((5.0, 1.5)));
        assert_eq!(nearest(2.0, -3.0, &pool.outline), Some((2.0, 0.0)));
        assert_eq!(nearest(-3.0, 9.0, &pool.outline), Some((0.0, 5.0)));
        // The foot on the diagonal from (0, 0) to (4, 4).
        let triangle = [point(0.0, 0.0), point(4.0, 4.0), point(0.0, 4.0)];
        assert_eq!(nearest(4.0, 0.0, &triangle), Some((2.0, 2.0)));
    }

    #[test]
    fn a_wall_counts_where_the_straight_line_crosses_it() {
        let pool = square("P", ZoneKind::Pool, 0.0, 0.0, 5.0);
        let hut = square("B", ZoneKind::Building, 6.0, 1.0, 1.0);
        let input = Input::from(Given { zones: vec![pool.clone(), hut], ..Given::default() });
        assert!(building_between(&input, &point(8.0, 1.5), &pool));
        assert!(!building_between(&input, &point(8.0, 3.0), &pool), "beside the hut");
        assert!(!building_between(&input, &point(6.0, 1.5), &pool), "on its wall toward the pool");
        assert!(building_between(&input, &point(7.0, 1.5), &pool), "on its far wall");
        assert!(building_between(&input, &point(6.5, 1.5), &pool), "within it");
    }

    #[test]
    fn a_hut_that_is_met_corner_to_corner_is_between() {
        let pool = square("P", ZoneKind::Pool, 0.0, 0.0, 5.0);
        let hut = square("B", ZoneKind::Building, 6.0, 6.0, 1.0);
        let input = Input::from(Given { zones: vec![pool.clone(), hut], ..Given::default() });
        assert!(building_between(&input, &point(8.0, 8.0), &pool), "through both corners to the corner of the pool");
        assert!(building_between(&input, &point(8.0, 8.1), &pool));
    }

    #[test]
    fn no_wall_stands_between_a_pool_and_what_is_in_the_same_hall() {
        let pool = square("P", ZoneKind::Pool, 0.0, 0.0, 5.0);
        let hall = square("B", ZoneKind::Building, -5.0, -5.0, 20.0);
        let input = Input::from(Given { zones: vec![pool.clone(), hall], ..Given::default() });
        assert!(!building_between(&input, &point(8.0, 1.5), &pool));
        assert!(!building_between(&input, &point(15.0, 1.5), &pool), "on the wall of the hall");
        assert!(building_between(&input, &point(16.0, 1.5), &pool), "outside of it");
    }

    #[test]
    fn a_line_along_a_wall_leads_through_none() {
        let pool = square("P", ZoneKind::Pool, 0.0, 0.0, 5.0);
        let hut = square("B", ZoneKind::Building, 6.0, 1.0, 1.0);
        let input = Input::from(Given { zones: vec![pool.clone(), hut], ..Given::default() });
        assert!(!building_between(&input, &point(8.0, 2.0), &pool), "along the upper wall");
        assert!(!building_between(&input, &point(8.0, 1.0), &pool), "along the lower wall");
    }

    /// Where a survey has its origin says nothing of the garden.
    #[test]
    fn the_place_of_the_origin_means_nothing() {
        for (x, y) in [(0.0, 0.0), (30.0, 20.0), (-40.0, 15.0), (-8.0, -50.0)] {
            let pool = square("P", ZoneKind::Pool, x, y, 5.0);
            let hut = square("B", ZoneKind::Building, x + 6.0, y + 1.0, 1.0);
            let input = Input::from(Given { zones: vec![pool.clone(), hut], ..Given::default() });
            let nearest = |from: Point| nearest_on_outline(&from, &pool.outline).map(|at| (at.x_m, at.y_m));
            assert_eq!(nearest(point(x + 8.0, y + 1.5)), Some((x + 5.0, y + 1.5)), "to the east at {x}, {y}");
            assert_eq!(nearest(point(x + 2.0, y - 3.0)), Some((x + 2.0, y)), "to the south at {x}, {y}");
            assert!(building_between(&input, &point(x + 8.0, y + 1.5), &pool), "behind the hut at {x}, {y}");
            assert!(!building_between(&input, &point(x + 8.0, y + 3.0), &pool), "beside the hut at {x}, {y}");
        }
    }

    /// From (9, 8) a cord would lead straight to the corner (5, 5) of the pool.
    #[test]
    fn a_line_aslant_passes_through_a_hut_or_by_it() {
        let pool = square("P", ZoneKind::Pool, 0.0, 0.0, 5.0);
        let between = |x, y, side| {
            let hut = square("B", ZoneKind::Building, x, y, side);
            let input = Input::from(Given { zones: vec![pool.clone(), hut], ..Given::default() });
            building_between(&input, &point(9.0, 8.0), &pool)
        };
        assert!(between(6.5, 6.0, 1.0) && between(5.5, 5.0, 2.0) && between(8.0, 7.0, 0.5));
        assert!(
            !between(6.0, 7.0, 1.0) && !between(7.5, 5.0, 1.0) && !between(9.5, 8.0, 1.0) && !between(1.0, 8.0, 1.0)
        );
    }

    /// A hut with its corners to the four sides: at y 1.75 its walls are at x 7.25 and 8.75, at y 2.3 at 7.8 and 8.2.
    #[test]
    fn a_hut_may_stand_aslant() {
        for (x, y) in [(0.0, 0.0), (30.0, 20.0), (-40.0, 15.0), (-8.0, -50.0)] {
            let pool = square("P", ZoneKind::Pool, x, y, 5.0);
            let outline = [(8.0, 0.5), (9.0, 1.5), (8.0, 2.5), (7.0, 1.5)].map(|at| point(x + at.0, y + at.1)).to_vec();
            let hut = Zone { outline, ..blank::zone("B", ZoneKind::Building) };
            let input = Input::from(Given { zones: vec![pool.clone(), hut], ..Given::default() });
            let between = |at: (f64, f64)| building_between(&input, &point(x + at.0, y + at.1), &pool);
            for at in [(11.0, 1.75), (8.8, 1.75), (8.0, 1.75), (7.3, 1.75), (8.6, 2.3), (8.0, 2.3), (8.9, 0.8)] {
                assert!(between(at), "behind or within it: {at:?} of {x}, {y}");
            }
            for at in [(7.2, 1.75), (7.7, 2.3), (8.0, 2.6), (11.0, 2.6), (7.6, 0.8), (11.0, 0.4)] {
                assert!(!between(at), "before or beside it: {at:?} of {x}, {y}");
            }
            // From (10, 7.5) a cord leads to the corner (5, 5): on that line x is 2 y - 5.
            let aslant = |corners: [(f64, f64); 3]| {
                let outline = corners.map(|at| point(x + at.0, y + at.1)).to_vec();
                let shed = Zone { outline, ..blank::zone("B", ZoneKind::Building) };
                let input = Input::from(Given { zones: vec![pool.clone(), shed], ..Given::default() });
                building_between(&input, &point(x + 10.0, y + 7.5), &pool)
            };
            assert!(aslant([(6.0, 5.0), (8.0, 7.0), (9.0, 5.5)]), "its corner (8, 7) is above the line");
            assert!(!aslant([(6.0, 5.0), (8.0, 6.4), (9.0, 5.5)]), "its corner (8, 6.4) is below it");
        }
    }

    #[test]
    fn a_cord_may_pass_at_the_corner_of_a_hut() {
        let pool = square("P", ZoneKind::Pool, 0.0, 0.0, 5.0);
        // The line from (9, 9) to (5, 5) touches the upper left and the lower right corner of these.
        for (x, y) in [(7.0, 6.0), (6.0, 7.0)] {
            let hut = square("B", ZoneKind::Building, x, y, 1.0);
            let input = Input::from(Given { zones: vec![pool.clone(), hut], ..Given::default() });
            assert!(!building_between(&input, &point(9.0, 9.0), &pool), "hut at {x}, {y}");
        }
    }
}
