//! A luminaire in a fountain that can't be serviced without draining it.

use crate::long_fountain_cord::FOUNTAIN_LUMINAIRES;
use crate::support::{Family, family, level};
use crate::underwater::submerged;
use lintern_rule::plan::ZoneKind;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/captive-fountain-luminaire",
    title: "A luminaire in a fountain can't be serviced without draining the water",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: FOUNTAIN_LUMINAIRES,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) {
        return;
    }
    for own in submerged(input, &[ZoneKind::Fountain], report) {
        let id = &own.luminaire.id;
        match (own.luminaire.removable, input.project().code) {
            (None, _) => report.undetermined(id, [format!("`removable` of {id}")]),
            (Some(_), None) => report.undetermined(id, ["`project.code`"]),
            (Some(true), Some(_)) => report.checked(id),
            (Some(false), Some(_)) => report
                .finding(id)
                .level(level(input, Level::Violation))
                .field("removable")
                .related(own.waters.iter().map(|near| near.zone.id.as_str()))
                .message(format!(
                    "{id} is built into the fountain so that the water has to be lowered to relamp, maintain or inspect it"
                ))
                .help("mount it on a bracket with enough cord to lift it out of the water; the authority decides")
                .add(),
        }
    }
}
