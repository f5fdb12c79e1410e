//! Lines along a path: their parts, and places along them.

use super::shape::{Spot, spot};

/// The part of a path between two distances from its start, mm.
pub fn part(path: &[Spot], from_mm: f64, to_mm: f64) -> Vec<Spot> {
    let mut out: Vec<Spot> = Vec::new();
    let mut done_mm = 0.0;
    for pair in path.windows(2) {
        let length_mm = pair[0].distance_mm(pair[1]);
        let (start_mm, end_mm) = (done_mm, done_mm + length_mm);
        done_mm = end_mm;
        if length_mm == 0.0 || end_mm < from_mm || start_mm > to_mm {
            continue;
        }
        for at_mm in [from_mm.max(start_mm), to_mm.min(end_mm)] {
            let point = between(pair[0], pair[1], (at_mm - start_mm) / length_mm);
            if out.last() != Some(&point) {
                out.push(point);
            }
        }
    }
    out
}

/// The point a share of the way from one to another.
pub fn between(a: Spot, b: Spot, share: f64) -> Spot {
    spot(a.x_mm + share * (b.x_mm - a.x_mm), a.y_mm + share * (b.y_mm - a.y_mm))
}

/// Length of a path, mm.
pub fn length_mm(path: &[Spot]) -> f64 {
    path.windows(2).map(|pair| pair[0].distance_mm(pair[1])).sum()
}

/// Places along a path, about `step_mm` apart, not at its ends.
pub fn along(path: &[Spot], step_mm: f64) -> Vec<Spot> {
    const MOST: f64 = 200.0;
    let length_mm = length_mm(path);
    let count = (length_mm / step_mm).round().clamp(1.0, MOST);
    let at = |i: usize| part(path, 0.0, length_mm * (i as f64 + 0.5) / count).last().copied();
    (0..count as usize).filter_map(at).collect()
}

#[cfg(test)]
mod tests {
    use super::{along, part, spot};

    #[test]
    fn a_part_keeps_the_bends_between_its_ends() {
        let path = [spot(0.0, 0.0), spot(4.0, 0.0), spot(4.0, 3.0)];
        assert_eq!(part(&path, 1.0, 6.0), [spot(1.0, 0.0), spot(4.0, 0.0), spot(4.0, 2.0)]);
        assert_eq!(part(&path, 0.0, 7.0), path);
        assert_eq!(part(&path, 4.0, 4.0), [spot(4.0, 0.0)]);
        assert_eq!(along(&path, 3.5), [spot(1.75, 0.0), spot(4.0, 1.25)]);
    }
}
