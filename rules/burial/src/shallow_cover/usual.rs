//! Cover under IEC 60364 and BS 7671, which have no figure: against what is usual in the country, as a reminder.

use super::{level_of, raised, shown_cover};
use crate::fitness;
use crate::practice::{self, Ground};
use crate::stretch::{self, Stretch, Ways};
use crate::table::System;
use lintern_rule::compare::plain;
use lintern_rule::outcome::Layer;
use lintern_rule::plan::{Marking, Run, ZoneKind};
use lintern_rule::prelude::*;
use std::borrow::Cow;

/// Stretches of a run with one and the same finding.
struct Group<'a> {
    field: Cow<'static, str>,
    cover: &'a Length,
    limit: Limit,
    ground: Ground,
    zones: Vec<&'a str>,
    stretches: Vec<Stretch<'a>>,
}

pub fn check<'a>(input: &'a Input, settings: &Settings, report: &mut Report, run: &'a Run, ways: &Ways<'a>) {
    let Some(code) = input.project().code else { return };
    let mut groups: Vec<Group<'a>> = Vec::new();
    for stretch in &ways.buried {
        let Some(ground) = ground(input, stretch) else { continue };
        if code == Code::Iec60364 && ground != Ground::Vehicles && is_protected(input, stretch) {
            // Protected against blows or deep enough: either will do.
            report.checked(&run.id);
            continue;
        }
        let Some((cover, field)) = stretch.cover() else {
            report.undetermined(&run.id, ["`cover`"]);
            continue;
        };
        let limit = raised(settings, usual_limit(input, code, ground), System::Metric);
        let instructed = match &run.instructed_cover {
            Some(allowed) if ground != Ground::Vehicles && matches!(limit.layer(), Layer::Code | Layer::Region) => {
                Some(allowed.millimetres()).filter(|allowed| *allowed < limit.value())
            }
            _ => None,
        };
        let instructed = instructed.map(|allowed| {
            let source = "instructions of the listed system, as stated in the plan";
            Limit::stated("cover that the instructions allow", allowed, "mm", Tighter::Higher, source)
        });
        let least = instructed.as_ref().unwrap_or(&limit).compare(cover.millimetres()).field(field.clone());
        if least.passes() {
            report.passes(&run.id, &least);
            report.limit(&run.id, &limit);
            continue;
        }
        let zones: Vec<&str> = stretch.zones(input).map(|zone| zone.id.as_str()).collect();
        let known = |group: &&mut Group<'_>| {
            let apart = ground != Ground::Garden && group.zones != zones;
            !apart && group.ground == ground && group.field == field
        };
        match groups.iter_mut().find(known) {
            Some(group) => {
                group.stretches.push(*stretch);
                let more: Vec<&str> = zones.into_iter().filter(|zone| !group.zones.contains(zone)).collect();
                group.zones.extend(more);
            }
            None => groups.push(Group { field, cover, limit, ground, zones, stretches: vec![*stretch] }),
        }
    }
    for group in groups {
        add_finding(input, report, run, &group);
    }
}

fn usual_limit(input: &Input, code: Code, ground: Ground) -> Limit {
    let usual = practice::usual(ground);
    let limit = Limit::new("usual cover", usual.millimetres, "mm", Tighter::Higher, usual.source);
    match practice::national(code, input.project().country.as_deref(), ground) {
        Some(depth) => limit.region(depth.millimetres, depth.source, Basis::PRACTICE),
        None => limit,
    }
}

/// What kind of ground a stretch lies in; none under a building, where nothing is usual.
fn ground(input: &Input, stretch: &Stretch<'_>) -> Option<Ground> {
    let kinds = || stretch.zones(input).map(|zone| zone.kind);
    if kinds().any(stretch::has_vehicles) {
        Some(Ground::Vehicles)
    } else if kinds().any(|kind| kind == ZoneKind::Building) {
        None
    } else if kinds().any(|kind| matches!(kind, ZoneKind::Walk | ZoneKind::Slab)) {
        Some(Ground::Paved)
    } else {
        Some(Ground::Garden)
    }
}

/// Whether something other than depth keeps a spade from the conductors.
fn is_protected(input: &Input, stretch: &Stretch<'_>) -> bool {
    stretch.is_in_raceway()
        || fitness::is_armoured(input.cable_type(stretch.run))
        || stretch.run.marking == Some(Marking::Covers)
}

fn add_finding(input: &Input, report: &mut Report, run: &Run, group: &Group<'_>) {
    let limit = &group.limit;
    let cover = group.cover.millimetres();
    let place = match group.ground {
        Ground::Vehicles => " where vehicles drive",
        Ground::Paved => " under paving",
        Ground::Garden => "",
    };
    let wanted = plain(limit.value());
    let asked = match limit.layer() {
        Layer::Local => format!("the local amendment asks for {wanted} mm"),
        Layer::House => format!("the company asks for {wanted} mm"),
        Layer::Code | Layer::Region => format!("the code has no figure, and {wanted} mm is usual"),
    };
    report
        .finding(&run.id)
        .level(level_of(Level::Reminder, limit))
        .basis(Basis::PRACTICE)
        .related(group.zones.iter().copied())
        .message(format!(
            "{} has {} mm of cover{place}, {}; {asked}",
            run.id,
            shown_cover(cover, limit.value()),
            stretch::places(input, &group.stretches, true)
        ))
        .work(format!("cover of {}", run.id), cover, "mm", "plan")
        .breaks(&limit.compare(cover).field(group.field.clone()))
        .help(match group.ground {
            Ground::Vehicles => "lay it deeper, in a duct that bears the wheels; the national rules and the designer decide",
            Ground::Paved | Ground::Garden => {
                "lay it where digging does not reach it, or protect it, or state in `instructed-cover` what the maker of the system allows; the national rules and the designer decide"
            }
        })
        .add();
}

#[cfg(test)]
mod tests {
    use super::super::{RULE, tests::setting};
    use super::*;
    use crate::sample::{chain, entry, judge, judge_with, plan};
    use lintern_rule::plan::{Job, Method, ZoneCover};
    use lintern_rule::{blank, outcome};

    fn millimetres(value: f64) -> Length {
        Length { value, unit: "mm".to_owned(), metres: value / 1000.0 }
    }

    fn british(kinds: &[ZoneKind], run: Run) -> Given {
        let project = Job { code: Some(Code::Bs7671), ..blank::job() };
        Given { project, ..plan(kinds, true, run) }
    }

    /// What the maker allows goes for gardens and paths, and is no answer to the amendment of the place.
    #[test]
    fn instructions_lower_what_is_usual_and_nothing_else() {
        let limit = |kind, layer: Option<Layer>| {
            let run = Run {
                cover: Some(millimetres(400.0)),
                instructed_cover: Some(millimetres(300.0)),
                ..chain(1, Some(Method::DirectBurial))
            };
            let settings = layer.map(|layer| setting("minimum-cover-metric", layer, 800.0));
            let result = judge_with(&RULE, british(&[kind], run), settings.as_slice());
            result.findings.into_iter().next().and_then(|finding| finding.limit).map(|limit| limit.value)
        };
        assert_eq!(limit(ZoneKind::Lawn, None), None);
        assert_eq!(limit(ZoneKind::Walk, None), None);
        assert_eq!(limit(ZoneKind::Driveway, None), Some(750.0));
        assert_eq!(limit(ZoneKind::Lawn, Some(Layer::Local)), Some(800.0));
        assert_eq!(limit(ZoneKind::Lawn, Some(Layer::House)), Some(800.0));
    }

    /// The garden is one finding, each path one of its own, and each field that is to be changed too.
    #[test]
    fn a_path_is_a_finding_and_the_garden_is_one() {
        let bed = ZoneCover { cover: Some(millimetres(200.0)), ..entry(2) };
        let run = Run { cover: Some(millimetres(300.0)), covers: vec![bed], ..chain(7, Some(Method::DirectBurial)) };
        let kinds = [ZoneKind::Walk, ZoneKind::Lawn, ZoneKind::Bed, ZoneKind::Walk, ZoneKind::Other];
        let mut given = british(&kinds, run);
        for (pieces, zones) in given.run_pieces[0].iter_mut().zip([0, 1, 2, 0, 3, 4, 1]) {
            pieces.iter_mut().flatten().for_each(|piece| piece.zones = vec![zones]);
        }
        let told = |finding: outcome::Finding| {
            let places = finding.message.matches(" (2 m)").count();
            (finding.field, finding.related.join(" "), places)
        };
        let found: Vec<_> = judge(&RULE, given).findings.into_iter().map(told).collect();
        let expected = [("cover", "z0", 2), ("cover", "z1 z4", 3), ("covers.0.cover", "z2", 1), ("cover", "z3", 1)];
        assert_eq!(found, expected.map(|(field, zones, places)| (field.to_owned(), zones.to_owned(), places)));
    }
}
