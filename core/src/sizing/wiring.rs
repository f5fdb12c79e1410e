//! The ways to wire one circuit: star, hub, chain, tee and loop, in straight lines.

use super::group::Group;
use super::path::path;
use super::place::{Place, middle};
use crate::layout::PointM;
use crate::plan::model::Grid;

/// A way to wire the luminaires of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Topology {
    /// Each luminaire on its own run from the supply.
    Star,
    /// A main run to a junction in the middle, from which each luminaire has its own run.
    Hub,
    /// One run from the supply through all luminaires.
    Chain,
    /// A main run to a junction in the middle of the chain, which feeds both halves.
    Tee,
    /// The chain closed back to the supply, fed from both ends.
    Loop,
}

impl Topology {
    /// All, in the order in which they are shown.
    pub const ALL: [Self; 5] = [Self::Star, Self::Hub, Self::Chain, Self::Tee, Self::Loop];

    /// Its name.
    pub fn word(self) -> &'static str {
        match self {
            Self::Star => "star",
            Self::Hub => "hub",
            Self::Chain => "chain",
            Self::Tee => "tee",
            Self::Loop => "loop",
        }
    }
}

/// A node of a circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stop {
    /// The circuit's output.
    Output,
    /// Its junction.
    Junction,
    /// An index into the circuit's lamps.
    Lamp(usize),
}

/// How one circuit is wired.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wiring {
    /// Where its junction is, if it has one.
    pub(super) junction: Option<Place>,
    /// The nodes of each run in order.
    pub(super) runs: Vec<Vec<Stop>>,
    /// For each lamp the runs that its current may come by.
    pub(super) ways: Vec<Vec<usize>>,
}

/// Wires the lamps of a circuit. A single lamp has a run of its own in every topology: there is no middle of one, and two
/// cables to it would be conductors in parallel.
pub(super) fn wire(topology: Topology, group: &Group, lamps: &[usize], start: PointM, grid: Grid) -> Wiring {
    let places: Vec<PointM> = lamps.iter().map(|&lamp| group.lamps[lamp].at).collect();
    let amps: Vec<f64> = lamps.iter().map(|&lamp| group.lamps[lamp].amps).collect();
    match topology {
        Topology::Hub if lamps.len() > 1 => hub(&places, grid),
        Topology::Tee if lamps.len() > 1 => tee(&places, &amps, start, grid),
        Topology::Loop if lamps.len() > 1 => closed(&places, &amps, start),
        Topology::Chain => {
            let order = path(start, &places, false);
            let run = std::iter::once(Stop::Output).chain(order.into_iter().map(Stop::Lamp)).collect();
            Wiring { junction: None, runs: vec![run], ways: vec![vec![0]; lamps.len()] }
        }
        Topology::Star | Topology::Hub | Topology::Tee | Topology::Loop => star(lamps.len()),
    }
}

fn star(lamps: usize) -> Wiring {
    Wiring {
        junction: None,
        runs: (0..lamps).map(|lamp| vec![Stop::Output, Stop::Lamp(lamp)]).collect(),
        ways: (0..lamps).map(|lamp| vec![lamp]).collect(),
    }
}

fn hub(places: &[PointM], grid: Grid) -> Wiring {
    let main = std::iter::once(vec![Stop::Output, Stop::Junction]);
    Wiring {
        junction: Some(Place::rounded(middle(places), grid)),
        runs: main.chain((0..places.len()).map(|lamp| vec![Stop::Junction, Stop::Lamp(lamp)])).collect(),
        ways: (0..places.len()).map(|lamp| vec![0, lamp + 1]).collect(),
    }
}

fn tee(places: &[PointM], amps: &[f64], start: PointM, grid: Grid) -> Wiring {
    let order = path(start, places, false);
    // The halves differ least in their currents; each has a lamp.
    let total: f64 = amps.iter().sum();
    let mut half = (f64::INFINITY, 1);
    let mut sum = 0.0;
    for (count, &lamp) in order.iter().enumerate().take(order.len() - 1) {
        sum += amps[lamp];
        let difference = (total - 2.0 * sum).abs();
        if difference < half.0 {
            half = (difference, count + 1);
        }
    }
    let (near, far) = order.split_at(half.1);
    let ends = [near.last(), far.first()].map(|end| end.map_or(start, |&lamp| places[lamp]));
    let mut ways = vec![Vec::new(); places.len()];
    near.iter().for_each(|&lamp| ways[lamp] = vec![0, 1]);
    far.iter().for_each(|&lamp| ways[lamp] = vec![0, 2]);
    let junction = std::iter::once(Stop::Junction);
    Wiring {
        junction: Some(Place::rounded(middle(&ends), grid)),
        runs: vec![
            vec![Stop::Output, Stop::Junction],
            junction.clone().chain(near.iter().rev().map(|&lamp| Stop::Lamp(lamp))).collect(),
            junction.chain(far.iter().map(|&lamp| Stop::Lamp(lamp))).collect(),
        ],
        ways,
    }
}

/// Two runs that meet at the lamp in the middle of the load.
fn closed(places: &[PointM], amps: &[f64], start: PointM) -> Wiring {
    let order = path(start, places, true);
    let total: f64 = amps.iter().sum();
    let mut sum = 0.0;
    let meets = order.iter().position(|&lamp| {
        sum += amps[lamp];
        2.0 * sum >= total
    });
    let (out, back) = order.split_at(meets.map_or(1, |at| at + 1).min(order.len()));
    let output = std::iter::once(Stop::Output);
    let meeting = out.last().map(|&lamp| Stop::Lamp(lamp));
    Wiring {
        junction: None,
        runs: vec![
            output.clone().chain(out.iter().map(|&lamp| Stop::Lamp(lamp))).collect(),
            meeting.into_iter().chain(back.iter().map(|&lamp| Stop::Lamp(lamp))).chain(output).collect(),
        ],
        ways: vec![vec![0, 1]; places.len()],
    }
}
