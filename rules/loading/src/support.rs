//! What several rules of this topic need: the listing citation, loads with what is unknown of them, editions.

use lintern_rule::compare::below;
use lintern_rule::facts::SupplyState;
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::{Output, Rating, Run, Supply, SupplyType};
use lintern_rule::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// Equipment is used as its listing and its instructions say.
pub const LISTING: &[Citation] = &[
    Citation::nec(Code::Nec2017, "110.3(B)", Confirmed),
    Citation::nec(Code::Nec2020, "110.3(B)", Confirmed),
    Citation::nec(Code::Nec2023, "110.3(B)", Confirmed),
    Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    Citation { code: Code::Bs7671, basis: Basis::code("BS 7671", "2018", "134.1.1"), confidence: Memory },
    Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-1", "2005", "134.1.1"), confidence: Memory },
];

/// Whether a code is an edition of NFPA 70; `None` when the plan names no code.
pub fn is_nec(input: &Input) -> Option<bool> {
    input.project().code.map(|code| !matches!(code, Code::Iec60364 | Code::Bs7671))
}

/// The level of what Article 411 of NFPA 70 limits. Whether the 2026 edition keeps its limits is not confirmed, so
/// there a person is asked to.
pub fn article_411_level(input: &Input) -> Level {
    match input.project().code {
        Some(Code::Nec2026) => Level::Reminder,
        _ => Level::Violation,
    }
}

/// What a supply may give, with its unit.
pub fn rating(kind: &SupplyType) -> Option<(f64, &'static str)> {
    kind.rating.map(|rating| match rating {
        Rating::ApparentVa(va) => (va, "VA"),
        Rating::RealW(w) => (w, "W"),
    })
}

/// The load of a supply in VA (W on DC), and what it could be where power factors are unknown.
pub struct Load {
    /// The larger of the computed load with cable loss and the sum of the nameplates. Where the circuit has no
    /// answer this is the nameplate sum alone, and `complete` is false.
    pub va: f64,
    /// The same with power factor 0.9 wherever 1.0 had to be assumed.
    pub va_at_pf_90: f64,
    /// The computed load with cable loss.
    pub computed_va: Option<f64>,
    /// The sum of the nameplates.
    pub nameplate_va: f64,
    /// Whether the computed load is known.
    pub complete: bool,
}

impl Load {
    /// The load of a supply; `None` when not even the nameplates are known.
    pub fn of(state: &SupplyState) -> Option<Self> {
        let nameplate_va = state.nameplate_va?;
        let va = state.load_va.map_or(nameplate_va, |load| load.max(nameplate_va));
        // A lower power factor raises the currents, and with them the share that the cables take.
        let rise = match state.nameplate_va_at_pf90 {
            Some(at_pf_90) if nameplate_va > 0.0 => at_pf_90 / nameplate_va,
            _ => 1.0,
        };
        Some(Self {
            va,
            va_at_pf_90: va * rise,
            computed_va: state.load_va,
            nameplate_va,
            complete: state.load_va.is_some(),
        })
    }
}

/// The types without an apparent power among the luminaires of a supply, as missing inputs.
pub fn missing_power_factors(input: &Input, supply: u32) -> Vec<String> {
    let states = input.judged().luminaires();
    let mut missing: Vec<String> = input
        .luminaires()
        .iter()
        .zip(states)
        .filter(|(_, state)| state.power_factor_assumed && state.node.fed_by.iter().any(|(s, _)| *s == supply))
        .map(|(luminaire, _)| {
            format!("`apparent-power` or `power-factor` of type `{}`", input.luminaire_type(luminaire).name)
        })
        .collect();
    missing.sort_unstable();
    missing.dedup();
    missing
}

/// Every output with its supply: (supply index, output index, supply, output).
pub fn outputs(input: &Input) -> impl Iterator<Item = (u32, u32, &Supply, &Output)> {
    input.supplies().iter().enumerate().flat_map(move |(s, supply)| {
        let outputs = input.supply_type(supply).outputs.iter().enumerate();
        outputs.map(move |(o, output)| (s as u32, o as u32, supply, output))
    })
}

/// The runs in the part of the network that each output feeds, by their indices.
pub fn runs_by_output(input: &Input) -> BTreeMap<(u32, u32), Vec<usize>> {
    let mut by_output: BTreeMap<(u32, u32), Vec<usize>> = BTreeMap::new();
    let mut add = |output: (u32, u32), run: usize| {
        let runs = by_output.entry(output).or_default();
        if runs.last() != Some(&run) {
            runs.push(run);
        }
    };
    for (index, run) in input.runs().iter().enumerate() {
        for node in run.segments.iter().flat_map(|segment| [segment.start, segment.end]) {
            match node {
                NodeRef::Output(own) => add(own, index),
                other => {
                    let feeds = input.judged().node(other).into_iter().flat_map(|state| &state.fed_by);
                    feeds.for_each(|output| add(*output, index));
                }
            }
        }
    }
    by_output
}

/// A load is continuous when it is on for this long: NFPA 70 Article 100.
const CONTINUOUS_H: f64 = 3.0;

/// What NFPA 70 makes of the time that supplies are on.
pub struct Duty {
    /// 1.25 for a continuous load, else 1; 1 under the other codes, which want the load itself covered.
    pub factor: f64,
    /// Where that comes from, for the arithmetic.
    pub source: String,
    /// Whether it rests on hours that the plan does not state.
    pub assumed: bool,
}

impl Duty {
    /// The duty of what these supplies feed together: continuous where one of them is on for three hours or more. Lighting
    /// of unstated hours is taken as continuous.
    pub fn of<'a>(supplies: impl IntoIterator<Item = &'a Supply>, nec: bool) -> Self {
        if !nec {
            return Self { factor: 1.0, source: "code".to_owned(), assumed: false };
        }
        let mut unstated = Vec::new();
        let mut long = false;
        for supply in supplies {
            match supply.hours {
                None => unstated.push(supply.id.as_str()),
                Some(hours) => long |= !below(hours, CONTINUOUS_H),
            }
        }
        let (factor, source) = match (long, unstated.as_slice()) {
            (true, _) => (1.25, "code: on for 3 h or more".to_owned()),
            (false, []) => (1.0, "code: on for less than 3 h".to_owned()),
            (false, ids) => {
                (1.25, format!("code; `control.hours` of {} not stated: taken as 3 h or more", ids.join(", ")))
            }
        };
        Self { factor, source, assumed: !long && !unstated.is_empty() }
    }
}

/// The supplies that feed a run.
pub fn supplies_of<'a>(input: &'a Input, run: &Run) -> impl Iterator<Item = &'a Supply> {
    let ends = run.segments.iter().flat_map(|segment| [segment.start, segment.end]);
    let feeding: BTreeSet<u32> = ends
        .flat_map(|node| match node {
            NodeRef::Output((supply, _)) => vec![supply],
            other => {
                let state = input.judged().node(other);
                state.map(|state| state.fed_by.iter().map(|(supply, _)| *supply).collect()).unwrap_or_default()
            }
        })
        .collect();
    feeding.into_iter().filter_map(|supply| input.supplies().get(supply as usize))
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::{GivenFacts, blank, facts};

    /// A spare supply adds nothing to its branch circuit, whatever power factor its luminaires would have.
    #[test]
    fn a_supply_without_luminaires_has_no_load() {
        let spare =
            SupplyState { nameplate_va: Some(0.0), nameplate_va_at_pf90: Some(0.0), ..blank::supply_state(Vec::new()) };
        let load = Load::of(&spare).expect("its nameplates are known");
        assert_eq!((load.va, load.va_at_pf_90), (0.0, 0.0));
        // 90 W at power factor 0.9 are 100 VA, and the loss in the cables rises with the current.
        let used = SupplyState {
            load_va: Some(94.5),
            nameplate_va: Some(90.0),
            nameplate_va_at_pf90: Some(100.0),
            ..blank::supply_state(Vec::new())
        };
        let load = Load::of(&used).expect("its nameplates are known");
        assert!((load.va - 94.5).abs() < 1e-9 && (load.va_at_pf_90 - 105.0).abs() < 1e-9);
    }

    #[test]
    fn a_power_factor_is_asked_for_where_it_is_assumed_and_used() {
        let fed_by = |supply, power_factor_assumed| facts::LuminaireState {
            node: facts::NodeState { fed_by: vec![(supply, 0)], ..blank::node_state() },
            power_factor_assumed,
            ..blank::luminaire_state()
        };
        let input = Input::from(Given {
            luminaire_types: ["path", "well", "wash"].map(|name| blank::luminaire_type(name, 5.0)).to_vec(),
            luminaires: [("L1", 0), ("L2", 1), ("L3", 2), ("L4", 0)]
                .map(|(id, kind)| blank::luminaire(id, kind))
                .to_vec(),
            judged: GivenFacts {
                luminaires: vec![fed_by(0, true), fed_by(0, false), fed_by(1, true), fed_by(0, true)],
                ..GivenFacts::default()
            },
            ..Given::default()
        });
        assert_eq!(missing_power_factors(&input, 0), ["`apparent-power` or `power-factor` of type `path`"]);
        assert_eq!(missing_power_factors(&input, 1), ["`apparent-power` or `power-factor` of type `wash`"]);
    }

    /// NFPA 70 Article 100: continuous is on for 3 h or more. A plan is asked for hours only where they are not stated
    /// and would matter.
    #[test]
    fn hours_decide_what_is_continuous() {
        let of = |hours: &[Option<f64>], nec| {
            let supplies: Vec<Supply> =
                hours.iter().map(|hours| Supply { hours: *hours, ..blank::supply("S1", 0) }).collect();
            let duty = Duty::of(&supplies, nec);
            (duty.factor, duty.assumed)
        };
        assert_eq!(of(&[Some(2.5)], true), (1.0, false));
        assert_eq!(of(&[Some(3.0)], true), (1.25, false));
        assert_eq!(of(&[None], true), (1.25, true));
        assert_eq!(of(&[Some(2.5), None], true), (1.25, true));
        assert_eq!(of(&[Some(5.0), None], true), (1.25, false));
        assert_eq!(of(&[None], false), (1.0, false));
    }
}
