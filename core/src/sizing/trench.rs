//! Metres of trench: what cable lies under, shared trench counted once.

use crate::geometry::Lattice;
use crate::layout::{Layout, PointM};
use std::collections::BTreeMap;

/// A straight line of the lattice: direction in lowest terms, and its offset.
type Line = (i128, i128, i128);

/// Length of the ground under all runs of a layout, m: straight stretches that lie on one line are joined, so that
/// ground under two cables counts once. Cables that run side by side on different lines have a trench each. Without a
/// grid there are no places, and no trench.
pub(super) fn trench_m(layout: &Layout) -> f64 {
    let Some(grid) = layout.grid else { return 0.0 };
    let lattice = Lattice::new(grid);
    let paths = layout.runs.iter().flat_map(|run| run.segments.iter().map(|segment| segment.path.as_slice()));
    lattice.metres(union_steps(lattice, paths))
}

/// Length of the union of straight stretches, steps of the lattice. Exact but for the square root.
pub(crate) fn union_steps<'a>(lattice: Lattice, paths: impl Iterator<Item = &'a [PointM]>) -> f64 {
    // On each line, stretches by their position along it in units of its direction.
    let mut lines: BTreeMap<Line, Vec<(i128, i128)>> = BTreeMap::new();
    for pair in paths.flat_map(|path| path.windows(2)) {
        let [a, b] = pair else { continue };
        let (a, b) = (lattice.steps(*a), lattice.steps(*b));
        let (ax, ay, bx, by) = (a.x as i128, a.y as i128, b.x as i128, b.y as i128);
        let (dx, dy) = (bx - ax, by - ay);
        let divisor = gcd(dx.unsigned_abs(), dy.unsigned_abs()) as i128;
        if divisor == 0 {
            continue;
        }
        let sign = if dx < 0 || (dx == 0 && dy < 0) { -1 } else { 1 };
        let (ux, uy) = (sign * dx / divisor, sign * dy / divisor);
        let along = |x: i128, y: i128| ux * x + uy * y;
        let (from, to) = (along(ax, ay), along(bx, by));
        lines.entry((ux, uy, ux * ay - uy * ax)).or_default().push((from.min(to), from.max(to)));
    }
    let mut steps = 0.0;
    for ((ux, uy, _), mut stretches) in lines {
        stretches.sort_unstable();
        let mut covered = 0;
        let mut end = i128::MIN;
        for (from, to) in stretches {
            covered += (to - from.max(end).min(to)).max(0);
            end = end.max(to);
        }
        // `covered` counts along the direction, whose own length it holds once too often.
        steps += covered as f64 / (ux as f64).hypot(uy as f64);
    }
    steps
}

fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::model::Grid;

    fn of(paths: &[&[(f64, f64)]]) -> f64 {
        let paths: Vec<Vec<PointM>> =
            paths.iter().map(|path| path.iter().map(|&(x_m, y_m)| PointM { x_m, y_m }).collect()).collect();
        let lattice = Lattice::new(Grid::M);
        lattice.metres(union_steps(lattice, paths.iter().map(Vec::as_slice)))
    }

    #[test]
    fn cables_in_one_line_share_a_trench() {
        // Home runs of 10, 20 and 30 m in one direction: 30 m, not 60 m. Back the same way: no more.
        let out: [&[(f64, f64)]; 3] =
            [&[(0.0, 0.0), (10.0, 0.0)], &[(0.0, 0.0), (20.0, 0.0)], &[(30.0, 0.0), (0.0, 0.0)]];
        assert_eq!(of(&out), 30.0);
        // 3-4-5: two stretches of 5 m that overlap by half on a slope, and one of 5 m beside it.
        let slope: [&[(f64, f64)]; 3] =
            [&[(0.0, 0.0), (3.0, 4.0)], &[(1.5, 2.0), (4.5, 6.0)], &[(0.0, 1.0), (3.0, 5.0)]];
        assert_eq!(of(&slope), 12.5);
    }

    #[test]
    fn a_gap_is_not_dug_and_a_point_is_no_trench() {
        assert_eq!(of(&[&[(0.0, 0.0), (1.0, 0.0)], &[(2.0, 0.0), (3.0, 0.0)]]), 2.0);
        assert_eq!(of(&[&[(1.0, 1.0), (1.0, 1.0)]]), 0.0);
        assert_eq!(of(&[]), 0.0);
    }
}
