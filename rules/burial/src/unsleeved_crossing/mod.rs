//! A cable under a driveway, a parking area or a road that lies in the ground without a sleeve.

use crate::stretch;
use lintern_rule::plan::{Method, ZoneKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "burial/unsleeved-crossing",
    title: "A cable crosses under vehicles without a sleeve",
    level: Level::Advice,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let any_crossing = input.zones().iter().any(|zone| stretch::has_vehicles(zone.kind));
    for (index, run) in input.runs().iter().enumerate() {
        let ways = stretch::ways(input, index);
        if ways.buried.is_empty() && ways.unplaced.is_empty() && !ways.unknown_method {
            continue;
        }
        if any_crossing && !ways.unplaced.is_empty() {
            report.undetermined(&run.id, ways.unplaced.iter().map(String::as_str));
        } else if any_crossing && ways.unknown_method {
            report.undetermined(&run.id, ["`method`"]);
        } else {
            report.checked(&run.id);
        }
        let bare = ways.buried.iter().filter(|stretch| stretch.method() == Some(Method::DirectBurial)).copied();
        for (zone, under) in stretch::by_zone(input, bare, stretch::has_vehicles) {
            let Some(first) = under.first() else { continue };
            let kind = match zone.kind {
                ZoneKind::Road => "road",
                ZoneKind::Parking => "parking area",
                _ => "driveway",
            };
            report
                .finding(&run.id)
                .field(first.method_field())
                .related([zone.id.as_str()])
                .message(format!(
                    "{} lies under the {kind} {} without a sleeve, {}",
                    run.id,
                    zone.id,
                    stretch::places(input, &under, stretch::is_metric(input, run))
                ))
                .help("lay it in a conduit or duct there, with a draw string, so that it can be replaced without opening the paving")
                .add();
        }
    }
}
