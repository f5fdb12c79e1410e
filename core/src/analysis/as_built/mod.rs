//! As-built: what was read on the finished work beside what the plan as drawn gives, and what explains a difference.
//!
//! [`examine`] compares ([`observe`]), and where something is outside its tolerance puts every fault at every place
//! ([`fault`]) into the network, fits the number that it leaves open ([`fit`]) and keeps what explains all readings
//! ([`search`]). One place is named only where nothing else explains them ([`verdict`]); else [`further`] looks for
//! the reading that would tell what is left apart.

mod bench;
mod chi_square;
mod fault;
mod fit;
mod further;
mod observe;
mod search;
mod verdict;
mod words;

use crate::finding::WorkLine;
use crate::layout::Layout;
use bench::Bench;
use observe::Observed;
use serde::Serialize;

pub use fault::Fault;

/// What was read, and what it says of the work.
#[derive(Debug, Clone, PartialEq)]
pub struct AsBuilt {
    /// Each reading beside its computed value, in the order of the plan.
    pub comparisons: Vec<Comparison>,
    /// What explains the differences.
    pub diagnosis: Diagnosis,
    /// What was assumed, one sentence each, sorted and without repeats.
    pub assumptions: Vec<String>,
}

/// What a reading is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// Volts at an output, a junction or a luminaire.
    Volts,
    /// Amps of an output or at the start of a run.
    Amps,
    /// Volts of the branch circuit at a supply.
    InputVolts,
    /// Whether a luminaire is lit: 1 or 0.
    Lit,
}

impl Quantity {
    /// Its unit; empty for what is seen.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Volts | Self::InputVolts => "V",
            Self::Amps => "A",
            Self::Lit => "",
        }
    }
}

/// A reading beside its computed value.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Where, as plans write it: `L1`, `S1/12`, `R2`.
    pub place: String,
    /// Id of the element.
    pub subject: String,
    /// Route of the reading from the root of the plan.
    pub field: String,
    /// What it is of.
    pub quantity: Quantity,
    /// As read.
    pub read: f64,
    /// As computed from the plan, with mains as read; for the mains themselves their nominal volts. `None` where the
    /// plan has no answer.
    pub computed: Option<f64>,
    /// What the two may differ by: the instrument, and what the reading of the mains may be off by.
    pub allowed: f64,
    /// What the instrument may be off by.
    pub tolerance: f64,
    /// Whether they differ by more.
    pub outside: bool,
}

/// How a diagnosis ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// No reading is outside its tolerance.
    WithinTolerance,
    /// Faults at one place explain the readings, and faults at no other do.
    Located,
    /// Faults at several places do, or a pair of faults does, or not every place could be tried.
    Undetermined,
    /// None does.
    Unexplained,
    /// The plan has no computed value for any reading.
    NotCompared,
}

/// What explains the readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// How it ends.
    pub outcome: Outcome,
    /// The result in a sentence.
    pub statement: String,
    /// What explains all readings, the simplest first.
    pub suspects: Vec<Suspect>,
    /// The reading that would tell the suspects apart.
    pub further: Option<Further>,
    /// What a reader has to know beside it, in whole sentences.
    pub notes: Vec<String>,
    /// Faults that were tried, each at its place.
    pub tried: usize,
}

/// The kinds of faults.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultKind {
    /// The mains, as read, are far from nominal.
    Mains,
    /// A supply gives another share of its stated volts: low mains, or the supply itself.
    SupplyVolts,
    /// A run hangs on another output.
    WrongOutput,
    /// A luminaire draws nothing.
    DeadLuminaire,
    /// A luminaire draws another power.
    LuminairePower,
    /// A luminaire is a resistance.
    ShortedLuminaire,
    /// A segment has more resistance.
    AddedResistance,
    /// A splice adds resistance to each segment that meets there.
    Splice,
    /// A run has another conductor or length.
    WrongConductor,
    /// A segment carries nothing.
    OpenConductor,
    /// The poles are swapped at a joint.
    ReversedPolarity,
    /// The leads of one luminaire or of the meter are swapped.
    ReversedLeads,
}

/// One fault, or a pair of them, that explains all readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Suspect {
    /// The faults.
    pub faults: Vec<Fault>,
    /// Their kinds.
    pub kinds: Vec<FaultKind>,
    /// Ids of the elements at the place, the one to look at first in front.
    pub subjects: Vec<String>,
    /// The place in words.
    pub place: String,
    /// The fault in words, with its number.
    pub phrase: String,
    /// The numbers that were fitted.
    pub estimates: Vec<Estimate>,
    /// Chi-square of the best fit.
    pub chi_square: f64,
    /// Its degrees of freedom.
    pub degrees: usize,
    /// The value that chi-square stays below with 95 %.
    pub chi_square_limit: f64,
    /// The arithmetic with which a reader can recompute the numbers.
    pub work: Vec<WorkLine>,
}

/// A number that was fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// What it is.
    pub name: &'static str,
    /// The number.
    pub value: f64,
    /// Two standard deviations, about 95 %; `None` where the readings do not bound it.
    pub uncertainty: Option<f64>,
    /// Its unit; empty for a share of 1.
    pub unit: &'static str,
}

/// A reading that was not taken and would tell suspects apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Further {
    /// Where, as plans write it.
    pub place: String,
    /// Id of the element.
    pub subject: String,
    /// What to read.
    pub quantity: Quantity,
    /// What would be read under each suspect, in their order; `None` for those beyond the ones that were looked at.
    pub expected: Vec<Option<f64>>,
    /// What to do, in a sentence.
    pub phrase: String,
}

/// Compares the readings of a plan; `None` for a plan without any.
pub fn examine(layout: &Layout) -> Option<AsBuilt> {
    let readings = layout.readings.as_ref()?;
    let mut bench = Bench::new(layout);
    let observed = Observed::new(layout, readings, &mut bench);
    let diagnosis = search::diagnose(layout, readings, &observed, &mut bench);
    Some(AsBuilt {
        comparisons: observed.comparisons,
        diagnosis,
        assumptions: observed.assumptions.into_iter().collect(),
    })
}
