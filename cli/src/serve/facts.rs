//! What was computed of an element, in the numbers that its designer asks for.

use super::check::Checked;
use crate::output::margin;
use crate::output::terminal::number;
use lintern_core::analysis::{Case, NodeState, SegmentState, Solution, conductor_temperature_c};
use lintern_core::layout::{Layout, NodeRef, Run, Supply};
use lintern_core::margin::Margins;
use lintern_core::plan::ElementKind;
use lintern_core::plan::quantity::METRES_PER_FOOT;

/// A label and what is said of it.
pub type Fact = (String, String);

/// Segments of a run that are told one by one, at most.
const MOST_SEGMENTS: usize = 12;

/// Margins of an element that are told, the tightest first.
const MOST_MARGINS: usize = 4;

/// What a supply may be loaded to by common practice, % of its rating.
const USUAL_LOADING_PERCENT: f64 = 80.0;

/// What was computed of an element; nothing for one that the checked text does not have.
pub fn of(checked: &Checked, margins: &Margins, kind: ElementKind, id: &str) -> Vec<Fact> {
    let (Some(layout), Some((judged, soil))) = (&checked.report.loaded.layout, &checked.solved) else {
        return Vec::new();
    };
    let mut facts = match kind {
        ElementKind::Luminaire => luminaire(layout, judged, soil, id),
        ElementKind::Junction => junction(layout, judged, soil, id),
        ElementKind::Run => run(layout, judged, id),
        ElementKind::Supply => supply(layout, judged, id),
        ElementKind::Zone | ElementKind::Utility => None,
    }
    .unwrap_or_default();
    let mut own: Vec<_> = margins.list.iter().filter(|margin| margin.subject == id).collect();
    own.sort_by(|a, b| {
        let room = |margin: &lintern_core::margin::Margin| margin.margin_percent.unwrap_or(f64::INFINITY);
        room(a).total_cmp(&room(b)).then_with(|| a.rule.cmp(&b.rule))
    });
    let shown = own.iter().take(MOST_MARGINS).map(|own| (own.rule.clone(), margin::of_number(own)));
    facts.extend(shown);
    facts
}

fn fact(label: &str, text: impl Into<String>) -> Fact {
    (label.to_owned(), text.into())
}

fn unit(value: f64, unit: &str) -> String {
    format!("{} {unit}", number(value))
}

fn length(layout: &Layout, length_m: f64) -> String {
    if layout.is_in_feet() { unit(length_m / METRES_PER_FOOT, "ft") } else { unit(length_m, "m") }
}

/// Volts in both cases, the drop, and what feeds it.
fn node(layout: &Layout, solution: &Solution, node: &NodeState, soil: &NodeState, of: NodeRef) -> Vec<Fact> {
    if node.fed_by.is_empty() {
        return vec![fact("volts", "none: no output feeds it")];
    }
    let fed_by: Vec<String> = node.fed_by.iter().map(|output| layout.node_name(*output)).collect();
    let mut facts = Vec::new();
    match node.volts {
        Some(volts) => {
            let second = soil.volts.map(|volts| {
                let at = number(temperature_c(layout, Case::Soil));
                format!("; {} with conductors at {at} degC, the soil case", unit(volts, "V"))
            });
            let at = number(temperature_c(layout, Case::Judged));
            let volts = unit(volts, "V");
            facts.push(fact(
                "volts",
                format!("{volts} with conductors at {at} degC, the judged case{}", second.unwrap_or_default()),
            ));
        }
        None => {
            let part = solution.unsolved.iter().find(|part| part.nodes.contains(&of));
            let reason = part.map_or("the network has no answer", |part| part.reason.phrase());
            facts.push(fact("volts", format!("unsolved: {reason}")));
        }
    }
    facts.extend(node.drop_percent.map(|drop| fact("drop", unit(drop, "%"))));
    facts.extend(node.no_load_volts.map(|volts| fact("with every luminaire off", unit(volts, "V"))));
    facts.push(fact("fed by", fed_by.join(", ")));
    facts
}

/// The conductor temperature of a case; where a plan mixes systems that of the first run stands for it, as in `solve`.
fn temperature_c(layout: &Layout, case: Case) -> f64 {
    let first = layout.runs.first().and_then(|run| run.cable.conductor);
    conductor_temperature_c(&layout.analysis, first, case)
}

fn luminaire(layout: &Layout, judged: &Solution, soil: &Solution, id: &str) -> Option<Vec<Fact>> {
    let index = layout.luminaires.iter().position(|luminaire| luminaire.id.0 == id)?;
    let own = layout.luminaires.get(index)?;
    let (state, second) = (judged.luminaires.get(index)?, soil.luminaires.get(index)?);
    let mut facts = node(layout, judged, &state.node, &second.node, NodeRef::Luminaire(index));
    let apparent = own.kind.apparent_power.map(|power| format!(", {power}")).unwrap_or_default();
    if let Some(amps) = state.amps {
        let dark = if state.lit == Some(false) { "; dark: below its cut-out" } else { "" };
        facts.push(fact("draw", format!("{} ({}{apparent} by its type){dark}", unit(amps, "A"), own.kind.power)));
    }
    if let (Some(min), Some(max)) = (own.kind.input_min, own.kind.input_max) {
        facts.push(fact("takes", format!("{min} to {max}")));
    }
    Some(facts)
}

fn junction(layout: &Layout, judged: &Solution, soil: &Solution, id: &str) -> Option<Vec<Fact>> {
    let index = layout.junctions.iter().position(|junction| junction.id.0 == id)?;
    let (state, second) = (judged.junctions.get(index)?, soil.junctions.get(index)?);
    Some(node(layout, judged, state, second, NodeRef::Junction(index)))
}

fn run(layout: &Layout, judged: &Solution, id: &str) -> Option<Vec<Fact>> {
    let index = layout.runs.iter().position(|run| run.id.0 == id)?;
    let (own, states) = (layout.runs.get(index)?, judged.segments.get(index)?);
    let length_m: f64 = own.segments.iter().map(|segment| segment.length_m).sum();
    let ohms: f64 = states.iter().map(|state| state.ohms).sum();
    let mut facts = vec![
        fact("length of cable", length(layout, length_m)),
        fact("loop resistance", format!("{}, splices included", unit(ohms, "ohm"))),
    ];
    // A sum of what is not known in part is not known.
    let loss: Option<f64> = states.iter().map(|state| state.loss_w).sum();
    facts.extend(loss.map(|loss| fact("loss", unit(loss, "W"))));
    facts.extend(segments(layout, own, states));
    Some(facts)
}

fn segments(layout: &Layout, run: &Run, states: &[SegmentState]) -> Vec<Fact> {
    let one = |(segment, state): (&lintern_core::layout::Segment, &SegmentState)| {
        let ends = format!("{} to {}", layout.node_name(segment.from), layout.node_name(segment.to));
        let amps = state.amps.map_or_else(|| "amps not known".to_owned(), |amps| unit(amps, "A"));
        let loss = state.loss_w.map(|loss| format!(", {} lost", unit(loss, "W"))).unwrap_or_default();
        (ends, format!("{}, {}, {amps}{loss}", length(layout, segment.length_m), unit(state.ohms, "ohm")))
    };
    let mut facts: Vec<Fact> = run.segments.iter().zip(states).take(MOST_SEGMENTS).map(one).collect();
    if let Some(more) = run.segments.len().checked_sub(MOST_SEGMENTS).filter(|more| *more > 0) {
        facts.push(fact("and", format!("{more} more segments")));
    }
    facts
}

fn supply(layout: &Layout, judged: &Solution, id: &str) -> Option<Vec<Fact>> {
    let index = layout.supplies.iter().position(|supply| supply.id.0 == id)?;
    let (own, state): (&Supply, _) = (layout.supplies.get(index)?, judged.supplies.get(index)?);
    let mut facts = Vec::new();
    let load = match (state.load_va, state.load_w) {
        (Some(va), Some(w)) => format!("{}, {}, cable loss included", unit(va, "VA"), unit(w, "W")),
        _ => "not known: a part of its network has no answer".to_owned(),
    };
    facts.push(fact("load", load));
    facts.extend(state.nameplate_va.map(|va| fact("load by nameplates", unit(va, "VA"))));
    let rating = own.kind.rating.map(|rating| rating.to_string());
    facts.push(match (state.loading_percent, rating) {
        (Some(percent), Some(rating)) => fact(
            "loading",
            format!("{} of {rating}; the usual limit is {} %", unit(percent, "%"), number(USUAL_LOADING_PERCENT)),
        ),
        (None, Some(rating)) => fact("loading", format!("not known, of {rating}")),
        (_, None) => fact("loading", "not known: its type states no rating"),
    });
    for (output, state) in own.kind.outputs.iter().zip(&state.outputs) {
        let text = match (state.volts, state.amps) {
            (Some(volts), Some(amps)) => format!("{}, {}", unit(volts, "V"), unit(amps, "A")),
            _ => "unsolved".to_owned(),
        };
        let feeds = match state.luminaires {
            1 => "1 luminaire".to_owned(),
            n => format!("{n} luminaires"),
        };
        facts.push((format!("output {}/{}", own.id, output.name), format!("{text}, feeds {feeds}")));
    }
    Some(facts)
}
