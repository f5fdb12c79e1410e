//! What a sizing offers: plain data, every number with the arithmetic behind it.

use super::wiring::Topology;
use crate::finding::{Level, WorkLine};
use serde::Serialize;

/// The answer for one plan.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Sizing {
    /// Where the runs start.
    pub start: Start,
    /// What the luminaires ask for, by nominal voltage and current.
    pub demands: Vec<Demand>,
    /// Largest drop by `voltage/excess-drop`, %.
    pub drop_limit_percent: f64,
    /// Largest load of a supply by `loading/overloaded-supply`, %.
    pub loading_limit_percent: f64,
    /// Whether the user gave weights, so that the rank is by cost.
    pub weighted: bool,
    /// One result each, in the order of [`Topology::ALL`].
    pub topologies: Vec<TopologyResult>,
    /// What was assumed or chosen for want of a statement, sorted and without repeats.
    pub assumptions: Vec<String>,
}

/// Where the runs start.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Start {
    /// To the right, grid units.
    pub x: f64,
    /// Upwards, grid units.
    pub y: f64,
    /// How it was found.
    pub from: String,
}

/// What the luminaires of one nominal voltage and current ask of a supply, before cable loss.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Demand {
    /// `ac` or `dc`.
    pub current: &'static str,
    /// Nominal voltage, V.
    pub nominal_v: f64,
    /// No-load volts of the outputs, V.
    pub output_v: f64,
    /// Number of luminaires.
    pub luminaires: usize,
    /// Sum of the nameplates, VA (W on DC).
    pub nameplate_va: f64,
    /// Least rating by the loading limit, VA (W on DC).
    pub least_rating_va: f64,
    /// The smallest rating to choose from that is not below it; `None` where no single supply is large enough.
    pub rating_va: Option<f64>,
    /// The arithmetic.
    pub work: Vec<WorkLine>,
}

/// How one topology ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct TopologyResult {
    /// Which.
    pub topology: Topology,
    /// From 1, the best; those without findings come first. `None` where there is no proposal.
    pub rank: Option<usize>,
    /// What is proposed, if anything does.
    pub proposal: Option<Proposal>,
    /// Why nothing does.
    pub unfit: Option<Unfit>,
    /// What to know of the proposal: that it is the star under another name.
    pub note: Option<String>,
}

/// A whole proposal.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Proposal {
    /// Its supplies with their outputs.
    pub supplies: Vec<ProposedSupply>,
    /// Its runs.
    pub runs: Vec<ProposedRun>,
    /// Where its nodes are.
    pub nodes: Vec<ProposedNode>,
    /// Number of junctions.
    pub junctions: usize,
    /// One at each luminaire and one at each junction.
    pub splices: usize,
    /// All cable, m.
    pub cable_m: f64,
    /// Cable by type, from the smallest conductor.
    pub cable_by_type: Vec<CableLength>,
    /// Trench, m: straight stretches without slack, those on one line counted once.
    pub trench_m: f64,
    /// The luminaire with the lowest volts in relation to its nominal.
    pub lowest: Extreme,
    /// The luminaire with the highest volts in relation to its nominal.
    pub highest: Extreme,
    /// The luminaire with the largest drop.
    pub largest_drop: Extreme,
    /// The highest volts without load at a luminaire.
    pub no_load: Extreme,
    /// The sum by the user's weights; `None` without weights.
    pub cost: Option<f64>,
    /// The arithmetic of cable, trench and cost.
    pub work: Vec<WorkLine>,
    /// What the rules find, waived findings left out.
    pub findings: Vec<FindingLeft>,
    /// What the rules could not judge.
    pub undetermined: Vec<Missing>,
    /// Whether every run was tried a size smaller.
    pub minimal: bool,
    /// The plan with the proposal in it.
    #[serde(skip)]
    pub plan: String,
}

/// A supply of a proposal.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ProposedSupply {
    /// Its id.
    pub id: String,
    /// Its type.
    pub r#type: String,
    /// Its rating, VA (W on DC).
    pub rating_va: f64,
    /// The unit of its rating: `VA`, or `W` on DC.
    pub unit: &'static str,
    /// The larger of nameplates and computed load over the rating, %.
    pub loading_percent: f64,
    /// The outputs that carry luminaires.
    pub outputs: Vec<ProposedOutput>,
    /// The arithmetic of the rating.
    pub work: Vec<WorkLine>,
}

/// An output that carries luminaires.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ProposedOutput {
    /// Its name.
    pub name: String,
    /// No-load volts, V.
    pub volts: f64,
    /// Computed current, A.
    pub amps: f64,
    /// Most current that a circuit here is given, A.
    pub circuit_limit_a: f64,
    /// Luminaires on it.
    pub luminaires: usize,
}

/// A node of a proposal: what straight lengths, trench and splices can be worked out from.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ProposedNode {
    /// Its id.
    pub id: String,
    /// To the right, m.
    pub x_m: Option<f64>,
    /// Upwards, m.
    pub y_m: Option<f64>,
    /// Resistance of its splice in one pole, ohm, where it is stated; else it is taken to have none.
    pub splice_ohm: Option<f64>,
}

/// A run of a proposal.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ProposedRun {
    /// Its id.
    pub id: String,
    /// Its cable type.
    pub cable: String,
    /// Size of its conductor; `None` where the type states none.
    pub conductor: Option<String>,
    /// Its nodes in order.
    pub route: Vec<String>,
    /// Straight length, m.
    pub straight_m: f64,
    /// Length of cable with slack, m.
    pub length_m: f64,
    /// Resistance of both poles, the splices included, ohm.
    pub ohms: f64,
    /// Largest current, A; `None` where the network does not say, as in a loop without resistance.
    pub amps: Option<f64>,
}

/// Cable of one type.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct CableLength {
    /// The cable type.
    pub cable: String,
    /// Size of its conductor; `None` where the type states none.
    pub conductor: Option<String>,
    /// Resistance of a pole in the judged case, ohm/m.
    pub ohms_per_m: f64,
    /// Length, m.
    pub length_m: f64,
}

/// A luminaire at an end of a range.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Extreme {
    /// Its id.
    pub luminaire: String,
    /// Volts, or % for a drop.
    pub value: f64,
    /// The arithmetic of the volts, from the output to the luminaire.
    pub work: Vec<WorkLine>,
}

/// A finding on a proposal.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct FindingLeft {
    /// The rule.
    pub rule: String,
    /// Its level.
    pub level: Level,
    /// The element.
    pub subject: String,
    /// What is wrong.
    pub message: String,
}

/// What a rule could not judge.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Missing {
    /// The rule.
    pub rule: String,
    /// The inputs that it misses.
    pub missing: Vec<String>,
}

/// Why a topology can't be proposed, with what would help.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Unfit {
    /// The reason with its numbers.
    pub reason: String,
    /// Changes that were tried and do help.
    pub remedies: Vec<String>,
}
