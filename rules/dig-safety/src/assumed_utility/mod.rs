//! A buried line whose place is assumed.

use crate::opening::opens_ground;
use lintern_rule::plan::Located;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/assumed-utility",
    title: "The place of a buried line is assumed",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if input.utilities().is_empty() || !opens_ground(input, report) {
        return;
    }
    for utility in input.utilities() {
        match utility.located {
            None => report.undetermined(&utility.id, ["`located`"]),
            Some(Located::Marked | Located::Private) => report.checked(&utility.id),
            Some(Located::Assumed) => report
                .finding(&utility.id)
                .field("located")
                .basis(Basis::PRACTICE)
                .message(format!("{} is drawn where it is assumed to be; drawings are no proof of where a line lies", utility.id))
                .help("have it marked or located before the ground is opened, expose it by hand or vacuum where trenches come near, and correct the plan")
                .add(),
        }
    }
}
