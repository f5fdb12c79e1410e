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
    super::pretty(&document)
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
        if let Some(note) = &result.note {
            let _ = writeln!(out, "{}: {}", result.topology.word(), escape::terminal(note));
        }
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
        "load   {} of {} V {}: {} {unit} by their nameplates; at {} % of a rating: {} {unit} at least, next {rating}",
        match demand.luminaires {
            1 => "1 luminaire".to_owned(),
            count => format!("{count} luminaires"),
        },
        terminal::number(demand.nominal_v),
        demand.current.to_uppercase(),
        terminal::number(demand.nameplate_va),
        terminal::number(limit_percent),
        terminal::number(demand.least_rating_va),
    );
}

/// A row for each figure and a column for each topology, the first in rank first.
fn comparison(out: &mut String, sizing: &Sizing, lengths: &Lengths) {
    let mut results: Vec<&TopologyResult> = sizing.topologies.iter().collect();
    results.sort_by_key(|result| (result.rank.is_none(), result.rank));
    let mut rows: Vec<[String; 1 + Topology::ALL.len()]> = Vec::new();
    let mut row = |title: &str, cell: &dyn Fn(&Proposal) -> String| {
        let mut cells = std::array::from_fn(|_| String::new());
        cells[0] = title.to_owned();
        for (to, result) in cells.iter_mut().skip(1).zip(&results) {
            *to = match (title, &result.proposal) {
                ("", _) => result.topology.word().to_owned(),
                (_, None) => "-".to_owned(),
                (_, Some(proposal)) => cell(proposal),
            };
        }
        rows.push(cells);
    };
    let volts = |extreme: &Extreme| format!("{:.2} V {}", extreme.value, extreme.luminaire);
    row("", &|_| String::new());
    row("supplies", &supplies);
    row("outputs", &|p| p.supplies.iter().map(|supply| supply.outputs.len()).sum::<usize>().to_string());
    row("runs", &|p| p.runs.len().to_string());
    row("cable", &|p| lengths.show(p.cable_m));
    for (cable, conductor) in conductors(&results) {
        row(&format!("  {conductor}"), &|p| {
            let own = p.cable_by_type.iter().find(|own| own.cable == cable);
            own.map_or_else(|| "-".to_owned(), |own| lengths.show(own.length_m))
        });
    }
    row("trench", &|p| lengths.show(p.trench_m));
    row("splices", &|p| p.splices.to_string());
    row("lowest volts", &|p| volts(&p.lowest));
    row("highest volts", &|p| volts(&p.highest));
    row("without load", &|p| volts(&p.no_load));
    row("largest drop", &|p| format!("{:.2} % {}", p.largest_drop.value, p.largest_drop.luminaire));
    row("loading", &|p| format!("{:.1} %", p.supplies.iter().map(|supply| supply.loading_percent).fold(0.0, f64::max)));
    if sizing.weighted {
        row("cost", &|p| p.cost.map_or_else(|| "-".to_owned(), |cost| format!("{cost:.2}")));
    }
    row("findings", &|p| if p.findings.is_empty() { "none".to_owned() } else { p.findings.len().to_string() });
    columns(out, &rows);
    let order = if sizing.weighted {
        "cost"
    } else {
        "cable, then trench; `--cable-weight` and the other weights rank by cost"
    };
    let _ = writeln!(out, "from left to right: those without findings first, then by {order}\n");
}

/// Cable types that any proposal uses with the words for their conductors, from the smallest.
fn conductors(results: &[&TopologyResult]) -> Vec<(String, String)> {
    let mut found: Vec<(f64, String, String)> = Vec::new();
    for cable in results.iter().filter_map(|result| result.proposal.as_ref()).flat_map(|p| &p.cable_by_type) {
        if !found.iter().any(|(_, name, _)| *name == cable.cable) {
            let size = cable.conductor.as_ref().map_or_else(String::new, |size| format!("{size}, "));
            found.push((-cable.ohms_per_m, cable.cable.clone(), format!("{size}{}", cable.cable)));
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
    found.into_iter().map(|(_, cable, words)| (cable, words)).collect()
}

/// `150 VA + 2 x 300 VA`.
fn supplies(proposal: &Proposal) -> String {
    let mut counts: Vec<(&str, String, usize)> = Vec::new();
    for supply in &proposal.supplies {
        let rating = || format!("{} {}", terminal::number(supply.rating_va), supply.unit);
        match counts.iter_mut().find(|(kind, _, _)| *kind == supply.r#type) {
            Some((_, _, count)) => *count += 1,
            None => counts.push((&supply.r#type, rating(), 1)),
        }
    }
    let words = counts.into_iter().map(|(_, rating, count)| match count {
        1 => rating,
        _ => format!("{count} x {rating}"),
    });
    words.collect::<Vec<_>>().join(" + ")
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
            run.amps.map_or_else(|| "?".to_owned(), |amps| format!("{amps:.2} A")),
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
