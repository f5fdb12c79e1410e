//! `lintern solve`: the electrical state of one plan, as a table and as JSON.

use super::{CAUTION, columns, escape, terminal};
use lintern_core::analysis::{Case, NodeState, Solution};
use lintern_core::layout::{Layout, NodeRef};
use serde::Serialize;
use serde_json::{Map, Value, json};
use std::fmt::Write as _;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    format: u32,
    file: &'a str,
    case: Case,
    conductor_temperature_c: f64,
    operating: bool,
    assumptions: &'a [String],
    nodes: Map<String, Value>,
    segments: Vec<Value>,
    supplies: Map<String, Value>,
    unsolved: Vec<Value>,
    caution: &'static str,
}

/// The JSON document of the contract, with a line end.
pub fn json(file: &str, layout: &Layout, solution: &Solution, assumptions: &[String]) -> String {
    let mut nodes = Map::new();
    for (junction, state) in layout.junctions.iter().zip(&solution.junctions) {
        nodes.insert(
            junction.id.0.clone(),
            json!({ "volts": state.volts, "amps": Value::Null, "drop-percent": state.drop_percent, "lit": Value::Null }),
        );
    }
    for (luminaire, state) in layout.luminaires.iter().zip(&solution.luminaires) {
        nodes.insert(
            luminaire.id.0.clone(),
            json!({ "volts": state.node.volts, "amps": state.amps, "drop-percent": state.node.drop_percent, "lit": state.lit }),
        );
    }
    let mut segments = Vec::new();
    for (run, states) in layout.runs.iter().zip(&solution.segments) {
        for (segment, state) in run.segments.iter().zip(states) {
            segments.push(json!({
                "run": run.id.0, "from": layout.node_name(segment.from), "to": layout.node_name(segment.to),
                "length-m": segment.length_m, "ohms": state.ohms, "amps": state.amps, "loss-w": state.loss_w,
            }));
        }
    }
    let mut supplies = Map::new();
    for (supply, state) in layout.supplies.iter().zip(&solution.supplies) {
        let outputs: Map<String, Value> = supply
            .kind
            .outputs
            .iter()
            .zip(&state.outputs)
            .map(|(output, s)| (output.name.0.clone(), json!({ "volts": s.volts, "amps": s.amps })))
            .collect();
        supplies.insert(
            supply.id.0.clone(),
            json!({
                "load-w": state.load_w, "load-va": state.load_va, "nameplate-va": state.nameplate_va,
                "loading-percent": state.loading_percent, "outputs": outputs,
            }),
        );
    }
    let names = |refs: &[NodeRef]| refs.iter().map(|n| layout.node_name(*n)).collect::<Vec<_>>();
    let unsolved = solution
        .unsolved
        .iter()
        .map(|part| json!({ "reason": part.reason.phrase(), "outputs": names(&part.outputs), "nodes": names(&part.nodes) }))
        .collect();
    let document = Document {
        format: 1,
        file,
        case: solution.case,
        conductor_temperature_c: temperature_c(layout, solution.case),
        operating: solution.unsolved.is_empty(),
        assumptions,
        nodes,
        segments,
        supplies,
        unsolved,
        caution: CAUTION,
    };
    super::pretty(&document)
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
