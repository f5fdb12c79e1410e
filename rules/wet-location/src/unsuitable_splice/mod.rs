//! A joint that is not made for the place it lies in: the ground, the open, or a box that is not for the wet.

use crate::support::{Joined, Laying, is_nec, missing_placement, zone_of_kind};
use lintern_rule::facts::Place;
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Exposure, Junction, Location, Luminaire, Placement, ZoneKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "wet-location/unsuitable-splice",
    title: "A joint is not made for the place it lies in",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "110.14(B)", Confirmed),
        Citation::nec(Code::Nec2020, "110.14(B)", Confirmed),
        Citation::nec(Code::Nec2023, "110.14(B)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// What runs through the checks.
struct Joints<'a> {
    input: &'a Input,
    /// Violation under NFPA 70, advice elsewhere.
    level: Level,
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    let joined = Joined::new(input);
    let joints = Joints { input, level: if nec == Some(true) { Level::Violation } else { Level::Advice } };
    for (j, junction) in input.junctions().iter().enumerate() {
        let place = input.place(NodeRef::Junction(j as u32));
        let laying = joined.at_junction(j);
        match (nec, laying) {
            (_, Laying::Unconnected) => {}
            (None, _) => report.undetermined(&junction.id, ["`project.code`"]),
            _ if junction.above_ground_box.is_some() => joints.in_a_box(junction, place, report),
            (_, laying) => joints.without_a_box(&junction.id, junction.splice, laying, report),
        }
    }
    for (l, luminaire) in input.luminaires().iter().enumerate() {
        let id = &luminaire.id;
        let laying = joined.at_luminaire(l);
        match (luminaire.placement, laying) {
            (_, Laying::Unconnected) => {}
            // Under water it is potted, by the maker's instructions.
            (Some(Placement::Underwater), _) => {}
            (Some(Placement::Surface | Placement::Wall | Placement::Eave | Placement::Tree | Placement::Step), _) => {
                joints.at_a_luminaire(luminaire, report);
            }
            _ if nec.is_none() => report.undetermined(id, ["`project.code`"]),
            (None, _) => report.undetermined(id, missing_placement(luminaire)),
            (Some(Placement::InGround), _) => joints.in_the_ground(id, luminaire.splice, report),
            (Some(Placement::Stake), laying) => joints.without_a_box(id, luminaire.splice, laying, report),
        }
    }
}

impl Joints<'_> {
    fn without_a_box(&self, id: &str, splice: Option<u32>, laying: Laying, report: &mut Report) {
        match laying {
            Laying::NotStated(missing) => report.undetermined(id, missing),
            Laying::InTheGround => self.in_the_ground(id, splice, report),
            Laying::Open => self.in_the_open(id, splice, report),
            Laying::Unconnected => {}
        }
    }

    fn in_the_ground(&self, id: &str, splice: Option<u32>, report: &mut Report) {
        let Some(splice) = self.input.splice_type(splice) else {
            report.undetermined(id, [format!("`splice` of {id}")]);
            return;
        };
        match splice.direct_burial {
            None => report.undetermined(id, [format!("`direct-burial` of splice type `{}`", splice.name)]),
            Some(true) => report.checked(id),
            Some(false) => report
                .finding(id)
                .level(self.level)
                .field("splice.direct-burial")
                .message(format!(
                    "the joint at {id} lies in the ground; splice `{}` is not {} direct burial",
                    splice.name,
                    self.made_for()
                ))
                .help(
                    "use a splice that is listed for direct burial, or bring the joint up into a box for wet locations",
                )
                .add(),
        }
    }

    fn in_the_open(&self, id: &str, splice: Option<u32>, report: &mut Report) {
        let Some(splice) = self.input.splice_type(splice) else {
            report.undetermined(id, [format!("`splice` of {id}")]);
            return;
        };
        let sealed = splice.direct_burial == Some(true);
        match splice.location {
            _ if sealed => report.checked(id),
            None => report.undetermined(id, [format!("`location` of splice type `{}`", splice.name)]),
            Some(Location::Wet | Location::Submersible) => report.checked(id),
            Some(Location::Dry | Location::Damp) => report
                .finding(id)
                .level(self.level)
                .field("splice.location")
                .message(format!(
                    "the joint at {id} lies in the open without a box; splice `{}` is not {} wet locations",
                    splice.name,
                    self.made_for()
                ))
                .help("use a splice that is listed for wet locations, or put the joint into a box for wet locations")
                .add(),
        }
    }

    /// The joint of a luminaire above ground is inside it or its box, or it is not: a person looks where it matters.
    fn at_a_luminaire(&self, luminaire: &Luminaire, report: &mut Report) {
        let id = &luminaire.id;
        let Some(splice) = self.input.splice_type(luminaire.splice) else { return };
        let damp = match (luminaire.placement, luminaire.exposure) {
            (_, Some(Exposure::Dry)) => return,
            (_, Some(Exposure::Damp)) | (Some(Placement::Eave), None) => true,
            _ => false,
        };
        let sealed = splice.direct_burial == Some(true);
        match splice.location {
            _ if sealed => report.checked(id),
            None => report.undetermined(id, [format!("`location` of splice type `{}`", splice.name)]),
            Some(Location::Wet | Location::Submersible) => report.checked(id),
            Some(Location::Damp) if damp => report.checked(id),
            Some(Location::Dry | Location::Damp) => report
                .finding(id)
                .level(Level::Reminder)
                .field("splice.location")
                .message(format!(
                    "splice `{}` at {id} is not {} {} locations: it is enough only inside the luminaire or its box",
                    splice.name,
                    self.made_for(),
                    if damp { "damp" } else { "wet" }
                ))
                .help(
                    "make the joint inside the luminaire or a box for wet locations, or use a splice for wet locations",
                )
                .add(),
        }
    }

    /// Inside a box that keeps the weather out any splice will do; what counts is the box.
    fn in_a_box(&self, junction: &Junction, place: Option<&Place>, report: &mut Report) {
        let id = &junction.id;
        let indoors = place.is_some_and(|place| zone_of_kind(self.input, place, &[ZoneKind::Building]).is_some());
        let (level, word) = match junction.above_ground_box {
            Some(Exposure::Dry) if !indoors => (self.level, "dry"),
            // Whether it is sheltered the plan can't say of a junction: a person looks.
            Some(Exposure::Damp) if !indoors => (Level::Reminder, "damp"),
            _ => {
                report.checked(id);
                return;
            }
        };
        report
            .finding(id)
            .level(level)
            .field("box")
            .basis(self.box_basis())
            .message(match level {
                Level::Reminder => format!(
                    "the joint at {id} is in a box for damp locations; outdoors that is enough only where no rain reaches it"
                ),
                _ => format!("the joint at {id} is outdoors in a box for {word} locations"),
            })
            .help("use a box that is listed for wet locations")
            .add();
    }

    /// 314.15: boxes in wet locations are listed for wet locations.
    fn box_basis(&self) -> Basis {
        match self.input.project().code {
            // The number is not confirmed for 2017 and 2026.
            Some(Code::Nec2017) => Basis { section: None, ..Basis::code("NFPA 70", "2017", "") },
            Some(Code::Nec2020) => Basis::code("NFPA 70", "2020", "314.15"),
            Some(Code::Nec2023) => Basis::code("NFPA 70", "2023", "314.15"),
            Some(Code::Nec2026) => Basis { section: None, ..Basis::code("NFPA 70", "2026", "") },
            _ => Basis::PRACTICE,
        }
    }

    fn made_for(&self) -> &'static str {
        if self.level == Level::Violation { "listed for" } else { "made for" }
    }
}
