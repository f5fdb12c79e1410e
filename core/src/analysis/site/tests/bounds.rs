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

/// Words of 8 bytes, of the 8 million that there are: a place has three lists (3 words each) with a word for a zone, 2 for
/// a distance to water, 3 for one to a line. A stretch of a path is 5 words and its zones, a piece 16 and its distances.
#[test]
fn what_is_kept_is_counted() {
    let layout =
        site(&[(ZoneKind::Lawn, super::SQUARE), (ZoneKind::Pool, super::SQUARE)], &[&[[0.0, 15.0], [10.0, 15.0]]]);
    let scene = Scene::new(&layout);
    let kept = |words: usize, mut work: Work| {
        assert_eq!((work.keep(8_000_000 - words), work.keep(1)), (Ok(()), Err(TooIntricate)), "{words} words");
    };
    let mut work = Work::new();
    let place = scene.place(PointM { x_m: 1.0, y_m: 1.0 }, &mut work).unwrap();
    assert_eq!((place.zones.len(), place.water.len(), place.utilities.len()), (2, 1, 1));
    kept(9 + 2 + 2 + 3, work);
    let mut work = Work::new();
    let pieces = scene.pieces(&points(super::FT, &[[1.0, 1.0], [9.0, 9.0]]), &mut work).unwrap();
    assert_eq!((pieces.len(), pieces[0].zones.len(), pieces[0].water.len(), pieces[0].utilities.len()), (1, 2, 1, 1));
    kept((5 + 2) + (16 + 2 + 3), work);
    // A path of no length is a piece at a place.
    let mut work = Work::new();
    assert_eq!(scene.pieces(&points(super::FT, &[[1.0, 1.0], [1.0, 1.0]]), &mut work).unwrap().len(), 1);
    kept(16 + (9 + 2 + 2 + 3), work);
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
