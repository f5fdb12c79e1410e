//! Covers, routes and places.

use super::{Job, lamps, plan, run, supply};
use lintern_core::remedy::Sort;

#[test]
fn a_cover_is_set_to_its_limit() {
    let text = plan("", &supply("S1", "[0, 0]"), &lamps(&["[30, 0]"]), &run("R1", "route: [S1/12, L1], slack: 0 %"));
    let text = text.replace("cover: 8 in", "cover: 4 in");
    let cure = Job::new(&text).smallest("burial/shallow-cover", "R1");
    // NFPA 70 Table 300.5(A), column 5, all locations not named: 6 in.
    assert_eq!((cure.sort, cure.text), (Sort::Number, text.replace("cover: 4 in", "cover: 6 in")));
}

#[test]
fn a_run_goes_deeper_only_where_it_crosses_the_drive() {
    let drive = ", zones: [{ id: drive, kind: driveway, outline: [[20, -5], [32, -5], [32, 5], [20, 5]] }]";
    let text = plan(drive, &supply("S1", "[0, 0]"), &lamps(&["[60, 0]"]), &run("R1", "route: [S1/12, L1], slack: 0 %"));
    let cure = Job::new(&text).smallest("burial/shallow-cover", "R1");
    // NFPA 70 Table 300.5(A), one-family driveway: 18 in, on 12 ft of 60 ft.
    assert!(cure.text.contains("covers: [{ zone: drive, cover: 18 in"), "{}: {}", cure.summary, cure.text);
    assert!((cure.cost.deeper_m - 12.0 * 0.3048).abs() < 1e-9, "{}", cure.cost.deeper_m);
}

/// A pool 10 ft by 10 ft in the way of a straight run of 60 ft, and a luminaire on each side.
const POOL: &str = ", zones: [{ id: pool, kind: pool, outline: [[25, -5], [35, -5], [35, 5], [25, 5]] }]";

#[test]
fn a_run_is_led_around_a_pool_by_nearly_the_shortest_way() {
    let text = plan(POOL, &supply("S1", "[0, 0]"), &lamps(&["[60, 0]"]), &run("R1", "route: [S1/12, L1], slack: 0 %"));
    let job = Job::new(&text);
    assert!(
        job.findings().contains(&("clearance/wiring-near-pool".to_owned(), "R1".to_owned())),
        "{:?}",
        job.findings()
    );
    let cure = job.smallest("clearance/wiring-near-pool", "R1");
    assert_eq!(cure.sort, Sort::Place);
    // The shortest way at 10 ft from the water: a tangent from (0, 0) to the circle of 10 ft around the corner (25, 5),
    // an arc to its top, 10 ft along the edge, and the same in mirror. The corner is sqrt(650) ft away, at
    // atan(5/25); the tangent sqrt(650 - 100) long, at asin(10/sqrt(650)) above that.
    let (hypotenuse, keep) = (650.0_f64.sqrt(), 10.0);
    let tangent = (650.0_f64 - keep * keep).sqrt();
    let arc = keep * ((5.0_f64 / 25.0).atan() + (keep / hypotenuse).asin());
    let shortest_ft = 2.0 * (tangent + arc) + 10.0;
    let length_ft = 60.0 + cure.cost.cable_added_m / 0.3048;
    assert!(length_ft >= shortest_ft - 1e-6, "{length_ft} ft is shorter than can be, {shortest_ft} ft");
    assert!(length_ft <= 1.03 * shortest_ft, "{length_ft} ft, {shortest_ft} ft would do");
}

#[test]
fn a_luminaire_is_moved_away_from_the_water() {
    let text = plan(
        POOL,
        &supply("S1", "[0, 30]"),
        &lamps(&["[30, 8]"]),
        &run("R1", "route: [S1/12, [0, 16], L1], slack: 0 %"),
    );
    let job = Job::new(&text);
    let cure = job.smallest("clearance/luminaire-near-pool", "L1");
    // 3 ft from the edge at y = 5; at 10 ft it is at y = 15.
    assert_eq!(cure.summary, "move L1 away from pool to [30, 15]");
}

#[test]
fn an_unfed_luminaire_is_fed_from_the_nearest_node() {
    let text = plan(
        "",
        &supply("S1", "[0, 0]"),
        &lamps(&["[30, 0]", "[60, 0]", "[33, 4]"]),
        &run("R1", "route: [S1/12, L1, L2], slack: 0 %"),
    );
    let cure = Job::new(&text).smallest("voltage/unfed-luminaire", "L3");
    // L1 is 5 ft away, L2 27.3 ft, S1 33.2 ft.
    assert!(cure.text.contains("{ id: R1-2, cable: burial-12-2, route: [L1, L3]"), "{}", cure.text);
    assert!((cure.cost.cable_added_m - 5.0 * 0.3048).abs() < 1e-4);
}
