//! Bare conductors outdoors.

use crate::edition::is_nec;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::CableKind;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "burial/bare-conductor",
    title: "Bare conductors are used outdoors",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "411.6(C)", Confirmed),
        Citation::nec(Code::Nec2020, "411.6(C)", Confirmed),
        Citation::nec(Code::Nec2023, "411.7(C)", Confirmed),
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
    for run in input.runs() {
        let cable = input.cable_type(run);
        let is_bare = cable.kind == Some(CableKind::Bare);
        // A kind that is not bare, or anything that only insulation has.
        let is_insulated = cable.kind.is_some() && !is_bare
            || cable.kind.is_none()
                && (cable.direct_burial == Some(true)
                    || cable.insulation_degc.is_some()
                    || cable.voltage_rating_v.is_some());
        match (is_bare, is_insulated, nec) {
            (_, true, _) => report.checked(&run.id),
            (true, ..) if nec.is_none() => report.undetermined(&run.id, ["`project.code`"]),
            (true, ..) => {
                let level =
                    if input.project().code == Some(Code::Nec2026) { Level::Reminder } else { Level::Violation };
                report
                    .finding(&run.id)
                    .level(level)
                    .field("cable")
                    .message(format!(
                        "{} is of bare conductors ({}); low-voltage lighting may have them indoors only",
                        run.id, cable.name
                    ))
                    .help(
                        "use an insulated cable that is made for its place; the authority having jurisdiction decides",
                    )
                    .add();
            }
            (false, false, _) => report.undetermined(&run.id, [format!("`kind` of cable type `{}`", cable.name)]),
        }
    }
}
