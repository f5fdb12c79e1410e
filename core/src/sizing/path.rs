//! The order in which cable visits luminaires: split by direction, then short paths by nearest neighbour and 2-opt.
//!
//! Nothing here is optimal; it is what a person draws, made the same way each time. All ties go by position in the list,
//! which is in the order of the luminaires' ids, so that the order of the plan means nothing.

use crate::layout::PointM;

/// Reversals that are tried for one path before it is taken as it is.
const MOST_TRIALS: usize = 20_000_000;
/// A reversal that saves less than this is none, m.
const LEAST_SAVING_M: f64 = 1e-9;

/// Straight distance, m.
pub(super) fn distance_m(a: PointM, b: PointM) -> f64 {
    (b.x_m - a.x_m).hypot(b.y_m - a.y_m)
}

/// Indices of the points in the order of their direction from the start, counter-clockwise, beginning behind the
/// widest gap, so that the neighbours of a list are neighbours on the ground. Points on the start come first.
pub(super) fn sweep(start: PointM, points: &[PointM]) -> Vec<usize> {
    let angle = |p: &PointM| (p.y_m - start.y_m).atan2(p.x_m - start.x_m);
    let (here, mut around): (Vec<usize>, Vec<usize>) =
        (0..points.len()).partition(|&i| distance_m(start, points[i]) == 0.0);
    around.sort_by(|&a, &b| {
        let (p, q) = (&points[a], &points[b]);
        let nearer = || distance_m(start, *p).total_cmp(&distance_m(start, *q));
        angle(p).total_cmp(&angle(q)).then_with(nearer).then(a.cmp(&b))
    });
    let gap = |at: usize| {
        let (before, own) = (around[(at + around.len() - 1) % around.len()], around[at]);
        (angle(&points[own]) - angle(&points[before])).rem_euclid(std::f64::consts::TAU)
    };
    let widest = (0..around.len()).map(|at| (gap(at), at)).fold((0.0, 0), |best, next| match next.0 > best.0 {
        true => next,
        false => best,
    });
    around.rotate_left(widest.1);
    here.into_iter().chain(around).collect()
}

/// A short path from the start through all points; with `closed` also back to it. Indices of the points in order.
pub(super) fn path(start: PointM, points: &[PointM], closed: bool) -> Vec<usize> {
    let mut order = nearest_neighbours(start, points);
    let at = |order: &[usize], i: usize| order.get(i).map(|&p| points[p]);
    let mut trials = 0;
    let mut improved = true;
    while improved && trials < MOST_TRIALS {
        improved = false;
        for i in 0..order.len() {
            for j in i + 1..order.len() {
                trials += 1;
                let before = if i == 0 { start } else { points[order[i - 1]] };
                let after = at(&order, j + 1).or(closed.then_some(start));
                let (first, last) = (points[order[i]], points[order[j]]);
                let old = distance_m(before, first) + after.map_or(0.0, |after| distance_m(last, after));
                let new = distance_m(before, last) + after.map_or(0.0, |after| distance_m(first, after));
                if new < old - LEAST_SAVING_M {
                    order[i..=j].reverse();
                    improved = true;
                }
            }
        }
    }
    order
}

fn nearest_neighbours(start: PointM, points: &[PointM]) -> Vec<usize> {
    let mut left: Vec<usize> = (0..points.len()).collect();
    let mut order = Vec::with_capacity(points.len());
    let mut here = start;
    while !left.is_empty() {
        let nearest = (0..left.len()).min_by(|&a, &b| {
            distance_m(here, points[left[a]]).total_cmp(&distance_m(here, points[left[b]])).then(left[a].cmp(&left[b]))
        });
        let Some(nearest) = nearest else { break };
        let point = left.remove(nearest);
        here = points[point];
        order.push(point);
    }
    order
}

/// Cuts a list of loads into the fewest parts of at most `most` each, or into `parts` if that is more, as even as that
/// allows. Ends of the parts. `None` where one load alone is above `most`.
pub(super) fn cut(loads: &[f64], most: f64, parts: usize) -> Option<Vec<usize>> {
    /// A sum that equals the most it may be must not be above it by rounding.
    const ROUNDING: f64 = 1.0 + 1e-9;
    let fill = |most: f64| {
        let mut ends = Vec::new();
        let mut sum = 0.0;
        for (i, load) in loads.iter().enumerate() {
            if i > 0 && sum + load > most * ROUNDING {
                ends.push(i);
                sum = 0.0;
            }
            sum += load;
        }
        ends.push(loads.len());
        ends
    };
    if loads.iter().any(|load| *load > most * ROUNDING) {
        return None;
    }
    let wanted = fill(most).len().max(parts.min(loads.len()));
    let total: f64 = loads.iter().sum();
    let least = loads.iter().copied().fold(total / wanted as f64, f64::max);
    let (mut low, mut high) = (least, most.max(least));
    // 40 halvings tell parts apart to a millionth of a millionth.
    for _ in 0..40 {
        let middle = f64::midpoint(low, high);
        match fill(middle).len() <= wanted {
            true => high = middle,
            false => low = middle,
        }
    }
    let even = if fill(low).len() <= wanted { low } else { high };
    Some(fill(even))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(of: &[(f64, f64)]) -> Vec<PointM> {
        of.iter().map(|&(x_m, y_m)| PointM { x_m, y_m }).collect()
    }

    const ORIGIN: PointM = PointM { x_m: 0.0, y_m: 0.0 };

    #[test]
    fn a_path_along_a_line_goes_out_in_order() {
        let line = points(&[(30.0, 0.0), (10.0, 0.0), (20.0, 0.0)]);
        assert_eq!(path(ORIGIN, &line, false), [1, 2, 0]);
    }

    /// Nearest neighbour goes 1, -2, 5, -12: 1 + 3 + 7 + 17 = 28 m. Reversals find 1, 5, -2, -12: 1 + 4 + 7 + 10 = 22 m.
    #[test]
    fn reversals_shorten_what_nearest_neighbours_leave() {
        let line = points(&[(1.0, 0.0), (-2.0, 0.0), (5.0, 0.0), (-12.0, 0.0)]);
        let order = path(ORIGIN, &line, false);
        let mut length_m = distance_m(ORIGIN, line[order[0]]);
        length_m += order.windows(2).map(|w| distance_m(line[w[0]], line[w[1]])).sum::<f64>();
        assert_eq!(length_m, 22.0, "{order:?}");
    }

    /// The corners of a square of 10 m around one of them: the way round is 40 m whichever way.
    #[test]
    fn a_closed_path_does_not_cross_itself() {
        let square = points(&[(10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        let order = path(ORIGIN, &square, true);
        assert!(order == [1, 0, 2] || order == [2, 0, 1], "{order:?}");
    }

    #[test]
    fn a_sweep_begins_behind_the_widest_gap() {
        // At 10, 80 and 350 degrees: the gap from 80 to 350 is the widest.
        let at = |degrees: f64| (degrees.to_radians().cos(), degrees.to_radians().sin());
        assert_eq!(sweep(ORIGIN, &points(&[at(10.0), at(80.0), at(350.0)])), [2, 0, 1]);
        assert_eq!(sweep(ORIGIN, &points(&[(0.0, 0.0), (0.0, 0.0)])), [0, 1]);
        assert!(sweep(ORIGIN, &[]).is_empty());
    }

    #[test]
    fn a_cut_is_even_and_no_part_is_too_large() {
        // 7 of 1 in parts of at most 3 need 3 parts, even: 3 3 1 would not be; 3 + 2 + 2 can't be told from 3 + 3 + 1 by
        // the largest part alone, so the last may be smaller.
        assert_eq!(cut(&[1.0; 6], 4.0, 1), Some(vec![3, 6]));
        assert_eq!(cut(&[1.0; 6], 6.0, 1), Some(vec![6]));
        assert_eq!(cut(&[1.0; 6], 6.0, 3), Some(vec![2, 4, 6]));
        assert_eq!(cut(&[1.0, 7.0], 6.0, 1), None);
        // Ten tenths are one, whatever the sum of the floats is.
        assert_eq!(cut(&[0.1; 10], 1.0, 1), Some(vec![10]));
    }
}
