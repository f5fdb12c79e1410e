//! A cable under a driveway, a parking area or a road that lies in the ground without a sleeve.

use crate::stretch::{self, Stretch};
use lintern_rule::plan::{Method, Zone, ZoneKind};
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
    let crossings: Vec<&Zone> = input.zones().iter().filter(|zone| stretch::has_vehicles(zone.kind)).collect();
    for (index, run) in input.runs().iter().enumerate() {
        let ways = stretch::ways(input, index);
        if ways.buried.is_empty() && ways.unplaced.is_empty() && !ways.unknown_method {
            continue;
        }
        if !crossings.is_empty() && !ways.unplaced.is_empty() {
            report.undetermined(&run.id, ways.unplaced.iter().map(String::as_str));
        } else if !crossings.is_empty() && ways.unknown_method {
            report.undetermined(&run.id, ["`method`"]);
        } else {
            report.checked(&run.id);
        }
        for zone in &crossings {
            let bare = |stretch: &&Stretch<'_>| {
                stretch.method() == Some(Method::DirectBurial)
                    && stretch.zones(input).any(|inside| inside.id == zone.id)
            };
            let under: Vec<Stretch<'_>> = ways.buried.iter().filter(bare).copied().collect();
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
                .help("lay it in conduit there, with a pull string, so that it can be replaced without opening the paving")
                .add();
        }
    }
}
