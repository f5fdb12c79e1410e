//! An output above the voltage that the code allows for low-voltage lighting, and the lower one where wet contact
//! is likely.

use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{Exposure, Luminaire, OutputCurrent, Placement};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

pub const RULE: Rule = Rule {
    id: "voltage/excess-system-voltage",
    title: "An output gives more volts than low-voltage lighting may have there",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "411.1", Confirmed),
        Citation::nec(Code::Nec2020, "411.1", Confirmed),
        Citation::nec(Code::Nec2023, "411.3", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::unconfirmed(Code::Iec60364, "IEC 60364-7-715", Some("2011")),
        Citation::unconfirmed(Code::Bs7671, "BS 7671", Some("2018")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// The caps of a code on one kind of current, V.
struct Caps {
    dry_v: f64,
    /// Where wet contact is likely; `None` where the code has no such cap outside pools.
    wet_v: Option<f64>,
}

/// NFPA 70 Article 411: 30 V AC or 60 V DC; 15 V AC or 30 V DC where wet contact is likely.
/// IEC 60364-7-715: SELV sources of at most 50 V AC or 120 V ripple-free DC.
fn caps(code: Code, current: OutputCurrent) -> Caps {
    let (dry_v, wet_v) = match (code, current) {
        (Code::Iec60364 | Code::Bs7671, OutputCurrent::Ac) => (50.0, None),
        (Code::Iec60364 | Code::Bs7671, OutputCurrent::Dc) => (120.0, None),
        (_, OutputCurrent::Ac) => (30.0, Some(15.0)),
        (_, OutputCurrent::Dc) => (60.0, Some(30.0)),
    };
    Caps { dry_v, wet_v }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let mut wet_by_output = wet_luminaires(input);
    for (s, supply) in input.supplies().iter().enumerate() {
        let kind = input.supply_type(supply);
        let Some(code) = input.project().code else {
            report.undetermined(&supply.id, ["`project.code`"]);
            continue;
        };
        let caps = caps(code, kind.current);
        let source = RULE.basis(Some(code)).document.unwrap_or("common practice");
        // Whether the 2026 edition keeps these limits is not confirmed.
        let level = if code == Code::Nec2026 { Level::Reminder } else { Level::Violation };
        report.checked(&supply.id);
        for (o, output) in kind.outputs.iter().enumerate() {
            let wet = wet_by_output.remove(&(s as u32, o as u32)).unwrap_or_default();
            let (limit, place) = match caps.wet_v {
                Some(wet_v) if !wet.is_empty() => (wet_v, " where wet contact is likely"),
                _ => (caps.dry_v, ""),
            };
            let current = if kind.current == OutputCurrent::Ac { "AC" } else { "DC" };
            let cap = Limit::new(format!("highest volts of an output{place}"), limit, "V", Tighter::Lower, source);
            let compared = cap.compare(output.volts).field(format!("type.outputs.{o}.volts"));
            if compared.passes() {
                report.passes(&supply.id, &compared);
                continue;
            }
            report
                .finding(&supply.id)
                .level(level)
                .related(wet.into_iter().take(50))
                .message(format!(
                    "output {} gives {} V {current}; the limit{place} is {} V {current}",
                    input.output_name((s as u32, o as u32)),
                    shown(output.volts, limit),
                    plain(limit)
                ))
                .breaks(&compared)
                .work("volts of the output without load", output.volts, "V", "plan")
                .help(if place.is_empty() {
                    "use an output of a lower voltage: above this the installation is not low-voltage lighting and falls under other rules"
                } else {
                    "use an output of a lower voltage for luminaires that people can touch when wet, or a DC supply within its own limit; a thicker cable does what the higher tap was for"
                })
                .add();
        }
    }
}

/// Luminaires that people can touch when wet, by the output that feeds them.
fn wet_luminaires(input: &Input) -> BTreeMap<(u32, u32), Vec<&str>> {
    let mut by_output: BTreeMap<(u32, u32), Vec<&str>> = BTreeMap::new();
    for (luminaire, state) in input.luminaires().iter().zip(input.judged().luminaires()) {
        for output in state.node.fed_by.iter().filter(|_| is_wet(luminaire)) {
            by_output.entry(*output).or_default().push(&luminaire.id);
        }
    }
    by_output
}

/// Whether its place is wet: as the plan says, else wet outdoors and damp under an eave.
fn is_wet(luminaire: &Luminaire) -> bool {
    match luminaire.exposure {
        Some(exposure) => exposure == Exposure::Wet,
        None => luminaire.placement != Some(Placement::Eave),
    }
}
