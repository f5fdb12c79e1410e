//! What brings plans in and out: surveys, schedules, as-built files, new plans.

mod hostile;
mod new;
mod round_trip;
mod schedule;
mod survey;

use crate::support::{Outcome, Site};
use serde_json::Value;

/// The demo survey, the demo list of lamps and the shared schedule, in a repository.
fn demo_site() -> Site {
    Site::new(&[
        ("marsh-end.geojson", include_str!("../../../plans/survey/marsh-end.geojson")),
        ("marsh-end-lamps.csv", include_str!("../../../plans/survey/marsh-end-lamps.csv")),
        ("schedules/standard.yaml", include_str!("../../../plans/schedules/standard.yaml")),
    ])
}

/// A plan as plain data.
fn yaml(text: &str) -> Value {
    serde_json::to_value(serde_yaml::from_str::<serde_yaml::Value>(text).unwrap()).unwrap()
}

fn read(site: &Site, name: &str) -> String {
    std::fs::read_to_string(site.path().join(name)).unwrap()
}

/// The item of a list that has an id.
fn item<'a>(list: &'a Value, id: &str) -> &'a Value {
    let items = list.as_array().unwrap_or_else(|| panic!("no list: {list}"));
    items.iter().find(|item| item["id"] == id).unwrap_or_else(|| panic!("no {id}: {list}"))
}

/// Lines of an output that begin with a word.
fn lines<'a>(outcome: &'a str, word: &str) -> Vec<&'a str> {
    outcome.lines().filter(|line| line.starts_with(word)).collect()
}

#[track_caller]
fn assert_loads(site: &Site, plan: &str) {
    let solved: Outcome = site.lintern(&["solve", plan, "--format", "json"]);
    assert_ne!(solved.code, 2, "{}", solved.err);
}
