//! The numbers of a proposal, from the plan that it became and the network solved on it.

use super::catalogue::{CableChoice, SupplyChoice};
use super::cost;
use super::draft::{Board, Part};
use super::limits::above;
use super::name::Named;
use super::path::distance_m;
use super::report::{CableLength, Proposal, ProposedNode, ProposedOutput, ProposedRun, ProposedSupply};
use super::request::Weights;
use super::trench::trench_m;
use crate::analysis::{Case, LuminaireState, Solution, SupplyState, conductor_temperature_c};
use crate::finding::WorkLine;
use crate::layout::{Layout, PointM, SpliceType};
use crate::plan::model::{OutputCurrent, Stranding};
use crate::plan::scalar::{Conductor, Id};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A draft as a plan: its layout and the solved network.
pub(super) struct Built<'a> {
    pub(super) board: &'a Board<'a>,
    pub(super) parts: &'a [Part],
    pub(super) named: &'a Named,
    pub(super) layout: &'a Layout,
    pub(super) solution: &'a Solution,
}

/// A line of arithmetic.
pub(super) fn work(name: impl Into<String>, value: f64, unit: &str, from: impl Into<String>) -> WorkLine {
    WorkLine { name: name.into(), value, unit: unit.to_owned(), from: from.into() }
}

/// The unit of apparent power on AC and of power on DC.
pub(super) fn power_unit(current: OutputCurrent) -> &'static str {
    match current {
        OutputCurrent::Ac => "VA",
        OutputCurrent::Dc => "W",
    }
}

/// One supply of a draft in the solved plan.
struct Fed<'b> {
    group: usize,
    /// Index in its part.
    supply: usize,
    choice: &'b SupplyChoice,
    state: &'b SupplyState,
}

impl<'a> Built<'a> {
    fn fed(&self) -> Vec<Fed<'_>> {
        let index: BTreeMap<&str, usize> =
            self.layout.supplies.iter().enumerate().map(|(i, supply)| (supply.id.0.as_str(), i)).collect();
        let mut fed = Vec::new();
        for (group, (part, names)) in self.parts.iter().zip(&self.named.supplies).enumerate() {
            for (supply, name) in names.iter().enumerate() {
                let Some(state) = index.get(name.as_str()).and_then(|i| self.solution.supplies.get(*i)) else {
                    continue;
                };
                let choice = &self.board.groups[group].supplies[part.split.supplies[supply]];
                fed.push(Fed { group, supply, choice, state });
            }
        }
        fed
    }

    /// For each group by how much its largest overload is above what the split reckoned with; 1 where nothing is
    /// overloaded.
    pub(super) fn overloads(&self) -> Vec<f64> {
        let mut factors = vec![1.0; self.parts.len()];
        for fed in self.fed() {
            let group = &self.board.groups[fed.group];
            let part = &self.parts[fed.group];
            let reckoned = |lamps: &[usize], of: fn(&super::group::Lamp) -> f64| -> f64 {
                lamps.iter().map(|lamp| of(&group.lamps[*lamp])).sum()
            };
            let mut design_va: f64 = 0.0;
            for circuit in part.split.circuits.iter().filter(|circuit| circuit.supply == fed.supply) {
                design_va += reckoned(&circuit.lamps, |lamp| lamp.design_va);
                let Some(amps) = fed.state.outputs.get(circuit.output).and_then(|output| output.amps) else { continue };
                if above(amps, fed.choice.allowance_a(circuit.output)) {
                    factors[fed.group] =
                        f64::max(factors[fed.group], amps / reckoned(&circuit.lamps, |lamp| lamp.amps));
                }
            }
            let load_va = design_load_va(fed.state);
            if above(load_va / fed.choice.rating_va * 100.0, self.board.limits.loading_percent) && design_va > 0.0 {
                factors[fed.group] = f64::max(factors[fed.group], load_va / design_va);
            }
        }
        factors
    }

    /// All of the proposal but what the rules say of it.
    pub(super) fn proposal(&self, weights: &Weights, plan: String) -> Option<Proposal> {
        let runs = self.runs();
        let cable_m: f64 = runs.iter().map(|run| run.length_m).sum();
        let by_type = self.by_type(&runs);
        let trench_m = trench_m(self.layout);
        let supplies = self.supplies();
        let splices = self.layout.luminaires.len() + self.layout.junctions.len();
        let mut lines = vec![work(
            "straight lengths of all segments",
            runs.iter().map(|run| run.straight_m).sum(),
            "m",
            "the runs",
        )];
        lines.push(work("cable", cable_m, "m", "straight lengths with slack, by run"));
        lines.push(work("trench", trench_m, "m", "straight stretches without slack, those on one line counted once"));
        lines.extend(self.resistances());
        let rated_va: f64 = supplies.iter().map(|supply| supply.rating_va).sum();
        let cost = weights.are_given().then(|| cost::cost(weights, &by_type, trench_m, splices, rated_va, &mut lines));
        let relative = |l: usize, state: &LuminaireState| {
            state.node.volts.map(|volts| volts / self.layout.luminaires[l].kind.nominal.si())
        };
        Some(Proposal {
            supplies,
            runs,
            nodes: self.nodes(),
            junctions: self.layout.junctions.len(),
            splices,
            cable_m,
            cable_by_type: by_type,
            trench_m,
            lowest: self.extreme(|l, state| relative(l, state).map(|share| -share), |node| node.volts)?,
            highest: self.extreme(relative, |node| node.volts)?,
            largest_drop: self.extreme(|_, state| state.node.drop_percent, |node| node.drop_percent)?,
            no_load: self.no_load()?,
            cost,
            work: lines,
            findings: Vec::new(),
            undetermined: Vec::new(),
            minimal: true,
            plan,
        })
    }

    /// Supplies, junctions and luminaires with their places.
    fn nodes(&self) -> Vec<ProposedNode> {
        let node = |id: &Id, at: Option<PointM>, splice: Option<&Arc<SpliceType>>| ProposedNode {
            id: id.0.clone(),
            x_m: at.map(|at| at.x_m),
            y_m: at.map(|at| at.y_m),
            splice_ohm: splice.and_then(|splice| splice.resistance).map(|resistance| resistance.si()),
        };
        let supplies = self.layout.supplies.iter().map(|s| node(&s.id, s.at, None));
        let junctions = self.layout.junctions.iter().map(|j| node(&j.id, j.at, j.splice.as_ref()));
        let luminaires = self.layout.luminaires.iter().map(|l| node(&l.id, l.at, l.splice.as_ref()));
        supplies.chain(junctions).chain(luminaires).collect()
    }

    fn runs(&self) -> Vec<ProposedRun> {
        let runs = self.layout.runs.iter().zip(&self.solution.segments);
        runs.map(|(run, states)| {
            let first = run.segments.first().map(|segment| segment.from);
            let nodes = first.into_iter().chain(run.segments.iter().map(|segment| segment.to));
            let straight = |pair: &[crate::layout::PointM]| match pair {
                [a, b] => distance_m(*a, *b),
                _ => 0.0,
            };
            ProposedRun {
                id: run.id.0.clone(),
                cable: run.cable.name.0.clone(),
                conductor: run.cable.conductor.map(|size| size.to_string()),
                route: nodes.map(|node| self.layout.node_name(node)).collect(),
                straight_m: run.segments.iter().flat_map(|segment| segment.path.windows(2)).map(straight).sum(),
                length_m: run.segments.iter().map(|segment| segment.length_m).sum(),
                ohms: states.iter().map(|state| state.ohms).sum(),
                amps: states.iter().try_fold(0.0, |most: f64, state| Some(most.max(state.amps?.abs()))),
            }
        })
        .collect()
    }

    /// The cables that are used, from the smallest conductor.
    fn used(&self) -> impl Iterator<Item = &CableChoice> {
        let used = |choice: &&CableChoice| self.layout.runs.iter().any(|run| run.cable.name == choice.kind.name);
        self.board.cables.iter().filter(used)
    }

    fn by_type(&self, runs: &[ProposedRun]) -> Vec<CableLength> {
        let length = |choice: &CableChoice| CableLength {
            cable: choice.kind.name.0.clone(),
            conductor: choice.kind.conductor.map(|size| size.to_string()),
            ohms_per_m: choice.ohms_per_m,
            length_m: runs.iter().filter(|run| run.cable == choice.kind.name.0).map(|run| run.length_m).sum(),
        };
        self.used().map(length).collect()
    }

    fn resistances(&self) -> Vec<WorkLine> {
        let line = |choice: &CableChoice| {
            let kind = &choice.kind;
            let degc = conductor_temperature_c(&self.layout.analysis, kind.conductor, Case::Judged);
            let from = match (kind.resistance, kind.conductor, kind.stranding) {
                (Some(_), _, _) => format!("its maker, at {degc} degC"),
                (None, Some(Conductor::Awg(_)), Stranding::Solid) => {
                    format!("NEC Chapter 9 Table 8, solid, at {degc} degC")
                }
                (None, Some(Conductor::Awg(_)), _) => format!("NEC Chapter 9 Table 8, stranded, at {degc} degC"),
                (None, _, stranding) => format!("IEC 60228, {stranding}, at {degc} degC"),
            };
            let name =
                format!("resistance of a pole of {}; a loop has twice this and two splices a segment", kind.name);
            work(name, choice.ohms_per_m * 1000.0, "ohm/km", from)
        };
        self.used().map(line).collect()
    }

    fn supplies(&self) -> Vec<ProposedSupply> {
        let limit = self.board.limits.loading_percent;
        let supply = |fed: &Fed| {
            let part = &self.parts[fed.group];
            let unit = power_unit(fed.choice.kind.output_current);
            let load_va = design_load_va(fed.state);
            let mut lines = vec![work("sum of the nameplates", fed.state.nameplate_va.unwrap_or(0.0), unit, "plan")];
            lines.extend(fed.state.load_va.map(|va| work("computed load with cable loss", va, unit, "computed")));
            let allowed_for = fed.state.nameplate_va_at_0_9.zip(fed.state.nameplate_va);
            if allowed_for.is_some_and(|(at_0_9, plain)| above(at_0_9, plain)) {
                let from = "the larger of both, with power factor 0.9 where none is stated";
                lines.push(work("load that the rating is chosen for", load_va, unit, from));
            }
            lines.push(work("least rating", load_va / limit * 100.0, unit, format!("the larger of both / {limit} %")));
            lines.push(work("rating", fed.choice.rating_va, unit, "the smallest to choose from with enough outputs"));
            let circuits = part.split.circuits.iter().filter(|circuit| circuit.supply == fed.supply);
            ProposedSupply {
                id: self.named.supplies[fed.group][fed.supply].clone(),
                r#type: fed.choice.kind.name.0.clone(),
                rating_va: fed.choice.rating_va,
                unit,
                loading_percent: fed.state.loading_percent.unwrap_or(0.0),
                outputs: circuits
                    .map(|circuit| ProposedOutput {
                        name: fed.choice.kind.outputs[circuit.output].name.0.clone(),
                        volts: fed.choice.volts,
                        amps: fed.state.outputs.get(circuit.output).and_then(|output| output.amps).unwrap_or(0.0),
                        circuit_limit_a: fed.choice.allowance_a(circuit.output),
                        luminaires: circuit.lamps.len(),
                    })
                    .collect(),
                work: lines,
            }
        };
        self.fed().iter().map(supply).collect()
    }
}

/// What the rating of a supply is chosen for: the larger of computed load and nameplates, at power factor 0.9 where none is
/// stated, as the rule `loading/overloaded-supply` counts.
fn design_load_va(state: &SupplyState) -> f64 {
    let nameplate_va = state.nameplate_va.unwrap_or(0.0);
    let load_va = state.load_va.unwrap_or(0.0).max(nameplate_va);
    match state.nameplate_va_at_0_9 {
        Some(at_0_9) if nameplate_va > 0.0 => load_va * at_0_9 / nameplate_va,
        _ => load_va,
    }
}
