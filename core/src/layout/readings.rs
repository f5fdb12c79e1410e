//! Readings that were taken on the finished work: one entry for each number.

use super::{Layout, NodeRef};
use crate::plan::quantity::{Current, CurrentKind, SignedVoltage, Temperature, Voltage, VoltageKind};
use crate::plan::scalar::{Date, Tolerance};

/// What was read on the finished work.
#[derive(Debug, Clone, PartialEq)]
pub struct Readings {
    /// The day.
    pub on: Option<Date>,
    /// What readings of volts may be off by.
    pub volts_tolerance: Option<Tolerance<VoltageKind>>,
    /// What readings of amps may be off by.
    pub amps_tolerance: Option<Tolerance<CurrentKind>>,
    /// Conductor temperature during the readings; `None` means that of the soil case.
    pub conductor_temperature: Option<Temperature>,
    /// The readings in the order of the plan.
    pub taken: Vec<Reading>,
}

/// One number, or one thing that was seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Index of its entry in the plan's list.
    pub entry: usize,
    /// What was read, and where.
    pub measured: Measured,
}

/// What was read, and where.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measured {
    /// Volts at a node; below zero where the leads are reversed.
    Volts {
        /// The node.
        node: NodeRef,
        /// The reading.
        volts: SignedVoltage,
    },
    /// Amps of an output.
    OutputAmps {
        /// Index into [`Layout::supplies`].
        supply: usize,
        /// Index into the outputs of its type.
        output: usize,
        /// The reading.
        amps: Current,
    },
    /// Amps in the first segment of a run, without direction.
    RunAmps {
        /// Index into [`Layout::runs`].
        run: usize,
        /// The reading.
        amps: Current,
    },
    /// Volts of the branch circuit at the input of a supply.
    InputVolts {
        /// Index into [`Layout::supplies`].
        supply: usize,
        /// The reading.
        volts: Voltage,
    },
    /// Whether a luminaire was seen to be lit.
    Lit {
        /// Index into [`Layout::luminaires`].
        luminaire: usize,
        /// Whether it was.
        lit: bool,
    },
}

impl Measured {
    /// The key of the plan that it stands under.
    pub fn key(&self) -> &'static str {
        match self {
            Self::Volts { .. } => "volts",
            Self::OutputAmps { .. } | Self::RunAmps { .. } => "amps",
            Self::InputVolts { .. } => "input-volts",
            Self::Lit { .. } => "lit",
        }
    }

    /// The place as plans write it: `L1`, `S1/12`, `R2`.
    pub fn place(&self, layout: &Layout) -> String {
        match *self {
            Self::Volts { node, .. } => layout.node_name(node),
            Self::OutputAmps { supply, output, .. } => layout.node_name(NodeRef::Output { supply, output }),
            Self::RunAmps { .. } | Self::InputVolts { .. } | Self::Lit { .. } => self.subject(layout).to_owned(),
        }
    }

    /// Id of the element that it was taken at.
    pub fn subject<'a>(&self, layout: &'a Layout) -> &'a str {
        let id = match *self {
            Self::Volts { node: NodeRef::Junction(junction), .. } => &layout.junctions[junction].id,
            Self::Volts { node: NodeRef::Luminaire(luminaire), .. } | Self::Lit { luminaire, .. } => {
                &layout.luminaires[luminaire].id
            }
            Self::Volts { node: NodeRef::Output { supply, .. }, .. }
            | Self::OutputAmps { supply, .. }
            | Self::InputVolts { supply, .. } => &layout.supplies[supply].id,
            Self::RunAmps { run, .. } => &layout.runs[run].id,
        };
        &id.0
    }
}
