//! What areas are filled with: lines inside an outline, and the places inside it where a text has room.

use super::shape::{Spot, spot};

/// The stretches of a horizontal line that are inside an outline, by the even-odd rule, from the left.
pub fn inside(outline: &[Spot], y_mm: f64) -> Vec<(f64, f64)> {
    let mut crossings: Vec<f64> = Vec::new();
    for (i, a) in outline.iter().enumerate() {
        let b = &outline[(i + 1) % outline.len()];
        if (a.y_mm <= y_mm) != (b.y_mm <= y_mm) {
            crossings.push(a.x_mm + (y_mm - a.y_mm) / (b.y_mm - a.y_mm) * (b.x_mm - a.x_mm));
        }
    }
    crossings.sort_by(f64::total_cmp);
    crossings.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// Whether a place is inside an outline, by the even-odd rule.
pub fn contains(outline: &[Spot], at: Spot) -> bool {
    inside(outline, at.y_mm).iter().any(|(left, right)| (*left..=*right).contains(&at.x_mm))
}

/// Lines inside an outline, `step_mm` apart, turned by `degrees`. They pass through fixed places of the paper, so that
/// neighbouring areas of a kind join.
pub fn hatch(outline: &[Spot], step_mm: f64, degrees: f64) -> Vec<[Spot; 2]> {
    const MOST: f64 = 2_000.0;
    let (sin, cos) = degrees.to_radians().sin_cos();
    let turned: Vec<Spot> = outline.iter().map(|p| turn(*p, -sin, cos)).collect();
    let (low, high) = extent(turned.iter().map(|p| p.y_mm));
    let (first, last) = ((low / step_mm).floor(), (high / step_mm).ceil());
    let mut lines = Vec::new();
    if !(last - first).is_finite() || last - first > MOST {
        return lines;
    }
    let mut line = first;
    while line <= last {
        let y_mm = line * step_mm;
        let across = inside(&turned, y_mm).into_iter();
        lines.extend(across.map(|(left, right)| [left, right].map(|x_mm| turn(spot(x_mm, y_mm), sin, cos))));
        line += 1.0;
    }
    lines
}

fn turn(p: Spot, sin: f64, cos: f64) -> Spot {
    spot(p.x_mm * cos - p.y_mm * sin, p.x_mm * sin + p.y_mm * cos)
}

/// The area inside an outline, mm².
pub fn area_mm2(outline: &[Spot]) -> f64 {
    let next = outline.iter().cycle().skip(1);
    outline.iter().zip(next).map(|(a, b)| a.x_mm * b.y_mm - b.x_mm * a.y_mm).sum::<f64>().abs() / 2.0
}

/// Least and greatest of numbers; both infinite the wrong way round where there are none.
pub fn extent(numbers: impl Iterator<Item = f64>) -> (f64, f64) {
    numbers.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), n| (low.min(n), high.max(n)))
}

/// Places for a text inside an outline: the middles of the widest stretches at several heights.
pub fn rooms(outline: &[Spot], width_mm: f64) -> Vec<Spot> {
    const HEIGHTS: usize = 12;
    let (low, high) = extent(outline.iter().map(|p| p.y_mm));
    let mut rooms: Vec<(f64, Spot)> = Vec::new();
    for i in 0..HEIGHTS {
        // From the middle outwards.
        let step = (i as f64 / 2.0).ceil() * if i % 2 == 0 { 1.0 } else { -1.0 };
        let y_mm = low + (high - low) * (0.5 + step / (HEIGHTS as f64 + 2.0));
        for (left, right) in inside(outline, y_mm) {
            let lack = (width_mm - (right - left)).max(0.0);
            rooms.push((lack, spot((left + right) / 2.0, y_mm)));
            if right - left > 2.5 * width_mm {
                rooms.push((0.0, spot(left + 0.7 * width_mm, y_mm)));
                rooms.push((0.0, spot(right - 0.7 * width_mm, y_mm)));
            }
        }
    }
    rooms.sort_by(|a, b| a.0.total_cmp(&b.0));
    rooms.into_iter().map(|(_, at)| at).collect()
}

#[cfg(test)]
mod tests {
    use super::{area_mm2, contains, hatch, inside, rooms, spot};

    #[test]
    fn an_outline_with_a_notch_has_two_stretches() {
        let outline = [(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (6.0, 9.0), (6.0, 3.0), (3.0, 3.0), (3.0, 9.0), (0.0, 9.0)];
        let outline: Vec<_> = outline.into_iter().map(|(x, y)| spot(x, y)).collect();
        assert_eq!(inside(&outline, 5.0), [(0.0, 3.0), (6.0, 9.0)]);
        assert_eq!(inside(&outline, 2.0), [(0.0, 9.0)]);
        assert_eq!(inside(&outline, 12.0), []);
        assert_eq!(area_mm2(&outline), 81.0 - 18.0);
        assert!(contains(&outline, spot(7.0, 5.0)) && !contains(&outline, spot(4.0, 5.0)));
        assert!(
            rooms(&outline, 2.0)
                .iter()
                .all(|at| inside(&outline, at.y_mm).iter().any(|(l, r)| (l..=r).contains(&&at.x_mm)))
        );
    }

    #[test]
    fn lines_are_as_far_apart_as_asked() {
        let square: Vec<_> = [(0.5, 0.5), (9.5, 0.5), (9.5, 9.5), (0.5, 9.5)].map(|(x, y)| spot(x, y)).to_vec();
        let lines = hatch(&square, 2.0, 0.0);
        let heights: Vec<f64> = lines.iter().map(|[a, _]| a.y_mm).collect();
        assert_eq!(heights, [2.0, 4.0, 6.0, 8.0]);
        for [a, b] in hatch(&square, 2.0, 45.0) {
            assert!(((b.y_mm - a.y_mm) - (b.x_mm - a.x_mm)).abs() < 1e-9, "{a:?} {b:?}");
        }
    }
}
