//! A cable in the sun that is not made for it.

use crate::support::{is_nec, is_open, missing_method};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::{CableKind, Method, Riser, Run};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "wet-location/sun-exposed-cable",
    title: "A cable lies in the sun and is not sunlight resistant",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "310.10(D)", Memory),
        Citation::nec(Code::Nec2020, "310.10(D)", Confirmed),
        Citation::nec(Code::Nec2023, "310.10(D)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// Whether and where a run lies in the sun.
enum Exposure {
    /// The words for where.
    Exposed(&'static str),
    /// In the ground or in a raceway all the way.
    Covered,
    /// It depends on what is missing.
    Unknown(String),
    /// The plan shows no stretch of it above ground.
    NotShown,
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    for run in input.runs() {
        let id = &run.id;
        let cable = input.cable_type(run);
        if cable.kind == Some(CableKind::Bare) {
            continue;
        }
        let exposure = exposure(run);
        let place = match (exposure, cable.sunlight_resistant) {
            (Exposure::NotShown, _) => continue,
            (Exposure::Covered, _) | (_, Some(true)) => {
                report.checked(id);
                continue;
            }
            (Exposure::Unknown(missing), _) => {
                report.undetermined(id, [missing]);
                continue;
            }
            (Exposure::Exposed(_), None) => {
                report.undetermined(id, [format!("`sunlight-resistant` of cable type `{}`", cable.name)]);
                continue;
            }
            (Exposure::Exposed(place), Some(false)) => place,
        };
        let Some(nec) = nec else {
            report.undetermined(id, ["`project.code`"]);
            continue;
        };
        report
            .finding(id)
            .level(if nec { Level::Violation } else { Level::Advice })
            .field("cable.sunlight-resistant")
            .message(format!("{id} lies in the sun {place}; cable `{}` is not sunlight resistant", cable.name))
            .help("use a cable that is marked sunlight resistant, or lay it in a raceway or a sunlight-resistant sleeve there")
            .add();
    }
}

fn exposure(run: &Run) -> Exposure {
    let methods = || run.method.into_iter().chain(run.covers.iter().filter_map(|cover| cover.method));
    if methods().any(is_open) {
        let aerial = methods().any(|method| method == Method::Aerial);
        return Exposure::Exposed(if aerial { "overhead" } else { "on the surface" });
    }
    let from_supply = run
        .segments
        .iter()
        .any(|segment| [segment.start, segment.end].iter().any(|end| matches!(end, NodeRef::Output(_))));
    match (run.method, run.riser) {
        (_, Some(Riser::None)) => Exposure::Exposed("where it comes out of the ground"),
        (_, Some(Riser::PvcConduit | Riser::RigidMetalConduit)) => Exposure::Covered,
        (None, None) => Exposure::Unknown(missing_method(run)),
        // A cable in the ground comes out of it at the supply.
        (Some(Method::DirectBurial), None) if from_supply => Exposure::Unknown(format!("`riser` of {}", run.id)),
        (Some(Method::DirectBurial), None) => Exposure::NotShown,
        (Some(_), None) => Exposure::Covered,
    }
}
