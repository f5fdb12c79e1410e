//! The locate request, its days, and buried lines that the work comes near to. The day of the check is 5 March 2026, a
//! Thursday; Oregon wants two full working days and its tolerance zone is 24 in.

use crate::geometry::{Point, apart, paths, place_of, point, spot_on_a_run, written};
use crate::matrix::{
    FRONT, GREEN, POOL, Planted, any_of, between, block, each, field_of, is_nec, number, one, with_field,
};
use lintern_core::finding::Level::{self, Advice, Reminder, Violation};
use lintern_tests::scenario::{Found, Scenario};
use lintern_tests::seeded::Seeded;
use serde_yaml::Value;

/// Feet from the edge of a line within which Oregon wants hands.
const TOLERANCE_FT: f64 = 2.0;

fn dig(plan: &mut Scenario) -> &mut Value {
    &mut plan.0["dig"]
}

#[test]
fn no_ticket() {
    each(&[FRONT, POOL], |plan, random| {
        // Some working days before the start a request is still in time.
        let (starts, level) = [("2026-03-09", Violation), ("2026-04-20", Reminder)][random.below(2)];
        dig(plan).as_mapping_mut().expect("a mapping").shift_remove("ticket");
        dig(plan)["starts"] = starts.into();
        let all = block(dig(plan));
        // The ticket's own day of expiry answered what the law of the state leaves open.
        one(level, "dig-safety/missing-ticket", "", &all).finds(
            Reminder,
            "dig-safety/locate-before-digging",
            "",
            "US-OR",
        )
    });
}

#[test]
fn a_late_request() {
    each(&[FRONT, POOL], |plan, random| {
        // From a Thursday to the Friday, Saturday, Sunday and Monday after it: one full working day at most.
        let starts = format!("2026-03-{:02}", 6 + random.below(4));
        dig(plan)["ticket"]["called"] = "2026-03-05".into();
        dig(plan)["starts"] = starts.as_str().into();
        one(Violation, "dig-safety/short-notice", "", &starts)
    });
}

#[test]
fn an_expired_ticket() {
    each(&[FRONT, POOL], |plan, random| {
        let expires = format!("2026-03-{:02}", 6 + random.below(3));
        dig(plan)["ticket"]["expires"] = expires.as_str().into();
        one(Violation, "dig-safety/expired-ticket", "", &expires)
    });
}

#[test]
fn an_unanswered_request() {
    each(&[FRONT, POOL], |plan, random| {
        let responses = ["none", "some"][random.below(2)];
        dig(plan)["ticket"]["responses"] = responses.into();
        one(Reminder, "dig-safety/unanswered-request", "", responses)
    });
}

#[test]
fn private_lines_that_nobody_looked_for() {
    each(&[FRONT, POOL, GREEN], |plan, _| {
        dig(plan)["private-lines"] = "unknown".into();
        one(Reminder, "dig-safety/private-lines", "", "unknown")
    });
}

/// Oregon's law on it is not confirmed and nothing is said there; Minnesota's is. The same plan there, with and without.
#[test]
fn no_white_lines() {
    for file in [FRONT, POOL] {
        let mut plan = Scenario::read(file);
        plan.0["project"]["region"] = "US-MN".into();
        dig(&mut plan)["method"] = "machine".into();
        let before = plan.check();
        dig(&mut plan)["white-lined"] = false.into();
        let after = plan.check();
        let new: Vec<_> = after.found.difference(&before.found).collect();
        assert!(before.found.is_subset(&after.found) && before.undetermined == after.undetermined, "{file}");
        let expected = Found {
            rule: "dig-safety/no-white-lining".to_owned(),
            subject: String::new(),
            underlined: "false".to_owned(),
            level: Violation,
        };
        assert_eq!(new, [&expected], "{file}");
        plan.0["project"]["region"] = "US-OR".into();
        assert!(!plan.check().found.iter().any(|found| found.rule == expected.rule), "{file}");
    }
}

#[test]
fn a_line_from_an_old_drawing() {
    each(&[FRONT, POOL, GREEN], |plan, random| {
        let line = any_of(plan, random, "site.utilities", |_| true);
        plan.element("site.utilities", &line)["located"] = "assumed".into();
        one(Reminder, "dig-safety/assumed-utility", &line, "assumed")
    });
}

/// Runs and holes nearer to the edge of a line than a distance, in feet, with the line's `located`.
fn near_lines(plan: &mut Scenario, feet: f64, eligible: impl Fn(&Value) -> bool, holes: bool) -> Vec<(String, String)> {
    let lines: Vec<Value> = plan.list("site.utilities").iter().filter(|line| eligible(line)).cloned().collect();
    let mut opened: Vec<(String, Vec<Point>, f64)> =
        paths(plan).into_iter().map(|(id, path)| (id, path, 0.0)).collect();
    for id in plan.ids("luminaires", |lamp| lamp.get("excavation").is_some()) {
        let at = place_of(plan, &id);
        let half = number(&plan.element("luminaires", &id)["excavation"]["width"]) / 24.0;
        if holes {
            opened.push((id, vec![at, at], half));
        }
    }
    let mut near = Vec::new();
    for line in &lines {
        let path: Vec<Point> = line["path"].as_sequence().expect("a path").iter().map(point).collect();
        let edge = number(&line["width"]) / 24.0;
        for (id, opening, half) in &opened {
            let clear = apart(opening, &path) - edge - half;
            assert!((clear - feet).abs() > 1e-6, "too near to the limit to tell");
            if clear < feet {
                near.push((id.clone(), line["located"].as_str().expect("a text").to_owned()));
            }
        }
    }
    near
}

/// A gas line straight across a run.
fn lay_gas(plan: &mut Scenario, random: &mut Seeded, depth: &str) {
    let runs = plan.ids("runs", |_| true);
    let (_, spot, along) = spot_on_a_run(plan, random, &runs);
    let end = |by: f64| written((spot.0 - by * along.1, spot.1 + by * along.0));
    let mut gas: Value =
        serde_yaml::from_str("{ id: new-gas, kind: gas, located: marked, width: 1 in }").expect("YAML");
    gas["depth"] = depth.into();
    gas["path"] = Value::Sequence(vec![end(-1.0), end(1.0)]);
    plan.list("site.utilities").push(gas);
}

#[test]
fn a_gas_line_across_a_run() {
    each(&[FRONT, POOL], |plan, random| {
        lay_gas(plan, random, "30 in");
        let near = near_lines(plan, TOLERANCE_FT, |_| true, true);
        let found = near.into_iter().map(|(id, _)| (id.clone(), id));
        Planted::default().finds_each(Reminder, "dig-safety/tolerance-zone-crossing", found)
    });
}

/// What was a reminder of hand digging is then a mistake.
#[test]
fn a_machine_in_the_tolerance_zone() {
    each(&[FRONT, POOL], |plan, random| {
        let before = near_lines(plan, TOLERANCE_FT, |_| true, true);
        lay_gas(plan, random, "30 in");
        dig(plan)["method"] = "machine".into();
        let mut planted = Planted::default();
        for (id, located) in near_lines(plan, TOLERANCE_FT, |_| true, true) {
            let level: Level = if located == "marked" { Violation } else { Reminder };
            planted = planted.finds(level, "dig-safety/machine-in-tolerance-zone", &id, &id);
        }
        before.iter().fold(planted, |planted, (id, _)| planted.loses("dig-safety/tolerance-zone-crossing", id))
    });
}

/// In section: the runs have 8 in of cover, the top of the line is 12 in down and it is 1 in thick.
#[test]
fn a_gas_line_too_near_a_cable() {
    each(&[FRONT, POOL], |plan, random| {
        lay_gas(plan, random, "12 in");
        let down: f64 = 12.0 + 0.5 - 8.0;
        let reach_ft = ((12.0_f64 + 0.5).powi(2) - down.powi(2)).sqrt() / 12.0;
        // From the middle of the line, where the other distances here are from its edge.
        let near = near_lines(plan, reach_ft - 0.5 / 12.0, |line| line["id"] == "new-gas", false);
        let near: Vec<String> = near.into_iter().map(|(id, _)| id).collect();
        let crossing = near_lines(plan, TOLERANCE_FT, |_| true, true);
        Planted::default()
            .finds_each(
                Reminder,
                "dig-safety/tolerance-zone-crossing",
                crossing.into_iter().map(|(id, _)| (id.clone(), id)),
            )
            .finds_each(Advice, "clearance/close-gas-line", with_field(plan, "runs", &near, "route"))
    });
}

/// Abroad no zone is confirmed: what a machine may do there is a reminder.
#[test]
fn a_metric_gas_line_too_near_a_cable() {
    each(&[GREEN], |plan, random| {
        assert!(!is_nec(plan));
        let runs = plan.ids("runs", |_| true);
        let (run, spot, along) = spot_on_a_run(plan, random, &runs);
        let end = |by: f64| written((spot.0 - by * along.1, spot.1 + by * along.0));
        // Cable at 600 mm, top of the line at 650 to 850 mm, 50 mm thick: 50 to 250 mm between them.
        let depth = format!("{} mm", between(random, 650.0, 850.0));
        let mut gas: Value =
            serde_yaml::from_str("{ id: new-gas, kind: gas, located: marked, width: 50 mm }").expect("YAML");
        gas["depth"] = depth.into();
        gas["path"] = Value::Sequence(vec![end(-1.0), end(1.0)]);
        plan.list("site.utilities").push(gas);
        let route = field_of(plan, "runs", &run, "route");
        // The plan digs by machine, and the line is marked.
        one(Advice, "clearance/close-gas-line", &run, &route).finds(
            Reminder,
            "dig-safety/machine-in-tolerance-zone",
            &run,
            &run,
        )
    });
}
