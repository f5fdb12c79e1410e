//! The demo plans: clean ones stay clean under changes that mean nothing, the others show each planted mistake.

use lintern_core::finding::Level;
use lintern_tests::scenario::{Said, Scenario};
use lintern_tests::seeded::Seeded;
use proptest::prelude::*;
use serde_yaml::Value;

const CLEAN: [&str; 3] =
    ["fernhollow-court/front-garden.yaml", "marlpit-green/green.yaml", "saltmarsh-terrace/pool-terrace.yaml"];

/// Lists of a plan whose order means nothing.
const LISTS: [&str; 6] = ["supplies", "junctions", "luminaires", "runs", "site.zones", "site.utilities"];

fn clean_plan() -> impl Strategy<Value = Scenario> {
    prop::sample::select(&CLEAN[..]).prop_map(Scenario::read)
}

/// Neither a violation nor a piece of advice, and nothing that could not be checked.
fn assert_clean(said: &Said) {
    assert_eq!(said.pairs(Level::Advice), Default::default());
    assert_eq!(said.undetermined, Default::default());
}

/// Everything that is said, but for the underlined text, which may have been written in another way.
fn verdicts(said: &Said) -> Vec<(String, String, Level)> {
    let mut all: Vec<_> = said.found.iter().map(|f| (f.rule.clone(), f.subject.clone(), f.level)).collect();
    all.sort_unstable();
    all
}

fn has_list(plan: &Scenario, route: &str) -> bool {
    route.split('.').try_fold(&plan.0, |value, key| value.get(key)).is_some()
}

/// Applies a function to every pair of coordinates.
fn move_points(value: &mut Value, to: &impl Fn(f64, f64) -> (f64, f64)) {
    match value {
        Value::Sequence(items) => match &mut items[..] {
            [x, y] if x.is_number() && y.is_number() => {
                let (px, py) = to(x.as_f64().expect("a number"), y.as_f64().expect("a number"));
                (*x, *y) = (Value::from(px), Value::from(py));
            }
            _ => items.iter_mut().for_each(|item| move_points(item, to)),
        },
        Value::Mapping(entries) => entries.iter_mut().for_each(|(_, item)| move_points(item, to)),
        _ => {}
    }
}

/// Renames what is a whole text, and the first part of an output such as `S1/12`.
fn rename(value: &mut Value, names: &[(String, String)]) {
    match value {
        Value::String(text) => {
            let (head, rest) = text.split_once('/').map_or((text.as_str(), None), |(h, r)| (h, Some(r)));
            if let Some((_, new)) = names.iter().find(|(old, _)| old == head) {
                *text = rest.map_or_else(|| new.clone(), |rest| format!("{new}/{rest}"));
            }
        }
        Value::Sequence(items) => items.iter_mut().for_each(|item| rename(item, names)),
        Value::Mapping(entries) => {
            for (key, item) in entries.iter_mut() {
                // Output names, scenes and types have their own namespaces.
                if ["id", "route", "zone", "subject"].iter().any(|k| key == *k) || !item.is_string() {
                    rename(item, names);
                }
            }
        }
        _ => {}
    }
}

/// Multiplies every text that is a length in inches or feet into millimetres or metres.
fn to_metric(value: &mut Value) {
    match value {
        Value::String(text) => {
            let number = |unit: &str| text.strip_suffix(unit).and_then(|n| n.trim_end().parse::<f64>().ok());
            if let Some(inches) = number(" in") {
                *text = format!("{} mm", inches * 25.4);
            } else if let Some(feet) = number(" ft") {
                *text = format!("{} m", feet * 0.3048);
            }
        }
        Value::Sequence(items) => items.iter_mut().for_each(to_metric),
        Value::Mapping(entries) => entries.iter_mut().for_each(|(_, item)| to_metric(item)),
        _ => {}
    }
}

#[test]
fn the_clean_plans_are_clean() {
    for file in CLEAN {
        assert_clean(&Scenario::read(file).check());
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn order_means_nothing(mut plan in clean_plan(), seed: u64) {
        let before = verdicts(&plan.check());
        let mut random = Seeded::new(seed);
        for route in LISTS.iter().filter(|route| has_list(&plan, route)).collect::<Vec<_>>() {
            let list = plan.list(route);
            for end in (1..list.len()).rev() {
                list.swap(end, random.below(end + 1));
            }
        }
        prop_assert_eq!(verdicts(&plan.check()), before);
    }

    #[test]
    fn names_mean_nothing(mut plan in clean_plan(), seed: u64) {
        let before = verdicts(&plan.check());
        let mut random = Seeded::new(seed);
        let mut names = Vec::new();
        for route in LISTS.iter().filter(|route| has_list(&plan, route)).collect::<Vec<_>>() {
            for id in plan.ids(route, |_| true) {
                let new = format!("{}.{}", random.below(1_000_000), names.len());
                names.push((id, new));
            }
        }
        rename(&mut plan.0, &names);
        let back = |id: &String| names.iter().find(|(_, new)| new == id).map_or_else(|| id.clone(), |(old, _)| old.clone());
        let mut after: Vec<_> =
            verdicts(&plan.check()).iter().map(|(rule, subject, level)| (rule.clone(), back(subject), *level)).collect();
        after.sort_unstable();
        prop_assert_eq!(after, before);
    }

    /// By whole steps of a thousandth, and by any angle: the rounding of coordinates is far below every margin here.
    #[test]
    fn place_and_direction_mean_nothing(
        mut plan in clean_plan(), dx in -4_000_000..4_000_000_i32, dy in -4_000_000..4_000_000_i32, turn in 0.0..360.0_f64,
    ) {
        let before = verdicts(&plan.check());
        let (dx, dy, (sin, cos)) = (f64::from(dx) / 1000.0, f64::from(dy) / 1000.0, turn.to_radians().sin_cos());
        let round = |v: f64| (v * 1e6).round() / 1e6;
        move_points(&mut plan.0, &|x, y| (round(x * cos - y * sin + dx), round(x * sin + y * cos + dy)));
        prop_assert_eq!(verdicts(&plan.check()), before);
    }

    #[test]
    fn the_system_of_units_means_nothing_away_from_limits(mut plan in clean_plan()) {
        let before = verdicts(&plan.check());
        to_metric(&mut plan.0);
        if plan.0["site"]["grid"] == "ft" {
            plan.0["site"]["grid"] = Value::from("m");
            move_points(&mut plan.0, &|x, y| (x * 0.3048, y * 0.3048));
        }
        prop_assert_eq!(verdicts(&plan.check()), before);
    }
}
