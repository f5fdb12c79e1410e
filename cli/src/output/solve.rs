//! `lintern solve`: the electrical state of one plan, as a table and as JSON.

use super::{CAUTION, columns, escape, terminal};
use lintern_core::analysis::{Case, NodeState, Solution, SupplyState, UnsolvedPart};
use lintern_core::layout::{Layout, NodeRef};
use serde::Serialize;
use std::fmt::Write as _;
use std::io;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    format: u32,
    file: &'a str,
    case: Case,
    conductor_temperature_c: f64,
    operating: bool,
    assumptions: &'a [String],
    nodes: ById<'a, Node>,
    segments: Vec<Segment<'a>>,
    supplies: ById<'a, Supply<'a>>,
    unsolved: Vec<Part>,
    caution: &'static str,
}

/// A map in the order of the plan.
struct ById<'a, T>(Vec<(&'a str, T)>);

impl<T: Serialize> Serialize for ById<'_, T> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(id, of_it)| (id, of_it)))
    }
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Node {
    volts: Option<f64>,
    amps: Option<f64>,
    drop_percent: Option<f64>,
    lit: Option<bool>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Segment<'a> {
    run: &'a str,
    from: String,
    to: String,
    length_m: f64,
    ohms: f64,
    amps: Option<f64>,
    loss_w: Option<f64>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Supply<'a> {
    load_w: Option<f64>,
    load_va: Option<f64>,
    nameplate_va: Option<f64>,
    loading_percent: Option<f64>,
    outputs: ById<'a, Output>,
}

#[derive(Serialize)]
struct Output {
    volts: Option<f64>,
    amps: Option<f64>,
}

#[derive(Serialize)]
struct Part {
    reason: &'static str,
    outputs: Vec<String>,
    nodes: Vec<String>,
}

/// Writes the JSON document of the contract, with a line end.
pub fn write_json(
    file: &str,
    layout: &Layout,
    solution: &Solution,
    assumptions: &[String],
    out: impl io::Write,
) -> io::Result<()> {
    let junctions = layout.junctions.iter().zip(&solution.junctions).map(|(junction, state)| {
        let NodeState { volts, drop_percent, .. } = *state;
        (&*junction.id.0, Node { volts, amps: None, drop_percent, lit: None })
    });
    let luminaires = layout.luminaires.iter().zip(&solution.luminaires).map(|(luminaire, state)| {
        let NodeState { volts, drop_percent, .. } = state.node;
        (&*luminaire.id.0, Node { volts, amps: state.amps, drop_percent, lit: state.lit })
    });
    let segments = layout.runs.iter().zip(&solution.segments).flat_map(|(run, states)| {
        run.segments.iter().zip(states).map(|(segment, state)| Segment {
            run: &run.id.0,
            from: layout.node_name(segment.from),
            to: layout.node_name(segment.to),
            length_m: segment.length_m,
            ohms: state.ohms,
            amps: state.amps,
            loss_w: state.loss_w,
        })
    });
    let supplies = layout.supplies.iter().zip(&solution.supplies).map(|(supply, state)| {
        let outputs = supply.kind.outputs.iter().zip(&state.outputs);
        let SupplyState { load_w, load_va, nameplate_va, loading_percent, .. } = *state;
        let outputs =
            ById(outputs.map(|(output, s)| (&*output.name.0, Output { volts: s.volts, amps: s.amps })).collect());
        (&*supply.id.0, Supply { load_w, load_va, nameplate_va, loading_percent, outputs })
    });
    let names = |refs: &[NodeRef]| refs.iter().map(|n| layout.node_name(*n)).collect();
    let part = |part: &UnsolvedPart| Part {
        reason: part.reason.phrase(),
        outputs: names(&part.outputs),
        nodes: names(&part.nodes),
    };
    let document = Document {
        format: 1,
        file,
        case: solution.case,
        conductor_temperature_c: temperature_c(layout, solution.case),
        operating: solution.unsolved.is_empty(),
        assumptions,
        nodes: ById(junctions.chain(luminaires).collect()),
        segments: segments.collect(),
        supplies: ById(supplies.collect()),
        unsolved: solution.unsolved.iter().map(part).collect(),
        caution: CAUTION,
    };
    super::write_pretty(&document, out)
}

/// The conductor temperature of a case, °C. Where the convention differs by conductor system and the plan mixes
/// them, that of the first run stands for the plan; the assumptions name both.
fn temperature_c(layout: &Layout, case: Case) -> f64 {
    let first = layout.runs.first().and_then(|r| r.cable.conductor);
    lintern_core::analysis::conductor_temperature_c(&layout.analysis, first, case)
}

/// The table for people.
pub fn table(file: &str, layout: &Layout, solution: &Solution, assumptions: &[String]) -> String {
    let mut out = String::new();
    let case = match solution.case {
        Case::Judged => "judged case",
        Case::Soil => "soil case",
    };
    let _ = writeln!(
        out,
        "{file}: {case}, conductors at {} degC\n",
        terminal::number(temperature_c(layout, solution.case))
    );
    let mut rows = vec![["node", "volts", "amps", "drop", "state"].map(str::to_owned)];
    for (junction, state) in layout.junctions.iter().zip(&solution.junctions) {
        rows.push([junction.id.0.clone(), volts(state), String::new(), percent(state.drop_percent), node_word(state)]);
    }
    for (luminaire, state) in layout.luminaires.iter().zip(&solution.luminaires) {
        let word = match state.lit {
            Some(false) => "dark: below its cut-out".to_owned(),
            _ => node_word(&state.node),
        };
        let row =
            [luminaire.id.0.clone(), volts(&state.node), unit(state.amps, "A"), percent(state.node.drop_percent), word];
        rows.push(row);
    }
    columns(&mut out, &rows);
    let mut rows = vec![["run", "from", "to", "length", "loop", "amps", "loss"].map(str::to_owned)];
    for (run, states) in layout.runs.iter().zip(&solution.segments) {
        for (segment, state) in run.segments.iter().zip(states) {
            rows.push([
                run.id.0.clone(),
                layout.node_name(segment.from),
                layout.node_name(segment.to),
                unit(Some(segment.length_m), "m"),
                unit(Some(state.ohms), "ohm"),
                unit(state.amps, "A"),
                unit(state.loss_w, "W"),
            ]);
        }
    }
    columns(&mut out, &rows);
    let mut rows = vec![["supply", "output", "volts", "amps", "load", "loading"].map(str::to_owned)];
    for (supply, state) in layout.supplies.iter().zip(&solution.supplies) {
        let loading = percent(state.loading_percent);
        rows.push([
            supply.id.0.clone(),
            String::new(),
            String::new(),
            String::new(),
            unit(state.load_va, "VA"),
            loading,
        ]);
        for (output, s) in supply.kind.outputs.iter().zip(&state.outputs) {
            let name = format!("{}/{}", supply.id, output.name);
            rows.push([String::new(), name, unit(s.volts, "V"), unit(s.amps, "A"), String::new(), String::new()]);
        }
    }
    columns(&mut out, &rows);
    for part in &solution.unsolved {
        let names = |refs: &[NodeRef]| refs.iter().take(8).map(|n| layout.node_name(*n)).collect::<Vec<_>>().join(", ");
        let _ = writeln!(
            out,
            "unsolved: {}: {} and what they feed ({})",
            part.reason.phrase(),
            names(&part.outputs),
            names(&part.nodes)
        );
    }
    for assumption in assumptions {
        let _ = writeln!(out, "assumed: {}", escape::terminal(assumption));
    }
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

fn node_word(state: &NodeState) -> String {
    match (state.fed_by.is_empty(), state.volts) {
        (true, _) => "not fed".to_owned(),
        (false, None) => "unsolved".to_owned(),
        (false, Some(_)) => String::new(),
    }
}

fn volts(state: &NodeState) -> String {
    unit(state.volts, "V")
}

fn percent(value: Option<f64>) -> String {
    unit(value, "%")
}

fn unit(value: Option<f64>, unit: &str) -> String {
    value.map_or_else(|| "-".to_owned(), |v| format!("{} {unit}", terminal::number(v)))
}
