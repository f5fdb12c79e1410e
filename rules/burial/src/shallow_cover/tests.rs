//! What cases of whole plans can't show: settings of company and amendment, and that more cover is never worse.

use super::RULE;
use crate::MODULE;
use lintern_rule::outcome::{self, Finding, Layer, RuleRequest, RuleResult, SettingGiven, SettingValue};
use lintern_rule::plan::{
    CableKind, CableType, Listing, Method, Occupancy, Run, Segment, Supply, SupplyType, Zone, ZoneKind,
};
use lintern_rule::prelude::*;
use lintern_rule::{Point, blank};

/// A run of 10 m through one zone, at 12 V or 48 V.
#[derive(Debug, Clone, Copy)]
struct Case {
    code: Code,
    kind: ZoneKind,
    method: Method,
    volts: f64,
    occupancy: Option<Occupancy>,
    cable: Option<CableKind>,
    concrete_in: Option<f64>,
    instructed_in: Option<f64>,
    slab_in: Option<f64>,
}

const LAWN: Case = Case {
    code: Code::Nec2023,
    kind: ZoneKind::Lawn,
    method: Method::DirectBurial,
    volts: 12.0,
    occupancy: Some(Occupancy::OneFamilyDwelling),
    cable: Some(CableKind::UfB),
    concrete_in: None,
    instructed_in: None,
    slab_in: None,
};

fn inches(value: f64) -> Length {
    Length { value, unit: "in".to_owned(), metres: value * 0.0254 }
}

fn millimetres(value: f64) -> Length {
    Length { value, unit: "mm".to_owned(), metres: value / 1000.0 }
}

fn judge(case: Case, cover: Length, settings: &[SettingGiven]) -> RuleResult {
    let point = |x_m, y_m| Point { x_m, y_m };
    let path = vec![point(0.0, 0.0), point(10.0, 0.0)];
    let (start, end) = (NodeRef::Output((0, 0)), NodeRef::Junction(0));
    let project = lintern_rule::plan::Job { code: Some(case.code), occupancy: case.occupancy, ..blank::job() };
    let outputs = vec![blank::output("main", case.volts)];
    let input = Input::from(Given {
        project,
        cable_types: vec![CableType { kind: case.cable, ..blank::cable_type("c") }],
        supply_types: vec![SupplyType {
            listing: Some(Listing::LowVoltageLighting),
            ..blank::supply_type("box", outputs)
        }],
        supplies: vec![Supply { at: Some(path[0]), ..blank::supply("S1", 0) }],
        junctions: vec![blank::junction("J1")],
        judged: lintern_rule::GivenFacts {
            junctions: vec![lintern_rule::facts::NodeState { fed_by: vec![(0, 0)], ..blank::node_state() }],
            ..Default::default()
        },
        zones: vec![Zone {
            outline: vec![point(-1.0, -5.0), point(11.0, -5.0), point(11.0, 5.0), point(-1.0, 5.0)],
            slab_thickness: case.slab_in.map(inches),
            slab_beyond: case.slab_in.map(inches),
            ..blank::zone("z", case.kind)
        }],
        runs: vec![Run {
            segments: vec![Segment { start, end, length_m: 10.0, path }],
            method: Some(case.method),
            cover: Some(cover),
            concrete: case.concrete_in.map(inches),
            instructed_cover: case.instructed_in.map(inches),
            ..blank::run("R1", 0)
        }],
        run_pieces: vec![vec![Some(vec![lintern_rule::facts::Piece { zones: vec![0], ..blank::piece(10.0) }])]],
        ..Given::default()
    });
    let request =
        RuleRequest { id: RULE.id.to_owned(), settings: settings.to_vec(), wants_limits: true, wants_margins: false };
    MODULE.check(&input, &[request]).remove(0)
}

fn setting(name: &str, layer: Layer, value: f64) -> SettingGiven {
    let kind = if layer == Layer::Local { outcome::BasisKind::Code } else { outcome::BasisKind::Practice };
    SettingGiven {
        name: name.to_owned(),
        value: SettingValue::Number(value),
        layer,
        source: "county rule 7".to_owned(),
        replaces: layer == Layer::Local,
        basis: outcome::Basis { kind, document: Some("county rule 7".to_owned()), edition: None, section: None },
    }
}

fn only(result: RuleResult) -> Option<Finding> {
    assert!(result.findings.len() <= 1 && result.undetermined.is_empty(), "{result:?}");
    result.findings.into_iter().next()
}

#[test]
fn a_floor_raises_what_is_lower_and_lowers_nothing() {
    let limit = |case, cover, settings: &[SettingGiven]| {
        only(judge(case, inches(cover), settings)).and_then(|finding| finding.limit).map(|limit| limit.value)
    };
    let house = |value| [setting("minimum-cover", Layer::House, value)];
    assert_eq!(limit(LAWN, 7.0, &[]), None);
    assert_eq!(limit(LAWN, 7.0, &house(8.0)), Some(8.0));
    assert_eq!(limit(LAWN, 8.0, &house(8.0)), None);
    assert_eq!(limit(LAWN, 5.0, &house(4.0)), Some(6.0));
    let drive = Case { kind: ZoneKind::Driveway, ..LAWN };
    assert_eq!(limit(drive, 13.0, &[setting("minimum-cover", Layer::Local, 12.0)]), Some(18.0));
    assert_eq!(limit(LAWN, 5.0, &[setting("minimum-cover", Layer::Local, 4.0)]), Some(6.0));
    // Under a building a raceway needs no cover, and the floor of a garden has no business there.
    let under = Case { kind: ZoneKind::Building, method: Method::PvcConduit, ..LAWN };
    assert_eq!(limit(under, 0.0, &house(8.0)), None);
    // The metric floor is one for metric covers only.
    assert_eq!(limit(LAWN, 7.0, &[setting("minimum-cover-metric", Layer::House, 900.0)]), None);
    let metric = only(judge(LAWN, millimetres(199.0), &[setting("minimum-cover-metric", Layer::House, 200.0)]));
    assert_eq!(
        metric.and_then(|finding| finding.limit).map(|limit| (limit.value, limit.unit)),
        Some((200.0, "mm".into()))
    );
}

#[test]
fn an_amendment_is_law_and_instructions_do_not_lift_it() {
    let local = [setting("minimum-cover", Layer::Local, 12.0)];
    let instructed = Case { instructed_in: Some(4.0), ..LAWN };
    let finding = only(judge(instructed, inches(8.0), &local)).expect("8 in is less than the amendment's 12 in");
    assert_eq!(finding.level, Some(Level::Violation));
    assert_eq!(finding.basis.document.as_deref(), Some("county rule 7"));
    assert_eq!(finding.limit.map(|limit| limit.value), Some(12.0));
    let newest = Case { code: Code::Nec2026, ..LAWN };
    assert_eq!(only(judge(newest, inches(8.0), &local)).and_then(|f| f.level), Some(Level::Violation));
    assert_eq!(only(judge(newest, inches(5.0), &[])).and_then(|f| f.level), Some(Level::Reminder));
}

#[test]
fn the_limits_are_shown_where_the_cover_is_enough_too() {
    let result = judge(LAWN, inches(9.0), &[setting("minimum-cover", Layer::House, 8.0)]);
    let values: Vec<f64> =
        result.limits.iter().flat_map(|limit| limit.layers.iter().map(|layer| layer.value)).collect();
    assert_eq!(values, [6.0, 8.0]);
}

/// 0 fine, 1 could not check, 2 reminder, 3 violation: more cover never raises it.
#[test]
fn more_cover_is_never_worse() {
    let kinds =
        [ZoneKind::Lawn, ZoneKind::Driveway, ZoneKind::Road, ZoneKind::Slab, ZoneKind::Rock, ZoneKind::Building];
    let methods = [Method::DirectBurial, Method::PvcConduit, Method::RigidMetalConduit];
    let mut judged = 0;
    for (kind, method) in kinds.iter().flat_map(|kind| methods.iter().map(move |method| (*kind, *method))) {
        for bits in 0..64_u8 {
            let on = |bit: u8| bits >> bit & 1 == 1;
            let case = Case {
                kind,
                method,
                volts: if on(0) { 48.0 } else { 12.0 },
                occupancy: on(1).then_some(Occupancy::TwoFamilyDwelling),
                cable: Some(if on(2) { CableKind::UfB } else { CableKind::LowVoltageLandscape }),
                concrete_in: on(3).then_some(2.0),
                instructed_in: on(4).then_some(3.0),
                slab_in: on(5).then_some(6.0),
                ..LAWN
            };
            let severity = |cover: f64| {
                let result = judge(case, inches(cover), &[]);
                match result.findings.first() {
                    Some(finding) if finding.level == Some(Level::Violation) => 3,
                    Some(_) => 2,
                    None => u8::from(!result.undetermined.is_empty()),
                }
            };
            let severities: Vec<u8> = (0..=26).map(|cover| severity(f64::from(cover))).collect();
            judged += severities.len();
            assert_eq!(severities.last(), Some(&0), "26 in is enough everywhere: {case:?}");
            for pair in severities.windows(2) {
                assert!(pair[1] <= pair[0], "{case:?}: {severities:?}");
            }
        }
    }
    assert_eq!(judged, 6 * 3 * 64 * 27);
}
