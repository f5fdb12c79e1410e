//! Volts, amps and volt-amperes: what luminaires get, what supplies and conductors carry.
//!
//! The volts come from the solver, which is compared with references of its own elsewhere; what follows from them is
//! reckoned here from the plan's texts.

use crate::matrix::{FRONT, GREEN, POOL, Planted, any_of, between, each, is_nec, number, one};
use crate::water::distance_to_water;
use lintern_core::analysis::Solution;
use lintern_core::finding::Level::{Advice, Violation};
use lintern_tests::scenario::Scenario;
use serde_yaml::Value;

struct Lamp {
    id: String,
    volts: f64,
    no_load: f64,
    kind: Value,
    feed: f64,
}

fn lamps(plan: &mut Scenario) -> Vec<Lamp> {
    let solution: Solution = plan.solve();
    let types = plan.0["schedule"]["luminaires"].clone();
    let lamps = plan.list("luminaires").iter().zip(&solution.luminaires).map(|(lamp, state)| Lamp {
        id: lamp["id"].as_str().expect("an id").to_owned(),
        volts: state.node.volts.expect("a fed lamp"),
        no_load: state.node.no_load_volts.expect("a fed lamp"),
        feed: state.node.feed_volts.expect("a fed lamp"),
        kind: types[lamp["type"].as_str().expect("a type")].clone(),
    });
    lamps.collect()
}

/// What the volts of a plan without resistive lamps imply. Drop is a violation where the standard has a figure for it
/// and the cable alone passes it, which no plan here does by accident.
fn volts_say(plan: &mut Scenario) -> Planted {
    let mut planted = Planted::default();
    for lamp in lamps(plan) {
        let (low, high) = (number(&lamp.kind["input"]["min"]), number(&lamp.kind["input"]["max"]));
        if lamp.volts < low {
            planted = planted.finds(Violation, "voltage/undervoltage", &lamp.id, &lamp.id);
        }
        if lamp.volts > high {
            planted = planted.finds(Violation, "voltage/overvoltage", &lamp.id, &lamp.id);
        } else if lamp.no_load > high {
            planted = planted.finds(Violation, "voltage/no-load-overvoltage", &lamp.id, &lamp.id);
        }
        if (lamp.feed - lamp.volts) / number(&lamp.kind["nominal"]) > 0.05 {
            let level = if is_nec(plan) { Advice } else { Violation };
            planted = planted.finds(level, "voltage/excess-drop", &lamp.id, &lamp.id);
        }
    }
    planted
}

/// Thinner cable everywhere, as far as the protection of the outputs allows it.
fn thin_cables(plan: &mut Scenario) {
    let is_nec = is_nec(plan);
    for supply in plan.ids("supplies", |_| true) {
        let kind = plan.own_type("supplies", &supply);
        kind["outputs"][0]["protection"] = "7 A".into();
    }
    for run in plan.ids("runs", |_| true) {
        let cable = plan.own_type("runs", &run);
        cable["conductor"] = if is_nec { "18 AWG" } else { "1.5 mm2" }.into();
    }
}

#[test]
fn thin_cable_starves_a_far_lamp() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        thin_cables(plan);
        let victim = any_of(plan, random, "luminaires", |_| true);
        plan.own_type("luminaires", &victim);
        let volts = lamps(plan).into_iter().find(|lamp| lamp.id == victim).expect("the lamp").volts;
        let needs = format!("{:.2} V", volts + between(random, 0.05, 0.3));
        plan.own_type("luminaires", &victim)["input"]["min"] = needs.into();
        let planted = volts_say(plan);
        assert!(format!("{planted:?}").contains("undervoltage"));
        planted
    });
}

/// The tap is raised for the far lamps; one lamp of a narrower range gets too much of it.
#[test]
fn a_raised_tap_burns_a_lamp() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        raise_taps(plan, random);
        let victim = any_of(plan, random, "luminaires", |_| true);
        let volts = lamps(plan).into_iter().find(|lamp| lamp.id == victim).expect("the lamp").volts;
        plan.own_type("luminaires", &victim)["input"]["max"] = format!("{:.3} V", volts - 0.05).into();
        let planted = volts_say(plan);
        assert!(format!("{planted:?}").contains("/overvoltage"));
        planted
    });
}

/// As long as everything is lit the lamp is safe; when the others go out it is not.
#[test]
fn a_raised_tap_burns_a_lamp_at_no_load() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        raise_taps(plan, random);
        let victim = any_of(plan, random, "luminaires", |_| true);
        let lamp = lamps(plan).into_iter().find(|lamp| lamp.id == victim).expect("the lamp");
        let between = format!("{:.4} V", (lamp.volts + lamp.no_load) / 2.0);
        plan.own_type("luminaires", &victim)["input"]["max"] = between.into();
        let planted = volts_say(plan);
        assert!(format!("{planted:?}").contains("no-load-overvoltage"));
        planted
    });
}

fn raise_taps(plan: &mut Scenario, random: &mut lintern_tests::seeded::Seeded) {
    let (low, high) = if is_nec(plan) { (12.5, 14.5) } else { (24.5, 26.5) };
    for supply in plan.ids("supplies", |_| true) {
        let volts = format!("{} V", between(random, low, high));
        plan.own_type("supplies", &supply)["outputs"][0]["volts"] = volts.into();
    }
}

#[test]
fn an_output_above_25_amperes() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let limit = format!("{} A", between(random, 25.01, 40.0));
        plan.own_type("supplies", &supply)["outputs"][0]["limit"] = limit.as_str().into();
        one(Violation, "loading/excess-output-current", &supply, &limit)
    });
}

/// A rating at which the solved load is a given share.
fn rate(plan: &mut Scenario, supply: &str, share: f64) -> String {
    let solution = plan.solve();
    let at = plan.ids("supplies", |_| true).iter().position(|id| id == supply).expect("the supply");
    let state = &solution.supplies[at];
    let load = state.load_va.expect("a solved supply").max(state.nameplate_va.expect("a solved supply"));
    let kind = plan.own_type("supplies", supply);
    let unit = kind["rating"].as_str().expect("a rating").rsplit(' ').next().expect("a unit").to_owned();
    kind["rating"] = format!("{:.2} {unit}", load / share).into();
    plan.element("supplies", supply)["type"].as_str().expect("a type").to_owned()
}

#[test]
fn a_supply_above_80_percent() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let share = between(random, 0.81, 0.99);
        let name = rate(plan, &supply, share);
        one(Violation, "loading/overloaded-supply", &supply, &name)
    });
}

/// The 80 % are practice and the rating is the maker's word: both are said.
#[test]
fn a_supply_above_its_rating() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let share = between(random, 1.01, 1.5);
        let name = rate(plan, &supply, share);
        one(Violation, "loading/exceeded-rating", &supply, &name).finds(
            Violation,
            "loading/overloaded-supply",
            &supply,
            &name,
        )
    });
}

/// Watts for volt-amperes: with power factor 1 the supply is below 80 %, with 0.9 it would be above.
#[test]
fn a_missing_apparent_power_that_decides() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        for lamp in plan.ids("luminaires", |_| true) {
            plan.own_type("luminaires", &lamp).as_mapping_mut().expect("a type").remove("apparent-power");
        }
        let share = between(random, 0.74, 0.79);
        rate(plan, &supply, share);
        Planted::default().opens("loading/overloaded-supply")
    });
}

/// Where there is room enough nothing rests on it.
#[test]
fn a_missing_apparent_power_that_decides_nothing() {
    each(&[FRONT, POOL], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |_| true);
        plan.own_type("luminaires", &lamp).as_mapping_mut().expect("a type").remove("apparent-power");
        Planted::default()
    });
}

#[test]
fn doubled_conductors() {
    each(&[FRONT, POOL], |plan, random| {
        let run = any_of(plan, random, "runs", |_| true);
        plan.own_type("runs", &run)["parallel"] = 2.into();
        one(Violation, "loading/paralleled-conductors", &run, "2")
    });
}

/// 7 A is the most for 18 AWG; the outputs are protected by 15 A and by 8 A.
#[test]
fn a_conductor_too_thin_for_the_protection() {
    each(&[FRONT, POOL], |plan, random| {
        let run = any_of(plan, random, "runs", |_| true);
        plan.own_type("runs", &run)["conductor"] = "18 AWG".into();
        let name = plan.element("runs", &run)["cable"].as_str().expect("a type").to_owned();
        volts_say(plan).finds(Violation, "loading/unprotected-conductor", &run, &name)
    });
}

/// The two ends of the loop on different outputs: that part has no answer, and nothing is said of its volts.
#[test]
fn a_loop_closed_on_another_output() {
    each(&[GREEN], |plan, random| {
        let other = format!("{} V", between(random, 23.5, 25.0));
        let outputs = &mut plan.own_type("supplies", "PS1")["outputs"];
        let mut second = outputs[0].clone();
        second["name"] = "b".into();
        second["volts"] = other.into();
        outputs.as_sequence_mut().expect("a list").push(second);
        plan.element("runs", "south")["route"][0] = "PS1/a".into();
        plan.element("runs", "west")["route"][3] = "PS1/b".into();
        let volts =
            ["excess-drop", "no-load-overvoltage", "no-operating-point", "overvoltage", "undervoltage", "uneven-scene"];
        let amps = [
            "exceeded-output-limit",
            "exceeded-rating",
            "overloaded-branch-circuit",
            "overloaded-conductor",
            "overloaded-supply",
        ];
        let planted = one(Violation, "voltage/tied-outputs", "PS1", "PS1");
        let planted = volts.iter().fold(planted, |planted, rule| planted.opens(&format!("voltage/{rule}")));
        amps.iter().fold(planted, |planted, rule| planted.opens(&format!("loading/{rule}")))
    });
}

/// The last luminaire of a chain is forgotten: nothing can be said of its volts.
#[test]
fn a_luminaire_that_no_run_leads_to() {
    each(&[FRONT, POOL], |plan, random| {
        let ends_in_two_lamps = |run: &Value| {
            let route = run["route"].as_sequence().expect("a route");
            route.len() > 2 && route[route.len() - 2..].iter().all(Value::is_string)
        };
        let run = any_of(plan, random, "runs", ends_in_two_lamps);
        let route = plan.element("runs", &run)["route"].as_sequence_mut().expect("a route");
        let lamp = route.pop().expect("a node");
        let lamp = lamp.as_str().expect("an id");
        let silent = [
            "current-mismatch",
            "excess-drop",
            "no-load-overvoltage",
            "nominal-mismatch",
            "overvoltage",
            "undervoltage",
            "uneven-scene",
        ];
        let planted = one(Violation, "voltage/unfed-luminaire", lamp, lamp);
        let planted = silent.iter().fold(planted, |planted, rule| planted.opens(&format!("voltage/{rule}")));
        // Beside the water it matters what feeds it, and that is not drawn.
        let by_pool = distance_to_water(plan, lamp).is_some_and(|feet| feet < 10.0);
        if by_pool { planted.opens("clearance/luminaire-near-pool") } else { planted }
    });
}
