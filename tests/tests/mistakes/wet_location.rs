//! Water: listings, IP codes, joints, drainage, and what stands in the way of wheels.

use crate::geometry::{Patch, passing, place_of, standing};
use crate::matrix::{FRONT, GREEN, POOL, Planted, any_of, between, each, is_nec, one};
use lintern_core::finding::Level::{Advice, Violation};
use lintern_tests::scenario::Scenario;
use serde_yaml::Value;

fn is_in_ground(lamp: &Value) -> bool {
    lamp["placement"] == "in-ground"
}

#[test]
fn a_luminaire_for_damp_places_in_the_rain() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |_| true);
        plan.own_type("luminaires", &lamp)["location"] = "damp".into();
        let level = if is_nec(plan) { Violation } else { Advice };
        one(level, "wet-location/unsuitable-listing", &lamp, "damp")
    });
}

/// Jet-proof is not immersion-proof.
#[test]
fn ip65_in_the_ground() {
    each(&[FRONT], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", is_in_ground);
        let code = format!("IP6{}", 4 + random.below(3));
        plan.own_type("luminaires", &lamp)["ip"][1] = code.as_str().into();
        plan.own_type("luminaires", &lamp)["ip"].as_sequence_mut().expect("codes").remove(0);
        one(Advice, "wet-location/insufficient-ip", &lamp, &code)
    });
}

#[test]
fn a_low_ip_in_the_open() {
    each(&[GREEN], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |_| true);
        let code = format!("IP{}{}", 2 + random.below(5), random.below(3));
        plan.own_type("luminaires", &lamp)["ip"][0] = code.as_str().into();
        one(Violation, "wet-location/insufficient-ip", &lamp, &code)
    });
}

#[test]
fn a_taped_splice_in_the_ground() {
    each(&[FRONT, POOL], |plan, random| {
        let taped: Value = serde_yaml::from_str("{ location: dry, direct-burial: false }").expect("YAML");
        plan.0["schedule"]["splices"]["taped"] = taped;
        let in_ground = |e: &Value| e.get("placement").is_none_or(|p| p == "in-ground" || p == "stake");
        let list = if random.below(3) == 0 { "junctions" } else { "luminaires" };
        let joint = any_of(plan, random, list, in_ground);
        plan.element(list, &joint)["splice"] = "taped".into();
        one(Violation, "wet-location/unsuitable-splice", &joint, "false")
    });
}

#[test]
fn no_gravel_under_a_well_light() {
    each(&[FRONT], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", is_in_ground);
        let base = ["native-soil", "sand"][random.below(2)];
        plan.element("luminaires", &lamp)["excavation"]["base"] = base.into();
        one(Advice, "wet-location/undrained-luminaire", &lamp, base)
    });
}

#[test]
fn thin_gravel_under_a_well_light() {
    each(&[FRONT], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", is_in_ground);
        let depth = format!("{} in", between(random, 1.0, 5.99));
        plan.element("luminaires", &lamp)["excavation"]["base-depth"] = depth.as_str().into();
        one(Advice, "wet-location/undrained-luminaire", &lamp, &depth)
    });
}

/// The well light is 4 in wide and 6 in deep: twice that is the practice. The narrowest hole of W3, 4.1 in, still reaches
/// to 21.5 in of the water line.
#[test]
fn a_tight_hole() {
    each(&[FRONT], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", is_in_ground);
        let (side, low, high) = [("width", 4.1, 7.99), ("depth", 6.5, 11.99)][random.below(2)];
        let size = format!("{} in", between(random, low, high));
        let hole = &mut plan.element("luminaires", &lamp)["excavation"];
        hole[side] = size.as_str().into();
        one(Advice, "wet-location/small-excavation", &lamp, &size)
    });
}

/// A driveway over one well light that is made for feet, and over the runs that pass there.
#[test]
fn a_well_light_under_wheels() {
    each(&[FRONT], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", is_in_ground);
        let patch = Patch::new(place_of(plan, &lamp), (1.0, 0.0), 1.0, 1.0);
        assert_eq!(standing(plan).iter().filter(|p| patch.holds(**p)).count(), 1);
        let shallow = passing(plan, &patch, "cover", |_| true);
        let bare = passing(plan, &patch, "method", |run| run["method"] == "direct-burial");
        plan.list("site.zones").push(patch.zone("new-drive", "driveway"));
        one(Violation, "wet-location/insufficient-traffic-load", &lamp, "walk-over")
            .finds_each(Violation, "burial/shallow-cover", shallow)
            .finds_each(Advice, "burial/unsleeved-crossing", bare)
    });
}

/// Whether a drain leads out of the hollow is asked next, and its joint has to stand water, too.
#[test]
fn a_well_light_in_a_hollow() {
    each(&[FRONT], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", is_in_ground);
        let hollow = Patch::new(place_of(plan, &lamp), (1.0, 0.0), 1.0, 1.0).zone("hollow", "low-ground");
        plan.list("site.zones").push(hollow);
        plan.element("luminaires", &lamp)["excavation"]["drain"] = "sump".into();
        one(Advice, "wet-location/standing-water", &lamp, "sump")
    });
}

#[test]
fn a_stake_joint_in_a_hollow() {
    each(&[FRONT, POOL], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |lamp| lamp["placement"] == "stake");
        let hollow = Patch::new(place_of(plan, &lamp), (1.0, 0.0), 1.0, 1.0).zone("hollow", "low-ground");
        plan.list("site.zones").push(hollow);
        one(Advice, "wet-location/standing-water", &lamp, "wet")
    });
}

/// A cable that comes up into the sun; in its conduit it would be covered.
#[test]
fn a_cable_that_fades_in_the_sun() {
    each(&[FRONT, POOL, GREEN], |plan: &mut Scenario, random| {
        let run = any_of(plan, random, "runs", |run| run.get("riser").is_some());
        plan.own_type("runs", &run)["sunlight-resistant"] = false.into();
        plan.element("runs", &run)["riser"] = "none".into();
        let planted: Planted = one(Advice, "burial/unguarded-emergence", &run, "none");
        let level = if is_nec(plan) { Violation } else { Advice };
        planted.finds(level, "wet-location/sun-exposed-cable", &run, "false")
    });
}
