//! A cable in the sun that is not made for it.

use crate::support::{is_nec, is_open, missing_method};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::{CableKind, Luminaire, Method, Placement, Riser, Run};
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
    Unknown(Vec<String>),
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
        let exposure = exposure(input, run);
        let place = match (exposure, cable.sunlight_resistant) {
            (Exposure::NotShown, _) => continue,
            (Exposure::Covered, _) | (_, Some(true)) => {
                report.checked(id);
                continue;
            }
            (Exposure::Unknown(missing), _) => {
                report.undetermined(id, missing);
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

fn exposure(input: &Input, run: &Run) -> Exposure {
    let methods = || run.method.into_iter().chain(run.covers.iter().filter_map(|cover| cover.method));
    if methods().any(is_open) {
        let aerial = methods().any(|method| method == Method::Aerial);
        return Exposure::Exposed(if aerial { "overhead" } else { "on the surface" });
    }
    if matches!(run.riser, Some(Riser::PvcConduit | Riser::RigidMetalConduit)) {
        return Exposure::Covered;
    }
    if run.method.is_none() {
        return Exposure::Unknown(vec![missing_method(run)]);
    }
    // What lies in conduit all the way comes up in it.
    if !methods().any(|method| method == Method::DirectBurial) {
        return Exposure::Covered;
    }
    match (rises(input, run), run.riser) {
        (Ok(true), Some(_)) => Exposure::Exposed("where it comes out of the ground"),
        (Ok(true), None) => Exposure::Unknown(vec![format!("`riser` of {}", run.id)]),
        // It stays in the ground from end to end.
        (Ok(false), Some(_)) => Exposure::Covered,
        (Ok(false), None) => Exposure::NotShown,
        (Err(missing), _) => Exposure::Unknown(missing),
    }
}

/// Whether a run leads to anything above the ground; else the inputs that would tell.
fn rises(input: &Input, run: &Run) -> Result<bool, Vec<String>> {
    let mut missing = Vec::new();
    for node in run.segments.iter().flat_map(|segment| [segment.start, segment.end]) {
        let rises = match node {
            NodeRef::Output(_) => Ok(true),
            NodeRef::Junction(junction) => Ok(input.junctions()[junction as usize].above_ground_box.is_some()),
            NodeRef::Luminaire(luminaire) => shows_its_cable(&input.luminaires()[luminaire as usize]),
        };
        match rises {
            Ok(true) => return Ok(true),
            Ok(false) => {}
            Err(what) => missing.push(what),
        }
    }
    missing.sort_unstable();
    missing.dedup();
    if missing.is_empty() { Ok(false) } else { Err(missing) }
}

/// Whether the cable shows on its way to a luminaire; that of a stake or a ground light comes up inside it.
fn shows_its_cable(luminaire: &Luminaire) -> Result<bool, String> {
    match (luminaire.placement, &luminaire.mount_height) {
        (None, _) => Err(format!("`placement` of {}", luminaire.id)),
        (Some(Placement::Wall | Placement::Eave | Placement::Tree), _) => Ok(true),
        (Some(Placement::Surface), Some(height)) => Ok(height.metres > 0.0),
        (Some(Placement::Surface), None) => Err(format!("`mount-height` of {}", luminaire.id)),
        (Some(Placement::InGround | Placement::Stake | Placement::Step | Placement::Underwater), _) => Ok(false),
    }
}
