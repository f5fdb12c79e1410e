//! Readings: places to nodes, one entry for each number, and what can't have been read.

use super::names::{Element, Names};
use super::types::Types;
use super::{items, temperature};
use crate::layout::{Layout, Measured, NodeRef, Reading, Readings};
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::field::{Field, Span};
use crate::plan::locate::ElementKind;
use crate::plan::model::{OutputCurrent, PlanDoc, ReadingDoc};
use crate::plan::nearest;
use crate::plan::quantity::Kind;
use crate::plan::scalar::{Id, Terminal, Tolerance};

/// What a reading can be taken at.
const PLACES: &[ElementKind] = &[ElementKind::Supply, ElementKind::Junction, ElementKind::Luminaire, ElementKind::Run];

/// Readings of a plan that are in order; more than this are refused, since each is compared with every fault.
const MOST_READINGS: usize = 2_000;

/// The element that an entry names.
#[derive(Clone, Copy, PartialEq)]
enum Place {
    Node(NodeRef),
    /// A supply whose output is not named, of which it has several.
    Supply(usize),
    Run(usize),
}

pub(super) fn readings(plan: &PlanDoc, types: &Types, names: &Names<'_>, errors: &mut Diagnostics) -> Option<Readings> {
    let doc = plan.readings.get()?;
    temperature(&doc.conductor_temperature, errors);
    let tolerance = doc.tolerance.cloned().unwrap_or_default();
    exact_is_no_tolerance(&tolerance.volts, errors);
    exact_is_no_tolerance(&tolerance.amps, errors);
    let entries = items(&doc.taken);
    if entries.len() > MOST_READINGS {
        errors.push(|| {
            Diagnostic::new(doc.taken.span, format!("{} readings; at most {MOST_READINGS} are read", entries.len()))
                .help("keep the readings of one visit")
        });
        return None;
    }
    let mut taken: Vec<(Reading, Option<Span>)> = Vec::new();
    for (entry, field) in entries.iter().enumerate() {
        let Some(doc) = field.get() else { continue };
        let Some(place) = doc.at.get().and_then(|at| place(at, doc.at.span, plan, types, names, errors)) else {
            continue;
        };
        if let (Some(span), true) = (field.span, says_nothing(doc)) {
            errors.push(|| {
                Diagnostic::new(span, "this entry has no reading").help("give `volts`, `amps`, `input-volts` or `lit`")
            });
        }
        for (measured, span) in measured(doc, place, errors) {
            let same = |(known, _): &&(Reading, Option<Span>)| same_place(&known.measured, &measured);
            if let Some((_, first)) = taken.iter().find(same) {
                let first = *first;
                errors.push(|| {
                    let diagnostic = Diagnostic::new(span, format!("`{}` is read twice at this place", measured.key()))
                        .help("keep the reading that holds; a plan has the readings of one visit");
                    match first {
                        Some(first) => diagnostic.also(first, "first here"),
                        None => diagnostic,
                    }
                });
                continue;
            }
            taken.push((Reading { entry, measured }, span));
        }
    }
    Some(Readings {
        on: doc.on.cloned(),
        volts_tolerance: tolerance.volts.cloned(),
        amps_tolerance: tolerance.amps.cloned(),
        conductor_temperature: doc.conductor_temperature.cloned(),
        taken: taken.into_iter().map(|(reading, _)| reading).collect(),
    })
}

/// Reports volts below zero where the current has no polarity.
pub(super) fn check_polarity(plan: &PlanDoc, layout: &Layout, errors: &mut Diagnostics) {
    let (Some(doc), Some(readings)) = (plan.readings.get(), &layout.readings) else { return };
    let negative = |reading: &&Reading| matches!(reading.measured, Measured::Volts { volts, .. } if volts.si() < 0.0);
    if !readings.taken.iter().any(|reading| negative(&reading)) {
        return;
    }
    let fed_with_dc = fed_with_dc(layout);
    for reading in readings.taken.iter().filter(negative) {
        let Measured::Volts { node, volts } = reading.measured else { continue };
        let has_polarity = match node {
            NodeRef::Output { supply, .. } => layout.supplies[supply].kind.output_current == OutputCurrent::Dc,
            _ => fed_with_dc.contains(&node),
        };
        if has_polarity {
            continue;
        }
        let Some(entry) = items(&doc.taken).get(reading.entry).and_then(Field::get) else { continue };
        errors.push(|| {
            Diagnostic::new(entry.volts.span, format!("`{volts}`: AC has no polarity, so volts can't be below zero"))
                .help("give the reading without the sign; below zero says on DC that the leads are reversed")
        });
    }
}

/// Nodes that cable joins to a DC output.
fn fed_with_dc(layout: &Layout) -> std::collections::BTreeSet<NodeRef> {
    let outputs = layout.supplies.iter().enumerate().filter(|(_, s)| s.kind.output_current == OutputCurrent::Dc);
    let mut reached: std::collections::BTreeSet<NodeRef> = outputs
        .flat_map(|(supply, s)| (0..s.kind.outputs.len()).map(move |output| NodeRef::Output { supply, output }))
        .collect();
    let mut beside: std::collections::BTreeMap<NodeRef, Vec<NodeRef>> = std::collections::BTreeMap::new();
    for segment in layout.runs.iter().flat_map(|run| &run.segments) {
        beside.entry(segment.from).or_default().push(segment.to);
        beside.entry(segment.to).or_default().push(segment.from);
    }
    let mut open: Vec<NodeRef> = reached.iter().copied().collect();
    while let Some(node) = open.pop() {
        for &next in beside.get(&node).into_iter().flatten() {
            if reached.insert(next) {
                open.push(next);
            }
        }
    }
    reached
}

/// A tolerance of nothing would make every reading a fault.
fn exact_is_no_tolerance<K: Kind>(field: &Field<Tolerance<K>>, errors: &mut Diagnostics) {
    if let Some(tolerance) = field.get().filter(|tolerance| tolerance.of_reading(1.0) <= 0.0) {
        errors.push(|| {
            Diagnostic::new(field.span, format!("`{tolerance}`: no instrument is exact"))
                .help("give what its data sheet says, with the last digit, like `0.5 % + 0.02 V`")
        });
    }
}

fn says_nothing(doc: &ReadingDoc) -> bool {
    doc.volts.is_absent() && doc.amps.is_absent() && doc.input_volts.is_absent() && doc.lit.is_absent()
}

fn same_place(a: &Measured, b: &Measured) -> bool {
    match (a, b) {
        (Measured::Volts { node: a, .. }, Measured::Volts { node: b, .. }) => a == b,
        (Measured::RunAmps { run: a, .. }, Measured::RunAmps { run: b, .. }) => a == b,
        (Measured::InputVolts { supply: a, .. }, Measured::InputVolts { supply: b, .. }) => a == b,
        (Measured::Lit { luminaire: a, .. }, Measured::Lit { luminaire: b, .. }) => a == b,
        (Measured::OutputAmps { supply: a, output: x, .. }, Measured::OutputAmps { supply: b, output: y, .. }) => {
            (a, x) == (b, y)
        }
        _ => false,
    }
}

/// The readings of one entry with where they stand; what can't be read at its place is reported.
fn measured(doc: &ReadingDoc, place: Place, errors: &mut Diagnostics) -> Vec<(Measured, Option<Span>)> {
    let mut all = Vec::new();
    let mut refuse = |span: Option<Span>, message: &str, help: &str| {
        errors.push(|| Diagnostic::new(span, message.to_owned()).help(help.to_owned()));
    };
    if let Some(volts) = doc.volts.cloned() {
        match place {
            Place::Node(node) => all.push((Measured::Volts { node, volts }, doc.volts.span)),
            Place::Supply(_) => refuse(
                doc.volts.span,
                "this supply has several outputs, and the volts of one of them are read",
                "name the output, like `at: S1/12`; volts of the branch circuit are `input-volts`",
            ),
            Place::Run(_) => refuse(
                doc.volts.span,
                "volts are read at a node, not along a run",
                "name the output, junction or luminaire at its end",
            ),
        }
    }
    if let Some(amps) = doc.amps.cloned() {
        match place {
            Place::Node(NodeRef::Output { supply, output }) => {
                all.push((Measured::OutputAmps { supply, output, amps }, doc.amps.span));
            }
            Place::Run(run) => all.push((Measured::RunAmps { run, amps }, doc.amps.span)),
            Place::Node(_) => refuse(
                doc.amps.span,
                "amps are read at an output or at the start of a run",
                "name the output, or the run that starts where the clamp was",
            ),
            Place::Supply(_) => refuse(
                doc.amps.span,
                "this supply has several outputs, and the amps of one of them are read",
                "name the output, like `at: S1/12`",
            ),
        }
    }
    if let Some(volts) = doc.input_volts.cloned() {
        match place {
            Place::Supply(supply) | Place::Node(NodeRef::Output { supply, .. }) => {
                all.push((Measured::InputVolts { supply, volts }, doc.input_volts.span));
            }
            Place::Node(_) | Place::Run(_) => {
                refuse(doc.input_volts.span, "`input-volts` are read at a supply", "name the supply, like `at: S1`");
            }
        }
    }
    if let Some(lit) = doc.lit.cloned() {
        match place {
            Place::Node(NodeRef::Luminaire(luminaire)) => {
                all.push((Measured::Lit { luminaire, lit }, doc.lit.span));
            }
            _ => refuse(doc.lit.span, "only a luminaire is lit or dark", "name the luminaire"),
        }
    }
    all
}

fn place(
    at: &Terminal,
    span: Option<Span>,
    plan: &PlanDoc,
    types: &Types,
    names: &Names<'_>,
    errors: &mut Diagnostics,
) -> Option<Place> {
    let Terminal { id, output } = at;
    let Some(Element { kind, index, .. }) = names.get(&id.0) else {
        if !names.incomplete {
            errors.push(|| {
                Diagnostic::new(span, format!("no element has the id `{id}`")).help(names.help(&id.0, "places", PLACES))
            });
        }
        return None;
    };
    match (kind, output) {
        (ElementKind::Junction, None) => Some(Place::Node(NodeRef::Junction(index))),
        (ElementKind::Luminaire, None) => Some(Place::Node(NodeRef::Luminaire(index))),
        (ElementKind::Run, None) => Some(Place::Run(index)),
        (ElementKind::Supply, output) => {
            // An unknown type has been reported with the supply.
            let kind = types.supplies.get(items(&plan.supplies).get(index)?.get()?.r#type.get()?)?;
            let outputs: Vec<&Id> = kind.outputs.iter().map(|output| &output.name).collect();
            match (output, outputs.as_slice()) {
                (None, [_]) => Some(Place::Node(NodeRef::Output { supply: index, output: 0 })),
                (None, _) => Some(Place::Supply(index)),
                (Some(name), _) => {
                    let found = outputs.iter().position(|known| *known == name);
                    if found.is_none() {
                        errors.push(|| {
                            Diagnostic::new(span, format!("the supply `{id}` has no output `{name}`"))
                                .help(nearest::help(&name.0, "outputs", outputs.iter().map(|known| known.0.as_str())))
                        });
                    }
                    Some(Place::Node(NodeRef::Output { supply: index, output: found? }))
                }
            }
        }
        (ElementKind::Junction | ElementKind::Luminaire | ElementKind::Run, Some(_)) => {
            errors.push(|| {
                Diagnostic::new(span, format!("`{id}` is {} and has no outputs", kind.phrase()))
                    .help(format!("write `{id}`"))
            });
            None
        }
        (ElementKind::Zone | ElementKind::Utility, _) => {
            errors.push(|| {
                Diagnostic::new(span, format!("`{id}` is {}: nothing of the lighting is read there", kind.phrase()))
                    .help("name a supply or its output, a junction, a luminaire or a run")
            });
            None
        }
    }
}
