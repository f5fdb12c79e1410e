//! `lintern size`: topologies side by side, for people and as JSON.

use super::{CAUTION, columns, escape, terminal};
use lintern_core::layout::Layout;
use lintern_core::plan::Loaded;
use lintern_core::plan::model::Grid;
use lintern_core::plan::quantity::METRES_PER_FOOT;
use lintern_core::plan::scalar::Date;
use lintern_core::sizing::{Demand, Extreme, Proposal, Sizing, Topology, TopologyResult};
use serde::Serialize;
use std::fmt::Write as _;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Document<'a> {
    format: u32,
    file: &'a str,
    as_of: String,
    #[serde(flatten)]
    sizing: &'a Sizing,
    caution: &'static str,
}

/// The JSON document, with a line end.
pub fn json(file: &str, as_of: Date, sizing: &Sizing) -> String {
    let document = Document { format: 1, file, as_of: as_of.to_string(), sizing, caution: CAUTION };
    let mut text = serde_json::to_string_pretty(&document).expect("plain data serializes");
    text.push('\n');
    text
}

/// The comparison for people, with the details of one proposal.
pub fn table(loaded: &Loaded, as_of: Date, sizing: &Sizing, chosen: Option<(Topology, &Proposal)>) -> String {
    let lengths = Lengths::of(loaded.layout.as_ref());
    let mut out = String::new();
    let _ = writeln!(out, "{}: sizing, rules as of {as_of}\n", escape::terminal(&loaded.file));
    let _ = writeln!(out, "start  [{}, {}], {}", sizing.start.x, sizing.start.y, escape::terminal(&sizing.start.from));
    for demand in &sizing.demands {
        demand_line(&mut out, demand, sizing.loading_limit_percent);
    }
    out.push('\n');
    comparison(&mut out, sizing, &lengths);
    for result in &sizing.topologies {
        let Some(unfit) = &result.unfit else { continue };
        let _ = writeln!(out, "{}: no proposal: {}", result.topology.word(), escape::terminal(&unfit.reason));
        for remedy in &unfit.remedies {
            let _ = writeln!(out, "  {}", escape::terminal(remedy));
        }
    }
    if let Some((topology, proposal)) = chosen {
        details(&mut out, topology, proposal, &lengths);
    }
    for assumption in &sizing.assumptions {
        let _ = writeln!(out, "assumed: {}", escape::terminal(assumption));
    }
    let _ = writeln!(out, "\n{CAUTION}");
    out
}

/// Lengths in the unit of the plan's grid.
struct Lengths {
    unit: &'static str,
    metres: f64,
}

impl Lengths {
    fn of(layout: Option<&Layout>) -> Self {
        match layout.and_then(|layout| layout.grid) {
            Some(Grid::Ft) => Self { unit: "ft", metres: METRES_PER_FOOT },
            Some(Grid::M) | None => Self { unit: "m", metres: 1.0 },
        }
    }

    fn show(&self, length_m: f64) -> String {
        format!("{:.1} {}", length_m / self.metres, self.unit)
    }
}

fn demand_line(out: &mut String, demand: &Demand, limit_percent: f64) {
    let unit = if demand.current == "dc" { "W" } else { "VA" };
    let rating = demand
        .rating_va
        .map_or_else(|| "more than one supply".to_owned(), |rating| format!("{} {unit}", terminal::number(rating)));
    let _ = writeln!(
        out,
        "load   {} luminaires of {} V {}: {} {unit} by their nameplates; at {} % of a rating: {} {unit} at least, next {rating}",
        demand.luminaires,
        terminal::number(demand.nominal_v),
        demand.current.to_uppercase(),
        terminal::number(demand.nameplate_va),
        terminal::number(limit_percent),
        terminal::number(demand.least_rating_va),
    );
}

fn comparison(out: &mut String, sizing: &Sizing, lengths: &Lengths) {
    let head = [
        "rank",
        "topology",
        "supplies",
        "outputs",
        "cable",
        "by conductor",
        "trench",
        "lowest",
        "highest",
        "no load",
        "drop",
        "loading",
        "cost",
        "findings",
    ];
    let mut rows = vec![head.map(str::to_owned)];
    let mut results: Vec<&TopologyResult> = sizing.topologies.iter().filter(|result| result.rank.is_some()).collect();
    results.sort_by_key(|result| result.rank);
    for result in results {
        let (Some(proposal), Some(rank)) = (&result.proposal, result.rank) else { continue };
        let volts = |extreme: &Extreme| format!("{:.2} V {}", extreme.value, extreme.luminaire);
        let by_type = proposal.cable_by_type.iter().map(|cable| {
            let name = cable.conductor.as_ref().unwrap_or(&cable.cable);
            format!("{name} {}", lengths.show(cable.length_m))
        });
        let loading = proposal.supplies.iter().map(|supply| supply.loading_percent).fold(0.0, f64::max);
        rows.push([
            rank.to_string(),
            result.topology.word().to_owned(),
            supplies(proposal),
            proposal.supplies.iter().map(|supply| supply.outputs.len()).sum::<usize>().to_string(),
            lengths.show(proposal.cable_m),
            by_type.collect::<Vec<_>>().join(" + "),
            lengths.show(proposal.trench_m),
            volts(&proposal.lowest),
            volts(&proposal.highest),
            format!("{:.2} V", proposal.no_load.value),
            format!("{:.2} %", proposal.largest_drop.value),
            format!("{loading:.1} %"),
            proposal.cost.map_or_else(|| "-".to_owned(), |cost| format!("{cost:.2}")),
            if proposal.findings.is_empty() { "none".to_owned() } else { proposal.findings.len().to_string() },
        ]);
    }
    if !sizing.weighted {
        let _ = writeln!(out, "ranked by cable, then trench; the weights `--cable-weight` and so on rank by cost");
    }
    columns(out, &rows);
}

/// `1 x 150 VA + 2 x 300 VA`.
fn supplies(proposal: &Proposal) -> String {
    let mut counts: Vec<(&str, String, usize)> = Vec::new();
    for supply in &proposal.supplies {
        match counts.iter_mut().find(|(kind, _, _)| *kind == supply.r#type) {
            Some((_, _, count)) => *count += 1,
            None => counts.push((&supply.r#type, terminal::number(supply.rating_va), 1)),
        }
    }
    counts.into_iter().map(|(_, rating, count)| format!("{count} x {rating}")).collect::<Vec<_>>().join(" + ")
}

fn details(out: &mut String, topology: Topology, proposal: &Proposal, lengths: &Lengths) {
    let _ = writeln!(out, "{} in full\n", topology.word());
    let mut rows =
        vec![["supply", "type", "output", "volts", "amps", "at most", "luminaires", "loading"].map(str::to_owned)];
    for supply in &proposal.supplies {
        for (index, output) in supply.outputs.iter().enumerate() {
            let first = |text: String| if index == 0 { text } else { String::new() };
            rows.push([
                first(supply.id.clone()),
                first(supply.r#type.clone()),
                output.name.clone(),
                format!("{} V", terminal::number(output.volts)),
                format!("{:.2} A", output.amps),
                format!("{:.2} A", output.circuit_limit_a),
                output.luminaires.to_string(),
                first(format!("{:.1} %", supply.loading_percent)),
            ]);
        }
    }
    columns(out, &rows);
    let mut rows = vec![["run", "cable", "length", "amps", "route"].map(str::to_owned)];
    for run in &proposal.runs {
        rows.push([
            run.id.clone(),
            run.cable.clone(),
            lengths.show(run.length_m),
            format!("{:.2} A", run.amps),
            run.route.join(" - "),
        ]);
    }
    columns(out, &rows);
    if !proposal.minimal {
        let _ = writeln!(out, "not every run was tried a size smaller: the plan is too large for that");
    }
    for finding in &proposal.findings {
        let text = format!("{} {}: {}", finding.level.word(), finding.rule, finding.message);
        let _ = writeln!(out, "{}", escape::terminal(&text));
    }
    for missing in &proposal.undetermined {
        let text = format!("? {} could not be judged, for want of {}", missing.rule, missing.missing.join(", "));
        let _ = writeln!(out, "{}", escape::terminal(&text));
    }
    if !proposal.findings.is_empty() || !proposal.undetermined.is_empty() {
        out.push('\n');
    }
}
