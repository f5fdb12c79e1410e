//! From the plan to the comparison: what is common to all topologies, each topology, the rank.

use super::build::Ground;
use super::catalogue::{self, CableChoice};
use super::draft::Board;
use super::group::{Group, groups};
use super::limits::{Limits, above};
use super::measure::{power_unit, work};
use super::report::{Demand, Proposal, Sizing, Start, TopologyResult};
use super::request::{Request, Rules, SizingError, Weights};
use super::site::{start, suited};
use super::topology::Sizer;
use super::wiring::Topology;
use crate::check::applied_limits;
use crate::engine::Module;
use crate::finding::Level;
use crate::plan::Loaded;
use crate::plan::model::OutputCurrent;
use crate::plan::scalar::Slack;
use std::collections::BTreeSet;

/// Sizes a plan.
pub fn size(loaded: &Loaded, rules: &Rules, request: &Request) -> Result<Sizing, SizingError> {
    let Some(layout) = &loaded.layout else { return Err(SizingError::Plan(loaded.diagnostics.clone())) };
    let grid = suited(layout)?;
    let mut notes: BTreeSet<String> = BTreeSet::new();
    let groups = groups(layout, &loaded.catalogue, request.volts, &mut notes).map_err(SizingError::Unsuited)?;
    notes.extend(catalogue::unsuited_note(layout, &loaded.catalogue));
    let (start, from) = start(layout, grid, request, &mut notes)?;
    let cables = catalogue::cables(layout, &loaded.catalogue, &mut notes);
    known_cables(&request.weights, &cables)?;
    let splice = layout.luminaires.iter().find_map(|luminaire| luminaire.splice.clone());
    let ground = Ground { layout, start, slack: request.slack, splice };
    notes.extend(weightless(&request.weights, &cables));
    notes.extend(conventions(request.slack));
    let of_topics: Vec<Module> = rules.modules.iter().map(|module| module.of_topics(&["voltage", "loading"])).collect();
    let judges: Vec<&Module> = of_topics.iter().filter(|module| !module.rules().is_empty()).collect();
    let unlimited = Limits { drop_percent: 5.0, loading_percent: 80.0 };
    let mut board = Board { ground: &ground, grid, groups: &groups, cables: &cables, limits: unlimited };
    board.limits = limits(&board, &judges, rules)?;
    let sizer = Sizer { loaded, rules, judges: &judges, request, board: &board };
    let mut topologies = Vec::new();
    for topology in Topology::ALL {
        topologies.push(sizer.topology(topology)?);
    }
    rank(&mut topologies);
    notes.extend(layout.assumptions.iter().cloned());
    notes.extend(sizer.assumed(&topologies));
    Ok(Sizing {
        start: Start { x: start.grid.x, y: start.grid.y, from },
        demands: groups.iter().map(|group| demand(group, board.limits)).collect(),
        drop_limit_percent: board.limits.drop_percent,
        loading_limit_percent: board.limits.loading_percent,
        weighted: request.weights.are_given(),
        topologies,
        assumptions: notes.into_iter().collect(),
    })
}

/// Refuses a weight for a cable that can't be chosen.
fn known_cables(weights: &Weights, cables: &[CableChoice]) -> Result<(), SizingError> {
    for (index, (name, _)) in weights.cable_type_per_m.iter().enumerate() {
        if weights.cable_type_per_m[..index].iter().any(|(other, _)| other == name) {
            return Err(SizingError::Unsuited(format!("the cable `{name}` has two weights; give one")));
        }
    }
    let known = |name: &str| cables.iter().any(|choice| choice.kind.name.0 == name);
    let Some((name, _)) = weights.cable_type_per_m.iter().find(|(name, _)| !known(name)) else { return Ok(()) };
    let names: Vec<&str> = cables.iter().map(|choice| choice.kind.name.0.as_str()).collect();
    Err(SizingError::Unsuited(format!("no cable to choose from is named `{name}`; there are {}", names.join(", "))))
}

/// Tells what counts nothing in a cost where only some cables are given a weight.
fn weightless(weights: &Weights, cables: &[CableChoice]) -> Option<String> {
    let names: Vec<&str> = cables.iter().map(|choice| choice.kind.name.0.as_str()).collect();
    let free: Vec<&str> = names.into_iter().filter(|name| weights.of_cable(name) == 0.0).collect();
    (!weights.cable_type_per_m.is_empty() && !free.is_empty())
        .then(|| format!("Cable without a weight costs nothing in the rank: {}.", free.join(", ")))
}

/// What every proposal takes for granted.
fn conventions(slack: Slack) -> [String; 2] {
    let slack = match slack {
        Slack::Share(share) => share.to_string(),
        Slack::Length(length) => format!("{length} a segment"),
    };
    [
        format!(
            "Runs are straight lines with a slack of {slack}, buried directly; cover and route around obstacles are not proposed."
        ),
        "An output carries at most 80 % of its limit and of its overcurrent device: lighting is a continuous load."
            .to_owned(),
    ]
}

/// The limits of the two rules that a proposal is built to, as they apply to this plan.
fn limits(board: &Board, judges: &[&Module], rules: &Rules) -> Result<Limits, SizingError> {
    let parts = board.wired(Topology::Star, &vec![1.0; board.groups.len()], 0).map_err(SizingError::Unsuited)?;
    let mut smallest: [Option<f64>; 2] = [None, None];
    for (group, part) in board.groups.iter().zip(&parts) {
        // One luminaire shows the limits of its group.
        let Some(circuit) = part.split.circuits.first() else { continue };
        let kind = &group.supplies[part.split.supplies[circuit.supply]].kind;
        let unit = board.ground.beside(group, kind, circuit, &board.cables[0]);
        for (rule, least) in ["voltage/excess-drop", "loading/overloaded-supply"].into_iter().zip(&mut smallest) {
            let Some(module) = judges.iter().find(|module| module.rules().iter().any(|known| known.id == rule)) else {
                return Err(SizingError::Rules(format!("the rule `{rule}` could not be loaded")));
            };
            let applied = applied_limits(&unit.layout, module, rule, rules.options).map_err(SizingError::Rules)?;
            let values = applied.iter().filter_map(|limit| limit.layers.get(limit.governing)).map(|layer| layer.1);
            *least = values.chain(*least).min_by(f64::total_cmp);
        }
    }
    match smallest {
        [Some(_), Some(loading_percent)] if loading_percent <= 0.0 => Err(SizingError::Unsuited(format!(
            "the limit of `loading/overloaded-supply` is {loading_percent} %, so no supply may carry a load; set its `limit` above 0 %"
        ))),
        [Some(drop_percent), Some(loading_percent)] => Ok(Limits { drop_percent, loading_percent }),
        _ => Err(SizingError::Rules("the rules name no limit for the drop or for the load of a supply".to_owned())),
    }
}

fn demand(group: &Group, limits: Limits) -> Demand {
    let unit = power_unit(group.current);
    let nameplate_va: f64 = group.lamps.iter().map(|lamp| lamp.nameplate_va).sum();
    let design_va: f64 = group.lamps.iter().map(|lamp| lamp.design_va).sum();
    let least_rating_va = design_va / limits.loading_percent * 100.0;
    let rating_va =
        group.supplies.iter().map(|choice| choice.rating_va).find(|rating| !above(least_rating_va, *rating));
    let mut lines =
        vec![work("sum of the nameplates", nameplate_va, unit, format!("{} luminaires, plan", group.lamps.len()))];
    if above(design_va, nameplate_va) {
        lines.push(work("the same at power factor 0.9 where none is stated", design_va, unit, "common practice"));
    }
    lines.push(work("largest load of a supply", limits.loading_percent, "%", "loading/overloaded-supply"));
    lines.push(work("least rating", least_rating_va, unit, "sum / largest load"));
    lines.extend(rating_va.map(|rating| work("next rating", rating, unit, "the supplies to choose from")));
    Demand {
        current: if group.current == OutputCurrent::Dc { "dc" } else { "ac" },
        nominal_v: group.nominal_v,
        output_v: group.volts,
        luminaires: group.lamps.len(),
        nameplate_va,
        least_rating_va,
        rating_va,
        work: lines,
    }
}

impl Proposal {
    /// Whether the rules find nothing that should be cured.
    pub fn is_clean(&self) -> bool {
        self.findings.iter().all(|finding| finding.level < Level::Advice)
    }
}

/// Ranks the proposals: those without findings first, then by cost, or without weights by cable and then trench.
fn rank(topologies: &mut [TopologyResult]) {
    let mut order: Vec<(bool, f64, f64, usize)> = Vec::new();
    for (index, result) in topologies.iter().enumerate() {
        let Some(proposal) = &result.proposal else { continue };
        let (first, second) = match proposal.cost {
            Some(cost) => (cost, 0.0),
            None => (proposal.cable_m, proposal.trench_m),
        };
        order.push((!proposal.is_clean(), first, second, index));
    }
    order.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2)).then(a.3.cmp(&b.3)));
    for (rank, (_, _, _, index)) in order.into_iter().enumerate() {
        topologies[index].rank = Some(rank + 1);
    }
}
