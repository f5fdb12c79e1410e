//! Facts computed from the resolved plan. Pure functions: no files, no clock, no rules.

pub mod as_built;
pub mod calendar;
pub mod conductor;
pub mod network;
pub mod site;

use crate::layout::{AnalysisSettings, NodeRef};
use crate::plan::scalar::Conductor;
use std::sync::Arc;

/// Which conductor temperature the network is solved at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Case {
    /// The case that verdicts rest on: 75 degC for AWG, 70 degC for mm2, unless the plan says otherwise.
    Judged,
    /// Conductors at the temperature of the soil: 30 degC unless the plan says otherwise.
    Soil,
}

/// The electrical state of the whole plan in one case.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// The case.
    pub case: Case,
    /// State of each junction, in the order of the layout.
    pub junctions: Vec<NodeState>,
    /// State of each luminaire, in the order of the layout.
    pub luminaires: Vec<LuminaireState>,
    /// State of each segment, for each run, in the order of the layout.
    pub segments: Vec<Vec<SegmentState>>,
    /// State of each supply, in the order of the layout.
    pub supplies: Vec<SupplyState>,
    /// Connected parts of the network that have no answer, with the reason.
    pub unsolved: Vec<UnsolvedPart>,
    /// What the solver assumed, one sentence each, sorted and without repeats.
    pub assumptions: Arc<[String]>,
}

/// Electrical state of a node.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct NodeState {
    /// Outputs that feed this node's connected part, in the order of the plan; empty means unfed.
    pub fed_by: Arc<[NodeRef]>,
    /// Voltage; `None` when unfed or unsolved.
    pub volts: Option<f64>,
    /// Voltage with every luminaire off, with the stated EMFs; `None` when unfed or unsolved.
    pub no_load_volts: Option<f64>,
    /// Highest `volts` of the outputs that feed it; `None` when unfed.
    pub feed_volts: Option<f64>,
    /// (feed volts - volts) / reference volts, in percent; `None` when unfed or unsolved.
    pub drop_percent: Option<f64>,
}

/// Electrical state of a luminaire.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct LuminaireState {
    /// As a node.
    pub node: NodeState,
    /// Current it draws, A; `None` when unfed or unsolved.
    pub amps: Option<f64>,
    /// Whether it draws; false when its voltage is below its cut-out; `None` when unfed or unsolved.
    pub lit: Option<bool>,
    /// Whether power factor 1.0 was assumed for want of an apparent power.
    pub power_factor_assumed: bool,
}

/// Electrical state of a segment.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SegmentState {
    /// Resistance of the loop (both poles), ohm.
    pub ohms: f64,
    /// Current, A, positive from `from` to `to`; `None` when unfed, unsolved, or undetermined in a loop of zero ohms.
    pub amps: Option<f64>,
    /// Heat in both poles, W.
    pub loss_w: Option<f64>,
}

/// Electrical state of a supply.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SupplyState {
    /// Power it delivers at its terminals, cable loss included, W; `None` when any of its parts is unsolved.
    pub load_w: Option<f64>,
    /// Apparent power it delivers at its terminals, cable loss included, VA; `None` as above.
    pub load_va: Option<f64>,
    /// Apparent power of the luminaires it feeds by their nameplates, VA. Where several supplies feed one part,
    /// its share by the current it delivers; `None` where that share is unsolved.
    pub nameplate_va: Option<f64>,
    /// The same, with power factor 0.9 wherever 1.0 had to be assumed.
    pub nameplate_va_at_0_9: Option<f64>,
    /// The larger of load and nameplate over the rating, in percent; `None` without a rating or an answer.
    pub loading_percent: Option<f64>,
    /// Each output, in the order of its type.
    pub outputs: Vec<OutputState>,
}

/// Electrical state of an output.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct OutputState {
    /// Terminal voltage; `None` when unsolved.
    pub volts: Option<f64>,
    /// Current it delivers, A; `None` when unsolved.
    pub amps: Option<f64>,
    /// Whether its voltage under load rests on the assumption of no source resistance.
    pub source_assumed_ideal: bool,
    /// Number of luminaires in the part that it feeds.
    pub luminaires: usize,
}

/// Why a connected part of the network has no answer.
#[derive(Debug, Clone, PartialEq)]
pub struct UnsolvedPart {
    /// The reason.
    pub reason: Unsolved,
    /// Outputs in the part.
    pub outputs: Vec<NodeRef>,
    /// Junctions and luminaires in the part, in the order of the plan, junctions first.
    pub nodes: Vec<NodeRef>,
}

/// The reasons for which a part has no answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Unsolved {
    /// The loads ask for more than the cables can carry: no voltages satisfy the network.
    NoOperatingPoint,
    /// Luminaires with a cut-out switch on and off without end.
    NoSteadyState,
    /// So many luminaires fall below their cut-outs one after another that the search was stopped.
    TooManyCutOuts,
    /// Two outputs of one supply are joined by cable.
    OutputsTied,
    /// An AC and a DC output are joined.
    AcDcJoined,
    /// Ideal sources of different volts are joined without resistance.
    SourcesShorted,
    /// It hangs on the common resistance of a supply with another part that has no answer, so that
    /// the current through that resistance is not known.
    SharesUnsolvedSupply,
    /// A cable has no resistance: its size is in no table and its maker's value is missing or makes no sense.
    UnknownResistance,
}

impl Unsolved {
    /// The reason in one phrase.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::NoOperatingPoint => "no operating point: the loads ask for more power than the cables can carry",
            Self::NoSteadyState => "no steady state: luminaires with a cut-out would switch on and off without end",
            Self::TooManyCutOuts => {
                "too many luminaires fall below their cut-outs one after another to follow them all"
            }
            Self::OutputsTied => {
                "two outputs of one supply are joined by cable; a two-conductor model would be wrong here"
            }
            Self::AcDcJoined => "an AC output and a DC output are joined",
            Self::SourcesShorted => "sources of different volts are joined without resistance",
            Self::SharesUnsolvedSupply => "it shares the common resistance of a supply with a part that has no answer",
            Self::UnknownResistance => "the resistance of a cable is not known",
        }
    }
}

/// Conductor temperature of the judged case by convention, °C: the one that the resistance table of the conductor's
/// system is commonly read at.
pub fn conventional_temperature_c(size: Option<Conductor>) -> f64 {
    match size {
        Some(Conductor::Awg(_)) => 75.0,
        Some(Conductor::Mm2(_)) | None => 70.0,
    }
}

/// Conductor temperature of a case, °C, for a cable of this size.
pub fn conductor_temperature_c(settings: &AnalysisSettings, size: Option<Conductor>, case: Case) -> f64 {
    match case {
        Case::Judged => settings.conductor_temperature.map_or_else(|| conventional_temperature_c(size), |t| t.si()),
        Case::Soil => settings.soil_temperature.map_or(30.0, |t| t.si()),
    }
}
