//! A cover that is stated for a zone where the run does not lie.

use crate::stretch;
use crate::touch::touches;
use lintern_rule::plan::Run;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "burial/unused-cover",
    title: "A cover is stated for a zone that the run does not cross",
    level: Level::Advice,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, run) in input.runs().iter().enumerate() {
        if run.covers.is_empty() {
            continue;
        }
        for (entry, exception) in run.covers.iter().enumerate() {
            match lies_in(input, run, index, exception.zone) {
                Some(true) => report.checked(&run.id),
                None => report.undetermined(&run.id, stretch::unplaced(input, run, index)),
                Some(false) => {
                    let zone = &input.zones()[exception.zone as usize].id;
                    report
                        .finding(&run.id)
                        .field(format!("covers.{entry}.zone"))
                        .related([zone.as_str()])
                        .message(format!("{} states a cover for {zone}, which it does not cross", run.id))
                        .help("correct the zone, the outline or the route; where the run was moved away, delete the entry")
                        .add();
                }
            }
        }
    }
}

/// Whether a run lies in a zone, if only in a point of its edge; none where an unplaced segment may.
fn lies_in(input: &Input, run: &Run, index: usize, zone: u32) -> Option<bool> {
    let outline = &input.zones()[zone as usize].outline;
    let mut unplaced = false;
    for (segment, pieces) in run.segments.iter().zip(&input.run_pieces()[index]) {
        match pieces {
            None => unplaced = true,
            Some(pieces) if pieces.iter().any(|piece| piece.zones.contains(&zone)) => return Some(true),
            Some(_) if touches(&segment.path, outline) => return Some(true),
            Some(_) => {}
        }
    }
    (!unplaced).then_some(false)
}
