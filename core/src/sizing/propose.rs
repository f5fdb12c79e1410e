//! From the plan to the comparison: what is common to all topologies, each topology, the rank.

use super::build::Ground;
use super::catalogue::{self, CableChoice};
use super::draft::{Board, Floors, Part, no_floors};
use super::group::{Group, groups};
use super::limits::{Limits, above};
use super::measure::{Built, power_unit, work};
use super::name::{Named, name};
use super::place::{Place, middle, on_building};
use super::report::{Demand, FindingLeft, Missing, Proposal, Sizing, Start, TopologyResult, Unfit};
use super::request::{Request, Rules, SizingError};
use super::search::{Budget, Miss};
use super::text::extended;
use super::wiring::Topology;
use crate::analysis::{Case, network};
use crate::check::{CheckError, PlanReport, applied_limits, check};
use crate::engine::Module;
use crate::finding::Level;
use crate::layout::{Layout, PointM};
use crate::plan::model::{Grid, OutputCurrent};
use crate::plan::{Loaded, load_text};
use std::collections::BTreeSet;

/// Most luminaires of one sizing.
const MOST_LUMINAIRES: usize = 2000;
/// Circuits more than the load needs that are tried where the largest conductors do not do.
const MOST_MORE_CIRCUITS: usize = 256;
/// Drafts of one topology: each raises an allowance for cable loss or adds a circuit.
const MOST_DRAFTS: usize = 12;
/// Rules that a larger conductor cures.
const CONDUCTOR_RULES: [&str; 2] = ["loading/overloaded-conductor", "loading/unprotected-conductor"];

/// Sizes a plan.
pub fn size(loaded: &Loaded, rules: &Rules, request: &Request) -> Result<Sizing, SizingError> {
    let Some(layout) = &loaded.layout else { return Err(SizingError::Plan(loaded.diagnostics.clone())) };
    let grid = suited(layout)?;
    let mut notes: BTreeSet<String> = BTreeSet::new();
    let groups = groups(layout, &loaded.catalogue, request.volts, &mut notes).map_err(SizingError::Unsuited)?;
    let (start, from) = start(layout, grid, request, &mut notes)?;
    let cables = catalogue::cables(layout, &loaded.catalogue, &mut notes);
    let known = |name: &str| cables.iter().any(|choice| choice.kind.name.0 == name);
    if let Some((name, _)) = request.weights.cable_type_per_m.iter().find(|(name, _)| !known(name)) {
        let names: Vec<&str> = cables.iter().map(|choice| choice.kind.name.0.as_str()).collect();
        return Err(SizingError::Unsuited(format!(
            "no cable to choose from is named `{name}`; there are {}",
            names.join(", ")
        )));
    }
    let splice = layout.luminaires.iter().find_map(|luminaire| luminaire.splice.clone());
    let ground = Ground { layout, start, slack: request.slack, splice };
    notes.insert(format!("Runs are straight lines with a slack of {}, buried directly; cover and route around obstacles are not proposed.", match request.slack {
        crate::plan::scalar::Slack::Share(share) => share.to_string(),
        crate::plan::scalar::Slack::Length(length) => format!("{length} a segment"),
    }));
    notes.insert(
        "An output carries at most 80 % of its limit and of its overcurrent device: lighting is a continuous load."
            .to_owned(),
    );
    let modules =
        |topic: &str| rules.modules.iter().copied().filter(|module| module.name() == topic).collect::<Vec<_>>();
    let judges: Vec<&Module> = [modules("voltage"), modules("loading")].concat();
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

/// The grid of a plan that can be sized.
fn suited(layout: &Layout) -> Result<Grid, SizingError> {
    let unsuited = |text: String| Err(SizingError::Unsuited(text));
    if layout.luminaires.is_empty() {
        return unsuited("the plan has no luminaires; give each an id, a type and a place".to_owned());
    }
    if layout.luminaires.len() > MOST_LUMINAIRES {
        return unsuited(format!(
            "the plan has {} luminaires; at most {MOST_LUMINAIRES} are sized together: split the plan",
            layout.luminaires.len()
        ));
    }
    if !layout.runs.is_empty() || !layout.junctions.is_empty() {
        return unsuited("the plan is wired already; sizing starts from luminaires alone: remove `runs` and `junctions`, or see `lintern solve`".to_owned());
    }
    if layout.supplies.len() > 1 {
        return unsuited(format!(
            "the plan has {} supplies; keep the one where the runs are to start, or none",
            layout.supplies.len()
        ));
    }
    let placeless: Vec<&str> =
        layout.luminaires.iter().filter(|luminaire| luminaire.at.is_none()).map(|l| l.id.0.as_str()).collect();
    match (layout.grid, placeless.as_slice()) {
        (Some(grid), []) => Ok(grid),
        (_, placeless) => unsuited(format!(
            "luminaires without a place can't be wired: {}; give each `at: [x, y]`, and the plan `site: {{ grid: ft }}` or `m`",
            placeless.join(", ")
        )),
    }
}

/// Where the runs start, and how that was found.
fn start(
    layout: &Layout,
    grid: Grid,
    request: &Request,
    notes: &mut BTreeSet<String>,
) -> Result<(Place, String), SizingError> {
    let own = layout.supplies.first();
    if let Some(own) = own {
        notes.insert(format!("{} stays where it is; its type is chosen anew.", own.id));
    }
    if let Some((own, at)) = own.and_then(|own| Some((own, own.at?))) {
        if request.from.is_some() {
            return Err(SizingError::Unsuited(format!(
                "{} has a place, where the runs start; remove its `at`, or the `--from`",
                own.id
            )));
        }
        return Ok((Place::of_plan(at, grid), format!("place of {}", own.id)));
    }
    if let Some(point) = request.from {
        return Ok((Place::of_grid(point, grid), "--from".to_owned()));
    }
    let places: Vec<PointM> = layout.luminaires.iter().filter_map(|luminaire| luminaire.at).collect();
    let center = middle(&places);
    let (at, from) = match on_building(layout, center) {
        Some((at, building)) => (at, format!("the point of {building} nearest to the middle of the luminaires")),
        None => (center, "the middle of the luminaires".to_owned()),
    };
    let place = Place::rounded(at, grid);
    notes.insert(format!(
        "Runs start at [{}, {}], {from}, since the plan places no supply; `--from X,Y` says otherwise.",
        place.grid.x, place.grid.y
    ));
    Ok((place, from))
}

/// The limits of the two rules that a proposal is built to, as they apply to this plan.
fn limits(board: &Board, judges: &[&Module], rules: &Rules) -> Result<Limits, SizingError> {
    let parts = board.wired(Topology::Star, &vec![1.0; board.groups.len()], 0).map_err(SizingError::Unsuited)?;
    let mut smallest: [Option<f64>; 2] = [None, None];
    for (group, part) in board.groups.iter().zip(&parts) {
        // One circuit shows the limits of its group.
        let (Some(circuit), Some(wiring)) = (part.split.circuits.first(), part.wirings.first()) else { continue };
        let kind = &group.supplies[part.split.supplies[circuit.supply]].kind;
        let unit = board.ground.unit(group, kind, &[(circuit, wiring)], &board.cables[0]);
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
        [Some(drop_percent), Some(loading_percent)] if loading_percent > 0.0 => {
            Ok(Limits { drop_percent, loading_percent })
        }
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

/// What all topologies of one plan have in common.
struct Sizer<'a> {
    loaded: &'a Loaded,
    rules: &'a Rules<'a>,
    judges: &'a [&'a Module],
    request: &'a Request,
    board: &'a Board<'a>,
}

/// What comes of one draft.
enum Drafted {
    Done(Box<Proposal>),
    /// Loads are above what the split reckoned with, by group.
    Overloaded(Vec<f64>),
    Missed(Miss),
}

/// What more circuits would do for a topology that fails with fewer.
enum More {
    /// So many more do, on as many supplies.
    OnAsManySupplies(usize),
    /// None do, or only with more supplies, which the sentence says.
    No(Option<String>),
}

impl Sizer<'_> {
    fn topology(&self, topology: Topology) -> Result<TopologyResult, SizingError> {
        let mut allowances = vec![1.0; self.board.groups.len()];
        let mut more = 0;
        let mut budget = Budget::new();
        let unfit = |unfit| Ok(TopologyResult { topology, rank: None, proposal: None, unfit: Some(unfit) });
        for draft in 0..MOST_DRAFTS {
            let mut parts = match self.board.wired(topology, &allowances, more) {
                Ok(parts) => parts,
                Err(reason) => return unfit(Unfit { reason, remedies: Vec::new() }),
            };
            match self.draft(&mut parts, &mut budget)? {
                Drafted::Done(proposal) => {
                    return Ok(TopologyResult { topology, rank: None, proposal: Some(*proposal), unfit: None });
                }
                Drafted::Overloaded(factors) => {
                    // A little more each time, since another split loses another share in its cables.
                    let extra = 1.0 + 0.005 * draft as f64;
                    for (allowance, factor) in allowances.iter_mut().zip(factors).filter(|(_, factor)| *factor > 1.0) {
                        *allowance = allowance.max(factor) * extra;
                    }
                }
                Drafted::Missed(miss) => match self.more_circuits(topology, &allowances, more, &mut budget) {
                    More::OnAsManySupplies(wanted) => more = wanted,
                    More::No(remedy) => {
                        let mut remedies = self.remedies(topology, &miss);
                        remedies.extend(remedy);
                        return unfit(Unfit { reason: self.reason(&miss), remedies });
                    }
                },
            }
        }
        unfit(Unfit {
            reason: format!(
                "no division into circuits was found in {MOST_DRAFTS} tries that keeps every output and supply inside its limits"
            ),
            remedies: Vec::new(),
        })
    }

    /// How many circuits more than the load needs would do, above those that did not. More outputs are offered, more
    /// supplies only as a remedy.
    fn more_circuits(&self, topology: Topology, allowances: &[f64], than: usize, budget: &mut Budget) -> More {
        if topology == Topology::Star {
            return More::No(None);
        }
        let mut feeds = |more: usize| {
            let mut parts = self.board.wired(topology, allowances, more).ok()?;
            let floors = no_floors(&parts);
            self.board.choose(&mut parts, &floors, budget).ok()?;
            Some(parts.iter().map(|part| part.split.supplies.len()).sum::<usize>())
        };
        let mut step = 1;
        let mut supplies = loop {
            if step > MOST_MORE_CIRCUITS {
                return More::No(None);
            }
            match feeds(than + step) {
                Some(supplies) => break supplies,
                None => step *= 2,
            }
        };
        let (mut low, mut high) = (than + step / 2, than + step);
        while high - low > 1 {
            let middle = low.midpoint(high);
            match feeds(middle) {
                Some(fewer) => (high, supplies) = (middle, fewer),
                None => low = middle,
            }
        }
        let now = self
            .board
            .wired(topology, allowances, 0)
            .map_or(0, |parts| parts.iter().map(|part| part.split.supplies.len()).sum::<usize>());
        if supplies <= now {
            return More::OnAsManySupplies(high);
        }
        More::No(Some(format!(
            "{supplies} supplies instead of {now}, which have outputs for {high} more {}, do",
            if high == 1 { "circuit" } else { "circuits" }
        )))
    }

    /// Chooses conductors, writes the plan, lets the rules judge it, and raises what they find too small.
    fn draft(&self, parts: &mut [Part], budget: &mut Budget) -> Result<Drafted, SizingError> {
        let mut floors = no_floors(parts);
        loop {
            if let Err(miss) = self.board.choose(parts, &floors, budget) {
                return Ok(Drafted::Missed(miss));
            }
            let named = name(self.board, parts);
            let plan = extended(self.loaded, &named.additions).ok_or_else(|| {
                SizingError::Unsuited("a proposal can't be put into the text of this plan".to_owned())
            })?;
            let proposed = load_text(self.rules.repository, self.rules.path, plan.as_bytes());
            let Some(layout) = &proposed.layout else { return Err(not_written(&proposed)) };
            let solution = network::solve(layout, Case::Judged);
            let built = Built { board: self.board, parts, named: &named, layout, solution: &solution };
            let factors = built.overloads();
            if factors.iter().any(|factor| *factor > 1.0) {
                return Ok(Drafted::Overloaded(factors));
            }
            let proposal = built.proposal(&self.request.weights, plan);
            let report = check(proposed.clone(), self.judges, self.rules.options);
            if let Some(CheckError::Module(message)) =
                report.errors.iter().find(|error| matches!(error, CheckError::Module(_)))
            {
                return Err(SizingError::Rules(message.clone()));
            }
            if raise(&report, &named, &mut floors, self.board.cables) {
                continue;
            }
            let mut proposal = proposal.ok_or_else(|| not_written(&proposed))?;
            judge(&report, &mut proposal);
            proposal.minimal = !budget.is_spent();
            return Ok(Drafted::Done(Box::new(proposal)));
        }
    }

    /// Why a luminaire can't be served, with its numbers.
    fn reason(&self, miss: &Miss) -> String {
        let luminaire = &self.board.ground.layout.luminaires[miss.luminaire];
        let largest = self.board.cables.last().map_or_else(String::new, |choice| choice.kind.name.to_string());
        let min =
            luminaire.kind.input_min.map_or_else(String::new, |min| format!(", its lowest input voltage is {min}"));
        let max =
            luminaire.kind.input_max.map_or_else(String::new, |max| format!(", its highest input voltage is {max}"));
        match (miss.volts, miss.drop_percent) {
            (Some(volts), _) if miss.too_much => format!("{} gets {volts:.2} V{max}", luminaire.id),
            (Some(volts), Some(drop)) => format!(
                "{} gets {volts:.2} V and loses {drop:.2} % with {largest} on its way{min}; the limit of the drop is {} %",
                luminaire.id, self.board.limits.drop_percent
            ),
            _ => format!("{} has no operating point with {largest} on its way", luminaire.id),
        }
    }

    /// Changes with which the conductors would do, each tried.
    fn remedies(&self, topology: Topology, miss: &Miss) -> Vec<String> {
        let mut remedies = Vec::new();
        let layout = self.board.ground.layout;
        let kind = &layout.luminaires[miss.luminaire].kind;
        for volts in catalogue::BUILT_IN_VOLTS {
            let highest = self.board.groups.iter().map(|group| group.volts).fold(0.0, f64::max);
            let Ok(other) = groups(layout, &self.loaded.catalogue, Some(volts), &mut BTreeSet::new()) else { continue };
            let changed = other.iter().any(|group| group.nominal_v == kind.nominal.si() && group.volts == volts);
            if volts > highest && changed && self.would_do(topology, &other, self.board.ground.start) {
                remedies.push(format!("outputs of {volts} V (`--volts {volts}`) do"));
            }
        }
        let places: Vec<PointM> = layout.luminaires.iter().filter_map(|luminaire| luminaire.at).collect();
        let place = Place::rounded(middle(&places), self.board.grid);
        if self.would_do(topology, self.board.groups, place) {
            remedies.push(format!(
                "a supply in the middle of the luminaires, at [{}, {}], does",
                place.grid.x, place.grid.y
            ));
        }
        remedies
    }

    /// Whether conductors can be chosen for other groups or from another place.
    fn would_do(&self, topology: Topology, groups: &[Group], start: Place) -> bool {
        let own = self.board.ground;
        let ground = Ground { layout: own.layout, start, slack: own.slack, splice: own.splice.clone() };
        let board = Board {
            ground: &ground,
            grid: self.board.grid,
            groups,
            cables: self.board.cables,
            limits: self.board.limits,
        };
        let Ok(mut parts) = board.wired(topology, &vec![1.0; groups.len()], 0) else { return false };
        let floors = no_floors(&parts);
        board.choose(&mut parts, &floors, &mut Budget::new()).is_ok()
    }

    /// What the solver and the loader assumed for the proposals.
    fn assumed(&self, topologies: &[TopologyResult]) -> BTreeSet<String> {
        let plans = topologies.iter().filter_map(|result| Some(&result.proposal.as_ref()?.plan));
        let mut assumed = BTreeSet::new();
        for plan in plans {
            let loaded = load_text(self.rules.repository, self.rules.path, plan.as_bytes());
            let Some(layout) = &loaded.layout else { continue };
            assumed.extend(layout.assumptions.iter().cloned());
            let outputs = network::solve(layout, Case::Judged).assumptions;
            let (ideal, other): (Vec<_>, Vec<_>) = outputs.into_iter().partition(|text| text.starts_with("Output "));
            assumed.extend(other);
            if !ideal.is_empty() {
                assumed.insert("Outputs whose type states neither a source resistance nor `regulated: true` are taken to hold their volts under load (0 ohm).".to_owned());
            }
        }
        assumed
    }
}

fn not_written(proposed: &Loaded) -> SizingError {
    let first = proposed.diagnostics.first().map_or_else(String::new, |diagnostic| format!(": {}", diagnostic.message));
    SizingError::Unsuited(format!("a proposal can't be put into the text of this plan{first}"))
}

/// Raises the floors of runs whose conductor the rules find too small; false when there are none, or none larger.
fn raise(report: &PlanReport, named: &Named, floors: &mut Floors, cables: &[CableChoice]) -> bool {
    let mut raised = false;
    let at_fault: BTreeSet<&str> = report
        .findings
        .iter()
        .filter(|finding| finding.waived.is_none() && CONDUCTOR_RULES.contains(&finding.rule.as_str()))
        .map(|finding| finding.subject.as_str())
        .collect();
    for run in at_fault {
        let (Some(&(g, c, r)), Some(layout)) = (named.runs.get(run), &report.loaded.layout) else { continue };
        let cable = layout.runs.iter().find(|known| known.id.0 == run).map(|known| &known.cable.name);
        let size = cables.iter().position(|choice| Some(&choice.kind.name) == cable);
        if let Some(next) = size.map(|size| size + 1).filter(|next| *next < cables.len()) {
            floors[g][c][r] = next;
            raised = true;
        }
    }
    raised
}

/// Takes over what the rules say.
fn judge(report: &PlanReport, proposal: &mut Proposal) {
    proposal.findings = report
        .findings
        .iter()
        .filter(|finding| finding.waived.is_none())
        .map(|finding| FindingLeft {
            rule: finding.rule.clone(),
            level: finding.level,
            subject: finding.subject.clone(),
            message: finding.message.clone(),
        })
        .collect();
    proposal.undetermined = report
        .verdicts
        .iter()
        .filter(|(_, verdict)| verdict.undetermined > 0)
        .map(|(rule, verdict)| Missing { rule: rule.clone(), missing: verdict.missing.clone() })
        .collect();
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
