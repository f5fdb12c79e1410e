//! A small plan with voltages, made by hand, so that these tests need no solver.

use lintern_core::analysis::{Case, LuminaireState, NodeState, OutputState, Solution, SupplyState, site};
use lintern_core::engine::{Analysed, Input};
use lintern_core::layout::{Layout, Luminaire, LuminaireType, NodeRef, Output, Supply, SupplyType};
use lintern_core::plan::model::{LoadModel, OutputCurrent};
use lintern_core::plan::quantity::{Power, Voltage};
use lintern_core::plan::scalar::{Date, Id};
use std::sync::Arc;

/// Luminaires `L1`, `L2` … at these voltages on one supply `S1`.
pub fn input(volts: &[Option<f64>]) -> Input {
    let id = |text: &str| Id(text.to_owned());
    let house = indexmap::IndexMap::new;
    let kind = Arc::new(LuminaireType {
        name: id("path-light"),
        power: Power::from_si(4.0),
        apparent_power: None,
        load: LoadModel::ConstantPower,
        nominal: Voltage::from_si(12.0),
        input_min: None,
        input_max: None,
        cut_out: None,
        current: None,
        ip: Vec::new(),
        location: None,
        traffic: None,
        width: None,
        body_depth: None,
        cct: None,
        flux: None,
        immersion_depth: None,
        listed: None,
        grounding_required: None,
        lamp: None,
        dimming: Vec::new(),
        shielded: None,
        house: house(),
    });
    let luminaire = |number: usize| Luminaire {
        id: Id(format!("L{number}")),
        kind: kind.clone(),
        at: None,
        placement: None,
        exposure: None,
        splice: None,
        excavation: None,
        scene: None,
        water_depth: None,
        mount_height: None,
        lights: None,
        aim: None,
        shielded: None,
        cord: None,
        removable: None,
        house: house(),
    };
    let output = Output {
        name: id("12"),
        volts: Voltage::from_si(12.0),
        limit: None,
        protection: None,
        source_resistance: None,
    };
    let supply_type = SupplyType {
        name: id("transformer"),
        rating: None,
        output_current: OutputCurrent::Ac,
        outputs: vec![output],
        common_resistance: None,
        regulated: None,
        input_volts: None,
        listing: None,
        enclosure: None,
        isolating: None,
        grounded_output: None,
        pool_listed: None,
        dimming: None,
        house: house(),
    };
    let supply = Supply {
        id: id("S1"),
        kind: Arc::new(supply_type),
        at: None,
        mount_height: None,
        feed: None,
        exposure: None,
        control: None,
        house: house(),
    };
    let layout =
        Layout { luminaires: (1..=volts.len()).map(luminaire).collect(), supplies: vec![supply], ..Layout::default() };
    let state = |volts: &Option<f64>| LuminaireState {
        node: NodeState {
            fed_by: volts.iter().map(|_| NodeRef::Output { supply: 0, output: 0 }).collect(),
            volts: *volts,
            ..NodeState::default()
        },
        ..LuminaireState::default()
    };
    let solution = |case| Solution {
        case,
        junctions: Vec::new(),
        luminaires: volts.iter().map(state).collect(),
        segments: Vec::new(),
        supplies: vec![SupplyState { outputs: vec![OutputState::default()], ..SupplyState::default() }],
        unsolved: Vec::new(),
        assumptions: Default::default(),
    };
    let analysed = Analysed {
        judged: &solution(Case::Judged),
        soil: &solution(Case::Soil),
        site: &site::SiteFacts::unplaced(&layout),
        as_of: Date(jiff::civil::date(2026, 3, 1)),
        calendar: None,
        as_built: None,
    };
    Input::new(&layout, &analysed)
}
