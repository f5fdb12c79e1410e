//! The analysis against a slow one that shares no code with it: exact fractions of `i128`, a ray
//! upwards instead of one to the right, no index, every edge against every leg. Then what must not change when a site is moved, turned,
//! enlarged or written down in another order.

use super::{House, Id, Layout, PointM, Scene, Utility, Work, Zone};
use crate::analysis::site::{NEAR_M, Piece, PlaceFacts};
use crate::plan::model::{Grid, UtilityKind, ZoneKind};
use proptest::prelude::*;

/// A corner in tenths of a foot: decimals that no `f64` holds exactly.
type P = [i64; 2];

const TENTH_FT: f64 = 0.03048;

/// As the loader makes it of the decimals that a plan would hold.
fn metres(p: P) -> PointM {
    PointM { x_m: p[0] as f64 / 10.0 * 0.3048, y_m: p[1] as f64 / 10.0 * 0.3048 }
}

#[derive(Debug, Clone)]
struct Case {
    zones: Vec<Vec<P>>,
    utilities: Vec<Vec<P>>,
    path: Vec<P>,
}

impl Case {
    fn map(&self, f: impl Fn(P) -> P) -> Self {
        let all = |lists: &[Vec<P>]| lists.iter().map(|l| l.iter().map(|&p| f(p)).collect()).collect();
        Self {
            zones: all(&self.zones),
            utilities: all(&self.utilities),
            path: self.path.iter().map(|&p| f(p)).collect(),
        }
    }

    /// Even zones are pools, odd ones lawns.
    fn water(zone: usize) -> bool {
        zone.is_multiple_of(2)
    }

    fn layout(&self) -> Layout {
        let zone = |(i, outline): (usize, &Vec<P>)| Zone {
            id: Id(format!("z{i}")),
            kind: if Self::water(i) { ZoneKind::Pool } else { ZoneKind::Lawn },
            outline: outline.iter().map(|&p| metres(p)).collect(),
            slab_thickness: None,
            slab_beyond: None,
            jets: None,
            house: House::default(),
        };
        let utility = |(i, path): (usize, &Vec<P>)| Utility {
            id: Id(format!("u{i}")),
            kind: UtilityKind::Gas,
            path: path.iter().map(|&p| metres(p)).collect(),
            located: None,
            depth: None,
            width: None,
            house: House::default(),
        };
        Layout {
            grid: Some(Grid::Ft),
            zones: self.zones.iter().enumerate().map(zone).collect(),
            utilities: self.utilities.iter().enumerate().map(utility).collect(),
            ..Layout::default()
        }
    }

    fn pieces(&self) -> Vec<Piece> {
        let path: Vec<PointM> = self.path.iter().map(|&p| metres(p)).collect();
        Scene::new(&self.layout()).pieces(&path, &mut Work::new()).unwrap()
    }

    fn place(&self, at: P) -> PlaceFacts {
        Scene::new(&self.layout()).place(metres(at), &mut Work::new()).unwrap()
    }
}

fn point(reach: i64) -> impl Strategy<Value = P> {
    prop::array::uniform2(-reach..=reach)
}

/// Few different coordinates, so that corners, edges and paths often meet, touch and run along each other. Outlines
/// may cross themselves: the even-odd rule holds for them too.
fn case() -> impl Strategy<Value = Case> {
    (2_i64..8).prop_flat_map(|reach| {
        let zones = prop::collection::vec(prop::collection::vec(point(reach), 3..8), 0..5);
        let utilities = prop::collection::vec(prop::collection::vec(point(reach), 2..4), 0..3);
        let path = prop::collection::vec(point(reach), 2..6);
        (zones, utilities, path).prop_map(|(zones, utilities, path)| Case { zones, utilities, path })
    })
}

/// A fraction; the denominator is above zero.
#[derive(Debug, Clone, Copy)]
struct Frac(i128, i128);

impl Frac {
    fn new(n: i128, d: i128) -> Self {
        if d < 0 { Self(-n, -d) } else { Self(n, d) }
    }

    fn order(self, other: Self) -> std::cmp::Ordering {
        (self.0 * other.1).cmp(&(other.0 * self.1))
    }

    fn middle(self, other: Self) -> Self {
        Self(self.0 * other.1 + other.0 * self.1, 2 * self.1 * other.1)
    }

    fn float(self) -> f64 {
        self.0 as f64 / self.1 as f64
    }
}

fn wide(p: P) -> [i128; 2] {
    [i128::from(p[0]), i128::from(p[1])]
}

fn minus(a: [i128; 2], b: [i128; 2]) -> [i128; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn cross(a: [i128; 2], b: [i128; 2]) -> i128 {
    a[0] * b[1] - a[1] * b[0]
}

fn dot(a: [i128; 2], b: [i128; 2]) -> i128 {
    a[0] * b[0] + a[1] * b[1]
}

fn sides(ring: &[P], closed: bool) -> Vec<(P, P)> {
    let count = if closed { ring.len() } else { ring.len() - 1 };
    (0..count).map(|i| (ring[i], ring[(i + 1) % ring.len()])).collect()
}

/// Whether the point with the coordinates `x / scale`, `y / scale` is inside or on the edge.
fn holds(ring: &[P], at: [i128; 2], scale: i128) -> bool {
    let scaled = |p: P| [i128::from(p[0]) * scale, i128::from(p[1]) * scale];
    let mut odd = false;
    for (a, b) in sides(ring, true) {
        let (a, b) = (minus(scaled(a), at), minus(scaled(b), at));
        if cross(a, b) == 0 && dot(a, b) <= 0 {
            return true;
        }
        // A ray upwards.
        if (a[0] > 0) != (b[0] > 0) {
            let height = a[1] * (b[0] - a[0]) - a[0] * (b[1] - a[1]);
            odd ^= (height > 0) == (b[0] > a[0]);
        }
    }
    odd
}

/// The stretch of a leg, as shares of it from 0 to 1, that an edge has in common with it.
fn common(leg: (P, P), edge: (P, P)) -> Option<(Frac, Frac)> {
    let (p, a, b) = (wide(leg.0), wide(edge.0), wide(edge.1));
    let d = minus(wide(leg.1), p);
    let e = minus(b, a);
    let (zero, one) = (Frac(0, 1), Frac(1, 1));
    let turn = cross(d, e);
    if turn == 0 {
        // Parallel, or the edge is a point.
        if cross(d, minus(a, p)) != 0 {
            return None;
        }
        let (s, t) = (Frac(dot(minus(a, p), d), dot(d, d)), Frac(dot(minus(b, p), d), dot(d, d)));
        let (low, high) = if s.order(t).is_le() { (s, t) } else { (t, s) };
        let low = if low.order(zero).is_lt() { zero } else { low };
        let high = if high.order(one).is_gt() { one } else { high };
        return low.order(high).is_le().then_some((low, high));
    }
    let s = Frac::new(cross(minus(a, p), e), turn);
    let t = Frac::new(cross(minus(a, p), d), turn);
    let within = |f: Frac| f.order(zero).is_ge() && f.order(one).is_le();
    (within(s) && within(t)).then_some((s, s))
}

/// The pieces as (leg and share where it begins, leg and share where it ends, zones), and positions in tenths.
struct Slow {
    from: (usize, Frac),
    to: (usize, Frac),
    zones: Vec<usize>,
}

fn slow(case: &Case) -> Vec<Slow> {
    let mut out: Vec<Slow> = Vec::new();
    for (i, leg) in sides(&case.path, false).into_iter().enumerate().filter(|(_, leg)| leg.0 != leg.1) {
        let mut cuts = vec![Frac(0, 1), Frac(1, 1)];
        for edge in case.zones.iter().flat_map(|ring| sides(ring, true)) {
            cuts.extend(common(leg, edge).into_iter().flat_map(|(s, t)| [s, t]));
        }
        cuts.sort_by(|a, b| a.order(*b));
        cuts.dedup_by(|a, b| a.order(*b).is_eq());
        for ends in cuts.windows(2) {
            let Frac(n, scale) = ends[0].middle(ends[1]);
            let (p, q) = (wide(leg.0), wide(leg.1));
            let at = [0, 1].map(|k| p[k] * scale + (q[k] - p[k]) * n);
            let zones: Vec<usize> = (0..case.zones.len()).filter(|&z| holds(&case.zones[z], at, scale)).collect();
            match out.last_mut() {
                Some(last) if last.zones == zones => last.to = (i, ends[1]),
                _ => out.push(Slow { from: (i, ends[0]), to: (i, ends[1]), zones }),
            }
        }
    }
    out
}

/// Distance of two straight pieces that have no point in common, or of a point and a piece.
fn gap(a: [[f64; 2]; 2], b: [[f64; 2]; 2]) -> f64 {
    let to = |p: [f64; 2], [s, t]: [[f64; 2]; 2]| {
        let d = [t[0] - s[0], t[1] - s[1]];
        let square = d[0] * d[0] + d[1] * d[1];
        let along = ((p[0] - s[0]) * d[0] + (p[1] - s[1]) * d[1]) / if square > 0.0 { square } else { 1.0 };
        let k = along.clamp(0.0, 1.0);
        (s[0] + k * d[0] - p[0]).hypot(s[1] + k * d[1] - p[1])
    };
    to(a[0], b).min(to(a[1], b)).min(to(b[0], a)).min(to(b[1], a))
}

fn float(p: P) -> [f64; 2] {
    [p[0] as f64, p[1] as f64]
}

/// Distance in metres of a piece to a line of edges, and whether they have a point in common, exactly.
fn slow_distance(case: &Case, piece: &Slow, edges: &[(P, P)]) -> (f64, bool) {
    let (mut least, mut meets) = (f64::INFINITY, false);
    for (i, leg) in sides(&case.path, false).into_iter().enumerate() {
        if leg.0 == leg.1 || i < piece.from.0 || i > piece.to.0 {
            continue;
        }
        let from = if i == piece.from.0 { piece.from.1 } else { Frac(0, 1) };
        let to = if i == piece.to.0 { piece.to.1 } else { Frac(1, 1) };
        let at = |f: Frac| [0, 1].map(|k| leg.0[k] as f64 + (leg.1[k] - leg.0[k]) as f64 * f.float());
        for &edge in edges {
            meets |= common(leg, edge).is_some_and(|(s, t)| s.order(to).is_le() && t.order(from).is_ge());
            least = least.min(gap([at(from), at(to)], [float(edge.0), float(edge.1)]));
        }
    }
    (if meets { 0.0 } else { least * TENTH_FT }, meets)
}

/// Positions along the path are equal to a ten-thousandth of a millimetre, zones exactly.
fn same_stretches(a: &[Piece], b: &[Piece], scale: f64) -> bool {
    let close = |x: f64, y: f64| (x * scale - y).abs() < 1e-7;
    a.len() == b.len()
        && a.iter().zip(b).all(|(a, b)| {
            let water = a.water.len() == b.water.len()
                && a.water.iter().zip(&b.water).all(|(a, b)| a.zone == b.zone && close(a.distance_m, b.distance_m));
            let utilities = a.utilities.len() == b.utilities.len()
                && a.utilities.iter().zip(&b.utilities).all(|(a, b)| {
                    (a.utility, a.crosses) == (b.utility, b.crosses) && close(a.distance_m, b.distance_m)
                });
            close(a.from_m, b.from_m) && close(a.to_m, b.to_m) && a.zones == b.zones && water && utilities
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn pieces_are_those_of_brute_force(case in case()) {
        prop_assume!(case.path.iter().any(|&p| p != case.path[0]));
        let (found, expected) = (case.pieces(), slow(&case));
        let legs = sides(&case.path, false);
        let length = |&(a, b): &(P, P)| ((b[0] - a[0]) as f64).hypot((b[1] - a[1]) as f64);
        let position = |(i, f): (usize, Frac)| {
            (legs[..i].iter().map(length).sum::<f64>() + f.float() * length(&legs[i])) * TENTH_FT
        };
        prop_assert_eq!(
            found.iter().map(|p| &p.zones).collect::<Vec<_>>(),
            expected.iter().map(|p| &p.zones).collect::<Vec<_>>()
        );
        for (found, expected) in found.iter().zip(&expected) {
            prop_assert!((found.from_m - position(expected.from)).abs() < 1e-9);
            prop_assert!((found.to_m - position(expected.to)).abs() < 1e-9);
            let point = |(i, f): (usize, Frac)| {
                let leg: (P, P) = legs[i];
                [0, 1].map(|k| (leg.0[k] as f64 + (leg.1[k] - leg.0[k]) as f64 * f.float()) * TENTH_FT)
            };
            for (found, expected) in [(found.start, point(expected.from)), (found.end, point(expected.to))] {
                prop_assert!((found.x_m - expected[0]).hypot(found.y_m - expected[1]) < 1e-9);
            }
            // Everything is within 30 m here.
            let water: Vec<usize> = found.water.iter().map(|w| w.zone).collect();
            let all: Vec<usize> = (0..case.zones.len()).filter(|&z| Case::water(z) && {
                let ring = &case.zones[z];
                ring.iter().any(|&p| p != ring[0])
            }).collect();
            prop_assert_eq!(water, all);
            for w in &found.water {
                let (distance, meets) = slow_distance(&case, expected, &sides(&case.zones[w.zone], true));
                let meets = meets || expected.zones.contains(&w.zone);
                prop_assert_eq!(w.distance_m == 0.0, meets);
                let distance = if meets { 0.0 } else { distance };
                prop_assert!((w.distance_m - distance).abs() < 1e-9);
            }
            for u in &found.utilities {
                let (distance, meets) = slow_distance(&case, expected, &sides(&case.utilities[u.utility], false));
                prop_assert_eq!(u.crosses, meets);
                prop_assert!((u.distance_m - distance).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn places_are_those_of_brute_force(case in case()) {
        for &at in case.path.iter().chain(case.zones.iter().flatten()) {
            let found = case.place(at);
            let zones: Vec<usize> =
                (0..case.zones.len()).filter(|&z| holds_place(&case.zones[z], at)).collect();
            prop_assert_eq!(&found.zones, &zones);
            for u in &found.utilities {
                let edges = sides(&case.utilities[u.utility], false);
                let on = edges.iter().any(|&(a, b)| {
                    let (a, b) = (minus(wide(a), wide(at)), minus(wide(b), wide(at)));
                    cross(a, b) == 0 && dot(a, b) <= 0
                });
                let distance = edges.iter().map(|&(a, b)| gap([float(at); 2], [float(a), float(b)]));
                let distance = distance.fold(f64::INFINITY, f64::min) * TENTH_FT;
                prop_assert_eq!(u.crosses, on);
                prop_assert_eq!(u.distance_m == 0.0, on);
                prop_assert!((u.distance_m - distance).abs() < 1e-9);
            }
            for w in &found.water {
                let edges = sides(&case.zones[w.zone], true);
                let distance = edges.iter().map(|&(a, b)| gap([float(at); 2], [float(a), float(b)]));
                let inside = zones.contains(&w.zone);
                let distance = if inside { 0.0 } else { distance.fold(f64::INFINITY, f64::min) * TENTH_FT };
                prop_assert_eq!(w.distance_m == 0.0, inside);
                prop_assert!((w.distance_m - distance).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_site_may_be_moved_turned_and_enlarged(
        case in case(),
        shift in prop::array::uniform2(-900_000_000_i64..900_000_000),
        factor in 2_i64..9,
    ) {
        let pieces = case.pieces();
        let moved = case.map(|p| [p[0] + shift[0], p[1] + shift[1]]);
        prop_assert!(same_stretches(&pieces, &moved.pieces(), 1.0), "moved");
        let near = case.map(|p| [p[0] + shift[0] / 10_000, p[1] + shift[1] / 10_000]);
        prop_assert!(same_stretches(&pieces, &near.pieces(), 1.0), "moved a little");
        let turned = case.map(|p| [-p[1], p[0]]);
        prop_assert!(same_stretches(&pieces, &turned.pieces(), 1.0), "turned");
        let mirrored = case.map(|p| [p[1], p[0]]);
        prop_assert!(same_stretches(&pieces, &mirrored.pieces(), 1.0), "mirrored");
        // The largest distance is 9 * 16 * sqrt(2) tenths of a foot, well below 30 m.
        let larger = case.map(|p| p.map(|v| v * factor));
        prop_assert!(same_stretches(&pieces, &larger.pieces(), factor as f64), "enlarged");
    }

    #[test]
    fn outlines_and_paths_may_be_written_in_another_order(case in case(), start in 0_usize..8) {
        let pieces = case.pieces();
        let mut other = case.clone();
        for outline in &mut other.zones {
            outline.reverse();
            let start = start % outline.len();
            outline.rotate_left(start);
        }
        for path in &mut other.utilities {
            path.reverse();
        }
        prop_assert!(same_stretches(&pieces, &other.pieces(), 1.0), "reversed outlines");
        // The path backwards gives the same pieces backwards.
        other.path.reverse();
        let length = pieces.last().map_or(0.0, |p| p.to_m);
        let mut back = other.pieces();
        back.reverse();
        for piece in &mut back {
            (piece.from_m, piece.to_m) = (length - piece.to_m, length - piece.from_m);
        }
        prop_assert!(same_stretches(&pieces, &back, 1.0), "reversed path");
    }
}

fn holds_place(ring: &[P], at: P) -> bool {
    ring.iter().any(|&p| p != ring[0]) && holds(ring, wide(at), 1)
}

#[test]
fn the_sites_of_these_tests_are_within_reach() {
    let reach = 8.0 * 9.0 * 2.0 * 2_f64.sqrt() * TENTH_FT;
    assert!(reach < NEAR_M, "{reach}");
}
