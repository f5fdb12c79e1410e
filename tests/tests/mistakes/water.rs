//! Lighting beside a pool, in a plan whose lawn circuit keeps away from it.

use crate::geometry::{Patch, Point, apart, outline, path_of, paths, place_of, written};
use crate::matrix::{FRONT, GREEN, POOL, Planted, any_of, between, each, field_of, one, pick, with_field};
use lintern_core::finding::Level::{Reminder, Violation};
use lintern_tests::scenario::Scenario;
use serde_yaml::Value;

/// Feet from an element to the edge of the plan's pool; none without a pool.
pub fn distance_to_water(plan: &mut Scenario, node: &str) -> Option<f64> {
    let pool = plan.ids("site.zones", |zone| zone["kind"] == "pool").pop()?;
    let (at, edge) = (place_of(plan, node), outline(plan, &pool));
    Some(apart(&[at, at], &edge))
}

/// Runs nearer to the pool than some feet that are laid without a raceway.
fn bare_runs_within(plan: &mut Scenario, feet: f64) -> Vec<String> {
    let edge = outline(plan, "pool");
    let near: Vec<String> =
        paths(plan).into_iter().filter(|(_, path)| apart(path, &edge) < feet).map(|(id, _)| id).collect();
    near.into_iter().filter(|id| plan.element("runs", id)["method"] == "direct-burial").collect()
}

/// The lawn circuit's supply, said not to be for pools.
fn ordinary_supply(plan: &mut Scenario) {
    plan.own_type("supplies", "S1")["pool-listed"] = false.into();
}

/// A lawn light beside the water, somewhere along the side that faces the lawn; its runs come with it.
fn move_to_water(plan: &mut Scenario, random: &mut lintern_tests::seeded::Seeded) -> String {
    let lamp = pick(random, &["G1", "G2", "G3", "G4"].map(str::to_owned));
    let at: Point = (between(random, 22.0, 50.0), between(random, 37.0, 45.5));
    plan.element("luminaires", &lamp)["at"] = written(at);
    lamp
}

#[test]
fn a_luminaire_by_the_pool_on_an_ordinary_supply() {
    each(&[POOL], |plan, random| {
        ordinary_supply(plan);
        let lamp = move_to_water(plan, random);
        let wiring = bare_runs_within(plan, 10.0);
        let unsuited: Vec<_> =
            bare_runs_within(plan, 5.0).into_iter().map(|id| (id, "direct-burial".to_owned())).collect();
        let place = field_of(plan, "luminaires", &lamp, "at");
        one(Violation, "clearance/luminaire-near-pool", &lamp, &place)
            .finds_each(Violation, "clearance/wiring-near-pool", with_field(plan, "runs", &wiring, "route"))
            .finds_each(Violation, "clearance/unsuited-wiring-by-pool", unsuited)
    });
}

/// The distance is the rule: what the plan does not show of the conditions that allow less does not count.
#[test]
fn a_luminaire_by_the_pool_on_a_supply_that_nothing_is_known_of() {
    each(&[POOL], |plan, random| {
        let lamp = move_to_water(plan, random);
        let wiring = bare_runs_within(plan, 10.0);
        let unsuited: Vec<_> =
            bare_runs_within(plan, 5.0).into_iter().map(|id| (id, "direct-burial".to_owned())).collect();
        let place = field_of(plan, "luminaires", &lamp, "at");
        one(Violation, "clearance/luminaire-near-pool", &lamp, &place)
            .finds_each(Violation, "clearance/unsuited-wiring-by-pool", unsuited)
            .finds_each(Violation, "clearance/wiring-near-pool", with_field(plan, "runs", &wiring, "route"))
    });
}

/// Its luminaires stand 3 ft from the water; its cables lie in conduit, which the code allows beside any supply.
#[test]
fn the_supply_of_the_deck_is_not_for_pools() {
    each(&[POOL], |plan, random| {
        let fault = ["pool-listed", "isolating", "grounded-output"][random.below(3)];
        plan.own_type("supplies", "S2")[fault] = Value::from(fault == "grounded-output");
        let by_water = with_field(plan, "luminaires", &["D1", "D2", "D3", "D4"].map(str::to_owned), "at");
        let planted = Planted::default().finds_each(Violation, "clearance/luminaire-near-pool", by_water);
        // The last two are wrong anywhere.
        match fault {
            "isolating" => planted.finds(Violation, "feed/non-isolating-supply", "S2", "false"),
            "grounded-output" => planted.finds(Violation, "feed/grounded-output", "S2", "true"),
            _ => planted,
        }
    });
}

#[test]
fn a_supply_by_the_pool() {
    each(&[POOL], |plan, random| {
        ordinary_supply(plan);
        // 6.5 ft to 9.5 ft from the water, in front of the west side, where the pool's own rules ask nothing else; the
        // receptacle keeps its 6 ft, and the first run of the lawn circuit starts there.
        let at = (between(random, 10.5, 13.5), between(random, 21.0, 35.0));
        plan.element("supplies", "S1")["at"] = written(at);
        let wiring = bare_runs_within(plan, 10.0);
        let place = field_of(plan, "supplies", "S1", "at");
        one(Violation, "clearance/supply-near-pool", "S1", &place).finds_each(
            Violation,
            "clearance/wiring-near-pool",
            with_field(plan, "runs", &wiring, "route"),
        )
    });
}

#[test]
fn a_cable_in_the_soil_beside_the_pool() {
    each(&[POOL], |plan, random| {
        let run = any_of(plan, random, "runs", |run| run["method"] == "pvc-conduit");
        plan.element("runs", &run)["method"] = "direct-burial".into();
        plan.element("runs", &run)["riser"] = "pvc-conduit".into();
        one(Violation, "clearance/unsuited-wiring-by-pool", &run, "direct-burial")
    });
}

#[test]
fn a_conduit_under_the_pool() {
    each(&[POOL], |plan, random| {
        let bend = written((between(random, 34.0, 40.0), between(random, 21.0, 35.0)));
        plan.element("runs", "deck-east")["route"].as_sequence_mut().expect("a route").insert(1, bend);
        assert!(path_of(plan, "deck-east").len() > 3);
        let route = field_of(plan, "runs", "deck-east", "route");
        one(Violation, "clearance/wiring-under-pool", "deck-east", &route)
    });
}

/// A pond may be any of several things to the authority.
#[test]
fn a_pond_beside_the_walk() {
    each(&[FRONT], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |lamp| lamp["lights"] == "path");
        let (x, y) = place_of(plan, &lamp);
        let centre = (x + between(random, 4.0, 9.0), y);
        let pond = Patch::new(centre, (1.0, 0.0), 1.0, 1.0).zone("pond", "pond");
        plan.list("site.zones").push(pond);
        one(Reminder, "clearance/lighting-by-pond", "pond", "pond")
    });
}

/// Insulation for 30 V beside the conductors of the mains.
#[test]
fn low_voltage_and_power_in_one_raceway() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let run = any_of(plan, random, "runs", |_| true);
        plan.own_type("runs", &run)["voltage-rating"] = "30 V".into();
        plan.element("runs", &run)["shared-with"] = "power".into();
        plan.element("runs", &run)["barrier"] = false.into();
        one(Violation, "clearance/mixed-systems", &run, "power")
    });
}
