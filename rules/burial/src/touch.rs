//! Paths and the edges of zones: whether a path touches a zone in a point, which makes no stretch inside it, and whether
//! a stretch only runs along an edge.

use lintern_rule::Point;

/// Points nearer than this to one another are one, m.
const SAME_M: f64 = 1e-6;

/// Whether a path comes as near to the outline of a zone as a point may be off.
pub fn touches(path: &[Point], outline: &[Point]) -> bool {
    let edges = || outline.iter().zip(outline.iter().cycle().skip(1));
    let legs = || path.iter().zip(path.iter().skip(1).chain(path.last()));
    legs().any(|(a, b)| edges().any(|(c, d)| apart_m2([*a, *b], [*c, *d]) <= SAME_M * SAME_M))
}

/// The part of a path between two distances along it, m.
pub fn part(path: &[Point], from_m: f64, to_m: f64) -> Vec<Point> {
    let mut points = Vec::new();
    let mut done_m = 0.0;
    for (a, b) in path.iter().zip(path.iter().skip(1)) {
        let long_m = ((b.x_m - a.x_m).powi(2) + (b.y_m - a.y_m).powi(2)).sqrt();
        let shares = [from_m, to_m].map(|m| if long_m > 0.0 { ((m - done_m) / long_m).clamp(0.0, 1.0) } else { 0.0 });
        if shares[0] < shares[1] {
            points.extend(shares.map(|s| Point { x_m: a.x_m + s * (b.x_m - a.x_m), y_m: a.y_m + s * (b.y_m - a.y_m) }));
        }
        done_m += long_m;
    }
    points
}

/// Whether a stretch that nowhere leaves a zone also leaves its edge. One of no length does not.
pub fn goes_inside(stretch: &[Point], outline: &[Point]) -> bool {
    let middles = stretch
        .iter()
        .zip(stretch.iter().skip(1))
        .map(|(a, b)| Point { x_m: f64::midpoint(a.x_m, b.x_m), y_m: f64::midpoint(a.y_m, b.y_m) });
    middles.into_iter().any(|middle| !touches(&[middle], outline))
}

/// The square of the distance between two lines, m².
fn apart_m2([a, b]: [Point; 2], [c, d]: [Point; 2]) -> f64 {
    let crosses = side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
    if crosses {
        return 0.0;
    }
    let ends = [to_line_m2(a, [c, d]), to_line_m2(b, [c, d]), to_line_m2(c, [a, b]), to_line_m2(d, [a, b])];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

/// On which side of the line from `a` to `b` a point is, and how far, times the length of the line.
fn side(a: Point, b: Point, point: Point) -> f64 {
    (b.x_m - a.x_m) * (point.y_m - a.y_m) - (b.y_m - a.y_m) * (point.x_m - a.x_m)
}

fn to_line_m2(point: Point, [a, b]: [Point; 2]) -> f64 {
    let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let length_squared = dx * dx + dy * dy;
    let share = if length_squared > 0.0 {
        (((point.x_m - a.x_m) * dx + (point.y_m - a.y_m) * dy) / length_squared).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (point.x_m - a.x_m - share * dx).powi(2) + (point.y_m - a.y_m - share * dy).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(xy: &[(f64, f64)]) -> Vec<Point> {
        xy.iter().map(|(x_m, y_m)| Point { x_m: *x_m, y_m: *y_m }).collect()
    }

    #[test]
    fn a_corner_touches_and_a_gap_does_not() {
        let square = points(&[(0., 0.), (4., 0.), (4., 4.), (0., 4.)]);
        // Through the corner (4, 4), past it at 1 mm, ending on an edge, across, and of no length on the edge.
        assert!(touches(&points(&[(3., 5.), (5., 3.)]), &square));
        assert!(!touches(&points(&[(3.001, 5.001), (5.001, 3.001)]), &square));
        assert!(touches(&points(&[(8., 2.), (4., 2.)]), &square));
        assert!(touches(&points(&[(-1., 2.), (5., 2.)]), &square));
        assert!(touches(&points(&[(4., 1.)]), &square));
        assert!(touches(&points(&[(-1., 4.), (0., 4.)]), &square));
        assert!(!touches(&points(&[(5., 0.), (5., 9.)]), &square));
    }

    #[test]
    fn along_an_edge_is_not_inside() {
        let square = points(&[(0., 0.), (4., 0.), (4., 4.), (0., 4.)]);
        // Round the corner (4, 4) along two edges; from edge to edge through the middle.
        assert!(!goes_inside(&points(&[(1., 4.), (4., 4.), (4., 1.)]), &square));
        assert!(goes_inside(&points(&[(0., 2.), (4., 2.)]), &square));
        assert!(!goes_inside(&points(&[(2., 2.)]), &square));
        // An L of 3 m and 4 m: from 2 m to 5 m is its last metre up and its first two along.
        let bent = points(&[(0., 0.), (0., 3.), (4., 3.)]);
        let xy: Vec<(f64, f64)> = part(&bent, 2.0, 5.0).into_iter().map(|point| (point.x_m, point.y_m)).collect();
        assert_eq!(xy, [(0., 2.), (0., 3.), (0., 3.), (2., 3.)]);
    }

    /// Where a survey has its origin says nothing of the garden.
    #[test]
    fn the_place_of_the_origin_means_nothing() {
        // A terrace 4 m wide and 3 m deep, turned so that no edge is along an axis.
        let terrace = [(0., 0.), (4., 1.), (3., 4.), (-1., 3.)];
        let rows = [
            // From the lawn across two edges, ending inside, past a corner, along an edge at 0.1 m, and away from it.
            (vec![(-3., -1.), (7., 6.)], true),
            (vec![(6., 5.), (2., 2.)], true),
            (vec![(3., 0.), (6., 2.)], false),
            (vec![(0.1, -0.1), (4.1, 0.9)], false),
            (vec![(-6., 3.), (-2., 9.)], false),
        ];
        for (dx, dy) in [(0., 0.), (40., 25.), (-30., 10.), (8., -60.), (-5., -4.)] {
            let moved = |xy: &[(f64, f64)]| points(&xy.iter().map(|(x, y)| (x + dx, y + dy)).collect::<Vec<_>>());
            for (path, meets) in &rows {
                assert_eq!(touches(&moved(path), &moved(&terrace)), *meets, "{path:?} with {dx}, {dy} added");
            }
            let bent = moved(&[(0., 0.), (0., 3.), (4., 3.)]);
            assert_eq!(part(&bent, 2.0, 5.0), moved(&[(0., 2.), (0., 3.), (0., 3.), (2., 3.)]));
        }
    }

    /// A cable comes from the lawn and follows the wall of a house: what is before the wall is no part of that stretch.
    #[test]
    fn a_part_has_nothing_of_the_path_before_and_after() {
        let house = points(&[(0., 0.), (8., 0.), (8., 6.), (0., 6.)]);
        let run = points(&[(-3., -4.), (-3., 0.), (0., 0.), (8., 0.), (12., 0.), (12., 5.)]);
        let along = part(&run, 7.0, 15.0);
        assert_eq!(along, points(&[(0., 0.), (8., 0.)]));
        assert!(!goes_inside(&along, &house));
    }

    /// A cable a hair beside a wall is beside it; what differs by rounding is on it.
    #[test]
    fn a_tenth_of_a_millimetre_is_a_gap() {
        let square = points(&[(0., 0.), (4., 0.), (4., 4.), (0., 4.)]);
        let beside = |x| touches(&points(&[(x, 1.), (x, 3.)]), &square);
        assert!(!beside(4.0001) && beside(4.000_000_1) && beside(3.999_999_9) && !beside(3.9999));
    }
}
