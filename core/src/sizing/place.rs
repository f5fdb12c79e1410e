//! Where a proposal starts, and points that are written into a plan.

use super::path::distance_m;
use crate::layout::{Layout, PointM};
use crate::plan::model::{Grid, ZoneKind};
use crate::plan::quantity::METRES_PER_FOOT;
use crate::plan::scalar::Point;

/// Decimals of a grid unit that a place is proposed with, as a factor: 0.001 ft or 1 mm.
const STEPS_PER_UNIT: f64 = 1000.0;

/// Decimals of a grid unit that count in a plan, as a factor.
const PLAN_STEPS_PER_UNIT: f64 = 1e6;

/// A point as a plan writes it, and the same in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub(super) grid: Point,
    pub(super) at: PointM,
}

/// Metres in one grid unit.
fn metres_per_unit(grid: Grid) -> f64 {
    match grid {
        Grid::Ft => METRES_PER_FOOT,
        Grid::M => 1.0,
    }
}

impl Place {
    /// A point in grid units, in metres as the loader has it.
    pub(super) fn of_grid(point: Point, grid: Grid) -> Self {
        let unit = metres_per_unit(grid);
        Self { grid: point, at: PointM { x_m: point.x * unit, y_m: point.y * unit } }
    }

    /// A point of the plan itself: in metres as the loader has it, in grid units as far as the plan's decimals count.
    pub(super) fn of_plan(at: PointM, grid: Grid) -> Self {
        let unit = metres_per_unit(grid);
        let digits = |metres: f64| (metres / unit * PLAN_STEPS_PER_UNIT).round() / PLAN_STEPS_PER_UNIT + 0.0;
        Self { grid: Point { x: digits(at.x_m), y: digits(at.y_m) }, at }
    }

    /// A point in metres, rounded to what is written.
    pub(super) fn rounded(at: PointM, grid: Grid) -> Self {
        let unit = metres_per_unit(grid);
        let round = |metres: f64| (metres / unit * STEPS_PER_UNIT).round() / STEPS_PER_UNIT + 0.0;
        Self::of_grid(Point { x: round(at.x_m), y: round(at.y_m) }, grid)
    }
}

/// The middle of some points: their mean.
pub(super) fn middle(points: &[PointM]) -> PointM {
    let count = points.len().max(1) as f64;
    let mean = |of: fn(&PointM) -> f64| points.iter().map(of).sum::<f64>() / count;
    PointM { x_m: mean(|p| p.x_m), y_m: mean(|p| p.y_m) }
}

/// The point on the outline of a building that is nearest to a point; `None` without a building.
pub(super) fn on_building(layout: &Layout, to: PointM) -> Option<(PointM, String)> {
    let buildings = layout.zones.iter().filter(|zone| zone.kind == ZoneKind::Building);
    let nearest = buildings.flat_map(|zone| {
        let ends = zone.outline.iter().zip(zone.outline.iter().cycle().skip(1));
        ends.map(move |(a, b)| (nearest_on(*a, *b, to), zone.id.0.clone()))
    });
    nearest.min_by(|(a, _), (b, _)| distance_m(*a, to).total_cmp(&distance_m(*b, to)))
}

/// The point of a straight line from `a` to `b` that is nearest to `to`.
fn nearest_on(a: PointM, b: PointM, to: PointM) -> PointM {
    let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let squared = dx * dx + dy * dy;
    let share = if squared > 0.0 { ((to.x_m - a.x_m) * dx + (to.y_m - a.y_m) * dy) / squared } else { 0.0 };
    let share = share.clamp(0.0, 1.0);
    PointM { x_m: a.x_m + share * dx, y_m: a.y_m + share * dy }
}
