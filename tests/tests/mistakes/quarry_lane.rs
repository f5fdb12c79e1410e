//! The demo plans with mistakes show each mistake that their comments name.

use lintern_core::finding::Level;
use lintern_tests::scenario::Scenario;

fn assert_found(file: &str, expected: &[(&str, &str)]) {
    let found = Scenario::read(file).check().pairs(Level::Reminder);
    let has = |rule: &str, subject: &str| found.contains(&(rule.to_owned(), subject.to_owned()));
    let missed: Vec<_> = expected.iter().filter(|(rule, subject)| !has(rule, subject)).collect();
    assert!(missed.is_empty(), "{file}: {missed:?} of {found:?}");
}

#[test]
fn the_back_garden_shows_what_its_comments_say() {
    assert_found(
        "quarry-lane/back-garden.yaml",
        &[
            // On a 30 A circuit, from an output of 50 A.
            ("loading/oversized-branch-circuit", "S1"),
            ("loading/excess-output-current", "S1"),
            // Loaded above 80 %, even at power factor 1, which is the best that unstated apparent powers can be.
            ("loading/overloaded-supply", "S2"),
            // The far ones are starved, and the scene is uneven.
            ("voltage/undervoltage", "H4"),
            ("voltage/undervoltage", "H5"),
            ("voltage/undervoltage", "H6"),
            ("voltage/excess-drop", "H6"),
            ("voltage/uneven-scene", "H6"),
            // Too many volts for the luminaire, and for a wet place.
            ("voltage/overvoltage", "K1"),
            ("voltage/excess-system-voltage", "S1"),
            ("voltage/nominal-mismatch", "K1"),
            // A 24 V DC strip on 12 V AC.
            ("voltage/current-mismatch", "D1"),
            ("voltage/nominal-mismatch", "D1"),
            // Drawn, but no run leads to it.
            ("voltage/unfed-luminaire", "X1"),
            // Doubled cable to save copper.
            ("loading/paralleled-conductors", "R4"),
            // No ticket, and the start is near.
            ("dig-safety/missing-ticket", ""),
            ("dig-safety/private-lines", ""),
        ],
    );
}

#[test]
fn the_side_yard_shows_what_its_comments_say() {
    assert_found(
        "quarry-lane/side-yard.yaml",
        &[
            // An indoor box in the weather, too low, without GFCI, without an in-use cover.
            ("feed/unsuitable-enclosure", "S1"),
            ("feed/low-mounting", "S1"),
            ("feed/missing-gfci", "S1"),
            ("feed/missing-in-use-cover", "S1"),
            // A damp-listed luminaire in the rain, on a splice for dry places.
            ("wet-location/unsuitable-listing", "A1"),
            ("wet-location/unsuitable-splice", "A1"),
            // Without gravel, in clay and in the hollow, in a tight hole.
            ("wet-location/undrained-luminaire", "A2"),
            ("wet-location/standing-water", "A2"),
            ("wet-location/small-excavation", "A2"),
            // Rated for feet, set in the drive.
            ("wet-location/insufficient-traffic-load", "A3"),
            // Two feet from the spa, on a supply that is not for pools.
            ("clearance/luminaire-near-pool", "A4"),
            // Halogen in mulch, and another white.
            ("clearance/hot-lamp-near-plants", "A5"),
            ("light/mixed-whites", "A6"),
            // Four inches deep, across the gas line.
            ("burial/shallow-cover", "R1"),
            ("dig-safety/machine-in-tolerance-zone", "R1"),
            // Six inches under the drive, without a sleeve.
            ("burial/shallow-cover", "R2"),
            ("burial/unsleeved-crossing", "R2"),
            // Lamp cord in the ground.
            ("burial/unsuitable-cable", "R3"),
            // Buried beside the spa; the exception is for a zone that it never meets.
            ("clearance/unsuited-wiring-by-pool", "R4"),
            ("burial/unused-cover", "R4"),
            // Called on Friday for Monday, not answered, opened by machine, private lines unknown.
            ("dig-safety/short-notice", ""),
            ("dig-safety/unanswered-request", ""),
            ("dig-safety/private-lines", ""),
        ],
    );
}

#[test]
fn the_path_as_built_shows_its_bad_joint() {
    assert_found(
        "quarry-lane/path-as-built.yaml",
        &[
            // What is read behind the joint between L1 and L2, and where it is.
            ("as-built/unexpected-reading", "L2"),
            ("as-built/unexpected-reading", "L4"),
            ("as-built/located-fault", "R2"),
        ],
    );
}
