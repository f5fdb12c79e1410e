//! The ground: how deep every piece of cable lies, what it passes, and what must be done before anyone digs.

use super::super::words::{self, list, said, word};
use super::super::{Block, Check, Section, Source, Table};
use super::part;
use crate::drawing::site::method_in;
use lintern_core::analysis::site::{Piece, SegmentPlaces};
use lintern_core::layout::{Run, Segment};
use lintern_core::steps::Step;
use std::collections::BTreeMap;

/// The rule about cover.
const COVER: &str = "burial/shallow-cover";
/// Buried lines nearer than this to a place where the ground is opened are listed, m: 10 ft.
const NEAR_M: f64 = 3.048;

pub fn cover(source: &Source<'_>) -> Section {
    let titles = ["Run", "From", "To", "Ground", "#Length", "Method", "#Cover", "Findings"];
    let mut table = Table::new("Excavation and cover, piece by piece, drawn lengths", &titles);
    let mut trench_m = 0.0;
    for (run, places) in source.layout.runs.iter().zip(&source.places.runs) {
        for (segment, places) in run.segments.iter().zip(places) {
            match places {
                SegmentPlaces::Unplaced => unplaced(source, &mut table, run, segment),
                SegmentPlaces::Pieces(pieces) => {
                    for piece in pieces {
                        trench_m += piece.to_m - piece.from_m;
                        row(source, &mut table, run, segment, piece);
                    }
                }
            }
        }
    }
    let mut blocks = vec![table.or("The plan has no runs.")];
    if trench_m > 0.0 {
        blocks.push(Block::Text(format!(
            "Routes as drawn come to {}; runs that share a trench are each counted.",
            words::length(source.layout, trench_m)
        )));
    }
    blocks.push(limits(source).or("The rule about cover held no number against a limit."));
    part("cover", "Excavation and cover", blocks)
}

fn row(source: &Source<'_>, table: &mut Table, run: &Run, segment: &Segment, piece: &Piece) {
    let layout = source.layout;
    let exception = run.covers.iter().find(|cover| piece.zones.contains(&cover.zone));
    let cover = exception.and_then(|exception| exception.cover).or(run.cover);
    let ground: Vec<&str> =
        piece.zones.iter().filter_map(|zone| Some(layout.zones.get(*zone)?.id.0.as_str())).collect();
    table.row(
        [
            run.id.to_string(),
            layout.node_name(segment.from),
            layout.node_name(segment.to),
            if ground.is_empty() { "open ground".to_owned() } else { list(&ground) },
            words::length(layout, piece.to_m - piece.from_m),
            word(method_in(run, &piece.zones)),
            said(cover),
            source.numbers(&run.id.0),
        ],
        source.fails(&run.id.0, &["burial"]),
    );
}

/// Covers against the limits that the rule about them applied, each with where it comes from: a run that passes under
/// several kinds of ground has several.
fn limits(source: &Source<'_>) -> Table {
    let titles = ["Run", "Field", "#Cover", "#Least", "By", "Verdict"];
    let mut table = Table::new("Covers against the limits that were applied", &titles);
    for run in &source.layout.runs {
        for margin in source.margins(COVER, &run.id.0) {
            let unit = margin["unit"].as_str().unwrap_or_default();
            let measure = |key: &str| words::unit(margin[key].as_f64(), unit);
            let fails = margin["passes"] == false;
            table.row(
                [
                    run.id.to_string(),
                    said(margin["field"].as_str()),
                    measure("measured"),
                    measure("limit"),
                    // The line of the work behind that of what was measured.
                    said(margin["work"][1]["from"].as_str()),
                    if fails { "FAILS" } else { "passes" }.to_owned(),
                ],
                fails,
            );
        }
    }
    table
}

fn unplaced(source: &Source<'_>, table: &mut Table, run: &Run, segment: &Segment) {
    let layout = source.layout;
    table.row(
        [
            run.id.to_string(),
            layout.node_name(segment.from),
            layout.node_name(segment.to),
            "NOT PLACED".to_owned(),
            words::length(layout, segment.length_m),
            word(run.method),
            said(run.cover),
            source.numbers(&run.id.0),
        ],
        source.fails(&run.id.0, &["burial"]),
    );
}

pub fn digging(source: &Source<'_>) -> Section {
    let intro = "Nobody digs by this paper. Ask the one-call service, wait until every operator has answered, keep to \
                 the marks, and expose lines by hand or by vacuum where they are near.";
    let notice = format!("Notice before digging: {}.", source.notice);
    let blocks = vec![Block::Text(intro.to_owned()), Block::Text(notice), lines(source), Block::Checks(checks(source))];
    part("digging", "Before digging, and the steps of the work", blocks)
}

/// The steps of the work, as the plan records them.
fn checks(source: &Source<'_>) -> Vec<Check> {
    let check = |step: &Step| {
        let date = step.date.map(|date| format!(" {date}")).unwrap_or_default();
        Check {
            done: step.state.is_settled(),
            state: format!("{}{date}", step.state.word().replace('-', " ")),
            title: step.title.to_owned(),
            detail: format!("{} ({})", step.detail, step.source),
        }
    };
    source.steps.iter().map(check).collect()
}

/// Buried lines near a place where the ground is opened, the nearest one of each.
fn lines(source: &Source<'_>) -> Block {
    let layout = source.layout;
    let mut near: BTreeMap<(usize, String), (f64, bool)> = BTreeMap::new();
    let mut add = |utility: usize, what: String, distance_m: f64, crosses: bool| {
        let entry = near.entry((utility, what)).or_insert((f64::INFINITY, false));
        *entry = (entry.0.min(distance_m), entry.1 || crosses);
    };
    for (run, places) in layout.runs.iter().zip(&source.places.runs) {
        for places in places {
            let SegmentPlaces::Pieces(pieces) = places else { continue };
            for facts in pieces.iter().flat_map(|piece| &piece.utilities) {
                add(facts.utility, format!("run {}", run.id), facts.distance_m, facts.crosses);
            }
        }
    }
    for (luminaire, place) in layout.luminaires.iter().zip(&source.places.luminaires) {
        let holes = place.iter().filter(|_| luminaire.excavation.is_some());
        for facts in holes.flat_map(|place| &place.utilities) {
            add(facts.utility, format!("hole of {}", luminaire.id), facts.distance_m, facts.crosses);
        }
    }
    let mut table = Table::new(
        "Buried lines within 10 ft of the excavation",
        &["Line", "Kind", "Located", "#Depth", "Near", "#Distance"],
    );
    let mut near: Vec<_> = near.into_iter().filter(|(_, (distance_m, _))| *distance_m <= NEAR_M).collect();
    near.sort_by(|a, b| (a.0.0, a.1.0).partial_cmp(&(b.0.0, b.1.0)).unwrap_or(std::cmp::Ordering::Equal));
    for ((utility, what), (distance_m, crosses)) in near {
        let Some(utility) = layout.utilities.get(utility) else { continue };
        let distance = if crosses { "crosses".to_owned() } else { words::length(layout, distance_m) };
        table.row(
            [
                utility.id.to_string(),
                word(Some(utility.kind)),
                word(utility.located),
                said(utility.depth),
                what,
                distance,
            ],
            false,
        );
    }
    match layout.utilities.is_empty() {
        true => {
            Block::Text("The plan shows no buried lines of others. That is no sign that there are none.".to_owned())
        }
        false => table.or("No buried line of the plan is within 10 ft of the excavation."),
    }
}
