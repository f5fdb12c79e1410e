//! Cables that lie too shallow, in the wrong place, or are not made for the ground.

use crate::geometry::{Patch, passing, spot_on_a_run};
use crate::matrix::{FRONT, GREEN, POOL, Planted, any_of, each, is_nec, one, pick};
use lintern_core::finding::Level::{Advice, Reminder, Violation};
use lintern_tests::scenario::Scenario;
use serde_yaml::Value;

fn is_buried_bare(run: &Value) -> bool {
    run["method"] == "direct-burial"
}

fn set(plan: &mut Scenario, run: &str, field: &str, value: &str) {
    plan.element("runs", run)[field] = value.into();
}

#[test]
fn shallow_cover_in_open_ground() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let run = any_of(plan, random, "runs", |_| true);
        let (cover, level) = if is_nec(plan) { ("5 in", Violation) } else { ("450 mm", Reminder) };
        set(plan, &run, "cover", cover);
        one(level, "burial/shallow-cover", &run, cover)
    });
}

/// 8 in is enough in a lawn and not under the wheels of a dwelling's own cars.
#[test]
fn a_driveway_over_a_run() {
    each(&[FRONT, POOL], |plan, random| {
        let runs = plan.ids("runs", |_| true);
        let (_, spot, along) = spot_on_a_run(plan, random, &runs);
        let patch = Patch::new(spot, along, 0.5, 1.0);
        let shallow = passing(plan, &patch, "cover", |_| true);
        let bare = passing(plan, &patch, "method", is_buried_bare);
        plan.list("site.zones").push(patch.zone("new-drive", "driveway"));
        Planted::default().finds_each(Violation, "burial/shallow-cover", shallow).finds_each(
            Advice,
            "burial/unsleeved-crossing",
            bare,
        )
    });
}

/// 550 mm is usual in open ground and not where vehicles drive (600 mm); the runs of the green lie 600 mm deep.
#[test]
fn a_driveway_over_a_metric_run() {
    each(&[GREEN], |plan, random| {
        let runs = plan.ids("runs", |_| true);
        let (run, spot, along) = spot_on_a_run(plan, random, &runs);
        let patch = Patch::new(spot, along, 0.5, 1.0);
        set(plan, &run, "cover", "550 mm");
        let bare = passing(plan, &patch, "method", is_buried_bare);
        plan.list("site.zones").push(patch.zone("new-drive", "driveway"));
        one(Reminder, "burial/shallow-cover", &run, "550 mm").finds_each(Advice, "burial/unsleeved-crossing", bare)
    });
}

/// A cable without a raceway there is one mistake and not a question of depth.
#[test]
fn a_building_over_a_run() {
    each(&[FRONT, POOL], |plan, random| {
        let runs = plan.ids("runs", is_buried_bare);
        let (_, spot, along) = spot_on_a_run(plan, random, &runs);
        let patch = Patch::new(spot, along, 0.5, 1.0);
        let bare = passing(plan, &patch, "method", is_buried_bare);
        plan.list("site.zones").push(patch.zone("shed", "building"));
        Planted::default().finds_each(Violation, "burial/cable-under-building", bare)
    });
}

/// Lamp cord has no listing for the ground, and no ampacity in the table for outdoor wiring: what the plan does not
/// state of that can't be checked.
#[test]
fn lamp_cord_in_the_ground() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let run = any_of(plan, random, "runs", is_buried_bare);
        let level = if is_nec(plan) { Violation } else { Advice };
        let cord = plan.own_type("runs", &run);
        cord["kind"] = "lamp-cord".into();
        cord["direct-burial"] = false.into();
        cord["ampacity"] = "20 A".into();
        let name = plan.element("runs", &run)["cable"].as_str().expect("a type").to_owned();
        one(level, "burial/unsuitable-cable", &run, &name)
    });
}

#[test]
fn lamp_cord_of_unstated_ampacity() {
    each(&[FRONT], |plan, random| {
        let run = any_of(plan, random, "runs", is_buried_bare);
        let cord = plan.own_type("runs", &run);
        cord["kind"] = "lamp-cord".into();
        cord["direct-burial"] = false.into();
        let name = plan.element("runs", &run)["cable"].as_str().expect("a type").to_owned();
        one(Violation, "burial/unsuitable-cable", &run, &name)
            .opens("loading/overloaded-conductor")
            .opens("loading/unprotected-conductor")
    });
}

#[test]
fn a_cable_that_comes_up_bare() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let run = any_of(plan, random, "runs", |run| run.get("riser").is_some());
        set(plan, &run, "riser", "none");
        one(Advice, "burial/unguarded-emergence", &run, "none")
    });
}

#[test]
fn stones_on_the_cable() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let run = any_of(plan, random, "runs", |_| true);
        set(plan, &run, "backfill", "rocky-soil");
        let level = if is_nec(plan) { Violation } else { Advice };
        one(level, "burial/unsuitable-backfill", &run, "rocky-soil")
    });
}

#[test]
fn no_tape_above_the_cable() {
    each(&[GREEN], |plan, random| {
        let run = any_of(plan, random, "runs", |_| true);
        set(plan, &run, "marking", "none");
        one(Advice, "burial/unmarked-cable", &run, "none")
    });
}

#[test]
fn a_cover_for_a_zone_that_is_not_crossed() {
    each(&[FRONT, POOL], |plan, random| {
        let (run, zone) = if plan.ids("site.zones", |_| true).contains(&"drive".to_owned()) {
            (any_of(plan, random, "runs", |_| true), "drive")
        } else {
            // The lawn circuit of the terrace keeps away from the deck.
            (pick(random, &["home", "left", "right"].map(str::to_owned)), "deck")
        };
        let exception: Value = serde_yaml::from_str(&format!("{{ zone: {zone}, cover: 18 in }}")).expect("YAML");
        let run_value = plan.element("runs", &run).as_mapping_mut().expect("a run");
        let covers = run_value.entry("covers".into()).or_insert_with(|| Value::Sequence(Vec::new()));
        covers.as_sequence_mut().expect("a list").push(exception);
        one(Advice, "burial/unused-cover", &run, zone)
    });
}
