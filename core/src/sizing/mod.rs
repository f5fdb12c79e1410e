//! Sizing: from placed luminaires to supplies, circuits, runs and conductors, by several topologies side by side.
//!
//! One way: [`group`] sorts the luminaires by voltage and current, [`split`] puts them on outputs, [`wiring`] draws the runs
//! of each circuit, [`search`] chooses conductors with the network solver, [`text`] writes all of it into the plan, and the
//! rules of the topics `voltage` and `loading` judge that plan as they judge any other. What the rules find wrong with a
//! conductor sends the search back with a larger floor; anything else they find is told. [`topology`] drives that loop and
//! [`propose`] compares what comes of it.

mod build;
mod catalogue;
mod cost;
mod draft;
mod extreme;
mod group;
mod limits;
mod measure;
mod name;
mod path;
mod place;
mod propose;
mod report;
mod request;
mod search;
mod site;
mod split;
mod text;
mod topology;
pub(crate) mod trench;
mod wiring;

pub use catalogue::{BUILT_IN_VOLTS, OUTPUT_SHARE, RATINGS_VA};
pub use limits::Limits;
pub use propose::size;
pub use report::{
    CableLength, Demand, Extreme, FindingLeft, Missing, Proposal, ProposedOutput, ProposedRun, ProposedSupply, Sizing,
    Start, TopologyResult, Unfit,
};
pub use request::{Request, Rules, SizingError, Weights};
pub use wiring::Topology;
