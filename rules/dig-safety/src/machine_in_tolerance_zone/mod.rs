//! A machine digs in the tolerance zone of a buried line.

use crate::nearness::{
    CGA, Kept, Pair, ZONE_SETTINGS, forbidden_to_machines_in, method_in_zone, pairs, unknown_zone, zone_limit,
};
use crate::states::Place;
use lintern_rule::compare::{below, plain};
use lintern_rule::outcome::Layer;
use lintern_rule::plan::{DigMethod, Located};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/machine-in-tolerance-zone",
    title: "A machine digs in the tolerance zone of a buried line",
    level: Level::Violation,
    waivable: true,
    settings: ZONE_SETTINGS,
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if input.utilities().is_empty() {
        return;
    }
    let place = Place::of(input);
    let limit = zone_limit(&place, settings);
    let unknown = unknown_zone(&place).filter(|_| limit.layer() == Layer::Code);
    let (pairs, unplaced) = pairs(input);
    for (id, missing) in unplaced {
        report.undetermined(id, [missing]);
    }
    for pair in &pairs {
        report.limit(pair.id, &limit);
        judge(input, &place, &limit, unknown.as_ref(), pair, report);
    }
}

fn judge(
    input: &Input,
    place: &Place,
    limit: &Limit,
    unknown: Option<&(String, f64)>,
    pair: &Pair,
    report: &mut Report,
) {
    let unit = limit.unit();
    // Where the zone is not known, only the widest one of any state can be a pass.
    let passing = unknown.map_or(limit.value(), |(_, widest)| widest.max(limit.value()));
    match (pair.keeps(limit.value(), unit), pair.keeps(passing, unit)) {
        (_, Kept::Outside) => return pair.passes(limit, unknown, report),
        (Kept::Turns, _) | (Kept::Outside, Kept::Turns) => return report.undetermined(pair.id, pair.missing()),
        (Kept::Outside, Kept::Inside) => {
            return report.undetermined(pair.id, unknown.map(|(missing, _)| missing.as_str()));
        }
        (Kept::Inside, _) => {}
    }
    match method_in_zone(input) {
        Some(DigMethod::Machine) => {}
        Some(DigMethod::Hand | DigMethod::Vacuum) => return report.checked(pair.id),
        None => return report.undetermined(pair.id, ["`dig.method`"]),
    }
    let forbidden = forbidden_to_machines_in(place, pair.utility)
        .is_some_and(|zone_in| pair.crosses || below(pair.clear("in"), zone_in));
    let level = match (forbidden, limit.layer()) {
        (true, _) => Level::Violation,
        (false, Layer::Local) if pair.utility.located == Some(Located::Marked) => Level::Violation,
        (false, Layer::House) => Level::Advice,
        (false, _) => Level::Reminder,
    };
    let sure = match pair.utility.located {
        Some(Located::Marked) => "",
        Some(Located::Private) => ", a private line",
        Some(Located::Assumed) => ", whose place is assumed",
        None => ", and the plan does not say how it was located",
    };
    let draft = report
        .finding(pair.id)
        .level(level)
        .basis(CGA)
        .related([&pair.utility.id])
        .message(format!(
            "{} {} is dug by machine {}{sure}{}; the tolerance zone reaches {} {unit} from the edge of the line",
            pair.what(),
            pair.id,
            pair.distance_words(limit),
            pair.place_words(input),
            plain(limit.value()),
        ))
        .breaks(&limit.compare(pair.measured(unit)));
    // The law speaks of lines that operators mark.
    let draft = if pair.utility.located == Some(Located::Marked) { draft } else { draft.basis(CGA) };
    draft
        .help("expose the line by hand or vacuum first (`dig.in-tolerance-zone: hand`), or move the trench or the hole; the operator of the line and the one-call center (811 in the United States) decide")
        .add();
}
