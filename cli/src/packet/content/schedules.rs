//! Schedules: what is installed, by type and one by one.

use super::super::words::{self, NONE, list, said, unit, word, yes};
use super::super::{Section, Source, Table};
use super::part;
use crate::drawing::site::{installed, letters};
use lintern_core::layout::{Layout, Luminaire};
use std::collections::BTreeMap;

pub fn section(source: &Source<'_>) -> Section {
    let none = "The plan has none.";
    part(
        "schedules",
        "Schedules",
        vec![
            luminaire_types(source).or(none),
            luminaires(source).or(none),
            cables(source.layout).or(none),
            runs(source).or(none),
            supplies(source).or(none),
            feeds(source).or("No supply."),
            junctions(source).or("No junctions."),
        ],
    )
}

fn luminaire_types(source: &Source<'_>) -> Table {
    let titles = [
        "Mark",
        "Type",
        "#Number",
        "#Power",
        "#Apparent power",
        "#Nominal",
        "Input range",
        "Current",
        "IP",
        "Listed for",
        "#CCT",
        "#Flux",
    ];
    let mut table = Table::new("Luminaire types", &titles);
    for (i, kind) in installed(source.layout).iter().enumerate() {
        let number = source.layout.luminaires.iter().filter(|luminaire| luminaire.kind.name == kind.name).count();
        let range = kind.input_min.zip(kind.input_max).map(|(min, max)| format!("{min} to {max}"));
        table.row(
            [
                letters(i),
                kind.name.to_string(),
                number.to_string(),
                kind.power.to_string(),
                unit(kind.apparent_power.map(|va| va.si()), "VA"),
                kind.nominal.to_string(),
                said(range),
                word(kind.current),
                list(&kind.ip),
                word(kind.location),
                said(kind.cct),
                said(kind.flux),
            ],
            false,
        );
    }
    table
}

fn luminaires(source: &Source<'_>) -> Table {
    let titles = ["Id", "Mark", "Type", "#Place", "Placement", "Splice", "Excavation", "Base", "Drain", "Findings"];
    let mut table = Table::new("Luminaires", &titles);
    let kinds = installed(source.layout);
    for luminaire in &source.layout.luminaires {
        let mark = kinds.iter().position(|kind| kind.name == luminaire.kind.name).map(letters);
        let [excavation, base, drain] = hole(luminaire);
        table.row(
            [
                luminaire.id.to_string(),
                said(mark),
                luminaire.kind.name.to_string(),
                place(source.layout, luminaire.at),
                word(luminaire.placement),
                said(luminaire.splice.as_ref().map(|splice| &splice.name)),
                excavation,
                base,
                drain,
                source.numbers(&luminaire.id.0),
            ],
            source.marks.fails(&luminaire.id.0),
        );
    }
    table
}

/// Size, base and drain of the hole.
fn hole(luminaire: &Luminaire) -> [String; 3] {
    let Some(hole) = &luminaire.excavation else { return [NONE, NONE, NONE].map(str::to_owned) };
    let size = match (hole.width, hole.depth) {
        (None, None) => NONE.to_owned(),
        (width, depth) => format!("{} wide, {} deep", said(width), said(depth)),
    };
    let base = match (hole.base, hole.base_depth) {
        (None, None) => NONE.to_owned(),
        (base, depth) => format!("{} {}", said(depth), word(base)),
    };
    [size, base, word(hole.drain)]
}

/// A place in the unit of the grid.
fn place(layout: &Layout, at: Option<lintern_core::layout::PointM>) -> String {
    let Some(at) = at else { return NONE.to_owned() };
    let metres = if layout.is_in_feet() { lintern_core::plan::quantity::METRES_PER_FOOT } else { 1.0 };
    // A thousandth of the grid unit, as written but for that.
    let number = |m: f64| ((m / metres * 1e3).round() / 1e3 + 0.0).to_string();
    format!("{}, {}", number(at.x_m), number(at.y_m))
}

fn cables(layout: &Layout) -> Table {
    let titles =
        ["Type", "Conductor", "Kind", "Insulation", "For direct burial", "#Runs", "#Segments", "#Cable in all"];
    let mut table = Table::new("Cable, with slack", &titles);
    let mut totals: BTreeMap<&str, (usize, usize, f64)> = BTreeMap::new();
    for run in &layout.runs {
        let total = totals.entry(&run.cable.name.0).or_default();
        total.0 += 1;
        total.1 += run.segments.len();
        total.2 += run.segments.iter().map(|segment| segment.length_m).sum::<f64>();
    }
    for (name, (runs, segments, length_m)) in &totals {
        let Some(cable) = layout.runs.iter().map(|run| &run.cable).find(|cable| cable.name.0 == *name) else {
            continue;
        };
        let parallel = if cable.parallel > 1 { format!(" x {} in parallel", cable.parallel) } else { String::new() };
        table.row(
            [
                (*name).to_owned(),
                format!("{}{parallel}", said(cable.conductor.as_ref())),
                word(cable.kind),
                said(cable.insulation),
                yes(cable.direct_burial),
                runs.to_string(),
                segments.to_string(),
                words::length(layout, *length_m),
            ],
            false,
        );
    }
    let all_m: f64 = totals.values().map(|(.., length_m)| length_m).sum();
    if totals.len() > 1 {
        let empty = String::new;
        let (runs, segments) = totals.values().fold((0, 0), |(r, s), total| (r + total.0, s + total.1));
        let all = "All".to_owned();
        let length = words::length(layout, all_m);
        table.row([all, empty(), empty(), empty(), empty(), runs.to_string(), segments.to_string(), length], false);
    }
    table
}

fn runs(source: &Source<'_>) -> Table {
    let titles = ["Run", "Cable", "Route", "#Length", "Method and cover", "Findings"];
    let mut table = Table::new("Runs", &titles);
    for run in &source.layout.runs {
        let mut route: Vec<String> = Vec::new();
        for segment in &run.segments {
            route.push(source.layout.node_name(segment.from));
            let bends = segment.path.get(1..segment.path.len().saturating_sub(1)).unwrap_or_default();
            route.extend(bends.iter().map(|bend| format!("({})", place(source.layout, Some(*bend)))));
        }
        route.extend(run.segments.last().map(|s| source.layout.node_name(s.to)));
        let exceptions = run.covers.iter().filter_map(|cover| {
            let zone = source.layout.zones.get(cover.zone)?;
            let said = [cover.method.map(|m| word(Some(m))), cover.cover.map(|c| c.to_string())];
            Some(format!("; in {}: {}", zone.id, said.into_iter().flatten().collect::<Vec<_>>().join(", ")))
        });
        let exceptions: String = exceptions.collect();
        let length_m = run.segments.iter().map(|segment| segment.length_m).sum();
        table.row(
            [
                run.id.to_string(),
                run.cable.name.to_string(),
                route.join(" – "),
                words::length(source.layout, length_m),
                format!("{}, {}{exceptions}", word(run.method), said(run.cover)),
                source.numbers(&run.id.0),
            ],
            source.marks.fails(&run.id.0),
        );
    }
    table
}

fn supplies(source: &Source<'_>) -> Table {
    let titles = ["Id", "Type", "#Rating", "Outputs", "Listing", "Enclosure", "#Above ground", "Findings"];
    let mut table = Table::new("Supplies", &titles);
    for supply in &source.layout.supplies {
        let kind = &supply.kind;
        let output = |output: &lintern_core::layout::Output| {
            let limit = output.limit.map(|limit| format!(", at most {limit}")).unwrap_or_default();
            let device = output.protection.map(|amps| format!(", {amps} device")).unwrap_or_default();
            format!("{}: {} {}{limit}{device}", output.name, output.volts, kind.output_current)
        };
        table.row(
            [
                supply.id.to_string(),
                kind.name.to_string(),
                said(kind.rating),
                kind.outputs.iter().map(output).collect::<Vec<_>>().join("; "),
                word(kind.listing),
                said(kind.enclosure.as_ref()),
                said(supply.mount_height),
                source.numbers(&supply.id.0),
            ],
            source.marks.fails(&supply.id.0),
        );
    }
    table
}

fn feeds(source: &Source<'_>) -> Table {
    let titles = [
        "Supply",
        "Circuit",
        "#Breaker",
        "Connection",
        "GFCI",
        "#RCD",
        "In-use cover",
        "Weather-resistant",
        "#Input",
        "Isolating",
        "Grounded output",
        "Pool listed",
        "Exposure",
    ];
    let mut table = Table::new("How supplies are fed; a dash is not stated", &titles);
    for supply in &source.layout.supplies {
        let (feed, kind) = (supply.feed.clone().unwrap_or_default(), &supply.kind);
        table.row(
            [
                supply.id.to_string(),
                said(feed.circuit),
                said(feed.breaker),
                word(feed.connection),
                yes(feed.gfci),
                said(feed.rcd),
                yes(feed.in_use_cover),
                yes(feed.weather_resistant),
                said(kind.input_volts),
                yes(kind.isolating),
                yes(kind.grounded_output),
                yes(kind.pool_listed),
                word(supply.exposure),
            ],
            false,
        );
    }
    table
}

fn junctions(source: &Source<'_>) -> Table {
    let mut table = Table::new("Junctions", &["Id", "#Place", "Splice", "Splice listed for", "Box", "Findings"]);
    for junction in &source.layout.junctions {
        let splice = junction.splice.as_ref();
        table.row(
            [
                junction.id.to_string(),
                place(source.layout, junction.at),
                said(splice.map(|splice| &splice.name)),
                word(splice.and_then(|splice| splice.location)),
                word(junction.above_ground_box),
                source.numbers(&junction.id.0),
            ],
            source.marks.fails(&junction.id.0),
        );
    }
    table
}
