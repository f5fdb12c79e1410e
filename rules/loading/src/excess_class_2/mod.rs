//! A Class 2 supply above the limits of Class 2.

use crate::support::{is_nec, outputs};
use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::{Listing, OutputCurrent};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "loading/excess-class-2",
    title: "An output of a Class 2 supply is above what Class 2 allows",
    // Of the later editions the bodies of the tables are not confirmed, so this asks a person to confirm.
    level: Level::Reminder,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "Chapter 9 Table 11(A) and (B)", Confirmed),
        Citation::nec(Code::Nec2020, "Chapter 9 Table 11(A) and (B)", Memory),
        Citation::nec(Code::Nec2023, "Chapter 9 Table 11(A) and (B)", Memory),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// Largest current and apparent power of one Class 2 output at its volts. NFPA 70-2017 Chapter 9 Tables 11(A) and (B),
/// Class 2 sources, inherently limited or not, by their nameplate: up to 20 V 5 A and 5 A times the volts; above 20 V up to 30 V, on DC up to
/// 60 V, 100 VA. `None` above that, where other rows apply.
fn class_2_caps(volts: f64, current: OutputCurrent) -> Option<(f64, f64)> {
    let highest_v = if current == OutputCurrent::Dc { 60.0 } else { 30.0 };
    match volts {
        v if v <= 20.0 => Some((5.0, 5.0 * v)),
        v if v <= highest_v => Some((100.0 / v, 100.0)),
        _ => None,
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    let confirmed = input.project().code == Some(Code::Nec2017);
    let level = if confirmed { Level::Violation } else { RULE.level };
    let source = if confirmed { "Tables 11(A) and (B)" } else { "Tables 11(A) and (B), from memory" };
    for (s, o, supply, output) in outputs(input) {
        let kind = input.supply_type(supply);
        if kind.listing != Some(Listing::Class2) || nec == Some(false) {
            continue;
        }
        if nec.is_none() {
            report.undetermined(&supply.id, ["`project.code`"]);
            continue;
        }
        let name = input.output_name((s, o));
        let Some((cap_a, cap_va)) = class_2_caps(output.volts, kind.current) else {
            report.undetermined(&supply.id, [format!("the Class 2 limits of {name} at {} V", plain(output.volts))]);
            continue;
        };
        let Some(amps) = input.judged().supplies()[s as usize].outputs[o as usize].amps.map(f64::abs) else {
            report.undetermined(&supply.id, [format!("an operating point of the circuit of {name}")]);
            continue;
        };
        let limit =
            Limit::new(format!("Class 2 current of output {}", output.name), cap_a, "A", Tighter::Lower, source);
        let compared = limit.compare(amps).field("type").of(Quantity::OutputAmps((s, o)));
        if compared.passes() {
            report.passes(&supply.id, &compared);
            continue;
        }
        report
            .finding(&supply.id)
            .level(level)
            .message(format!(
                "{name} delivers {} A; a Class 2 output of {} V may give {} A",
                shown(amps, cap_a),
                plain(output.volts),
                plain(cap_a)
            ))
            .breaks(&compared)
            .work("apparent power of Class 2 at these volts", cap_va, "VA", source)
            .help("confirm the supply's Class 2 marking, and split the load over outputs that stay within it")
            .add();
    }
}
