//! The ground: how deep every piece of cable lies, what it passes, and what must be done before anyone digs.

use super::super::words::{self, list, said, word};
use super::super::{Block, Check, Section, Source, Table};
use super::part;
use crate::drawing::site::method_in;
use lintern_core::analysis::site::{Piece, SegmentPlaces, UtilityDistance};
use lintern_core::layout::{CoverInZone, Layout, Run, Segment};
use lintern_core::steps::Step;
use std::collections::{BTreeMap, BTreeSet};

/// The rule about cover.
const COVER: &str = "burial/shallow-cover";
/// Buried lines nearer than this to a place where the ground is opened are listed, m: 10 ft.
const NEAR_M: f64 = 3.048;

pub fn cover(source: &Source<'_>) -> Section {
    let titles = ["Run", "From", "To", "In zones, edges included", "#Length", "Method", "#Cover", "Findings"];
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
    let cover = cover_in(layout, run, &piece.zones);
    let ground: Vec<&str> =
        piece.zones.iter().filter_map(|zone| Some(layout.zones.get(*zone)?.id.0.as_str())).collect();
    table.row(
        [
            run.id.to_string(),
            layout.node_name(segment.from),
            layout.node_name(segment.to),
            if ground.is_empty() { "open ground".to_owned() } else { list(&ground) },
            words::length(layout, piece.to_m - piece.from_m),
            method_in(run, &piece.zones).map_or_else(|| "not stated or several".to_owned(), |m| word(Some(m))),
            cover,
            source.numbers(&run.id.0),
        ],
        source.fails(&run.id.0, &["burial"]),
    );
}

/// The cover of a run where it lies in these zones. Where the plan states several, all are told: which of them holds is
/// for the rules to say, and for the plan to make clear.
fn cover_in(layout: &Layout, run: &Run, zones: &[usize]) -> String {
    let stated: Vec<_> =
        run.covers.iter().filter(|entry| zones.contains(&entry.zone) && entry.cover.is_some()).collect();
    match stated.as_slice() {
        [] => said(run.cover),
        [only] => said(only.cover),
        several => {
            let of = |entry: &&CoverInZone| {
                let zone = layout.zones.get(entry.zone).map_or("?", |zone| zone.id.0.as_str());
                format!("{} by {zone}", said(entry.cover))
            };
            format!("SEVERAL: {}", several.iter().map(of).collect::<Vec<_>>().join(", "))
        }
    }
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
    let mut blocks = vec![Block::Text(intro.to_owned()), Block::Text(notice)];
    blocks.extend(lines(source));
    blocks.push(Block::Checks(checks(source)));
    part("digging", "Before digging, and the steps of the work", blocks)
}

/// The steps of the work, as the plan records them.
fn checks(source: &Source<'_>) -> Vec<Check> {
    let check = |step: &Step| {
        let date = step.date.map(|date| format!(" {date}")).unwrap_or_default();
        // What a rule found about the same field goes before what the plan records.
        let found = source.findings.iter().filter(|(_, finding)| {
            let field = finding.field.strip_prefix(step.source);
            finding.subject.is_empty() && field.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        });
        let found: String = found.map(|(number, _)| format!("; see #{number}")).collect();
        Check {
            done: step.state.is_settled() && found.is_empty(),
            state: format!("{}{date}{found}", step.state.word().replace('-', " ")),
            title: step.title.to_owned(),
            detail: format!("{} ({})", step.detail, step.source),
        }
    };
    source.steps.iter().map(check).collect()
}

/// Buried lines near a place where the ground is opened, the nearest one of each.
fn lines(source: &Source<'_>) -> Vec<Block> {
    let layout = source.layout;
    let mut near: BTreeMap<(usize, String), (f64, bool)> = BTreeMap::new();
    let mut unplaced: BTreeSet<String> = BTreeSet::new();
    let mut add = |facts: &UtilityDistance, what: String, own_m: f64| {
        let width_m = layout.utilities.get(facts.utility).and_then(|utility| utility.width).map_or(0.0, |w| w.si());
        let entry = near.entry((facts.utility, what)).or_insert((f64::INFINITY, false));
        let clear_m = (facts.distance_m - width_m / 2.0 - own_m).max(0.0);
        *entry = (entry.0.min(clear_m), entry.1 || facts.crosses);
    };
    for (run, places) in layout.runs.iter().zip(&source.places.runs) {
        for places in places {
            match places {
                SegmentPlaces::Unplaced => drop(unplaced.insert(format!("run {}", run.id))),
                SegmentPlaces::Pieces(pieces) => {
                    for facts in pieces.iter().flat_map(|piece| &piece.utilities) {
                        add(facts, format!("run {}", run.id), 0.0);
                    }
                }
            }
        }
    }
    for (luminaire, place) in layout.luminaires.iter().zip(&source.places.luminaires) {
        let Some(hole) = &luminaire.excavation else { continue };
        let what = format!("hole of {}", luminaire.id);
        match place {
            None => drop(unplaced.insert(what)),
            Some(place) => {
                let half_m = hole.width.map_or(0.0, |width| width.si() / 2.0);
                place.utilities.iter().for_each(|facts| add(facts, what.clone(), half_m));
            }
        }
    }
    let mut table = Table::new(
        "Buried lines within 10 ft: from the edge of the hole or the middle of the trench to the edge of the line, where widths are stated",
        &["Line", "Kind", "Located", "#Depth", "#Width", "Near", "#Clear"],
    );
    let mut near: Vec<_> = near.into_iter().filter(|(_, (clear_m, _))| *clear_m <= NEAR_M).collect();
    near.sort_by(|a, b| a.0.0.cmp(&b.0.0).then(a.1.0.total_cmp(&b.1.0)));
    for ((utility, what), (clear_m, crosses)) in near {
        let Some(utility) = layout.utilities.get(utility) else { continue };
        let clear = if crosses { "crosses".to_owned() } else { words::length(layout, clear_m) };
        let located = word(utility.located);
        let cells = [
            utility.id.to_string(),
            word(Some(utility.kind)),
            located,
            said(utility.depth),
            said(utility.width),
            what,
            clear,
        ];
        table.row(cells, false);
    }
    let mut blocks = vec![match layout.utilities.is_empty() {
        true => {
            Block::Text("The plan shows no buried lines of others. That is no sign that there are none.".to_owned())
        }
        false => table.or("Of what has a place, nothing is within 10 ft of a buried line of the plan."),
    }];
    if !unplaced.is_empty() {
        let names = unplaced.into_iter().collect::<Vec<_>>().join(", ");
        blocks.push(Block::Text(format!("NOT KNOWN, since they have no place: {names}.")));
    }
    blocks
}
