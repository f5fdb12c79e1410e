//! A buried cable or duct with nothing above it that warns who digs.

use crate::stretch;
use lintern_rule::outcome::Confidence::Memory;
use lintern_rule::plan::{Marking, Method};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "burial/unmarked-cable",
    title: "Nothing above a buried cable warns who digs",
    level: Level::Advice,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "522.8.10")),
        Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-5-52", "2009", "522.8.10"), confidence: Memory },
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(code) = input.project().code else {
        for (index, run) in input.runs().iter().enumerate() {
            if !stretch::ways(input, index).methods(run).is_empty() {
                report.undetermined(&run.id, ["`project.code`"]);
            }
        }
        return;
    };
    if !matches!(code, Code::Iec60364 | Code::Bs7671) {
        return;
    }
    for (index, run) in input.runs().iter().enumerate() {
        let ways = stretch::ways(input, index);
        if ways.unknown_method {
            report.undetermined(&run.id, ["`method`"]);
        }
        let methods = ways.methods(run);
        if methods.is_empty() {
            continue;
        }
        match run.marking {
            Some(Marking::Tape | Marking::Covers) => {
                report.checked(&run.id);
                continue;
            }
            None => {
                report.undetermined(&run.id, ["`marking`"]);
                continue;
            }
            Some(Marking::None) => {}
        }
        let has_cable = methods.iter().any(|(method, _)| *method == Method::DirectBurial);
        // The confirmed words of the regulation speak of cables; a duct is to be recognised as such.
        let level = if code == Code::Bs7671 && has_cable { Level::Violation } else { Level::Advice };
        report
            .finding(&run.id)
            .level(level)
            .field("marking")
            .message(format!("{} lies in the ground without marker tape or cable covers above it", run.id))
            .help("lay marker tape about 150 mm above it, or cable covers on it, before the trench is filled; the national rules decide")
            .add();
    }
}
