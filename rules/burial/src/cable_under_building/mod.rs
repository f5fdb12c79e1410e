//! A cable that lies under a building without a raceway.

use crate::circuit::Circuit;
use crate::edition::{binding, is_nec};
use crate::fitness::is_armoured;
use crate::stretch::{self, Stretch};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Method, Run, Zone, ZoneKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "burial/cable-under-building",
    title: "A cable lies under a building without a raceway",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "300.5(C)", Confirmed),
        Citation::nec(Code::Nec2020, "300.5(C)", Confirmed),
        Citation::nec(Code::Nec2023, "300.5(C)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    if nec == Some(false) {
        return;
    }
    let any_building = input.zones().iter().any(|zone| zone.kind == ZoneKind::Building);
    for (index, run) in input.runs().iter().enumerate() {
        let ways = stretch::ways(input, index);
        if ways.buried.is_empty() && ways.unplaced.is_empty() && !ways.unknown_method {
            continue;
        }
        if any_building && !ways.unplaced.is_empty() {
            report.undetermined(&run.id, ways.unplaced.iter().map(String::as_str));
        } else if any_building && ways.unknown_method {
            report.undetermined(&run.id, ["`method`"]);
        } else {
            report.checked(&run.id);
        }
        let bare = ways.buried.iter().filter(|stretch| stretch.method() == Some(Method::DirectBurial)).copied();
        for (zone, under) in stretch::by_zone(input, bare, |kind| kind == ZoneKind::Building) {
            if nec.is_none() {
                report.undetermined(&run.id, ["`project.code`"]);
                continue;
            }
            judge(input, report, run, zone, &under);
        }
    }
}

fn judge(input: &Input, report: &mut Report, run: &Run, zone: &Zone, under: &[Stretch<'_>]) {
    let cable = input.cable_type(run);
    if is_armoured(cable) {
        // Metal-clad cable that is listed for direct burial may do without.
        match cable.direct_burial {
            Some(true) => return report.checked(&run.id),
            None => return report.undetermined(&run.id, [format!("`direct-burial` of cable type `{}`", cable.name)]),
            Some(false) => {}
        }
    }
    // A stretch that ends at a node inside may go through the wall above the ground.
    let passing: Vec<Stretch<'_>> = under.iter().filter(|stretch| stretch.nodes().next().is_none()).copied().collect();
    if passing.len() < under.len() {
        report.undetermined(&run.id, [format!("how {} is laid in {} (`covers` with a `method`)", run.id, zone.id)]);
    }
    let Some(first) = passing.first() else { return };
    let (level, basis) = binding(input, &Circuit::of(input, run), &RULE);
    report
        .finding(&run.id)
        .level(level)
        .basis(basis)
        .field(first.method_field())
        .related([zone.id.as_str()])
        .message(format!(
            "{} lies under the building {} without a raceway, {}",
            run.id,
            zone.id,
            stretch::places(input, &passing, stretch::is_metric(input, run))
        ))
        .help("lay it in a raceway under the building, or lead it round; the authority having jurisdiction decides")
        .add();
}
