//! One topology: drafted until the rules have nothing against its conductors, or the reason why that can't be.

use super::build::Ground;
use super::catalogue::{self, CableChoice};
use super::draft::{Board, Floors, Part, no_floors};
use super::group::{Group, groups};
use super::measure::Built;
use super::name::{Named, name};
use super::place::{Place, middle};
use super::report::{FindingLeft, Missing, Proposal, TopologyResult, Unfit};
use super::request::{Request, Rules, SizingError};
use super::search::{Budget, Miss};
use super::text::extended;
use super::wiring::Topology;
use crate::analysis::{Case, network};
use crate::check::{CheckError, PlanReport, Telling, check_telling};
use crate::engine::Module;
use crate::layout::PointM;
use crate::plan::{Loaded, load_text};
use std::collections::BTreeSet;

/// Circuits more than the load needs that are tried where the largest conductors do not do.
const MOST_MORE_CIRCUITS: usize = 256;
/// Drafts of one topology: each raises an allowance for cable loss or adds a circuit.
const MOST_DRAFTS: usize = 12;
/// Rules that a larger conductor cures.
const CONDUCTOR_RULES: [&str; 2] = ["loading/overloaded-conductor", "loading/unprotected-conductor"];

/// What all topologies of one plan have in common.
pub(super) struct Sizer<'a> {
    pub(super) loaded: &'a Loaded,
    pub(super) rules: &'a Rules<'a>,
    pub(super) judges: &'a [&'a Module],
    pub(super) request: &'a Request,
    pub(super) board: &'a Board<'a>,
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
    /// The proposal of one topology, or why there is none.
    pub(super) fn topology(&self, topology: Topology) -> Result<TopologyResult, SizingError> {
        let mut allowances = vec![1.0; self.board.groups.len()];
        let mut more = 0;
        let mut budget = Budget::new();
        let unfit = |unfit| Ok(TopologyResult { topology, rank: None, proposal: None, unfit: Some(unfit), note: None });
        for draft in 0..MOST_DRAFTS {
            let mut parts = match self.board.wired(topology, &allowances, more) {
                Ok(parts) => parts,
                Err(reason) => return unfit(Unfit { reason, remedies: Vec::new() }),
            };
            match self.draft(&mut parts, &mut budget)? {
                Drafted::Done(proposal) => {
                    let note = same_as_star(topology, &parts);
                    return Ok(TopologyResult { topology, rank: None, proposal: Some(*proposal), unfit: None, note });
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
            let report = check_telling(proposed.clone(), self.judges, self.rules.options, Telling::Nothing);
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
    pub(super) fn assumed(&self, topologies: &[TopologyResult]) -> BTreeSet<String> {
        let plans = topologies.iter().filter_map(|result| Some(&result.proposal.as_ref()?.plan));
        let mut assumed = BTreeSet::new();
        for plan in plans {
            let loaded = load_text(self.rules.repository, self.rules.path, plan.as_bytes());
            let Some(layout) = &loaded.layout else { continue };
            assumed.extend(layout.assumptions.iter().cloned());
            let outputs = network::solve(layout, Case::Judged).assumptions;
            let (ideal, other): (Vec<_>, Vec<_>) =
                outputs.iter().cloned().partition(|text| text.starts_with("Output "));
            assumed.extend(other);
            if !ideal.is_empty() {
                assumed.insert("Outputs whose type states neither a source resistance nor `regulated: true` are taken to hold their volts under load (0 ohm).".to_owned());
            }
        }
        assumed
    }
}

/// Tells where a topology comes to the star: several luminaires, each alone on its circuit.
fn same_as_star(topology: Topology, parts: &[Part]) -> Option<String> {
    let mut circuits = parts.iter().flat_map(|part| &part.split.circuits);
    let several = circuits.clone().nth(1).is_some();
    (topology != Topology::Star && several && circuits.all(|circuit| circuit.lamps.len() == 1))
        .then(|| "every circuit has one luminaire: the same as a star with an output for each luminaire".to_owned())
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
