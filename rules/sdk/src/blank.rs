//! Records in which the plan says no more than it must, to start from when a rule runs natively:
//! `Luminaire { exposure: Some(Exposure::Wet), ..blank::luminaire("L1", 0) }`.

use crate::facts::{LuminaireState, NodeState, OutputState, Piece, Place, SegmentState, SupplyState};
use crate::plan::{
    CableType, DigPlan, Job, Junction, LoadModel, Luminaire, LuminaireType, Output, OutputCurrent, Run, SpliceType,
    Stranding, Supply, SupplyType, Utility, UtilityKind, WorkRecords, Zone, ZoneKind,
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
        immersion_depth: None,
        listed: None,
        grounding_required: None,
        lamp: None,
        dimming: Vec::new(),
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
        water_depth: None,
        mount_height: None,
        lights: None,
        aim: None,
        shielded: None,
        cord: None,
        removable: None,
        house: Vec::new(),
    }
}

/// A way of joining conductors.
pub fn splice_type(name: &str) -> SpliceType {
    SpliceType { name: name.to_owned(), location: None, direct_burial: None, resistance_ohm: None, house: Vec::new() }
}

/// A junction.
pub fn junction(id: &str) -> Junction {
    Junction { id: id.to_owned(), at: None, splice: None, above_ground_box: None, house: Vec::new() }
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
        isolating: None,
        grounded_output: None,
        pool_listed: None,
        dimming: None,
        house: Vec::new(),
    }
}

/// A supply of the type with this index.
pub fn supply(id: &str, kind: u32) -> Supply {
    Supply {
        id: id.to_owned(),
        kind,
        at: None,
        mount_height: None,
        feed: None,
        exposure: None,
        hours: None,
        dimmer: None,
        house: Vec::new(),
    }
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
        location: None,
        sunlight_resistant: None,
        voltage_rating_v: None,
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
        instructed_cover: None,
        riser: None,
        shared_with: None,
        barrier: None,
        marking: None,
        backfill: None,
        concrete: None,
        supports: None,
        house: Vec::new(),
    }
}

/// A zone without an outline.
pub fn zone(id: &str, kind: ZoneKind) -> Zone {
    Zone {
        id: id.to_owned(),
        kind,
        outline: Vec::new(),
        slab_thickness: None,
        slab_beyond: None,
        jets: None,
        house: Vec::new(),
    }
}

/// A utility without a path.
pub fn utility(id: &str, kind: UtilityKind) -> Utility {
    Utility { id: id.to_owned(), kind, path: Vec::new(), located: None, depth: None, width: None, house: Vec::new() }
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
        white_lined: None,
        in_tolerance_zone: None,
    }
}

/// No records.
pub fn work_records() -> WorkRecords {
    WorkRecords {
        mock_up: None,
        test_before_backfill: None,
        as_built: None,
        commissioning: None,
        labels: None,
        cut_sheets: None,
        maintenance: None,
    }
}

/// A place in open ground, far from everything.
pub fn place() -> Place {
    Place { zones: Vec::new(), water: Vec::new(), utilities: Vec::new() }
}

/// A piece in open ground, far from everything, that starts at the segment's start.
pub fn piece(length_m: f64) -> Piece {
    let point = |x_m| crate::Point { x_m, y_m: 0.0 };
    Piece {
        from_m: 0.0,
        to_m: length_m,
        begin: point(0.0),
        end: point(length_m),
        zones: Vec::new(),
        water: Vec::new(),
        utilities: Vec::new(),
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
