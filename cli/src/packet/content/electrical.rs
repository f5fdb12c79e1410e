//! The circuits: diagrams, volts at every luminaire, loading of every supply.

use super::super::words::{NONE, said, unit, volts};
use super::super::{Block, Section, Source, Table};
use super::{part, site};
use crate::drawing::one_line;
use crate::drawing::paper::Paper;
use lintern_core::analysis::{Case, conductor_temperature_c};
use lintern_core::layout::NodeRef;
use lintern_core::plan::model::OutputCurrent;

/// Margins of the pages and their head, mm.
const AROUND_MM: f64 = 60.0;

pub fn diagrams(source: &Source<'_>) -> Section {
    let view = site::view(source);
    let (width_mm, height_mm) = Paper::usual(source.layout).first().map_or((210.0, 280.0), |paper| paper.sides_mm());
    let drawings = one_line::diagrams(&view, &source.judged, width_mm - 30.0, height_mm - AROUND_MM);
    let mut blocks: Vec<Block> = drawings.into_iter().map(|drawing| Block::Drawing(Box::new(drawing))).collect();
    let unfed = one_line::unfed(&view);
    if !unfed.is_empty() {
        blocks.insert(0, Block::Text(format!("Not fed by any output: {}.", unfed.join(", "))));
    }
    part("circuits", "One-line diagrams of the circuits", blocks)
}

pub fn voltages(source: &Source<'_>) -> Section {
    let layout = source.layout;
    let titles = [
        "Luminaire",
        "Type",
        "Fed by",
        "#Volts",
        "#Soil case",
        "#Off load",
        "#Drop",
        "#Amps",
        "Input range",
        "State",
        "Findings",
    ];
    let mut table = Table::new("Volts at every luminaire", &titles);
    let soil = &source.soil.luminaires;
    for ((luminaire, state), soil) in layout.luminaires.iter().zip(&source.judged.luminaires).zip(soil) {
        let kind = &luminaire.kind;
        let range = kind.input_min.zip(kind.input_max).map(|(min, max)| format!("{min} to {max}"));
        let fed_by: Vec<String> = state.node.fed_by.iter().map(|output| layout.node_name(*output)).collect();
        let fails = source.fails(&luminaire.id.0, &["voltage"]);
        let word = match (fed_by.is_empty(), state.node.volts, state.lit) {
            (true, ..) => "NOT FED",
            (_, None, _) => "NOT SOLVED",
            (_, _, Some(false)) => "DARK: below its cut-out",
            _ if fails => "FAILS",
            _ => "",
        };
        table.row(
            [
                luminaire.id.to_string(),
                kind.name.to_string(),
                if fed_by.is_empty() { NONE.to_owned() } else { fed_by.join(", ") },
                volts(state.node.volts),
                volts(soil.node.volts),
                volts(state.node.no_load_volts),
                unit(state.node.drop_percent, "%"),
                unit(state.amps, "A"),
                said(range),
                word.to_owned(),
                source.numbers(&luminaire.id.0),
            ],
            fails || !word.is_empty(),
        );
    }
    let mut blocks = vec![Block::Text(cases(source)), table.or("The plan has no luminaires.")];
    for part in &source.judged.unsolved {
        let names = |nodes: &[NodeRef]| nodes.iter().map(|n| layout.node_name(*n)).collect::<Vec<_>>().join(", ");
        let (outputs, nodes) = (names(&part.outputs), names(&part.nodes));
        blocks.push(Block::Text(format!("NOT SOLVED: {}: {outputs} with {nodes}.", part.reason.phrase())));
    }
    if let Some(readings) = &layout.readings {
        let count = crate::output::terminal::count(readings.taken.len(), "reading", "readings");
        blocks.push(Block::Text(format!(
            "The plan holds {count} of the finished work; `lintern readings` compares them."
        )));
    }
    part("voltages", "Voltages", blocks)
}

/// What the two cases are.
fn cases(source: &Source<'_>) -> String {
    let layout = source.layout;
    let first = layout.runs.first().and_then(|run| run.cable.conductor);
    let at = |case| crate::output::terminal::number(conductor_temperature_c(&layout.analysis, first, case));
    format!(
        "Verdicts rest on conductors at {} degC; the soil case is at {} degC. Drop is from the output's volts under \
         load, as a share of the luminaire's nominal volts. Off load is with all luminaires off.",
        at(Case::Judged),
        at(Case::Soil)
    )
}

pub fn loading(source: &Source<'_>) -> Section {
    let titles = [
        "Supply",
        "Output",
        "#Volts",
        "#Amps",
        "#Limit",
        "#Load with loss",
        "#Nameplates",
        "#Rating",
        "#Loading",
        "State",
        "Findings",
    ];
    let mut table = Table::new("Load of every supply: the larger of load and nameplates governs", &titles);
    for (supply, state) in source.layout.supplies.iter().zip(&source.judged.supplies) {
        let id = &supply.id.0;
        let fails = source.fails(id, &["loading"]);
        let power = if supply.kind.output_current == OutputCurrent::Dc { "W" } else { "VA" };
        let usual = source.limit("loading/overloaded-supply", id).map(|limit| format!(" of at most {limit}"));
        table.row(
            [
                id.clone(),
                String::new(),
                String::new(),
                String::new(),
                String::new(),
                unit(state.load_va, power),
                unit(state.nameplate_va, power),
                said(supply.kind.rating),
                format!("{}{}", unit(state.loading_percent, "%"), usual.unwrap_or_default()),
                if fails { "FAILS".to_owned() } else { String::new() },
                source.numbers(id),
            ],
            fails,
        );
        for (output, state) in supply.kind.outputs.iter().zip(&state.outputs) {
            let empty = String::new;
            table.row(
                [
                    empty(),
                    format!("{id}/{}", output.name),
                    volts(state.volts),
                    unit(state.amps, "A"),
                    said(output.limit),
                    empty(),
                    empty(),
                    empty(),
                    empty(),
                    empty(),
                    empty(),
                ],
                false,
            );
        }
    }
    part("loading", "Loading", vec![table.or("The plan has no supplies.")])
}
