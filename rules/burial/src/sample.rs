//! Plans of one run for the tests of this topic.

use crate::MODULE;
use lintern_rule::facts::Piece;
use lintern_rule::outcome::{RuleRequest, RuleResult, SettingGiven};
use lintern_rule::plan::{Job, Method, Run, Segment, Supply, Zone, ZoneCover, ZoneKind};
use lintern_rule::prelude::*;
use lintern_rule::{GivenFacts, Point, blank};

/// A length in inches.
pub fn inches(value: f64) -> Length {
    Length { value, unit: "in".to_owned(), metres: value * 0.0254 }
}

/// An entry of `covers` of 6 in.
pub fn entry(zone: u32) -> ZoneCover {
    ZoneCover { zone, cover: Some(inches(6.0)), method: None, concrete: None, backfill: None }
}

/// A run along `S1/main`, `J1`, `J2` and so on, 2 m apart on a line to the east.
pub fn chain(segments: u32, method: Option<Method>) -> Run {
    let node = |number: u32| if number == 0 { NodeRef::Output((0, 0)) } else { NodeRef::Junction(number - 1) };
    let at = |number: u32| Point { x_m: 2.0 * f64::from(number), y_m: 0.0 };
    let between = |number: u32| Segment {
        start: node(number),
        end: node(number + 1),
        length_m: 2.0,
        path: vec![at(number), at(number + 1)],
    };
    Run { segments: (0..segments).map(between).collect(), method, ..blank::run("R1", 0) }
}

/// A plan of one such run. Each segment lies in all of the zones, which go on to every side; or none has a place.
pub fn plan(kinds: &[ZoneKind], placed: bool, run: Run) -> Given {
    let outline = [(-1.0, -5.0), (99.0, -5.0), (99.0, 5.0), (-1.0, 5.0)].map(|(x_m, y_m)| Point { x_m, y_m });
    let zone = |(number, kind): (usize, &ZoneKind)| Zone {
        outline: outline.to_vec(),
        ..blank::zone(&format!("z{number}"), *kind)
    };
    let zones: Vec<Zone> = kinds.iter().enumerate().map(zone).collect();
    let in_all = Piece { zones: (0..).take(zones.len()).collect(), ..blank::piece(2.0) };
    let junctions: Vec<_> = (1..=run.segments.len()).map(|number| blank::junction(&format!("J{number}"))).collect();
    Given {
        project: Job { code: Some(Code::Nec2023), ..blank::job() },
        cable_types: vec![blank::cable_type("c")],
        supply_types: vec![blank::supply_type("box", vec![blank::output("main", 12.0)])],
        supplies: vec![Supply { at: Some(Point { x_m: 0.0, y_m: 0.0 }), ..blank::supply("S1", 0) }],
        judged: GivenFacts { junctions: vec![blank::node_state(); junctions.len()], ..GivenFacts::default() },
        junctions,
        zones,
        run_pieces: vec![vec![placed.then(|| vec![in_all]); run.segments.len()]],
        runs: vec![run],
        ..Given::default()
    }
}

/// What a rule says of a plan.
pub fn judge(rule: &Rule, given: Given) -> RuleResult {
    judge_with(rule, given, &[])
}

/// The same with what an amendment and the company set.
pub fn judge_with(rule: &Rule, given: Given, settings: &[SettingGiven]) -> RuleResult {
    let request =
        RuleRequest { id: rule.id.to_owned(), settings: settings.to_vec(), wants_limits: false, wants_margins: false };
    MODULE.check(&Input::from(given), &[request]).remove(0)
}
