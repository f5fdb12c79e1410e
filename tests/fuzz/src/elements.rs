//! A plan for rules that run natively: of each kind one element that says much and one that says nothing.

use lintern_rule::facts::{LuminaireState, NodeState, OutputState, Place, SegmentState, SupplyState};
use lintern_rule::plan::{
    Job, Junction, Luminaire, LuminaireType, Method, Run, Segment, Supply, SupplyType, Utility, UtilityKind, Zone,
    ZoneKind,
};
use lintern_rule::{Given, GivenFacts, Input, Length, NodeRef, Point, blank};

fn length(value: f64, unit: &str, metres: f64) -> Option<Length> {
    Some(Length { value, unit: unit.to_owned(), metres })
}

fn house() -> Vec<(String, String)> {
    vec![("crew".to_owned(), "north".to_owned())]
}

/// The plan.
pub fn input() -> Input {
    let at = Some(Point { x_m: 3.0, y_m: 4.0 });
    let output = |name: &str| lintern_rule::plan::Output { limit_a: Some(12.5), ..blank::output(name, 12.0) };
    let node =
        || NodeState { volts: Some(11.25), no_load_volts: Some(12.0), drop_percent: Some(6.25), ..blank::node_state() };
    let facts = || GivenFacts {
        luminaires: vec![
            LuminaireState { node: node(), amps: Some(0.5), lit: Some(true), power_factor_assumed: false },
            blank::luminaire_state(),
        ],
        junctions: vec![node(), blank::node_state()],
        segments: vec![
            vec![
                SegmentState { amps: Some(0.5), loss_w: Some(0.01), ..blank::segment_state(0.04) },
                blank::segment_state(0.0),
            ],
            Vec::new(),
        ],
        supplies: vec![
            SupplyState {
                load_w: Some(6.0),
                load_va: Some(7.0),
                loading_percent: Some(4.0),
                ..blank::supply_state(vec![OutputState { volts: Some(12.0), amps: Some(0.5), ..blank::output_state() }])
            },
            blank::supply_state(Vec::new()),
        ],
        unsolved: Vec::new(),
    };
    let segment = |start, end| Segment { start, end, length_m: 15.25, path: Vec::new() };
    Input::from(Given {
        project: Job {
            name: Some("Yard é".to_owned()),
            region: Some("US-OR".to_owned()),
            house: house(),
            ..blank::job()
        },
        luminaire_types: vec![LuminaireType {
            flux_lm: Some(450.0),
            cct_k: Some(3000.0),
            house: house(),
            ..blank::luminaire_type("well-6", 6.0)
        }],
        luminaires: vec![
            Luminaire {
                at,
                scene: Some("bed".to_owned()),
                mount_height: length(12.0, "in", 0.3048),
                house: house(),
                ..blank::luminaire("L1", 0)
            },
            blank::luminaire("L2", 0),
        ],
        splice_types: vec![blank::splice_type("gel-cap")],
        junctions: vec![
            Junction { at, splice: Some(0), house: house(), ..blank::junction("J1") },
            blank::junction("J2"),
        ],
        supply_types: vec![
            SupplyType { regulated: Some(true), house: house(), ..blank::supply_type("box-150", vec![output("12")]) },
            blank::supply_type("bare", Vec::new()),
        ],
        supplies: vec![Supply { at, hours: Some(6.0), ..blank::supply("S1", 0) }, blank::supply("S2", 1)],
        cable_types: vec![blank::cable_type("burial-12-2")],
        runs: vec![
            Run {
                method: Some(Method::DirectBurial),
                cover: length(8.0, "in", 0.2032),
                segments: vec![
                    segment(NodeRef::Output((0, 0)), NodeRef::Junction(0)),
                    segment(NodeRef::Junction(0), NodeRef::Luminaire(0)),
                ],
                house: house(),
                ..blank::run("R1", 0)
            },
            blank::run("R2", 0),
        ],
        zones: vec![
            Zone { outline: vec![Point { x_m: 0.0, y_m: 0.0 }], ..blank::zone("walk", ZoneKind::Walk) },
            blank::zone("bed", ZoneKind::Bed),
        ],
        utilities: vec![Utility { depth: length(2.0, "ft", 0.6096), ..blank::utility("gas-1", UtilityKind::Gas) }],
        judged: facts(),
        soil: facts(),
        supply_places: vec![Some(blank::place()), None],
        junction_places: vec![Some(blank::place()), None],
        luminaire_places: vec![Some(Place { zones: vec![0], ..blank::place() }), None],
        run_pieces: vec![vec![Some(vec![blank::piece(15.25)]), None], Vec::new()],
        ..Given::default()
    })
}
