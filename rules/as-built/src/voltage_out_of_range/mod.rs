//! A luminaire that was read to get less or more than it may.

use lintern_rule::compare::{plain, shown};
use lintern_rule::facts::ReadingQuantity;
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "as-built/voltage-out-of-range",
    title: "A luminaire was read to get volts outside its input range",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "110.3(B)", Confirmed),
        Citation::nec(Code::Nec2020, "110.3(B)", Confirmed),
        Citation::nec(Code::Nec2023, "110.3(B)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation { code: Code::Bs7671, basis: Basis::code("BS 7671", "2018", "134.1.1"), confidence: Memory },
        Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-1", "2005", "134.1.1"), confidence: Memory },
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(readings) = input.readings() else { return };
    for reading in readings.comparisons.iter().filter(|reading| reading.quantity == ReadingQuantity::Volts) {
        let Some(luminaire) = input.luminaires().iter().find(|luminaire| luminaire.id == reading.subject) else {
            continue;
        };
        let kind = input.luminaire_type(luminaire);
        // Below zero the leads are reversed; how many volts there are is the size of the number.
        let volts = reading.read.abs();
        let stated = |name, value, tighter, key| {
            Limit::stated(name, value, "V", tighter, format!("`input.{key}` of type `{}`", kind.name))
        };
        let lowest = kind.input_min_v.map(|min| stated("lowest input voltage", min, Tighter::Higher, "min"));
        let highest = kind.input_max_v.map(|max| stated("highest input voltage", max, Tighter::Lower, "max"));
        for (limit, key, help) in [
            (lowest, "min", "find where the volts are lost: `lintern readings` helps"),
            (highest, "max", "feed it from an output of fewer volts; a lamp above its range fails early"),
        ] {
            let Some(limit) = limit else {
                report.undetermined(&luminaire.id, [format!("`input.{key}` of type `{}`", kind.name)]);
                continue;
            };
            let compared = limit.compare(volts).field(reading.field.clone());
            if compared.passes() {
                report.passes(&luminaire.id, &compared);
                continue;
            }
            report
                .finding(&luminaire.id)
                .breaks(&compared)
                .message(format!(
                    "{} reads {} V; its {} is {} V",
                    luminaire.id,
                    shown(volts, limit.value()),
                    limit.name(),
                    plain(limit.value())
                ))
                .work("as read", volts, "V", "reading")
                .work("instrument", reading.tolerance, "V", "tolerance of the reading")
                .help(help)
                .add();
        }
    }
}
