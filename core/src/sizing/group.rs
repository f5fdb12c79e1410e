//! Which luminaires can be fed together: one nominal voltage, one kind of current.

use super::catalogue::{self, SupplyChoice};
use super::limits::{above, below};
use crate::layout::{Catalogue, Layout, Luminaire, PointM};
use crate::plan::model::{CurrentKind, LoadModel, OutputCurrent};
use std::collections::{BTreeMap, BTreeSet};

/// Power factor that a rule about loading asks to be allowed for where none is stated.
const UNSTATED_POWER_FACTOR: f64 = 0.9;
/// Above this nominal voltage luminaires that accept AC and DC are put on DC: 15 V AC is the most that NFPA 70 allows
/// where wet contact is likely.
const MOST_AC_V: f64 = 15.0;
/// Outputs from the first to the second share of a luminaire's nominal voltage belong to its system, as the rule
/// `voltage/nominal-mismatch` has it.
const SYSTEM: (f64, f64) = (0.85, 1.25);

/// A luminaire as a load at a place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Lamp {
    /// Index into the luminaires of the layout.
    pub(super) luminaire: usize,
    pub(super) at: PointM,
    /// What its nameplate says, VA (W on DC), without an allowance for an unstated power factor.
    pub(super) nameplate_va: f64,
    /// The same with [`UNSTATED_POWER_FACTOR`] where the plan states none.
    pub(super) design_va: f64,
    /// Current at the no-load volts of the outputs, A, by `design_va`.
    pub(super) amps: f64,
}

/// Luminaires that can be fed together.
#[derive(Debug, Clone)]
pub(super) struct Group {
    pub(super) nominal_v: f64,
    pub(super) current: OutputCurrent,
    /// No-load volts of the outputs that feed it.
    pub(super) volts: f64,
    /// In the order of their ids.
    pub(super) lamps: Vec<Lamp>,
    /// Supplies to choose from, by rising rating.
    pub(super) supplies: Vec<SupplyChoice>,
}

/// The groups by nominal voltage, AC before DC. `Err` is a sentence on a group that nothing feeds.
pub(super) fn groups(
    layout: &Layout,
    catalogue: &Catalogue,
    wanted_volts: Option<f64>,
    notes: &mut BTreeSet<String>,
) -> Result<Vec<Group>, String> {
    let mut by_volts: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
    for (index, luminaire) in layout.luminaires.iter().enumerate() {
        // Positive floats have the order of their bits.
        by_volts.entry(luminaire.kind.nominal.si().to_bits()).or_default().push(index);
    }
    let mut groups = Vec::new();
    for (bits, members) in by_volts {
        let nominal_v = f64::from_bits(bits);
        for (current, mut members) in by_current(layout, catalogue, nominal_v, members) {
            members.sort_by(|a, b| layout.luminaires[*a].id.cmp(&layout.luminaires[*b].id));
            groups.push(group(layout, catalogue, (nominal_v, current), &members, wanted_volts, notes)?);
        }
    }
    Ok(groups)
}

/// Luminaires of one nominal voltage by the current they are put on, the empty parts left out.
fn by_current(
    layout: &Layout,
    catalogue: &Catalogue,
    nominal_v: f64,
    members: Vec<usize>,
) -> Vec<(OutputCurrent, Vec<usize>)> {
    let needs = |wanted: CurrentKind| move |i: &usize| layout.luminaires[*i].kind.current == Some(wanted);
    let (mut ac, rest): (Vec<usize>, Vec<usize>) = members.into_iter().partition(needs(CurrentKind::Ac));
    let (mut dc, either): (Vec<usize>, Vec<usize>) = rest.into_iter().partition(needs(CurrentKind::Dc));
    let has = |current| !catalogue::own_supplies(layout, catalogue, current, nominal_v).is_empty();
    let prefers_dc = match (ac.is_empty(), dc.is_empty()) {
        (true, false) => true,
        (false, true) => false,
        // Either would do: what the schedule has a supply for, else AC up to 15 V.
        _ => match (has(OutputCurrent::Ac), has(OutputCurrent::Dc)) {
            (true, false) => false,
            (false, true) => true,
            _ => nominal_v > MOST_AC_V,
        },
    };
    if prefers_dc { &mut dc } else { &mut ac }.extend(either);
    [(OutputCurrent::Ac, ac), (OutputCurrent::Dc, dc)].into_iter().filter(|(_, members)| !members.is_empty()).collect()
}

fn group(
    layout: &Layout,
    catalogue: &Catalogue,
    (nominal_v, current): (f64, OutputCurrent),
    members: &[usize],
    wanted_volts: Option<f64>,
    notes: &mut BTreeSet<String>,
) -> Result<Group, String> {
    let luminaires: Vec<&Luminaire> = members.iter().filter_map(|i| layout.luminaires.get(*i)).collect();
    let word = if current == OutputCurrent::Dc { "DC" } else { "AC" };
    let unstated: BTreeSet<&str> =
        luminaires.iter().filter(|l| l.kind.current.is_none()).map(|l| l.kind.name.0.as_str()).collect();
    if !unstated.is_empty() {
        let names = unstated.into_iter().collect::<Vec<_>>().join(", ");
        notes.insert(format!("Luminaire types that do not state their kind of current are put on {word}: {names}."));
    }
    let volts = match wanted_volts.filter(|volts| *volts != nominal_v) {
        Some(volts) if luminaires.iter().all(|l| accepts(l, volts)) => volts,
        Some(volts) => {
            notes.insert(format!(
                "The {nominal_v} V luminaires stay on {nominal_v} V: {volts} V is outside the system or the stated input range of one of them."
            ));
            nominal_v
        }
        None => nominal_v,
    };
    let supplies = catalogue::supplies(layout, catalogue, current, volts);
    let Some(first) = supplies.first() else {
        return Err(format!(
            "no supply gives {volts} V {word}, which {} of the luminaires need: the schedule has none, and built-in ones give 12, 15 and 24 V; add a supply type with a rating and an output of {volts} V",
            luminaires.len()
        ));
    };
    notes.insert(supply_note(&supplies, first.built_in, volts, word));
    let lamps = members.iter().filter_map(|i| lamp(*i, layout.luminaires.get(*i)?, current, volts)).collect();
    Ok(Group { nominal_v, current, volts, lamps, supplies })
}

fn supply_note(supplies: &[SupplyChoice], built_in: bool, volts: f64, word: &str) -> String {
    if !built_in {
        let names: Vec<&str> = supplies.iter().map(|choice| choice.kind.name.0.as_str()).collect();
        return format!("Supplies for {volts} V {word} are chosen from the schedule: {}.", names.join(", "));
    }
    let unit = if word == "DC" { "W" } else { "VA" };
    let ratings: Vec<String> = supplies.iter().map(|choice| choice.rating_va.to_string()).collect();
    format!(
        "Supplies for {volts} V {word} are built-in candidates, since the schedule has none that suits: {} {unit} with one output for each {} {unit} of rating, at least 1 and at most 12 (common practice, no source), each output limited to 20 A with a device of 20 A.",
        ratings.join(", "),
        catalogue::VA_AN_OUTPUT
    )
}

/// Whether an output of these volts may feed a luminaire: of its system or inside its stated range, and not above it.
pub(super) fn accepts(luminaire: &Luminaire, volts: f64) -> bool {
    let kind = &luminaire.kind;
    let nominal_v = kind.nominal.si();
    let in_system = !below(volts, SYSTEM.0 * nominal_v) && !above(volts, SYSTEM.1 * nominal_v);
    let stated = kind.input_min.zip(kind.input_max);
    let in_range = stated.is_some_and(|(min, max)| !below(volts, min.si()) && !above(volts, max.si()));
    let not_too_much = kind.input_max.is_none_or(|max| !above(volts, max.si()));
    (in_system || in_range) && not_too_much
}

/// `None` for a luminaire without a place.
fn lamp(index: usize, luminaire: &Luminaire, current: OutputCurrent, volts: f64) -> Option<Lamp> {
    let kind = &luminaire.kind;
    let (nameplate_va, design_va) = match (current, kind.apparent_power) {
        (OutputCurrent::Dc, _) => (kind.power.si(), kind.power.si()),
        (OutputCurrent::Ac, Some(apparent)) => (apparent.si(), apparent.si()),
        (OutputCurrent::Ac, None) if kind.load == LoadModel::Resistive => (kind.power.si(), kind.power.si()),
        (OutputCurrent::Ac, None) => (kind.power.si(), kind.power.si() / UNSTATED_POWER_FACTOR),
    };
    let nominal_v = kind.nominal.si();
    let amps = match kind.load {
        LoadModel::ConstantPower => design_va / volts,
        LoadModel::ConstantCurrent => design_va / nominal_v,
        LoadModel::Resistive => design_va * volts / (nominal_v * nominal_v),
    };
    Some(Lamp { luminaire: index, at: luminaire.at?, nameplate_va, design_va, amps })
}
