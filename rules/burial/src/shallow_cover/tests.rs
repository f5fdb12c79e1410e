//! What cases of whole plans can't show: settings of company and amendment, and that more cover is never worse.

use super::RULE;
use crate::sample::{chain, plan};
use crate::{MODULE, sample};
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

pub(super) fn setting(name: &str, layer: Layer, value: f64) -> SettingGiven {
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

/// The contractor has to know whether to ask the county, the company or the inspector.
#[test]
fn a_finding_says_who_asks_and_where() {
    let message = |case, cover, settings: &[SettingGiven]| {
        only(judge(case, inches(cover), settings)).map(|finding| finding.message).expect("less than is asked for")
    };
    let all = ", from S1/main to J1 (32.8 ft); ";
    assert_eq!(
        message(LAWN, 7.0, &[setting("minimum-cover", Layer::House, 8.0)]),
        format!("R1 has 7 in of cover{all}the company asks for 8 in")
    );
    assert_eq!(
        message(LAWN, 7.0, &[setting("minimum-cover", Layer::Local, 12.0)]),
        format!("R1 has 7 in of cover{all}the local amendment asks for 12 in")
    );
    // Column 1 of the row for slabs, which a walk of 6 in of concrete is one of.
    let walk = Case { kind: ZoneKind::Walk, slab_in: Some(6.0), volts: 48.0, ..LAWN };
    assert_eq!(message(walk, 17.0, &[]), format!("R1 has 17 in of cover under the walk z{all}18 in is required there"));
}

/// In column 5, which goes up to 30 V, a raceway lies no less deep than the cable.
#[test]
fn a_raceway_is_offered_where_it_helps() {
    let help = |volts| only(judge(Case { volts, ..LAWN }, inches(5.0), &[])).map(|finding| finding.help);
    let offered = |volts| help(volts).expect("5 in is too little").contains("in a raceway");
    assert!(!offered(12.0) && !offered(30.0) && offered(48.0));
}

/// The drive of a dwelling needs 18 in and others 24 in, whatever the cable; UF in a lawn 6 in and other cable 24 in,
/// whoever lives there.
#[test]
fn only_what_decides_is_asked_for() {
    let missing = |kind, cover| {
        let open = Case { kind, occupancy: None, cable: None, ..LAWN };
        let result = judge(open, inches(cover), &[]);
        assert!(result.findings.is_empty(), "{result:?}");
        result.undetermined.into_iter().flat_map(|element| element.missing).collect::<Vec<_>>()
    };
    assert_eq!(missing(ZoneKind::Driveway, 20.0), ["`project.occupancy`"]);
    assert_eq!(missing(ZoneKind::Lawn, 20.0), ["`direct-burial` of cable type `c`"]);
    assert!(missing(ZoneKind::Driveway, 24.0).is_empty());
}

/// A cable that may not be made for the ground would need 24 in, so what lies at 10 in may rest on the instructions.
#[test]
fn what_may_rest_on_instructions_is_told() {
    let instructed = Case { cable: None, instructed_in: Some(4.0), ..LAWN };
    let finding = only(judge(instructed, inches(10.0), &[])).expect("10 in may be less than the table has");
    assert_eq!((finding.level, finding.limit.map(|limit| limit.value)), (Some(Level::Reminder), Some(24.0)));
    assert_eq!(only(judge(instructed, inches(24.0), &[])).map(|finding| finding.message), None);
}

#[test]
fn a_raceway_under_a_building_needs_no_stated_cover() {
    let result = sample::judge(&RULE, plan(&[ZoneKind::Building], true, chain(1, Some(Method::PvcConduit))));
    assert_eq!((result.checked, result.undetermined.len(), result.findings.len()), (1, 0, 0));
    let result = sample::judge(&RULE, plan(&[ZoneKind::Lawn], true, chain(1, Some(Method::PvcConduit))));
    assert_eq!(result.undetermined.first().map(|element| &element.missing[..]), Some(&["`cover`".to_owned()][..]));
}

/// Two supplies that are listed differently are no one listed system, whose instructions would hold.
#[test]
fn instructions_hold_where_all_supplies_are_of_the_system() {
    let level = |second| {
        let run =
            Run { cover: Some(inches(4.0)), instructed_cover: Some(inches(3.0)), ..chain(1, Some(Method::PvcConduit)) };
        let mut given = plan(&[ZoneKind::Lawn], true, run);
        given.supply_types[0].listing = Some(Listing::LowVoltageLighting);
        let other = SupplyType { listing: Some(second), ..given.supply_types[0].clone() };
        given.supply_types.push(other);
        given.supplies.push(blank::supply("S2", 1));
        given.judged.junctions[0].fed_by = vec![(0, 0), (1, 0)];
        only(sample::judge(&RULE, given)).and_then(|finding| finding.level)
    };
    assert_eq!(level(Listing::LowVoltageLighting), Some(Level::Reminder));
    assert_eq!(level(Listing::Class2), Some(Level::Violation));
}
