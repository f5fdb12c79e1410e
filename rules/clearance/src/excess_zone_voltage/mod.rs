//! More volts in a zone of a pool than SELV may have there.

use crate::support::{Family, current, family, feeds, output, run_feeds};
use crate::water::{Near, POOLS, is_drawn, near_place, near_run};
use crate::zones::{PoolZone, zone_of};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::plan::{OutputCurrent, ZoneKind};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/excess-zone-voltage",
    title: "Lighting in a zone of a pool has more volts than it may have there",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::unconfirmed(Code::Iec60364, "IEC 60364-7-702", Some("2010")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "702.410.3.4.1")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    if family(input) != Some(Family::Iec) || !is_drawn(input, POOLS) {
        return;
    }
    for (index, luminaire) in input.luminaires().iter().enumerate() {
        let Some(place) = &input.luminaire_places()[index] else {
            report.undetermined(&luminaire.id, [format!("`at` of {}", luminaire.id)]);
            continue;
        };
        let node = NodeRef::Luminaire(u32::try_from(index).unwrap_or(u32::MAX));
        let height_m = luminaire.mount_height.as_ref().map(|height| height.metres);
        let element = Element { id: &luminaire.id, field: "at", outputs: feeds(input, node), height_m };
        element.check(input, &near_place(input, place, POOLS), report);
    }
    for (index, junction) in input.junctions().iter().enumerate() {
        let Some(place) = &input.junction_places()[index] else {
            report.undetermined(&junction.id, [format!("`at` of {}", junction.id)]);
            continue;
        };
        let node = NodeRef::Junction(u32::try_from(index).unwrap_or(u32::MAX));
        let element = Element { id: &junction.id, field: "at", outputs: feeds(input, node), height_m: None };
        element.check(input, &near_place(input, place, POOLS), report);
    }
    for (index, run) in input.runs().iter().enumerate() {
        let waters = near_run(input, index, POOLS);
        if !waters.complete {
            report.undetermined(&run.id, [format!("`at` of the ends of {}", run.id)]);
        }
        let element = Element { id: &run.id, field: "route", outputs: run_feeds(input, run), height_m: None };
        element.check(input, &waters.near, report);
    }
}

/// Something that carries the volts of outputs.
struct Element<'a> {
    id: &'a str,
    field: &'static str,
    outputs: Vec<(u32, u32)>,
    height_m: Option<f64>,
}

impl Element<'_> {
    fn check(&self, input: &Input, waters: &[Near], report: &mut Report) {
        report.checked(self.id);
        for near in waters {
            let Some(zone) = zone_of(near, self.height_m) else { continue };
            let Some((ac_v, dc_v)) = zone.row().selv_v else { continue };
            let of_current = |kind| if kind == OutputCurrent::Ac { ac_v } else { dc_v };
            let excess = |&(volts, kind, _): &(f64, OutputCurrent, _)| volts - of_current(kind);
            let outputs = self.outputs.iter().map(|&own| {
                let (volts, kind) = output(input, own);
                (volts, kind.current, own)
            });
            let Some((volts, kind, own)) = outputs.max_by(|a, b| excess(a).total_cmp(&excess(b))) else {
                report.undetermined(self.id, [crate::support::NO_FEED]);
                continue;
            };
            let limit_v = of_current(kind);
            // The texts of IEC 60364-7-702 in force differ for zone 1: 12 V AC or 30 V DC in some countries.
            let national = input.project().code == Some(Code::Iec60364) && zone == PoolZone::One;
            let (strict_ac_v, strict_dc_v) = PoolZone::Zero.row().selv_v.unwrap_or((ac_v, dc_v));
            let strict_v = if kind == OutputCurrent::Ac { strict_ac_v } else { strict_dc_v };
            let strict = national && near.zone.kind != ZoneKind::Fountain;
            let fault = if strict && !above(volts, limit_v) { Fault::National } else { Fault::Above };
            let limit_v = if fault == Fault::National { strict_v } else { limit_v };
            let name = format!("highest SELV volts in {} of {}", zone.name(), near.phrase());
            let limit = Limit::new(name, limit_v, "V", Tighter::Lower, "Section 702 of the code");
            let compared = limit.compare(volts).field(self.field);
            if compared.passes() {
                report.passes(self.id, &compared);
            } else {
                self.add(input, near, zone, own, (&compared, fault), report);
            }
        }
    }

    fn add(
        &self,
        input: &Input,
        near: &Near,
        zone: PoolZone,
        own: (u32, u32),
        (compared, fault): (&Comparison, Fault),
        report: &mut Report,
    ) {
        let (volts, limit_v) = (compared.measured(), compared.limit_value());
        let (_, kind) = output(input, own);
        let name = current(kind);
        let is_fountain = near.zone.kind == ZoneKind::Fountain;
        let (level, rule) = match (fault, is_fountain) {
            // A fountain that nobody is meant to enter may have other measures than SELV.
            (_, true) => (Level::Reminder, "a fountain that people enter is a pool to the code, with at most"),
            (Fault::National, false) => (Level::Reminder, "some national texts of the code allow at most"),
            (Fault::Above, false) => (Level::Violation, "SELV there has at most"),
        };
        report
            .finding(self.id)
            .level(level)
            .related([near.zone.id.as_str()])
            .message(format!(
                "{} is in {} of {} on output {} of {} V {name}; {rule} {} V {name}",
                self.id,
                zone.name(),
                near.phrase(),
                input.output_name(own),
                shown(volts, limit_v),
                plain(limit_v)
            ))
            .breaks(compared)
            .work("volts of the output without load", volts, "V", "plan")
            .work(format!("distance to {}", near.phrase()), near.distance_m, "m", "computed from the plan")
            .help("feed it from an output within the limit: the nominal volts of the output count, not those of the lamp; or move it out of the zone. The authority decides")
            .add();
    }
}

/// What makes the volts too many.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Fault {
    /// More than the zone allows.
    Above,
    /// More than some national texts allow.
    National,
}
