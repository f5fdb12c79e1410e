//! More exposed cord of an underwater luminaire in a fountain than may be.

use crate::support::{Family, family, level};
use crate::table::FOUNTAIN_CORD;
use crate::underwater::submerged;
use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::ZoneKind;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/long-fountain-cord",
    title: "The exposed cord of a luminaire in a fountain is too long",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table("maximum-cord", "ft", Tighter::Lower, "longest exposed cord in a fountain"),
        Setting::table("maximum-cord-metric", "m", Tighter::Lower, "the same for a length in a metric unit"),
    ],
    citations: FOUNTAIN_LUMINAIRES,
    doc: include_str!("doc.md"),
    check,
};

/// The section on luminaires in fountains.
pub const FOUNTAIN_LUMINAIRES: &[Citation] = &[
    Citation::nec(Code::Nec2017, "680.51", Confirmed),
    Citation::nec(Code::Nec2020, "680.51", Confirmed),
    Citation::nec(Code::Nec2023, "680.51", Memory),
    Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
];

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) {
        return;
    }
    for own in submerged(input, &[ZoneKind::Fountain], report) {
        let id = &own.luminaire.id;
        let Some(cord) = &own.luminaire.cord else {
            report.undetermined(id, [format!("`cord` of {id}")]);
            continue;
        };
        if input.project().code.is_none() {
            report.undetermined(id, ["`project.code`"]);
            continue;
        }
        let (length, number, unit, setting) = if cord.is_metric() {
            (cord.millimetres() / 1000.0, FOUNTAIN_CORD.metres, "m", "maximum-cord-metric")
        } else {
            (cord.inches() / 12.0, FOUNTAIN_CORD.feet, "ft", "maximum-cord")
        };
        let limit = Limit::new("exposed cord in a fountain", number, unit, Tighter::Lower, "NFPA 70, 680.51(E)")
            .given(settings, setting);
        let compared = limit.compare(length).field("cord");
        if compared.passes() {
            report.passes(id, &compared);
            continue;
        }
        report
            .finding(id)
            .level(level(input, Level::Violation))
            .related(own.waters.iter().map(|near| near.zone.id.as_str()))
            .message(format!(
                "{id} has {} {unit} of exposed cord in the fountain, more than {} {unit}",
                shown(length, limit.value()),
                plain(limit.value())
            ))
            .breaks(&compared)
            .help("bring a listed underwater box or conduit nearer to it, so that the exposed cord is shorter; the authority decides")
            .add();
    }
}
