//! Which entry of `covers` holds where several zones do, what is known of unplaced segments, and how a message lists
//! places.

use super::*;
use crate::sample::{chain, entry, inches, plan};
use lintern_rule::blank;
use lintern_rule::plan::Job;
use lintern_rule::prelude::*;

/// A sleeve deep under the road says nothing of the lawn beside it, and the cover of the lawn nothing of the road.
#[test]
fn the_entry_for_the_most_demanding_zone_holds() {
    let holds = |kinds: [ZoneKind; 2]| {
        let run = Run { covers: vec![entry(0), entry(1)], ..chain(1, Some(Method::PvcConduit)) };
        let input = Input::from(plan(&kinds, true, run));
        let ways = ways(&input, 0);
        let [stretch] = &ways.buried[..] else { panic!("one stretch: {ways:?}") };
        stretch.cover().map(|(_, field)| field.to_string())
    };
    let rows = [
        ([ZoneKind::Lawn, ZoneKind::Road], "covers.1.cover"),
        ([ZoneKind::Driveway, ZoneKind::Road], "covers.1.cover"),
        ([ZoneKind::Road, ZoneKind::Parking], "covers.0.cover"),
        ([ZoneKind::Building, ZoneKind::Driveway], "covers.1.cover"),
        ([ZoneKind::Lawn, ZoneKind::Building], "covers.1.cover"),
        ([ZoneKind::Lawn, ZoneKind::Bed], "covers.0.cover"),
    ];
    for (kinds, field) in rows {
        assert_eq!(holds(kinds).as_deref(), Some(field), "{kinds:?}");
    }
}

/// In conduit under the drive, and nothing said of the rest: the unplaced rest may lie in the ground.
#[test]
fn the_method_of_an_unplaced_segment_is_asked_for() {
    let of = |method| {
        let under_the_drive = ZoneCover { method: Some(Method::PvcConduit), ..entry(0) };
        let run = Run { covers: vec![under_the_drive], ..chain(1, method) };
        let input = Input::from(plan(&[ZoneKind::Driveway], false, run));
        let Ways { buried, unknown_method, unplaced } = ways(&input, 0);
        (buried.len(), unknown_method, unplaced)
    };
    let at_j1 = || vec!["`at` of J1".to_owned()];
    assert_eq!(of(None), (0, true, at_j1()));
    assert_eq!(of(Some(Method::Surface)), (0, false, at_j1()));
}

/// A run that is in conduit wherever it is placed is judged as direct burial only for what has no place.
#[test]
fn a_run_is_judged_by_the_methods_that_it_has() {
    let of = |method, placed| {
        let in_conduit = ZoneCover { method: Some(Method::PvcConduit), ..entry(0) };
        let run = Run { covers: vec![in_conduit], ..chain(1, Some(method)) };
        let input = Input::from(plan(&[ZoneKind::Lawn], placed, run));
        let methods = ways(&input, 0).methods(&input.runs()[0]);
        methods.into_iter().map(|(method, stretches)| (method, stretches.len())).collect::<Vec<_>>()
    };
    assert_eq!(of(Method::DirectBurial, true), [(Method::PvcConduit, 1)]);
    assert_eq!(of(Method::DirectBurial, false), [(Method::DirectBurial, 0)]);
    assert_eq!(of(Method::Surface, false), []);
}

#[test]
fn a_message_lists_four_places_and_counts_more() {
    let listed = |segments, placed| {
        let input = Input::from(plan(&[], placed, chain(segments, Some(Method::DirectBurial))));
        places(&input, &ways(&input, 0).buried, true)
    };
    assert_eq!(
        listed(4, true),
        "from S1/main to J1 (2 m), from J1 to J2 (2 m), from J2 to J3 (2 m) and from J3 to J4 (2 m)"
    );
    assert_eq!(
        listed(5, true),
        "from S1/main to J1 (2 m), from J1 to J2 (2 m), from J2 to J3 (2 m) and 2 more places, 10 m in all"
    );
    // Without places there are no lengths, and none in all.
    assert_eq!(listed(5, false), "from S1/main to J1, from J1 to J2, from J2 to J3 and 2 more places");
}

#[test]
fn a_run_without_covers_is_described_in_the_units_of_its_country() {
    let metric = |code, cover: Option<Length>| {
        let run = Run { cover, ..chain(1, Some(Method::DirectBurial)) };
        let project = Job { code, ..blank::job() };
        let input = Input::from(Given { project, ..plan(&[], true, run) });
        is_metric(&input, &input.runs()[0])
    };
    assert!(metric(Some(Code::Bs7671), None));
    assert!(!metric(Some(Code::Nec2023), None));
    assert!(!metric(None, None));
    assert!(!metric(Some(Code::Bs7671), Some(inches(6.0))));
}
