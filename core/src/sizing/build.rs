//! A circuit or all circuits of a supply as a layout of its own, for the solver.

use super::catalogue::CableChoice;
use super::group::Group;
use super::path::distance_m;
use super::place::Place;
use super::split::Circuit;
use super::wiring::{Stop, Wiring};
use crate::layout::{Junction, Layout, NodeRef, PointM, Run, Segment, SpliceType, Supply, SupplyType};
use crate::plan::model::{LoadModel, Method};
use crate::plan::scalar::{Id, Slack};
use std::sync::Arc;

/// What is the same for all circuits of a proposal.
pub(super) struct Ground<'a> {
    pub(super) layout: &'a Layout,
    pub(super) start: Place,
    pub(super) slack: Slack,
    /// How junctions are spliced: the first splice type that a luminaire of the plan has.
    pub(super) splice: Option<Arc<SpliceType>>,
}

/// Circuits of one supply with their luminaires, in the order that the layout below numbers them.
pub(super) struct Unit {
    pub(super) layout: Layout,
    /// For each luminaire the runs that its current may come by.
    pub(super) ways: Vec<Vec<usize>>,
    /// Index in the plan's layout of each luminaire.
    pub(super) luminaires: Vec<usize>,
}

impl Ground<'_> {
    /// The layout of some circuits of one supply; all runs have the given cable.
    pub(super) fn unit(
        &self,
        group: &Group,
        kind: &Arc<SupplyType>,
        circuits: &[(&Circuit, &Wiring)],
        cable: &CableChoice,
    ) -> Unit {
        let plan = self.layout;
        let mut unit = Unit {
            layout: Layout {
                analysis: plan.analysis,
                project: plan.project.clone(),
                grid: plan.grid,
                ..Layout::default()
            },
            ways: Vec::new(),
            luminaires: Vec::new(),
        };
        unit.layout.supplies.push(Supply {
            id: Id("S".to_owned()),
            kind: kind.clone(),
            at: Some(self.start.at),
            mount_height: None,
            feed: None,
            exposure: None,
            control: plan.supplies.first().and_then(|supply| supply.control),
            house: Default::default(),
        });
        for (circuit, wiring) in circuits {
            self.add(&mut unit, group, circuit, wiring, cable);
        }
        unit
    }

    /// The first luminaire of a circuit at the supply, with 1 mm of cable, a source and splices without resistance, and a
    /// constant current: it has an operating point wherever the luminaire stands, so that the rules can tell their limits.
    pub(super) fn beside(&self, group: &Group, kind: &SupplyType, circuit: &Circuit, cable: &CableChoice) -> Unit {
        let mut kind = kind.clone();
        kind.common_resistance = None;
        kind.outputs.iter_mut().for_each(|output| output.source_resistance = None);
        let lamps = circuit.lamps.iter().copied().take(1).collect();
        let one = Circuit { lamps, supply: circuit.supply, output: circuit.output };
        let run = vec![vec![Stop::Output, Stop::Lamp(0)]];
        let wiring = Wiring { junction: None, runs: run, ways: vec![vec![0]] };
        let mut unit = self.unit(group, &Arc::new(kind), &[(&one, &wiring)], cable);
        for luminaire in &mut unit.layout.luminaires {
            let mut steady = (*luminaire.kind).clone();
            steady.load = LoadModel::ConstantCurrent;
            luminaire.kind = Arc::new(steady);
            luminaire.at = Some(self.start.at);
            luminaire.splice = None;
        }
        for segment in unit.layout.runs.iter_mut().flat_map(|run| &mut run.segments) {
            segment.path = vec![self.start.at, self.start.at];
            segment.length_m = 0.001;
        }
        unit
    }

    fn add(&self, unit: &mut Unit, group: &Group, circuit: &Circuit, wiring: &Wiring, cable: &CableChoice) {
        let (first_lamp, first_run) = (unit.layout.luminaires.len(), unit.layout.runs.len());
        let junction = unit.layout.junctions.len();
        for &lamp in &circuit.lamps {
            let index = group.lamps[lamp].luminaire;
            unit.luminaires.push(index);
            unit.layout.luminaires.push(self.layout.luminaires[index].clone());
        }
        if let Some(place) = wiring.junction {
            unit.layout.junctions.push(Junction {
                id: Id(format!("J{junction}")),
                at: Some(place.at),
                splice: self.splice.clone(),
                above_ground_box: None,
                house: Default::default(),
            });
        }
        let at = |stop: Stop| match stop {
            Stop::Output => self.start.at,
            Stop::Junction => wiring.junction.map_or(self.start.at, |place| place.at),
            Stop::Lamp(lamp) => group.lamps[circuit.lamps[lamp]].at,
        };
        let node = |stop: Stop| match stop {
            Stop::Output => NodeRef::Output { supply: 0, output: circuit.output },
            Stop::Junction => NodeRef::Junction(junction),
            Stop::Lamp(lamp) => NodeRef::Luminaire(first_lamp + lamp),
        };
        for (number, stops) in wiring.runs.iter().enumerate() {
            let segments = stops.windows(2).filter_map(|pair| match pair {
                &[from, to] => Some(self.segment((node(from), at(from)), (node(to), at(to)))),
                _ => None,
            });
            unit.layout.runs.push(Run {
                id: Id(format!("R{}", first_run + number)),
                cable: cable.kind.clone(),
                segments: segments.collect(),
                method: Some(Method::DirectBurial),
                cover: None,
                instructed_cover: None,
                riser: None,
                shared_with: None,
                barrier: None,
                marking: None,
                backfill: None,
                concrete: None,
                supports: None,
                covers: Vec::new(),
                house: Default::default(),
            });
        }
        unit.ways.extend(wiring.ways.iter().map(|runs| runs.iter().map(|run| first_run + run).collect::<Vec<_>>()));
    }

    fn segment(&self, (from, a): (NodeRef, PointM), (to, b): (NodeRef, PointM)) -> Segment {
        let straight_m = distance_m(a, b);
        let length_m = match self.slack {
            Slack::Share(share) => straight_m * (1.0 + share.si()),
            Slack::Length(length) => straight_m + length.si(),
        };
        Segment { from, to, path: vec![a, b], length_m, added_ohms: 0.0 }
    }
}
