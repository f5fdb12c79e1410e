//! Records and the look of the light: what is missing, dated wrongly, or does not go together.

use crate::matrix::{FRONT, GREEN, POOL, Planted, any_of, between, each, is_nec, one, pick};
use lintern_core::finding::Level::{Advice, Reminder};
use lintern_tests::scenario::Scenario;

/// Whole block of a plan's records, which is underlined where an entry is not there.
const MISSING: &str = "records";

fn remove(plan: &mut Scenario, record: &str) {
    plan.0["records"].as_mapping_mut().expect("a mapping").remove(record);
}

#[test]
fn no_mock_up() {
    each(&[FRONT, POOL, GREEN], |plan, _| {
        remove(plan, "mock-up");
        one(Reminder, "records/missing-mock-up", "", MISSING)
    });
}

#[test]
fn no_test() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        remove(plan, ["test-before-backfill", "commissioning"][random.below(2)]);
        one(Reminder, "records/missing-test-record", "", MISSING)
    });
}

/// One finding names all that are missing.
#[test]
fn no_papers_to_hand_over() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let papers = ["as-built", "labels", "cut-sheets", "maintenance"];
        let first = random.below(papers.len());
        for paper in &papers[first..] {
            remove(plan, paper);
        }
        one(Reminder, "records/missing-handover-record", "", MISSING)
    });
}

/// And the test before backfill, which comes before the drawing, is still planned.
#[test]
fn an_as_built_drawing_from_before_the_work() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let day = format!("2026-03-{:02}", 1 + random.below(4));
        plan.0["records"]["as-built"] = day.as_str().into();
        one(Advice, "records/impossible-date", "", &day).finds(Advice, "records/overdue-record", "", "planned")
    });
}

/// The finding stands at the coolest one; the others of the scene are 2700 K or 3000 K.
#[test]
fn another_white_in_a_scene() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let lamps = plan.list("luminaires").clone();
        let shared = |scene: &serde_yaml::Value| lamps.iter().filter(|l| l["scene"] == *scene).count() > 1;
        let lamp = any_of(plan, random, "luminaires", |lamp| shared(&lamp["scene"]));
        let white = format!("{} K", pick(random, &[3500, 4000, 5000]));
        plan.own_type("luminaires", &lamp)["cct"] = white.as_str().into();
        one(Advice, "light/mixed-whites", &lamp, &white)
    });
}

#[test]
fn a_floodlight_on_a_path() {
    each(&[FRONT, POOL], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |lamp| lamp["lights"] == "path");
        let flux = format!("{} lm", between(random, 301.0, 2000.0));
        plan.own_type("luminaires", &lamp)["flux"] = flux.as_str().into();
        one(Advice, "light/unusual-flux", &lamp, &flux)
    });
}

#[test]
fn a_bare_lamp_beside_a_path() {
    each(&[FRONT, GREEN], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |lamp| lamp["lights"] == "path");
        plan.own_type("luminaires", &lamp)["shielded"] = false.into();
        plan.element("luminaires", &lamp)["aim"] = "up".into();
        one(Advice, "light/unshielded-glare", &lamp, "up")
    });
}

/// Neither the supply nor, on the path, the drivers can be dimmed: one finding at the supply, whose dimming decides.
#[test]
fn a_dimmer_on_a_supply_that_has_none() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let dimmer = if is_nec(plan) { "phase" } else { "pwm" };
        plan.element("supplies", &supply)["control"]["dimmer"] = dimmer.into();
        let planted: Planted = one(Advice, "light/unfit-dimmer", &supply, dimmer);
        planted
    });
}
