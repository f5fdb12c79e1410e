//! What a proposal chooses from: the cable and supply types of the plan's schedules, else built-in candidates.

use crate::analysis::{Case, conductor, conductor_temperature_c};
use crate::layout::{AnalysisSettings, CableType, Catalogue, Layout, Output, SupplyType};
use crate::plan::model::{
    CableKind, Code, Exposure, Grid, Location, Material, OutputCurrent, Stranding, SupplyListing,
};
use crate::plan::quantity::{ApparentPower, Current, Power, Temperature, Voltage};
use crate::plan::scalar::{Conductor, EnclosureRating, Id, Rating};
use std::collections::BTreeSet;
use std::sync::Arc;

/// AWG numbers that are tried where the plan names no cable. 14 AWG is none of them: the device of 20 A on a built-in
/// output does not protect it (NFPA 70 240.4(D): 15 A).
const AWG: [i8; 3] = [12, 10, 8];
/// Sizes that are tried in metric plans, mm².
const MM2: [f64; 4] = [2.5, 4.0, 6.0, 10.0];
/// Ratings of supplies that are tried where the plan names none, VA on AC and W on DC. Common practice, no source.
pub const RATINGS_VA: [f64; 9] = [60.0, 75.0, 100.0, 150.0, 200.0, 300.0, 600.0, 900.0, 1200.0];
/// Voltages of built-in supplies, V.
pub const BUILT_IN_VOLTS: [f64; 3] = [12.0, 15.0, 24.0];
/// Most outputs of a built-in supply: one for each letter from a to l.
const MOST_OUTPUTS: usize = 12;
/// Rating for each output of a built-in supply, VA (W on DC); it has one at least. Common practice, no source.
pub(super) const VA_AN_OUTPUT: f64 = 75.0;
/// Overcurrent device and limit of a built-in output, A: it protects 12 AWG (NFPA 70 240.4(D)) and 2.5 mm², and is inside
/// the 25 A of Article 411.
const BUILT_IN_DEVICE_A: f64 = 20.0;
/// Share of an output's limit and of its overcurrent device that is used: lighting is a continuous load.
pub const OUTPUT_SHARE: f64 = 0.8;
/// Most current of an output circuit of low-voltage lighting, A: NFPA 70 Article 411.
const ARTICLE_411_A: f64 = 25.0;

/// A cable that may be chosen.
#[derive(Debug, Clone)]
pub(super) struct CableChoice {
    pub(super) kind: Arc<CableType>,
    /// Resistance of a pole in the judged case, ohm/m.
    pub(super) ohms_per_m: f64,
    pub(super) built_in: bool,
}

/// A supply that may be chosen, with those of its outputs that give the wanted volts.
#[derive(Debug, Clone)]
pub(super) struct SupplyChoice {
    pub(super) kind: Arc<SupplyType>,
    /// Its rating, VA (W on DC).
    pub(super) rating_va: f64,
    /// Indices of the outputs that may be used, those with the largest allowance first.
    pub(super) outputs: Vec<usize>,
    /// No-load volts of these outputs.
    pub(super) volts: f64,
    /// Most current that a circuit on each of them is given, A.
    pub(super) circuit_a: Vec<f64>,
    pub(super) built_in: bool,
}

impl SupplyChoice {
    /// Most current that a circuit on an output of the type is given, A.
    pub(super) fn allowance_a(&self, output: usize) -> f64 {
        let allowed = self.outputs.iter().zip(&self.circuit_a).find(|(own, _)| **own == output);
        allowed.map_or(0.0, |(_, amps)| *amps)
    }
}

/// Cables from the smallest conductor, that is the highest resistance, to the largest.
pub(super) fn cables(layout: &Layout, catalogue: &Catalogue, notes: &mut BTreeSet<String>) -> Vec<CableChoice> {
    let (usable, unfit): (Vec<_>, Vec<_>) = catalogue.cables.iter().partition(|kind| {
        kind.kind != Some(CableKind::Bare)
            && kind.direct_burial != Some(false)
            && !matches!(kind.location, Some(Location::Dry | Location::Damp))
    });
    if !unfit.is_empty() {
        let names: Vec<&str> = unfit.iter().map(|kind| kind.name.0.as_str()).collect();
        notes.insert(format!(
            "Cable types that are bare, not made for direct burial or only for dry or damp places are not proposed: {}.",
            names.join(", ")
        ));
    }
    let own: Vec<CableChoice> =
        usable.into_iter().filter_map(|kind| choice(kind.clone(), &layout.analysis, false)).collect();
    let mut choices = if own.is_empty() {
        let built_in = built_in_cables(layout, catalogue);
        let sizes: Vec<String> = built_in.iter().filter_map(|k| Some(k.conductor?.to_string())).collect();
        notes.insert(format!(
            "Conductors are chosen from built-in candidates, since the schedule has no cable type that suits: {}, copper, {}.",
            sizes.join(", "),
            built_in.first().map_or_else(String::new, |kind| kind.stranding.to_string())
        ));
        built_in.into_iter().filter_map(|kind| choice(Arc::new(kind), &layout.analysis, true)).collect()
    } else {
        let names: Vec<&str> = own.iter().map(|choice| choice.kind.name.0.as_str()).collect();
        notes.insert(format!("Conductors are chosen from the cable types of the schedule: {}.", names.join(", ")));
        own
    };
    // Of equal conductors the one that is stated to suit the ground comes first.
    let unstated = |choice: &CableChoice| {
        (choice.kind.direct_burial.is_none(), choice.kind.location.is_none(), choice.kind.name.clone())
    };
    choices.sort_by(|a, b| b.ohms_per_m.total_cmp(&a.ohms_per_m).then_with(|| unstated(a).cmp(&unstated(b))));
    choices
}

/// `None` for a cable whose resistance is not known.
fn choice(kind: Arc<CableType>, settings: &AnalysisSettings, built_in: bool) -> Option<CableChoice> {
    let degc = conductor_temperature_c(settings, kind.conductor, Case::Judged);
    let one = match kind.resistance {
        Some(maker) => {
            conductor::maker_ohms_per_m(maker.si(), kind.resistance_at.map(|t| t.si()), kind.conductor, degc)
        }
        None => conductor::table_ohms_per_m(kind.conductor?, kind.stranding, degc)?,
    };
    let ohms_per_m = one / f64::from(kind.parallel);
    (ohms_per_m.is_finite() && ohms_per_m > 0.0).then_some(CableChoice { kind, ohms_per_m, built_in })
}

/// Whether a plan's conductors are metric: by its code, else by its grid.
fn is_metric(layout: &Layout) -> bool {
    match layout.project.code {
        Some(Code::Iec60364 | Code::Bs7671) => true,
        Some(Code::Nec2017 | Code::Nec2020 | Code::Nec2023 | Code::Nec2026) => false,
        None => layout.grid == Some(Grid::M),
    }
}

/// Cables with the construction that the tables of the plan's code know: low-voltage landscape cable for NFPA 70, cable
/// like NYY for IEC 60364, armoured cable for BS 7671, which has no column for other cable in the ground.
fn built_in_cables(layout: &Layout, catalogue: &Catalogue) -> Vec<CableType> {
    let metric = is_metric(layout);
    let sizes: Vec<Conductor> = match metric {
        true => MM2.iter().map(|area| Conductor::Mm2(*area)).collect(),
        false => AWG.iter().map(|gauge| Conductor::Awg(*gauge)).collect(),
    };
    let (kind, stranding, insulation_degc) = match (metric, layout.project.code) {
        (false, _) => (CableKind::LowVoltageLandscape, Stranding::Stranded, 60.0),
        (true, Some(Code::Bs7671)) => (CableKind::Armoured, Stranding::IecClass2, 70.0),
        (true, _) => (CableKind::Nyy, Stranding::IecClass2, 70.0),
    };
    let cable = |size: Conductor| CableType {
        name: free_name(
            &format!("cable-{}", size.to_string().to_lowercase().replace(['/', ' '], "-")),
            &catalogue.names,
        ),
        conductor: Some(size),
        stranding,
        material: Material::Copper,
        parallel: 1,
        kind: Some(kind),
        direct_burial: Some(true),
        insulation: Some(Temperature::from_si(insulation_degc)),
        ampacity: None,
        resistance: None,
        resistance_at: None,
        location: None,
        sunlight_resistant: None,
        voltage_rating: None,
        house: Default::default(),
    };
    sizes.into_iter().map(cable).collect()
}

/// A name that no type has yet.
fn free_name(wanted: &str, taken: &[Id]) -> Id {
    let mut name = wanted.to_owned();
    let mut number = 2;
    while taken.iter().any(|id| id.0 == name) {
        name = format!("{wanted}-{number}");
        number += 1;
    }
    Id(name)
}

/// The supplies that give these volts, by rising rating: those of the schedule, else built-in ones; empty where neither
/// has any.
pub(super) fn supplies(
    layout: &Layout,
    catalogue: &Catalogue,
    current: OutputCurrent,
    volts: f64,
) -> Vec<SupplyChoice> {
    let own = own_supplies(layout, catalogue, current, volts);
    if !own.is_empty() {
        return own;
    }
    if !BUILT_IN_VOLTS.contains(&volts) {
        return Vec::new();
    }
    RATINGS_VA.iter().map(|rating| built_in_supply(*rating, volts, current, catalogue)).collect()
}

/// What the stated facts of a supply type say against it outdoors, if anything.
fn unsuited(layout: &Layout, kind: &SupplyType) -> Option<&'static str> {
    let metric_code = matches!(layout.project.code, Some(Code::Iec60364 | Code::Bs7671));
    let is_dry = layout.supplies.first().is_some_and(|supply| supply.exposure == Some(Exposure::Dry));
    if kind.isolating == Some(false) {
        Some("it does not isolate its outputs")
    } else if kind.enclosure == Some(EnclosureRating::Indoor) && !is_dry {
        Some("its enclosure is for indoors")
    } else if kind.listing == Some(SupplyListing::General) && !metric_code {
        Some("it is not listed for low-voltage lighting")
    } else {
        None
    }
}

/// Tells which supply types of the schedule are not proposed.
pub(super) fn unsuited_note(layout: &Layout, catalogue: &Catalogue) -> Option<String> {
    let told =
        catalogue.supplies.iter().filter_map(|kind| Some(format!("{} ({})", kind.name, unsuited(layout, kind)?)));
    let told: Vec<String> = told.collect();
    (!told.is_empty())
        .then(|| format!("Supply types that do not suit a place outdoors are not proposed: {}.", told.join(", ")))
}

/// Those of the schedule that suit.
pub(super) fn own_supplies(
    layout: &Layout,
    catalogue: &Catalogue,
    current: OutputCurrent,
    volts: f64,
) -> Vec<SupplyChoice> {
    let mut own: Vec<SupplyChoice> = catalogue
        .supplies
        .iter()
        .filter(|kind| kind.output_current == current && unsuited(layout, kind).is_none())
        .filter_map(|kind| own_supply(layout, kind, volts))
        .collect();
    own.sort_by(|a, b| a.rating_va.total_cmp(&b.rating_va).then_with(|| a.kind.name.cmp(&b.kind.name)));
    own
}

fn own_supply(layout: &Layout, kind: &Arc<SupplyType>, volts: f64) -> Option<SupplyChoice> {
    let rating_va = match kind.rating? {
        Rating::Apparent(va) => va.si(),
        Rating::Real(w) => w.si(),
    };
    let of_volts = kind.outputs.iter().enumerate().filter(|(_, output)| output.volts.si() == volts);
    let allowed = of_volts.map(|(index, output)| (index, circuit_a(layout, kind, output, rating_va)));
    let mut allowed: Vec<(usize, f64)> = allowed.filter(|(_, amps)| *amps > 0.0).collect();
    if allowed.is_empty() {
        return None;
    }
    // Stable: equals stay in the order of the type.
    allowed.sort_by(|a, b| b.1.total_cmp(&a.1));
    let (outputs, circuit_a) = allowed.into_iter().unzip();
    Some(SupplyChoice { kind: kind.clone(), rating_va, outputs, volts, circuit_a, built_in: false })
}

/// Most current that a circuit on an output is given, A: [`OUTPUT_SHARE`] of its limit and of its device, the limits of
/// Class 2 where it is listed so, the cap of Article 411 under NFPA 70, and what the rating gives at its volts.
fn circuit_a(layout: &Layout, kind: &SupplyType, output: &Output, rating_va: f64) -> f64 {
    let volts = output.volts.si();
    let metric_code = matches!(layout.project.code, Some(Code::Iec60364 | Code::Bs7671));
    let stated = [output.limit, output.protection].into_iter().flatten().map(|amps| amps.si() * OUTPUT_SHARE);
    let article_411 = (!metric_code).then_some(ARTICLE_411_A * OUTPUT_SHARE);
    // NFPA 70 Chapter 9 Tables 11(A) and (B), as the rule `loading/excess-class-2` has them.
    let class_2 = (kind.listing == Some(SupplyListing::Class2) && !metric_code).then_some(if volts <= 20.0 {
        5.0
    } else {
        100.0 / volts
    });
    stated.chain(article_411).chain(class_2).fold(rating_va / volts, f64::min)
}

/// A built-in supply with an output for each [`VA_AN_OUTPUT`]; a proposal keeps those that it uses.
fn built_in_supply(rating: f64, volts: f64, current: OutputCurrent, catalogue: &Catalogue) -> SupplyChoice {
    let unit = if current == OutputCurrent::Dc { "w" } else { "va" };
    let word = if current == OutputCurrent::Dc { "dc" } else { "ac" };
    // Rounded up to a tenth: the share of the rating governs before it.
    let limit_a = BUILT_IN_DEVICE_A.min((rating / volts * 10.0).ceil() / 10.0);
    let outputs = ((rating / VA_AN_OUTPUT) as usize).clamp(1, MOST_OUTPUTS);
    let output = |letter: u8| Output {
        name: Id(char::from(letter).to_string()),
        volts: Voltage::from_si(volts),
        limit: Some(Current::from_si(limit_a)),
        protection: Some(Current::from_si(BUILT_IN_DEVICE_A)),
        source_resistance: None,
    };
    let kind = SupplyType {
        name: free_name(&format!("supply-{rating}-{unit}-{volts}-v-{word}"), &catalogue.names),
        rating: Some(match current {
            OutputCurrent::Ac => Rating::Apparent(ApparentPower::from_si(rating)),
            OutputCurrent::Dc => Rating::Real(Power::from_si(rating)),
        }),
        output_current: current,
        outputs: (b'a'..).take(outputs).map(output).collect(),
        common_resistance: None,
        regulated: None,
        input_volts: None,
        listing: None,
        enclosure: None,
        isolating: None,
        grounded_output: None,
        pool_listed: None,
        dimming: None,
        house: Default::default(),
    };
    SupplyChoice {
        rating_va: rating,
        outputs: (0..outputs).collect(),
        volts,
        circuit_a: vec![(limit_a * OUTPUT_SHARE).min(rating / volts); outputs],
        built_in: true,
        kind: Arc::new(kind),
    }
}
