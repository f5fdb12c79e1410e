//! An underwater luminaire whose lens is too near the surface of a pool.

use crate::distance::Both;
use crate::support::{Family, family, level};
use crate::table::{LEAST_LENS_DEPTH, LENS_DEPTH};
use crate::underwater::submerged;
use crate::water::BATHING;
use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::Aim;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/shallow-pool-luminaire",
    title: "The lens of an underwater luminaire is too near the surface of a pool",
    level: Level::Violation,
    waivable: true,
    settings: &[
        Setting::table("minimum-depth", "in", Tighter::Higher, "depth of the lens of a luminaire not listed for less"),
        Setting::table("minimum-depth-metric", "mm", Tighter::Higher, "the same for a depth in a metric unit"),
    ],
    citations: &[
        Citation::nec(Code::Nec2017, "680.23(A)(5)", Confirmed),
        Citation::nec(Code::Nec2020, "680.23(A)(5)", Confirmed),
        Citation::nec(Code::Nec2023, "680.23(A)(5)", Memory),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    if family(input) == Some(Family::Iec) {
        return;
    }
    for own in submerged(input, BATHING, report) {
        let id = &own.luminaire.id;
        let Some(depth) = &own.luminaire.water_depth else {
            report.undetermined(id, [format!("`water-depth` of {id}")]);
            continue;
        };
        if input.project().code.is_none() {
            report.undetermined(id, ["`project.code`"]);
            continue;
        }
        report.checked(id);
        let (depth, unit) = if depth.is_metric() { (depth.millimetres(), "mm") } else { (depth.inches(), "in") };
        let number = |both: Both| if unit == "mm" { both.metres * 1000.0 } else { both.feet * 12.0 };
        let least = Limit::new(
            "least depth of any lens",
            number(LEAST_LENS_DEPTH),
            unit,
            Tighter::Higher,
            "NFPA 70, 680.23(A)(5)",
        );
        let usual = Limit::new("depth of the lens", number(LENS_DEPTH), unit, Tighter::Higher, "NFPA 70, 680.23(A)(5)")
            .given(settings, if unit == "mm" { "minimum-depth-metric" } else { "minimum-depth" });
        report.limit(id, &usual);
        report.limit(id, &least);
        // A luminaire in the floor is not among the wall-mounted ones.
        let in_floor = own.luminaire.aim == Some(Aim::Up);
        let [of_least, of_usual] = [&least, &usual].map(|limit| limit.compare(depth).field("water-depth"));
        let (broken, own_level, fault) = if !of_least.passes() {
            (of_least, level(input, Level::Violation), "no lens may be so shallow")
        } else if !in_floor && !of_usual.passes() {
            (of_usual, Level::Reminder, "confirm that it is listed and identified for so little water")
        } else {
            report.passes(id, &of_least);
            if !in_floor {
                report.passes(id, &of_usual);
            }
            continue;
        };
        let limit = broken.limit();
        report
            .finding(id)
            .level(own_level)
            .related(own.waters.iter().map(|near| near.zone.id.as_str()))
            .message(format!(
                "the lens of {id} is {} {unit} below the water, less than {} {unit}; {fault}",
                shown(depth, limit.value()),
                plain(limit.value())
            ))
            .breaks(&broken)
            .help("set it deeper, or take a luminaire that is listed for this depth; the depth is that of the top of the lens below the normal water level, and the authority decides")
            .add();
    }
}
