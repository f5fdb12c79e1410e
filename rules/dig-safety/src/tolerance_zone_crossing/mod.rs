//! Opened ground lies in the tolerance zone of a buried line: somebody has to dig by hand or vacuum there.

use crate::nearness::{CGA, Kept, Pair, ZONE_SETTINGS, method_in_zone, pairs, unknown_zone, zone_limit};
use crate::states::Place;
use lintern_rule::compare::plain;
use lintern_rule::outcome::Layer;
use lintern_rule::plan::{DigMethod, Located};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/tolerance-zone-crossing",
    title: "A trench or hole lies in the tolerance zone of a buried line",
    level: Level::Reminder,
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
    let unit = limit.unit();
    let unknown = unknown_zone(&place).filter(|_| limit.layer() == Layer::Code);
    let passing = unknown.as_ref().map_or(limit.value(), |(_, widest)| widest.max(limit.value()));
    let (pairs, unplaced) = pairs(input);
    for (id, missing) in unplaced {
        report.undetermined(id, [missing]);
    }
    for pair in &pairs {
        report.limit(pair.id, &limit);
        match (pair.keeps(limit.value(), unit), pair.keeps(passing, unit)) {
            (_, Kept::Outside) => pair.passes(&limit, unknown.as_ref(), report),
            (Kept::Turns, _) | (Kept::Outside, Kept::Turns) => report.undetermined(pair.id, pair.missing()),
            (Kept::Outside, Kept::Inside) => {
                report.undetermined(pair.id, unknown.as_ref().map(|(missing, _)| missing.clone()));
            }
            // The rule on machines says more of it.
            (Kept::Inside, _) if method_in_zone(input) == Some(DigMethod::Machine) => report.checked(pair.id),
            (Kept::Inside, _) => inside(input, pair, &limit, report),
        }
    }
}

fn inside(input: &Input, pair: &Pair, limit: &Limit, report: &mut Report) {
    let draft = report
        .finding(pair.id)
        .basis(CGA)
        .related([&pair.utility.id])
        .message(format!(
            "{} {} lies {}{}: inside the tolerance zone of {} {unit}, so it is dug by hand or vacuum there",
            pair.what(),
            pair.id,
            pair.distance_words(limit),
            pair.place_words(input),
            plain(limit.value()),
            unit = limit.unit(),
        ))
        .breaks(&limit.compare(pair.measured(limit.unit())));
    // The law speaks of lines that operators mark.
    let draft = if pair.utility.located == Some(Located::Marked) { draft } else { draft.basis(CGA) };
    draft
                .help("tell the crew the place, expose the line with care before digging past it, and keep its marks, which show the place and not the depth; the operator of the line and the one-call center (811 in the United States) decide, and some laws take vacuum only with the operator's consent")
                .add();
}
