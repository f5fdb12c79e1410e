//! Lines that no operator marks: whether somebody has looked for them.

use crate::opening::opens_ground;
use lintern_rule::plan::PrivateLines;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "dig-safety/private-lines",
    title: "Private buried lines have not been looked for",
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if !opens_ground(input, report) {
        return;
    }
    match input.dig().and_then(|dig| dig.private_lines) {
        None => report.undetermined("", ["`dig.private-lines`"]),
        Some(PrivateLines::Located | PrivateLines::None) => report.checked(""),
        Some(PrivateLines::Unknown) => report
            .finding("")
            .field("dig.private-lines")
            .basis(Basis::PRACTICE)
            .message("whether private lines lie in the ground is not known, and one-call centers have only the operators' lines marked")
            .help("ask the owner, and have a private locator look for lines past the meters: power to outbuildings and gates, gas to pool heaters and grills, irrigation, septic pipes, dog fences, earlier lighting")
            .add(),
    }
}
