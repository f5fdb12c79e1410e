//! A luminaire that is not listed for the damp, wet or underwater place it is put in.

use crate::support::{is_nec, listing, missing_placement};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Exposure, Location, Placement};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "wet-location/unsuitable-listing",
    title: "A luminaire is not listed for the wet of its place",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "410.10(A)", Confirmed),
        Citation::nec(Code::Nec2020, "410.10(A)", Confirmed),
        Citation::nec(Code::Nec2023, "410.10(A)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    for luminaire in input.luminaires() {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let nec = match nec {
            None => {
                report.undetermined(id, ["`project.code`"]);
                continue;
            }
            // Where products carry no such marking their IP code governs, and that is another rule.
            Some(false) if kind.location.is_none() => continue,
            Some(nec) => nec,
        };
        let Some(placement) = luminaire.placement else {
            report.undetermined(id, missing_placement(luminaire));
            continue;
        };
        let needed = needed(placement, luminaire.exposure);
        match kind.location {
            None => report.undetermined(id, [format!("`location` of type `{}`", kind.name)]),
            Some(listed) if rank(listed) >= rank(needed) => report.checked(id),
            Some(listed) => {
                let mut draft = report.finding(id).field("type.location");
                if !nec {
                    draft = draft.level(Level::Advice);
                } else if needed == Location::Submersible {
                    // 410.10(A) ends at wet; under water it is the listing that is overstepped.
                    draft = draft.basis(listing(input.project().code));
                }
                draft
                    .message(format!(
                        "{id} {}; type `{}` is {} {} only",
                        place(placement, needed),
                        kind.name,
                        if nec { "listed for" } else { "stated to suit" },
                        locations(listed)
                    ))
                    .help(help(needed))
                    .add();
            }
        }
    }
}

/// What the place asks for. The ground is wet and the pond is under water whatever exposure is stated.
fn needed(placement: Placement, exposure: Option<Exposure>) -> Location {
    match (placement, exposure) {
        (Placement::Underwater, _) => Location::Submersible,
        (Placement::InGround, _) => Location::Wet,
        (_, Some(Exposure::Dry)) => Location::Dry,
        (_, Some(Exposure::Damp)) | (Placement::Eave, None) => Location::Damp,
        (_, Some(Exposure::Wet) | None) => Location::Wet,
    }
}

/// Dry, damp, wet, submersible: each suits the ones before it.
fn rank(location: Location) -> u8 {
    match location {
        Location::Dry => 0,
        Location::Damp => 1,
        Location::Wet => 2,
        Location::Submersible => 3,
    }
}

fn place(placement: Placement, needed: Location) -> &'static str {
    match (placement, needed) {
        (Placement::Underwater, _) => "stands under water",
        (Placement::InGround, _) => "stands in the ground, a wet location",
        (_, Location::Damp) => "stands in a damp location",
        _ => "stands in a wet location",
    }
}

fn locations(location: Location) -> &'static str {
    match location {
        Location::Dry => "dry locations",
        Location::Damp => "damp locations",
        Location::Wet => "wet locations",
        Location::Submersible => "use under water",
    }
}

fn help(needed: Location) -> &'static str {
    match needed {
        Location::Submersible => "use a luminaire that is listed for use under water, or move it out of the water",
        Location::Wet => {
            "use a type marked suitable for wet locations; where the place is under a roof, state `exposure: damp`"
        }
        Location::Damp | Location::Dry => "use a type marked suitable for damp or for wet locations",
    }
}
