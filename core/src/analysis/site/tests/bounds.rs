//! Sites beyond the bounds are refused in reasonable time; large ones within them are not.

use super::{Layout, PointM, Scene, Work, ZoneKind, points, site};
use crate::analysis::site::TooIntricate;

/// Squares around the origin, each half a foot wider on every side.
fn nested(count: usize) -> Layout {
    let outline = |i: usize| {
        let r = (i + 1) as f64 / 2.0;
        [[-r, -r], [r, -r], [r, r], [-r, r]]
    };
    let outlines: Vec<_> = (0..count).map(outline).collect();
    let zones: Vec<_> = outlines.iter().map(|outline| (ZoneKind::Lawn, &outline[..])).collect();
    site(&zones, &[])
}

#[test]
fn a_path_through_very_many_nested_zones_is_refused() {
    let pieces = |count: usize| {
        let half = count as f64 + 1.0;
        Scene::new(&nested(count)).pieces(&points(super::FT, &[[-half, 0.0], [half, 0.0]]), &mut Work::new())
    };
    // Of 400 zones, each is entered and left once: 801 pieces, and 400 * 400 entries in all.
    let found = pieces(400).unwrap();
    assert_eq!(found.len(), 801);
    assert_eq!(found.iter().map(|p| p.zones.len()).sum::<usize>(), 160_000);
    assert_eq!(found[400].zones.len(), 400);
    // Of 4,000 zones there would be 16 million.
    assert_eq!(pieces(4_000), Err(TooIntricate));
}

#[test]
fn very_many_points_in_very_many_zones_are_refused() {
    let layout = nested(4_000);
    let scene = Scene::new(&layout);
    let mut work = Work::new();
    let outcomes = (0..10_000).map(|_| scene.place(PointM { x_m: 0.0, y_m: 0.0 }, &mut work).map(|p| p.zones.len()));
    let results: Vec<_> = outcomes.take_while(Result::is_ok).collect();
    // 4,009 words each.
    assert_eq!(results.len(), 8_000_000 / 4_009);
    assert!(results.iter().all(|zones| *zones == Ok(4_000)));
}

#[test]
fn very_many_edges_beside_very_many_points_are_refused() {
    // A comb of 50,000 teeth, all of them at the height of the points.
    let teeth = 50_000;
    let mut comb: Vec<_> = (0..=2 * teeth).map(|i| [f64::from(i) / 1e3, f64::from(i % 2)]).collect();
    comb.push([f64::from(2 * teeth) / 1e3, -1.0]);
    comb.push([0.0, -1.0]);
    let layout = site(&[(ZoneKind::Lawn, &comb)], &[]);
    let scene = Scene::new(&layout);
    let mut work = Work::new();
    let at = |i: i32| PointM { x_m: f64::from(i) * 1e-4, y_m: 0.5 * super::FT };
    let done = (0..100_000).take_while(|&i| scene.place(at(i), &mut work).is_ok()).count();
    // A ray meets nearly all of the 100,000 edges, so a thousand rays are the most.
    assert!((200..=1_000).contains(&done), "{done}");
}
