//! Records in which the plan says no more than it must, to start from when a rule runs natively:
//! `Luminaire { exposure: Some(Exposure::Wet), ..blank::luminaire("L1", 0) }`.

use crate::facts::{LuminaireState, NodeState, OutputState, SegmentState, SupplyState};
use crate::plan::{
    CableType, DigPlan, Job, Junction, LoadModel, Luminaire, LuminaireType, Output, OutputCurrent, Run, SpliceType,
    Stranding, Supply, SupplyType, Utility, UtilityKind, Zone, ZoneKind,
};

/// A project that says nothing, its code included.
pub fn job() -> Job {
    Job { name: None, country: None, region: None, authority: None, code: None, occupancy: None, house: Vec::new() }
}

/// A constant-power type of luminaire for 12 V.
pub fn luminaire_type(name: &str, power_w: f64) -> LuminaireType {
    LuminaireType {
        name: name.to_owned(),
        power_w,
        apparent_power_va: None,
        load: LoadModel::ConstantPower,
        nominal_v: 12.0,
        input_min_v: None,
        input_max_v: None,
        cut_out_v: None,
        current: None,
        ip: Vec::new(),
        location: None,
        traffic: None,
        width: None,
        body_depth: None,
        cct_k: None,
        flux_lm: None,
        house: Vec::new(),
    }
}

/// A luminaire of the type with this index.
pub fn luminaire(id: &str, kind: u32) -> Luminaire {
    Luminaire {
        id: id.to_owned(),
        kind,
        at: None,
        placement: None,
        exposure: None,
        splice: None,
        excavation: None,
        scene: None,
        house: Vec::new(),
    }
}

/// A way of joining conductors.
pub fn splice_type(name: &str) -> SpliceType {
    SpliceType { name: name.to_owned(), location: None, direct_burial: None, resistance_ohm: None, house: Vec::new() }
}

/// A junction.
pub fn junction(id: &str) -> Junction {
    Junction { id: id.to_owned(), at: None, splice: None, house: Vec::new() }
}

/// An output.
pub fn output(name: &str, volts: f64) -> Output {
    Output { name: name.to_owned(), volts, limit_a: None, protection_a: None, source_resistance_ohm: None }
}

/// A type of supply with AC outputs.
pub fn supply_type(name: &str, outputs: Vec<Output>) -> SupplyType {
    SupplyType {
        name: name.to_owned(),
        rating: None,
        current: OutputCurrent::Ac,
        outputs,
        common_resistance_ohm: None,
        regulated: None,
        input_v: None,
        listing: None,
        enclosure: None,
        house: Vec::new(),
    }
}

/// A supply of the type with this index.
pub fn supply(id: &str, kind: u32) -> Supply {
    Supply { id: id.to_owned(), kind, at: None, mount_height: None, feed: None, house: Vec::new() }
}

/// A stranded cable of unstated size.
pub fn cable_type(name: &str) -> CableType {
    CableType {
        name: name.to_owned(),
        conductor: None,
        stranding: Stranding::Stranded,
        parallel: 1,
        kind: None,
        direct_burial: None,
        insulation_degc: None,
        ampacity_a: None,
        house: Vec::new(),
    }
}

/// A run of the cable with this index, without segments.
pub fn run(id: &str, cable: u32) -> Run {
    Run {
        id: id.to_owned(),
        cable,
        segments: Vec::new(),
        method: None,
        cover: None,
        covers: Vec::new(),
        house: Vec::new(),
    }
}

/// A zone without an outline.
pub fn zone(id: &str, kind: ZoneKind) -> Zone {
    Zone { id: id.to_owned(), kind, outline: Vec::new(), house: Vec::new() }
}

/// A utility without a path.
pub fn utility(id: &str, kind: UtilityKind) -> Utility {
    Utility { id: id.to_owned(), kind, path: Vec::new(), located: None, house: Vec::new() }
}

/// A locate request that says nothing.
pub fn dig_plan() -> DigPlan {
    DigPlan {
        ticket_number: None,
        called: None,
        expires: None,
        responses: None,
        starts: None,
        method: None,
        private_lines: None,
    }
}

/// An unfed node.
pub fn node_state() -> NodeState {
    NodeState { fed_by: Vec::new(), volts: None, no_load_volts: None, feed_volts: None, drop_percent: None }
}

/// An unfed luminaire.
pub fn luminaire_state() -> LuminaireState {
    LuminaireState { node: node_state(), amps: None, lit: None, power_factor_assumed: false }
}

/// A segment that is unfed.
pub fn segment_state(ohms: f64) -> SegmentState {
    SegmentState { ohms, amps: None, loss_w: None }
}

/// A supply that is unsolved.
pub fn supply_state(outputs: Vec<OutputState>) -> SupplyState {
    SupplyState {
        load_w: None,
        load_va: None,
        nameplate_va: None,
        nameplate_va_at_pf90: None,
        loading_percent: None,
        outputs,
    }
}

/// An output that is unsolved.
pub fn output_state() -> OutputState {
    OutputState { volts: None, amps: None, source_assumed_ideal: false, luminaires: 0 }
}
