//! Readings beside what the plan as drawn gives: what each may differ by, and which differ by more.

use super::bench::{self, Bench, predicted};
use super::{Comparison, Quantity};
use crate::layout::{Layout, Measured, NodeRef, Readings};
use crate::plan::model::OutputCurrent;
use crate::plan::quantity::{Current, CurrentKind, Kind, Quantity as Number, Ratio, Voltage, VoltageKind};
use crate::plan::scalar::Tolerance;
use std::collections::BTreeSet;

/// Mains below this are taken to be of a system with the narrower range.
const HIGH_MAINS_VOLTS: f64 = 200.0;
/// Share by which mains usually differ from nominal: ANSI C84.1 range A (114 V to 126 V) and, above 200 V, EN 50160.
/// Both from memory.
const USUAL_MAINS: (f64, f64) = (0.05, 0.10);

/// Mains that were read at a supply whose outputs follow them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mains {
    /// Index of the reading.
    pub(super) reading: usize,
    pub(super) supply: usize,
    pub(super) nominal_volts: f64,
    pub(super) read_volts: f64,
    /// What the instrument may be off by, V.
    pub(super) tolerance_volts: f64,
}

impl Mains {
    /// Read over nominal.
    pub(super) fn share(&self) -> f64 {
        self.read_volts / self.nominal_volts
    }
}

/// A reading of volts or amps that the plan has a computed value for.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Observation {
    /// Index of the reading.
    pub(super) reading: usize,
    pub(super) measured: Measured,
    pub(super) read: f64,
    /// What the instrument may be off by.
    pub(super) tolerance: f64,
    /// As planned, with mains as read.
    pub(super) planned: f64,
    /// How the planned value moves with the share of each of the mains that were read.
    pub(super) mains_slopes: Vec<f64>,
    /// Whether it differs by more than the instruments may be off by.
    pub(super) outside: bool,
}

/// What was read and what it is compared with.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Observed {
    pub(super) mains: Vec<Mains>,
    pub(super) observations: Vec<Observation>,
    /// Luminaires that were looked at, with what was seen.
    pub(super) seen: Vec<(usize, bool)>,
    pub(super) comparisons: Vec<Comparison>,
    pub(super) assumptions: BTreeSet<String>,
}

impl Observed {
    /// Compares the readings of a plan with the plan as drawn.
    pub(super) fn new(layout: &Layout, readings: &Readings, bench: &mut Bench) -> Self {
        let mut observed = Self::default();
        let tolerances = Tolerances::new(layout, readings, &mut observed.assumptions);
        observed.mains = mains(layout, readings, &tolerances, &mut observed.assumptions);
        let shares: Vec<(usize, f64)> = observed.mains.iter().map(|mains| (mains.supply, mains.share())).collect();
        let planned = bench.solve(&[], &shares);
        let moved: Vec<_> = (0..shares.len())
            .map(|index| {
                /// A step small enough for a slope and far above the rounding of the solver.
                const STEP: f64 = 1e-3;
                let mut shares = shares.clone();
                shares[index].1 += STEP;
                (bench.solve(&[], &shares), STEP)
            })
            .collect();
        observed.assumptions.extend(planned.assumptions.iter().cloned());
        for (index, reading) in readings.taken.iter().enumerate() {
            let measured = reading.measured;
            let value = predicted(layout, &planned, &measured);
            let mains_slopes: Vec<f64> = match value {
                Some(value) => moved
                    .iter()
                    .map(|(solution, step)| {
                        predicted(layout, solution, &measured).map_or(0.0, |moved| (moved - value) / step)
                    })
                    .collect(),
                None => vec![0.0; moved.len()],
            };
            let comparison = match measured {
                Measured::InputVolts { supply, volts } => input_volts(layout, supply, volts, &tolerances),
                Measured::Lit { luminaire, lit } => {
                    observed.seen.push((luminaire, lit));
                    seen(lit, bench::lit(layout, &planned, luminaire))
                }
                Measured::Volts { .. } | Measured::OutputAmps { .. } | Measured::RunAmps { .. } => {
                    let (read, tolerance) = tolerances.of(layout, &measured);
                    let mains = observed.mains.iter().zip(&mains_slopes);
                    let through_mains: f64 =
                        mains.map(|(mains, slope)| slope.abs() * mains.tolerance_volts / mains.nominal_volts).sum();
                    let row = Row { read, computed: value, allowed: tolerance + through_mains, tolerance };
                    if let Some(planned) = value {
                        let outside = row.is_outside();
                        observed.observations.push(Observation {
                            reading: index,
                            measured,
                            read,
                            tolerance,
                            planned,
                            mains_slopes,
                            outside,
                        });
                    }
                    row.comparison(if matches!(measured, Measured::Volts { .. }) {
                        Quantity::Volts
                    } else {
                        Quantity::Amps
                    })
                }
            };
            let place = measured.place(layout);
            let subject = measured.subject(layout).to_owned();
            let field = format!("readings.taken.{}.{}", reading.entry, measured.key());
            observed.comparisons.push(Comparison { place, subject, field, ..comparison });
        }
        observed
    }
}

/// A number that was read.
struct Row {
    read: f64,
    computed: Option<f64>,
    allowed: f64,
    tolerance: f64,
}

impl Row {
    fn is_outside(&self) -> bool {
        /// Far below every instrument, far above the solver's rounding.
        const ROUNDING: f64 = 1e-9;
        self.computed.is_some_and(|computed| (self.read - computed).abs() > self.allowed * (1.0 + ROUNDING) + ROUNDING)
    }

    fn comparison(&self, quantity: Quantity) -> Comparison {
        Comparison {
            place: String::new(),
            subject: String::new(),
            field: String::new(),
            quantity,
            read: self.read,
            computed: self.computed,
            allowed: self.allowed,
            tolerance: self.tolerance,
            outside: self.is_outside(),
        }
    }
}

/// Mains against their nominal volts: they may differ by what is usual and by the instrument.
fn input_volts(layout: &Layout, supply: usize, volts: Voltage, tolerances: &Tolerances) -> Comparison {
    let nominal = layout.supplies[supply].kind.input_volts.map(|volts| volts.si());
    let tolerance = tolerances.mains.of_reading(volts.si());
    let usual = nominal.map_or(0.0, |nominal| nominal * usual_share(nominal));
    Row { read: volts.si(), computed: nominal, allowed: tolerance + usual, tolerance }.comparison(Quantity::InputVolts)
}

/// Share by which mains of these nominal volts usually differ.
pub(super) fn usual_share(nominal_volts: f64) -> f64 {
    if nominal_volts < HIGH_MAINS_VOLTS { USUAL_MAINS.0 } else { USUAL_MAINS.1 }
}

fn seen(lit: bool, computed: Option<bool>) -> Comparison {
    let number = |lit: bool| if lit { 1.0 } else { 0.0 };
    Row { read: number(lit), computed: computed.map(number), allowed: 0.0, tolerance: 0.0 }.comparison(Quantity::Lit)
}

/// The mains that can be used, and what is said of the others.
fn mains(
    layout: &Layout,
    readings: &Readings,
    tolerances: &Tolerances,
    assumptions: &mut BTreeSet<String>,
) -> Vec<Mains> {
    let mut all = Vec::new();
    for (reading, taken) in readings.taken.iter().enumerate() {
        let Measured::InputVolts { supply, volts } = taken.measured else { continue };
        let Some(installed) = layout.supplies.get(supply) else { continue };
        let (id, kind) = (&installed.id, &installed.kind);
        let nominal = kind.input_volts.map(|volts| volts.si()).filter(|volts| *volts > 0.0);
        match (kind.regulated, nominal) {
            (Some(true), _) => {
                assumptions.insert(format!("{id} is regulated: its outputs are taken not to follow its mains."));
            }
            (_, None) => {
                assumptions.insert(format!(
                    "The mains read at {id} are not used: its type {} states no `input-volts` to compare them with.",
                    kind.name
                ));
            }
            (regulated, Some(nominal_volts)) => {
                let why = if regulated.is_none() { ", for it is not stated to be regulated" } else { "" };
                assumptions
                    .insert(format!("The outputs of {id} are taken to follow its mains in proportion, as read{why}."));
                all.push(Mains {
                    reading,
                    supply,
                    nominal_volts,
                    read_volts: volts.si(),
                    tolerance_volts: tolerances.mains.of_reading(volts.si()),
                });
            }
        }
    }
    all
}

/// What the instruments may be off by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tolerances {
    dc: Tolerance<VoltageKind>,
    ac: Tolerance<VoltageKind>,
    mains: Tolerance<VoltageKind>,
    amps: Tolerance<CurrentKind>,
}

impl Tolerances {
    /// As the plan states them, else those of common hand instruments: common practice, no source.
    fn new(layout: &Layout, readings: &Readings, assumptions: &mut BTreeSet<String>) -> Self {
        let any = |of: fn(&Measured) -> bool| readings.taken.iter().any(|reading| of(&reading.measured));
        let (dc, ac) = (usual::<VoltageKind>(0.5, 0.02), usual::<VoltageKind>(1.0, 0.03));
        let amps = usual::<CurrentKind>(2.0, 0.05);
        if readings.volts_tolerance.is_none()
            && any(|m| matches!(m, Measured::Volts { .. } | Measured::InputVolts { .. }))
        {
            assumptions.insert(format!(
                "Readings of volts are taken to be within {dc} on DC and {ac} on AC, as of a common hand instrument (common practice, no source)."
            ));
        }
        if readings.amps_tolerance.is_none()
            && any(|m| matches!(m, Measured::OutputAmps { .. } | Measured::RunAmps { .. }))
        {
            assumptions.insert(format!(
                "Readings of amps are taken to be within {amps}, as of a common clamp meter (common practice, no source)."
            ));
        }
        if readings.conductor_temperature.is_none() && !layout.runs.is_empty() {
            let celsius = layout.analysis.soil_temperature.map_or(30.0, |t| t.si());
            assumptions.insert(format!(
                "The readings name no conductor temperature: cables are taken at {celsius} degC, as in the soil case."
            ));
        }
        assumptions.insert(
            "Luminaires are taken to draw their stated power while the readings were taken, and all to be switched on."
                .to_owned(),
        );
        let stated = readings.volts_tolerance;
        Self {
            dc: stated.unwrap_or(dc),
            ac: stated.unwrap_or(ac),
            mains: stated.unwrap_or(ac),
            amps: readings.amps_tolerance.unwrap_or(amps),
        }
    }

    /// A reading and what it may be off by; 0 for what is seen.
    pub(super) fn of(&self, layout: &Layout, measured: &Measured) -> (f64, f64) {
        match *measured {
            Measured::Volts { node, volts } => (volts.si(), self.volts(layout, node, volts.si())),
            Measured::OutputAmps { amps, .. } | Measured::RunAmps { amps, .. } => (amps.si(), self.amps(amps.si())),
            Measured::InputVolts { volts, .. } => (volts.si(), self.mains(volts.si())),
            Measured::Lit { .. } => (0.0, 0.0),
        }
    }

    /// What a reading of volts at a node may be off by.
    pub(super) fn volts(&self, layout: &Layout, node: NodeRef, volts: f64) -> f64 {
        let dc = match node {
            NodeRef::Output { supply, .. } => layout.supplies[supply].kind.output_current == OutputCurrent::Dc,
            // A node's own output is not followed here: a plan is nearly always of one kind, else AC is the wider.
            _ => layout.supplies.iter().all(|supply| supply.kind.output_current == OutputCurrent::Dc),
        };
        at_least_a_digit(if dc { self.dc.of_reading(volts) } else { self.ac.of_reading(volts) })
    }

    /// What a reading of amps may be off by.
    pub(super) fn amps(&self, amps: f64) -> f64 {
        at_least_a_digit(self.amps.of_reading(amps))
    }

    /// What a reading of the mains may be off by.
    pub(super) fn mains(&self, volts: f64) -> f64 {
        self.mains.of_reading(volts)
    }

    /// Those of a plan, without saying what was assumed.
    pub(super) fn quiet(layout: &Layout, readings: &Readings) -> Self {
        Self::new(layout, readings, &mut BTreeSet::new())
    }
}

fn usual<K: Kind>(percent: f64, fixed: f64) -> Tolerance<K> {
    Tolerance { share: Ratio::new(percent, "%"), fixed: Some(Number::from_si(fixed)) }
}

/// A reading that was not taken, at a place.
pub(super) fn imagined(node: NodeRef) -> Measured {
    Measured::Volts { node, volts: Number::from_si(0.0) }
}

/// As above, of the amps of an output.
pub(super) fn imagined_output_amps(supply: usize, output: usize) -> Measured {
    Measured::OutputAmps { supply, output, amps: Current::from_si(0.0) }
}

/// As above, of the amps at the start of a run.
pub(super) fn imagined_run_amps(run: usize) -> Measured {
    Measured::RunAmps { run, amps: Current::from_si(0.0) }
}

/// As above, of the mains of a supply.
pub(super) fn imagined_mains(supply: usize) -> Measured {
    Measured::InputVolts { supply, volts: Voltage::from_si(0.0) }
}

/// A share of a reading of nothing is nothing, and no instrument is exact: then half of its last digit, taken as 0.01.
/// Common practice, no source.
fn at_least_a_digit(tolerance: f64) -> f64 {
    if tolerance > 0.0 { tolerance } else { 0.005 }
}
