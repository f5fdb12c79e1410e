//! The order in which cable visits luminaires: split by direction, then short paths.
//!
//! The path through a few luminaires is the shortest of all; through more it is short, made the same way each time. All ties go by position in the list,
//! which is in the order of the luminaires' ids, so that the order of the plan means nothing.

use crate::layout::PointM;

/// Most points for which the shortest path of all is found: 2^9 sets of points are few.
const MOST_EXACT: usize = 9;
/// Changes that are tried for one path before it is taken as it is.
const MOST_TRIALS: usize = 20_000_000;
/// A change that saves less than this is none, m.
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

/// A short path from the start through all points; with `closed` also back to it. Indices of the points in order. The
/// shortest of all for up to [`MOST_EXACT`] points; else the best that changes of several first orders come to.
pub(super) fn path(start: PointM, points: &[PointM], closed: bool) -> Vec<usize> {
    if points.len() <= MOST_EXACT {
        return shortest(start, points, closed);
    }
    let mut around = sweep(start, points);
    let firsts = [nearest_neighbours(start, points), around.clone(), {
        around.reverse();
        around
    }];
    let mut trials = 0;
    let mut best: Option<(f64, Vec<usize>)> = None;
    for mut order in firsts {
        improve(start, points, closed, &mut order, &mut trials);
        let long_m = length_m(start, points, closed, &order);
        if best.as_ref().is_none_or(|(least_m, _)| long_m < least_m - LEAST_SAVING_M) {
            best = Some((long_m, order));
        }
    }
    best.map_or_else(Vec::new, |(_, order)| order)
}

/// Length of a path, m.
fn length_m(start: PointM, points: &[PointM], closed: bool, order: &[usize]) -> f64 {
    let back = closed.then_some(start);
    let mut here = start;
    let mut sum_m = 0.0;
    for next in order.iter().map(|&point| points[point]).chain(back) {
        sum_m += distance_m(here, next);
        here = next;
    }
    sum_m
}

/// The shortest path of all, from the shortest through each set of points to each of its points (Held and Karp).
fn shortest(start: PointM, points: &[PointM], closed: bool) -> Vec<usize> {
    let count = points.len();
    let sets = 1_usize << count;
    // Length of the shortest path through a set that ends at a point, and the point before.
    let mut least = vec![(f64::INFINITY, usize::MAX); sets * count];
    for (point, at) in points.iter().enumerate() {
        least[(1 << point) * count + point] = (distance_m(start, *at), usize::MAX);
    }
    for set in 1..sets {
        for last in (0..count).filter(|last| set & (1 << last) != 0) {
            let known_m = least[set * count + last].0;
            for next in (0..count).filter(|next| set & (1 << next) == 0) {
                let longer_m = known_m + distance_m(points[last], points[next]);
                let entry = &mut least[(set | 1 << next) * count + next];
                if longer_m < entry.0 - LEAST_SAVING_M {
                    *entry = (longer_m, last);
                }
            }
        }
    }
    let whole_m = |last: usize| {
        let back_m = if closed { distance_m(points[last], start) } else { 0.0 };
        least[(sets - 1) * count + last].0 + back_m
    };
    let mut here = (0..count).fold(usize::MAX, |best, last| match best {
        usize::MAX => last,
        best if whole_m(last) < whole_m(best) - LEAST_SAVING_M => last,
        best => best,
    });
    let mut set = sets - 1;
    let mut order = Vec::with_capacity(count);
    while here < count {
        order.push(here);
        let before = least[set * count + here].1;
        set &= !(1 << here);
        here = before;
    }
    order.reverse();
    order
}

/// Shortens an order until neither turning a stretch round nor moving up to three neighbours elsewhere saves anything.
fn improve(start: PointM, points: &[PointM], closed: bool, order: &mut Vec<usize>, trials: &mut usize) {
    let mut improved = true;
    while improved && *trials < MOST_TRIALS {
        improved = turn(start, points, closed, order, trials);
        improved |= shift(start, points, closed, order, trials);
    }
}

/// Turns stretches round where that saves (2-opt).
fn turn(start: PointM, points: &[PointM], closed: bool, order: &mut [usize], trials: &mut usize) -> bool {
    let mut improved = false;
    for i in 0..order.len() {
        for j in i + 1..order.len() {
            *trials += 1;
            let before = if i == 0 { start } else { points[order[i - 1]] };
            let after = order.get(j + 1).map(|&point| points[point]).or(closed.then_some(start));
            let (first, last) = (points[order[i]], points[order[j]]);
            let old_m = distance_m(before, first) + after.map_or(0.0, |after| distance_m(last, after));
            let new_m = distance_m(before, last) + after.map_or(0.0, |after| distance_m(first, after));
            if new_m < old_m - LEAST_SAVING_M {
                order[i..=j].reverse();
                improved = true;
            }
        }
    }
    improved
}

/// Moves one to three neighbours to another place in the order where that saves (or-opt).
fn shift(start: PointM, points: &[PointM], closed: bool, order: &mut Vec<usize>, trials: &mut usize) -> bool {
    let mut improved = false;
    for long in 1..=3 {
        for i in 0..order.len().saturating_sub(long) {
            let moved: Vec<usize> = order[i..i + long].to_vec();
            let rest: Vec<usize> = order[..i].iter().chain(&order[i + long..]).copied().collect();
            // What an insertion between two neighbours of the rest adds, at its place.
            let added_m = |place: usize, first: usize, last: usize| {
                let before = if place == 0 { start } else { points[rest[place - 1]] };
                let after = rest.get(place).map(|&point| points[point]).or(closed.then_some(start));
                let out_m = after.map_or(0.0, |after| distance_m(points[last], after) - distance_m(before, after));
                distance_m(before, points[first]) + out_m
            };
            let (first, last) = (moved[0], moved[long - 1]);
            let mut best = (added_m(i, first, last) - LEAST_SAVING_M, None);
            for place in 0..=rest.len() {
                *trials += 1;
                for (turned, added_m) in [(false, added_m(place, first, last)), (true, added_m(place, last, first))] {
                    if added_m < best.0 {
                        best = (added_m, Some((place, turned)));
                    }
                }
            }
            if let Some((place, turned)) = best.1 {
                let mut moved = moved;
                if turned {
                    moved.reverse();
                }
                let mut changed = rest;
                changed.splice(place..place, moved);
                *order = changed;
                improved = true;
            }
        }
    }
    improved
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

/// Cuts a list of loads into the fewest parts, or into `parts` if that is more, as even as that allows. The parts may have
/// as much as `most` says for each in turn, again from its start when it is used up. Ends of the parts; a part is empty
/// where the next load is too much for it. `None` where one load alone is above all of `most`.
pub(super) fn cut(loads: &[f64], most: &[f64], parts: usize) -> Option<Vec<usize>> {
    /// A sum that equals the most it may be must not be above it by rounding.
    const ROUNDING: f64 = 1.0 + 1e-9;
    let fill = |scale: f64| {
        let mut ends = Vec::new();
        let mut sum = 0.0;
        for (i, load) in loads.iter().enumerate() {
            for _ in 0..=most.len() {
                if sum + load <= most[ends.len() % most.len()] * scale * ROUNDING {
                    break;
                }
                ends.push(i);
                sum = 0.0;
            }
            sum += load;
        }
        ends.push(loads.len());
        ends
    };
    let largest = most.iter().copied().fold(0.0, f64::max);
    let heaviest = loads.iter().copied().fold(0.0, f64::max);
    if most.is_empty() || heaviest > largest * ROUNDING {
        return None;
    }
    let wanted = fill(1.0).len().max(parts.min(loads.len()));
    let total: f64 = loads.iter().sum();
    let all: f64 = most.iter().cycle().take(wanted).sum();
    let (mut low, mut high) = ((total / all).max(heaviest / largest).min(1.0), 1.0);
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

    /// No other order of seven points is shorter, open or closed.
    #[test]
    fn few_points_have_the_shortest_path() {
        fn least_m(here: PointM, left: &[PointM], home: Option<PointM>) -> f64 {
            let ends_m = || home.map_or(0.0, |home| distance_m(here, home));
            let ways = (0..left.len()).map(|i| {
                let mut rest = left.to_vec();
                let next = rest.remove(i);
                distance_m(here, next) + least_m(next, &rest, home)
            });
            ways.min_by(f64::total_cmp).unwrap_or_else(ends_m)
        }
        for turn in 0..6_u32 {
            let of = |i: u32| (f64::from((i * i * 37 + turn * 11) % 53), f64::from((i * 29 + turn * turn * 7) % 41));
            let seven = points(&(1..=7).map(of).collect::<Vec<_>>());
            for closed in [false, true] {
                let long_m = length_m(ORIGIN, &seven, closed, &path(ORIGIN, &seven, closed));
                let least_m = least_m(ORIGIN, &seven, closed.then_some(ORIGIN));
                assert!((long_m - least_m).abs() < 1e-9, "{turn}: {long_m} m, not {least_m} m");
            }
        }
    }

    /// A line of 24 points in a shuffled order is walked straight to its end: 24 m, and 48 m with the way back.
    #[test]
    fn many_points_on_a_line_go_out_in_order() {
        let line = points(&(0..24).map(|i| (f64::from(i * 7 % 24 + 1), 0.0)).collect::<Vec<_>>());
        for (closed, expected_m) in [(false, 24.0), (true, 48.0)] {
            let order = path(ORIGIN, &line, closed);
            let mut each = order.clone();
            each.sort_unstable();
            assert_eq!(each, (0..24).collect::<Vec<_>>());
            assert_eq!(length_m(ORIGIN, &line, closed, &order), expected_m, "{order:?}");
        }
        assert!(path(ORIGIN, &[], false).is_empty());
        assert_eq!(path(ORIGIN, &[ORIGIN; 12], true).len(), 12);
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
        assert_eq!(cut(&[1.0; 6], &[4.0], 1), Some(vec![3, 6]));
        assert_eq!(cut(&[1.0; 6], &[6.0], 1), Some(vec![6]));
        assert_eq!(cut(&[1.0; 6], &[6.0], 3), Some(vec![2, 4, 6]));
        assert_eq!(cut(&[1.0, 7.0], &[6.0], 1), None);
        // Ten tenths are one, whatever the sum of the floats is.
        assert_eq!(cut(&[0.1; 10], &[1.0], 1), Some(vec![10]));
        // Parts of 4 and 1 in turn: 4, 1, and again 4; a load of 2 skips the part of 1.
        assert_eq!(cut(&[1.0; 9], &[4.0, 1.0], 1), Some(vec![4, 5, 9]));
        assert_eq!(cut(&[2.0; 4], &[4.0, 1.0], 1), Some(vec![2, 2, 4]));
    }
}
