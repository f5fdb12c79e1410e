//! Faults put into a plan by other means than the ones under test: through the types of the plan.

use crate::networks::splice;
use lintern_core::analysis::as_built::Fault;
use lintern_core::layout::{CableType, Layout, LuminaireType, NodeRef, SupplyType};
use lintern_core::plan::model::{LoadModel, OutputCurrent};
use lintern_core::plan::quantity::{ApparentPower, Power, Voltage};
use lintern_core::plan::scalar::Conductor;
use lintern_tests::seeded::Seeded;
use std::collections::BTreeSet;
use std::sync::Arc;

/// The kinds that are put in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    BadJoint,
    BadSplice,
    WrongConductor,
    WrongOutput,
    Dead,
    Shorted,
    Open,
    Reversed,
    LowMains,
}

/// A plan as built.
pub struct Built {
    pub layout: Layout,
    /// Nodes whose poles are swapped.
    pub reversed: BTreeSet<NodeRef>,
    /// What names the fault: any of these.
    pub truths: Vec<Fault>,
    /// Mains over nominal.
    pub mains: f64,
}

/// Puts a fault somewhere; `None` where the plan has no place for one.
pub fn put(plan: &Layout, kind: Kind, random: &mut Seeded) -> Option<Built> {
    let mut layout = plan.clone();
    let mut reversed = BTreeSet::new();
    let mut mains = 1.0;
    let run = random.below(layout.runs.len());
    let segment = random.below(layout.runs[run].segments.len());
    let luminaire = random.below(layout.luminaires.len());
    let truths = match kind {
        Kind::BadJoint => {
            layout.runs[run].segments[segment].added_ohms += 0.05 + 0.6 * random.unit();
            vec![Fault::AddedOhms { run, segment }]
        }
        Kind::BadSplice => {
            let ends = layout.runs[run].segments[segment].clone();
            let node = if matches!(ends.to, NodeRef::Output { .. }) { ends.from } else { ends.to };
            let bad = Arc::new(splice(0.03 + 0.2 * random.unit()));
            match node {
                NodeRef::Junction(junction) => layout.junctions[junction].splice = Some(bad),
                NodeRef::Luminaire(luminaire) => layout.luminaires[luminaire].splice = Some(bad),
                NodeRef::Output { .. } => return None,
            }
            let meets = |s: &lintern_core::layout::Segment| s.from == node || s.to == node;
            let meeting = layout.runs.iter().flat_map(|run| &run.segments).filter(|s| meets(s)).count();
            // Where one segment ends, its splice is its own resistance.
            if meeting > 1 { vec![Fault::Splice { node }] } else { vec![Fault::AddedOhms { run, segment }] }
        }
        Kind::WrongConductor => {
            let mut cable = CableType::clone(&layout.runs[run].cable);
            let other = match cable.conductor? {
                Conductor::Awg(_) => [Conductor::Awg(16), Conductor::Awg(14), Conductor::Awg(8)],
                Conductor::Mm2(_) => [Conductor::Mm2(1.5), Conductor::Mm2(2.5), Conductor::Mm2(16.0)],
            };
            cable.conductor = Some(other[random.below(3)]);
            cable.resistance = None;
            layout.runs[run].cable = Arc::new(cable);
            vec![Fault::Conductor { run }]
        }
        Kind::WrongOutput => {
            let ends = [(true, layout.runs[run].segments.first()?.from), (false, layout.runs[run].segments.last()?.to)];
            let (at_start, supply, own) = ends.iter().find_map(|(at_start, node)| match node {
                NodeRef::Output { supply, output } => Some((*at_start, *supply, *output)),
                _ => None,
            })?;
            let count = layout.supplies[supply].kind.outputs.len();
            if count < 2 {
                return None;
            }
            let output = (own + 1 + random.below(count - 1)) % count;
            let node = NodeRef::Output { supply, output };
            if at_start {
                layout.runs[run].segments.first_mut()?.from = node;
            } else {
                layout.runs[run].segments.last_mut()?.to = node;
            }
            vec![Fault::WrongOutput { run, at_start, output }]
        }
        Kind::Dead => {
            change(&mut layout, luminaire, |kind| {
                kind.power = Power::from_si(0.0);
                kind.apparent_power = Some(ApparentPower::from_si(0.0));
            });
            vec![Fault::Dead { luminaire }, Fault::Power { luminaire }]
        }
        Kind::Shorted => {
            let ohms = 0.3 + 3.0 * random.unit();
            change(&mut layout, luminaire, |kind| {
                kind.load = LoadModel::Resistive;
                kind.cut_out = None;
                kind.apparent_power = None;
                kind.power = Power::from_si(kind.nominal.si().powi(2) / ohms);
            });
            vec![Fault::Shorted { luminaire }, Fault::Power { luminaire }]
        }
        Kind::Open => {
            let cut = &mut layout.runs[run].segments[segment];
            cut.to = cut.from;
            vec![Fault::Open { run, segment }]
        }
        Kind::Reversed => {
            if layout.supplies.iter().any(|supply| supply.kind.output_current != OutputCurrent::Dc) {
                return None;
            }
            reversed = behind(plan, run, segment)?;
            let of = |blocked| Fault::Reversed { run, segment, blocked };
            vec![of(false), of(true)]
        }
        Kind::LowMains => {
            mains = 0.86 + 0.1 * random.unit();
            let supply = random.below(layout.supplies.len());
            let mut kind = SupplyType::clone(&layout.supplies[supply].kind);
            for output in &mut kind.outputs {
                output.volts = Voltage::from_si(output.volts.si() * mains);
            }
            layout.supplies[supply].kind = Arc::new(kind);
            vec![Fault::SupplyVolts { supply }]
        }
    };
    Some(Built { layout, reversed, truths, mains })
}

fn change(layout: &mut Layout, luminaire: usize, change: impl FnOnce(&mut LuminaireType)) {
    let mut kind = LuminaireType::clone(&layout.luminaires[luminaire].kind);
    change(&mut kind);
    layout.luminaires[luminaire].kind = Arc::new(kind);
}

/// The nodes that only a segment feeds, by painting from the outputs.
fn behind(layout: &Layout, run: usize, segment: usize) -> Option<BTreeSet<NodeRef>> {
    let mut fed: BTreeSet<NodeRef> = BTreeSet::new();
    let mut all: BTreeSet<NodeRef> = BTreeSet::new();
    for (supply, s) in layout.supplies.iter().enumerate() {
        fed.extend((0..s.kind.outputs.len()).map(|output| NodeRef::Output { supply, output }));
    }
    loop {
        let before = fed.len();
        for (r, cable) in layout.runs.iter().enumerate() {
            for (s, ends) in cable.segments.iter().enumerate() {
                all.extend([ends.from, ends.to]);
                if (r, s) != (run, segment) && (fed.contains(&ends.from) || fed.contains(&ends.to)) {
                    fed.extend([ends.from, ends.to]);
                }
            }
        }
        if fed.len() == before {
            break;
        }
    }
    let unfed: BTreeSet<NodeRef> = all.difference(&fed).copied().collect();
    (!unfed.is_empty()).then_some(unfed)
}
