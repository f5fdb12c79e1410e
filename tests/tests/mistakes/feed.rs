//! The supply and its branch circuit: protection, receptacle, enclosure, listing.

use crate::matrix::{FRONT, GREEN, POOL, Planted, any_of, each, field_of, is_nec, one};
use lintern_core::finding::Level::{Advice, Reminder, Violation};

#[test]
fn no_gfci() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let feed = &mut plan.element("supplies", &supply)["feed"];
        feed["gfci"] = false.into();
        let level = if feed["connection"] == "receptacle" { Violation } else { Reminder };
        one(level, "feed/missing-gfci", &supply, "false")
    });
}

#[test]
fn no_rcd_on_a_socket_outlet() {
    each(&[GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let feed = &mut plan.element("supplies", &supply)["feed"];
        feed["connection"] = "receptacle".into();
        feed["in-use-cover"] = true.into();
        feed["rcd"] = "100 mA".into();
        one(Violation, "feed/missing-rcd", &supply, "100 mA")
    });
}

#[test]
fn no_in_use_cover() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |s| s["feed"]["connection"] == "receptacle");
        plan.element("supplies", &supply)["feed"]["in-use-cover"] = false.into();
        one(Violation, "feed/missing-in-use-cover", &supply, "false")
    });
}

#[test]
fn an_ordinary_receptacle() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |s| s["feed"]["connection"] == "receptacle");
        plan.element("supplies", &supply)["feed"]["weather-resistant"] = false.into();
        one(Violation, "feed/unsuitable-receptacle", &supply, "false")
    });
}

#[test]
fn a_breaker_above_20_amperes() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        plan.element("supplies", &supply)["feed"]["breaker"] = "30 A".into();
        one(Violation, "loading/oversized-branch-circuit", &supply, "30 A")
    });
}

/// 20 A at 120 V are 2400 VA. Lighting that is on for hours counts 1.25 times: of 9.6 VA, the least here, 12 VA.
#[test]
fn a_full_branch_circuit() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        plan.element("supplies", &supply)["feed"]["other-load"] = "2395 VA".into();
        one(Violation, "loading/overloaded-branch-circuit", &supply, "20 A")
    });
}

/// 1920 VA of other load fit beside the lighting when they are not on for hours, and do not when they are.
#[test]
fn a_branch_circuit_that_may_be_full() {
    each(&[FRONT, POOL], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        plan.element("supplies", &supply)["feed"]["other-load"] = "1920 VA".into();
        Planted::default().opens("loading/overloaded-branch-circuit")
    });
}

#[test]
fn an_indoor_box_in_the_weather() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let enclosure = if is_nec(plan) { "type 1" } else { "indoor" };
        plan.own_type("supplies", &supply)["enclosure"] = enclosure.into();
        one(Violation, "feed/unsuitable-enclosure", &supply, enclosure)
    });
}

#[test]
fn a_box_in_the_splash_of_the_ground() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        let height = if is_nec(plan) { "6 in" } else { "150 mm" };
        plan.element("supplies", &supply)["mount-height"] = height.into();
        one(Advice, "feed/low-mounting", &supply, height)
    });
}

#[test]
fn an_autotransformer() {
    each(&[FRONT, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        plan.own_type("supplies", &supply)["isolating"] = false.into();
        one(Violation, "feed/non-isolating-supply", &supply, "false")
    });
}

#[test]
fn a_grounded_output() {
    each(&[FRONT, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        plan.own_type("supplies", &supply)["grounded-output"] = true.into();
        // A circuit that is no longer SELV may be PELV, which the authority has to say; ground is forbidden by the NEC alone.
        let level = if is_nec(plan) { Violation } else { Reminder };
        one(level, "feed/grounded-output", &supply, "true")
    });
}

#[test]
fn a_general_purpose_supply() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let supply = any_of(plan, random, "supplies", |_| true);
        plan.own_type("supplies", &supply)["listing"] = "general".into();
        one(Violation, "feed/unlisted-supply", &supply, "general")
    });
}

/// Next to a pool an unlisted luminaire breaks a second article, whatever its supply.
#[test]
fn an_unlisted_luminaire() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let lamp = any_of(plan, random, "luminaires", |_| true);
        plan.own_type("luminaires", &lamp)["listed"] = false.into();
        let planted =
            if is_nec(plan) { one(Violation, "feed/unlisted-luminaire", &lamp, "false") } else { Planted::default() };
        let by_pool = crate::water::distance_to_water(plan, &lamp).is_some_and(|feet| feet < 10.0);
        let place = field_of(plan, "luminaires", &lamp, "at");
        if by_pool { planted.finds(Violation, "clearance/luminaire-near-pool", &lamp, &place) } else { planted }
    });
}
