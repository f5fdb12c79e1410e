//! Backfill with stones on a cable or a raceway.

use crate::circuit::Circuit;
use crate::edition::{binding, is_nec};
use crate::stretch::{self, Stretch, Ways};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Backfill, Run, Soil, ZoneKind};
use lintern_rule::prelude::*;
use std::borrow::Cow;

pub const RULE: Rule = Rule {
    id: "burial/unsuitable-backfill",
    title: "A cable or raceway is covered with stony ground",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "300.5(F)", Confirmed),
        Citation::nec(Code::Nec2020, "300.5(F)", Confirmed),
        Citation::nec(Code::Nec2023, "300.5(F)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// What is wrong with the backfill of a stretch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    /// It is stated to be rocky.
    Rocky,
    /// It is what was dug, and that is rock.
    DugRock,
}

/// Stretches of a run with one and the same finding; none where only unplaced segments have it.
struct Group<'a> {
    fault: Fault,
    field: Cow<'static, str>,
    stretches: Vec<Stretch<'a>>,
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, run) in input.runs().iter().enumerate() {
        let ways = stretch::ways(input, index);
        if ways.unknown_method {
            report.undetermined(&run.id, ["`method`"]);
        }
        for group in faults(input, report, run, &ways) {
            if input.project().code.is_none() {
                report.undetermined(&run.id, ["`project.code`"]);
            } else {
                add_finding(input, report, run, &group);
            }
        }
    }
}

fn faults<'a>(input: &'a Input, report: &mut Report, run: &'a Run, ways: &Ways<'a>) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    let mut add = |fault: Fault, field: Cow<'static, str>, stretch: Option<Stretch<'a>>| match groups
        .iter_mut()
        .find(|group| (group.fault, &group.field) == (fault, &field))
    {
        Some(group) => group.stretches.extend(stretch),
        None => groups.push(Group { fault, field, stretches: stretch.into_iter().collect() }),
    };
    for stretch in &ways.buried {
        let rock = input.ground() == Some(Soil::Rock) || stretch.zones(input).any(|zone| zone.kind == ZoneKind::Rock);
        match stretch.backfill() {
            None => report.undetermined(&run.id, ["`backfill`"]),
            Some((Backfill::RockySoil, field)) => add(Fault::Rocky, field, Some(*stretch)),
            Some((Backfill::NativeSoil, field)) if rock => add(Fault::DugRock, field, Some(*stretch)),
            Some(_) => report.checked(&run.id),
        }
    }
    if !ways.unplaced.is_empty() && run.method.is_some_and(stretch::is_buried) {
        match (run.backfill, input.ground()) {
            (None, _) => report.undetermined(&run.id, ["`backfill`"]),
            (Some(Backfill::RockySoil), _) => add(Fault::Rocky, "backfill".into(), None),
            (Some(Backfill::NativeSoil), Some(Soil::Rock)) => add(Fault::DugRock, "backfill".into(), None),
            (Some(Backfill::NativeSoil), _) if input.zones().iter().any(|zone| zone.kind == ZoneKind::Rock) => {
                report.undetermined(&run.id, ways.unplaced.iter().map(String::as_str));
            }
            (Some(_), _) => report.checked(&run.id),
        }
    }
    groups
}

fn add_finding(input: &Input, report: &mut Report, run: &Run, group: &Group<'_>) {
    let (level, basis) = match is_nec(input) {
        Some(true) => binding(input, &Circuit::of(input, run), &RULE),
        _ => (Level::Advice, Basis::PRACTICE),
    };
    let (level, what) = match group.fault {
        Fault::Rocky => (level, "rocky soil"),
        // Whether the dug rock can be screened or is too coarse is seen on site.
        Fault::DugRock => (level.min(Level::Advice), "what was dug, where the ground is rock"),
    };
    let place = match group.stretches.as_slice() {
        [] => String::new(),
        stretches => format!(", {}", stretch::places(input, stretches, stretch::is_metric(input, run))),
    };
    let mut zones: Vec<&str> = Vec::new();
    for zone in group.stretches.iter().flat_map(|stretch| stretch.zones(input)) {
        if zone.kind == ZoneKind::Rock && !zones.contains(&zone.id.as_str()) {
            zones.push(&zone.id);
        }
    }
    report
        .finding(&run.id)
        .level(level)
        .basis(basis)
        .field(group.field.as_ref())
        .related(zones)
        .message(format!("{} is backfilled with {what}{place}; stones and sharp pieces damage what lies below", run.id))
        .help("bed and cover it with sand or screened soil, or put boards or a sleeve over it, before the rest goes back; the authority having jurisdiction decides")
        .add();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{chain, entry, judge, plan};
    use lintern_rule::plan::{Method, ZoneCover};

    /// Only where there is rock does it matter where a run in native soil lies.
    #[test]
    fn native_soil_without_a_place_is_fine_where_no_zone_is_rock() {
        let of = |kind| {
            let run = Run { backfill: Some(Backfill::NativeSoil), ..chain(1, Some(Method::DirectBurial)) };
            let result = judge(&RULE, plan(&[kind], false, run));
            (result.checked, result.undetermined.len(), result.findings.len())
        };
        assert_eq!(of(ZoneKind::Lawn), (1, 0, 0));
        assert_eq!(of(ZoneKind::Rock), (0, 1, 0));
    }

    /// What one field of the plan says is one finding, wherever it holds.
    #[test]
    fn each_field_at_fault_is_one_finding() {
        let bed = ZoneCover { backfill: Some(Backfill::RockySoil), ..entry(0) };
        let run =
            Run { backfill: Some(Backfill::RockySoil), covers: vec![bed], ..chain(3, Some(Method::DirectBurial)) };
        let mut given = plan(&[ZoneKind::Bed], true, run);
        for segment in [0, 2] {
            given.run_pieces[0][segment].iter_mut().flatten().for_each(|piece| piece.zones.clear());
        }
        let found: Vec<(String, String)> =
            judge(&RULE, given).findings.into_iter().map(|finding| (finding.field, finding.message)).collect();
        let message = |places| {
            format!("R1 is backfilled with rocky soil, {places}; stones and sharp pieces damage what lies below")
        };
        assert_eq!(
            found,
            [
                ("backfill".to_owned(), message("from S1/main to J1 (6.6 ft) and from J2 to J3 (6.6 ft)")),
                ("covers.0.backfill".to_owned(), message("from J1 to J2 (6.6 ft)")),
            ]
        );
    }
}
