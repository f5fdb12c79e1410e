//! Plane geometry without rounding, for the check of outlines at load and for the analysis of the site.
//!
//! Coordinates are whole steps of a millionth of the plan's grid unit, held in `f64`. A coordinate of a plan is at most
//! [`MAX_COORDINATE`] grid units, so a step count is below 2^53 and exact, and so are the predicates that rest on it:
//! a point that is written on an edge is on the edge. A seventh decimal (a third of a micrometre) is rounded away.

use crate::layout::PointM;
use crate::plan::model::Grid;
use crate::plan::quantity::METRES_PER_FOOT;
use geo::algorithm::kernels::{Kernel, RobustKernel};
use geo::{Coord, Line, Orientation, Point};
use rstar::{AABB, Envelope, RTree, RTreeObject, SelectionFunction};
use std::cell::Cell;

/// Largest coordinate that a plan may give, grid units: false northings of state grids in feet stay below 2e7.
pub(crate) const MAX_COORDINATE: f64 = 1e8;

/// Steps in one grid unit.
const STEPS_PER_UNIT: f64 = 1e6;

/// Steps that no arithmetic here overflows at; only a layout that was not loaded from a plan gets there.
const MAX_STEPS: f64 = 4e15;

/// A box of the index.
pub(crate) type Area = AABB<Point<f64>>;

/// The lattice of exact coordinates.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lattice {
    metres_per_unit: f64,
}

impl Lattice {
    /// The lattice of a grid unit.
    pub(crate) fn new(grid: Grid) -> Self {
        let metres_per_unit = match grid {
            Grid::Ft => METRES_PER_FOOT,
            Grid::M => 1.0,
        };
        Self { metres_per_unit }
    }

    /// The step that a point in metres was written as.
    pub(crate) fn steps(self, point: PointM) -> Coord<f64> {
        let steps = |metres: f64| {
            let steps = (metres / self.metres_per_unit * STEPS_PER_UNIT).round().clamp(-MAX_STEPS, MAX_STEPS);
            if steps.is_nan() { 0.0 } else { steps + 0.0 }
        };
        Coord { x: steps(point.x_m), y: steps(point.y_m) }
    }

    /// A length in steps as metres.
    pub(crate) fn metres(self, steps: f64) -> f64 {
        steps / STEPS_PER_UNIT * self.metres_per_unit
    }

    /// A length in metres as steps, not rounded.
    pub(crate) fn length(self, metres: f64) -> f64 {
        metres / self.metres_per_unit * STEPS_PER_UNIT
    }

    /// A point in steps as metres.
    pub(crate) fn point(self, point: Coord<f64>) -> PointM {
        PointM { x_m: self.metres(point.x), y_m: self.metres(point.y) }
    }
}

/// The side of the line from `a` to `b` on which `p` lies, exactly.
pub(crate) fn side(a: Coord<f64>, b: Coord<f64>, p: Coord<f64>) -> Orientation {
    <RobustKernel as Kernel<f64>>::orient2d(a, b, p)
}

/// Twice the signed area of the triangle of a line and a point, square steps, exactly: above zero on the left.
pub(crate) fn cross(line: &Line<f64>, p: Coord<f64>) -> i128 {
    // Differences of whole steps below 2^53 are exact in f64; their products fit 2^108.
    let d = line.delta();
    let e = p - line.start;
    (d.x as i128) * (e.y as i128) - (d.y as i128) * (e.x as i128)
}

/// The edges that join the points of a line in order, without those of no length.
pub(crate) fn edges(points: &[Coord<f64>]) -> impl Iterator<Item = Line<f64>> {
    points.windows(2).map(|w| Line::new(w[0], w[1])).filter(|edge| edge.start != edge.end)
}

/// A question to an index: what lies in an area, or along a line. It counts what it looked at, so that a hostile
/// plan can be stopped.
pub(crate) struct Probe {
    area: Option<Area>,
    line: Option<Line<f64>>,
    looked: Cell<u64>,
}

impl Probe {
    /// What lies in the box of two corners, its border included, that is widened by `reach` steps on every side.
    pub(crate) fn area(a: Coord<f64>, b: Coord<f64>, reach: f64) -> Self {
        let low = Point::new(a.x.min(b.x) - reach, a.y.min(b.y) - reach);
        let high = Point::new(a.x.max(b.x) + reach, a.y.max(b.y) + reach);
        Self { area: Some(AABB::from_corners(low, high)), line: None, looked: Cell::new(0) }
    }

    /// Boxes that a straight piece from its start to its end meets.
    pub(crate) fn along(line: Line<f64>) -> Self {
        Self { line: Some(line), ..Self::area(line.start, line.end, 0.0) }
    }

    /// Boxes that the endless line through two points meets.
    pub(crate) fn through(line: Line<f64>) -> Self {
        Self { area: None, line: Some(line), looked: Cell::new(0) }
    }

    /// Asks an index. What is found is in the index's own order, which equal input makes equal.
    pub(crate) fn ask<'a, T>(&'a self, tree: &'a RTree<T>) -> impl Iterator<Item = &'a T>
    where
        T: RTreeObject<Envelope = Area>,
    {
        tree.locate_with_selection_function(self)
    }

    /// Boxes looked at so far.
    pub(crate) fn looked(&self) -> u64 {
        self.looked.get()
    }

    fn meets(&self, other: &Area) -> bool {
        self.looked.set(self.looked.get() + 1);
        self.area.is_none_or(|area| area.intersects(other))
            && self.line.is_none_or(|line| {
                let (low, high) = (other.lower(), other.upper());
                let corner = |x, y| side(line.start, line.end, Coord { x, y });
                let first = corner(low.x(), low.y());
                first == Orientation::Collinear
                    || first != corner(high.x(), high.y())
                    || first != corner(low.x(), high.y())
                    || first != corner(high.x(), low.y())
            })
    }
}

impl<T: RTreeObject<Envelope = Area>> SelectionFunction<T> for &Probe {
    fn should_unpack_parent(&self, envelope: &Area) -> bool {
        self.meets(envelope)
    }

    fn should_unpack_leaf(&self, leaf: &T) -> bool {
        self.meets(&leaf.envelope())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_of_a_plan_come_back_as_whole_steps() {
        for grid in [Grid::Ft, Grid::M] {
            let lattice = Lattice::new(grid);
            let unit = lattice.metres_per_unit;
            for (written, steps) in [(0.1, 1e5), (-0.3, -3e5), (12.345_678, 12_345_678.0), (0.7, 7e5), (-0.0, 0.0)] {
                let at = lattice.steps(PointM { x_m: written * unit, y_m: MAX_COORDINATE * unit });
                assert_eq!((at.x, at.y), (steps, 1e14), "{written}");
                assert!(at.x.is_sign_positive() || at.x < 0.0);
            }
            // The largest coordinate with all of its six decimals: 8 digits before the point and 6 behind it.
            let at = lattice.steps(PointM { x_m: 99_999_999.999_999 * unit, y_m: f64::NAN });
            assert_eq!((at.x, at.y), (99_999_999_999_999.0, 0.0));
        }
    }

    #[test]
    fn a_cross_product_is_exact_where_floating_point_is_not() {
        // (3e13 + 1)(1e14 - 1) - (1e14)(3e13) = 3e27 - 3e13 + 1e14 - 1 - 3e27 = 7e13 - 1.
        let line = Line::new(Coord { x: 0.0, y: 0.0 }, Coord { x: 3e13 + 1.0, y: 3e13 });
        assert_eq!(cross(&line, Coord { x: 1e14, y: 1e14 - 1.0 }), 70_000_000_000_000 - 1);
    }

    #[test]
    fn lengths_in_steps_and_in_metres() {
        // A foot is 0.3048 m and a million steps.
        let feet = Lattice::new(Grid::Ft);
        assert_eq!((feet.length(0.6096), feet.metres(3e6)), (2e6, 3.0 * 0.3048));
        assert_eq!(feet.point(Coord { x: 5e6, y: -1e6 }), PointM { x_m: 5.0 * 0.3048, y_m: -0.3048 });
        let metres = Lattice::new(Grid::M);
        assert_eq!((metres.length(0.25), metres.metres(250_000.0)), (250_000.0, 0.25));
        let far = metres.steps(PointM { x_m: -1e300, y_m: f64::INFINITY });
        assert_eq!((far.x, far.y), (-MAX_STEPS, MAX_STEPS));
    }

    #[test]
    fn sides_and_crosses_have_the_signs_of_a_left_turn() {
        let at = |x, y| Coord { x, y };
        let line = Line::new(at(1.0, 2.0), at(4.0, 6.0));
        // (3, 4) by (0, 5): 15 - 0 on the left; by (5, 0): 0 - 20 on the right; by (6, 8): 24 - 24.
        for (p, twice_area, side_of_p) in [
            (at(1.0, 7.0), 15, Orientation::CounterClockwise),
            (at(6.0, 2.0), -20, Orientation::Clockwise),
            (at(7.0, 10.0), 0, Orientation::Collinear),
        ] {
            assert_eq!((cross(&line, p), side(line.start, line.end, p)), (twice_area, side_of_p));
        }
        let bends = [at(0.0, 0.0), at(0.0, 0.0), at(1.0, 0.0), at(1.0, 0.0), at(0.0, 0.0)];
        let expected = [Line::new(bends[0], bends[2]), Line::new(bends[2], bends[4])];
        assert_eq!(edges(&bends).collect::<Vec<_>>(), expected);
    }

    /// What a probe finds in an index of unit boxes with these lower corners, and how many boxes it looked at.
    fn found(corners: &[(f64, f64)], probe: &Probe) -> (Vec<(f64, f64)>, u64) {
        let tree = RTree::bulk_load(corners.iter().copied().map(Unit).collect());
        let mut found: Vec<(f64, f64)> = probe.ask(&tree).map(|unit| unit.0).collect();
        found.sort_unstable_by(|a, b| a.partial_cmp(b).unwrap());
        (found, probe.looked())
    }

    /// A box of one step by its lower corner.
    struct Unit((f64, f64));

    impl RTreeObject for Unit {
        type Envelope = Area;

        fn envelope(&self) -> Area {
            let (x, y) = self.0;
            AABB::from_corners(Point::new(x, y), Point::new(x + 1.0, y + 1.0))
        }
    }

    /// Four boxes, so that the index has them beside each other under its root, which is looked at first.
    #[test]
    fn a_probe_finds_the_boxes_that_it_meets_and_counts_what_it_looked_at() {
        let at = |x, y| Coord { x, y };
        let corners = [(0.0, 0.0), (9.0, 0.0), (0.0, 9.0), (9.0, 9.0)];
        let [low_left, low_right, high_left, high_right] = corners;
        let on_all_sides = at(5.0, 5.0);
        for (probe, expected) in [
            // Within 4 on every side, borders included, in either order of the corners.
            (Probe::area(on_all_sides, on_all_sides, 4.0), vec![low_left, high_left, low_right, high_right]),
            (Probe::area(on_all_sides, on_all_sides, 3.5), vec![]),
            (Probe::area(at(5.0, 5.0), at(5.5, 5.5), 3.5), vec![high_right]),
            (Probe::area(at(5.0, 5.0), at(4.5, 5.5), 3.5), vec![high_left]),
            (Probe::area(at(5.5, 4.5), at(5.0, 5.0), 3.5), vec![low_right]),
            // Corner to corner, past the boxes at the other corners of its own box.
            (Probe::along(Line::new(at(0.5, 0.5), at(9.5, 9.5))), vec![low_left, high_right]),
            (Probe::along(Line::new(at(9.5, 0.5), at(0.5, 9.5))), vec![high_left, low_right]),
            // It touches a corner, or an edge of the box, from outside; or stops short, or passes by.
            (Probe::along(Line::new(at(0.0, 2.0), at(2.0, 0.0))), vec![low_left]),
            (Probe::along(Line::new(at(10.0, -3.0), at(10.0, 3.0))), vec![low_right]),
            (Probe::along(Line::new(at(1.5, 1.5), at(8.5, 8.5))), vec![]),
            (Probe::along(Line::new(at(0.0, 2.1), at(2.1, 0.0))), vec![]),
            // The same without ends.
            (Probe::through(Line::new(at(1.5, 1.5), at(8.5, 8.5))), vec![low_left, high_right]),
            (Probe::through(Line::new(at(4.0, 6.0), at(6.0, 4.0))), vec![high_left, low_right]),
            (Probe::through(Line::new(at(4.0, 0.5), at(3.0, 0.5))), vec![low_left, low_right]),
            (Probe::through(Line::new(at(0.0, 2.1), at(2.1, 0.0))), vec![]),
        ] {
            assert_eq!(found(&corners, &probe), (expected, 5));
        }
        // Nothing under a root that is not met.
        assert_eq!(found(&corners, &Probe::area(at(20.0, 20.0), at(30.0, 30.0), 9.0)), (vec![], 1));
        assert_eq!(found(&corners, &Probe::through(Line::new(at(0.0, 11.0), at(1.0, 11.0)))), (vec![], 1));
    }
}
