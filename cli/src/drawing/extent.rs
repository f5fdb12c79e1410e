//! How much of a site is drawn.

use super::fill;
use lintern_core::layout::{Layout, PointM};

/// What of the site is shown.
pub struct Extent {
    left_m: f64,
    bottom_m: f64,
    /// Its width, m.
    pub width_m: f64,
    /// Its height, m.
    pub height_m: f64,
    /// Whether something goes on outside.
    pub cut: bool,
}

impl Extent {
    /// Its middle.
    pub fn middle_m(&self) -> PointM {
        PointM { x_m: self.left_m + self.width_m / 2.0, y_m: self.bottom_m + self.height_m / 2.0 }
    }
}

/// The installation with the ground around it, but not a road that goes on for miles.
pub fn of(layout: &Layout) -> Option<Extent> {
    let own = layout
        .supplies
        .iter()
        .filter_map(|s| s.at)
        .chain(layout.junctions.iter().filter_map(|j| j.at))
        .chain(layout.luminaires.iter().filter_map(|l| l.at))
        .chain(layout.runs.iter().flat_map(|run| run.segments.iter().flat_map(|s| s.path.iter().copied())));
    let around = || {
        let zones = layout.zones.iter().flat_map(|zone| zone.outline.iter().copied());
        zones.chain(layout.utilities.iter().flat_map(|utility| utility.path.iter().copied()))
    };
    let own: Vec<PointM> = own.collect();
    let (mut x, mut y) = bounds(if own.is_empty() { around().collect() } else { own });
    if !x.0.is_finite() {
        return None;
    }
    let reach_m = 6.0 + 0.6 * (x.1 - x.0).max(y.1 - y.0);
    let (zones_x, zones_y) = bounds(around().collect());
    let (low, high) = ((x.0 - reach_m, y.0 - reach_m), (x.1 + reach_m, y.1 + reach_m));
    let cut = zones_x.0 < low.0 || zones_x.1 > high.0 || zones_y.0 < low.1 || zones_y.1 > high.1;
    x = (x.0.min(zones_x.0.max(low.0)), x.1.max(zones_x.1.min(high.0)));
    y = (y.0.min(zones_y.0.max(low.1)), y.1.max(zones_y.1.min(high.1)));
    Some(Extent { left_m: x.0, bottom_m: y.0, width_m: x.1 - x.0, height_m: y.1 - y.0, cut })
}

fn bounds(points: Vec<PointM>) -> ((f64, f64), (f64, f64)) {
    (fill::extent(points.iter().map(|p| p.x_m)), fill::extent(points.iter().map(|p| p.y_m)))
}
