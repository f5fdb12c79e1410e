//! An output circuit of low-voltage lighting above 25 A.

use crate::support::{article_411_level, is_nec, outputs};
use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::prelude::*;

/// NFPA 70 Article 411: the power supply limits each output to 25 A under all load conditions.
const CAP_A: f64 = 25.0;

pub const RULE: Rule = Rule {
    id: "loading/excess-output-current",
    title: "An output circuit of low-voltage lighting is not limited to 25 A",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "411.3", Confirmed),
        Citation::nec(Code::Nec2020, "411.3", Confirmed),
        Citation::nec(Code::Nec2023, "411.4", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    if nec == Some(false) {
        return;
    }
    for (s, o, supply, output) in outputs(input) {
        if nec.is_none() {
            report.undetermined(&supply.id, ["`project.code`"]);
            continue;
        }
        let state = &input.judged().supplies()[s as usize].outputs[o as usize];
        let name = input.output_name((s, o));
        let kind = input.supply_type(supply);
        // What limits the output: the limit that is stated, else its overcurrent device.
        let (limiter_a, limiter, limits) = match (output.limit_a, output.protection_a) {
            (Some(limit), _) => (Some(limit), "limit", "is limited to"),
            (None, Some(device)) => (Some(device), "protection", "has an overcurrent device of"),
            (None, None) => (None, "", ""),
        };
        let cap = |what: &str| {
            let name = format!("{what} of output circuit {}", output.name);
            Limit::new(name, CAP_A, "A", Tighter::Lower, "NFPA 70, Article 411")
        };
        let (largest_limiter, largest_current) = (cap("largest limit"), cap("largest current"));
        let limiter_a =
            limiter_a.map(|amps| largest_limiter.compare(amps).field(format!("type.outputs.{o}.{limiter}")));
        let drawn =
            state.amps.map(|amps| largest_current.compare(amps.abs()).field("type").of(Quantity::OutputAmps((s, o))));
        let (broken, message) = match (limiter_a, drawn) {
            (Some(allowed), _) if !allowed.passes() => {
                let message = format!("{name} {limits} {} A", plain(allowed.measured()));
                (allowed, message)
            }
            (_, Some(amps)) if !amps.passes() => {
                let message = format!("{name} delivers {} A", shown(amps.measured(), CAP_A));
                (amps, message)
            }
            (Some(allowed), drawn) => {
                for compared in [Some(allowed), drawn].into_iter().flatten() {
                    report.passes(&supply.id, &compared);
                }
                continue;
            }
            (None, _) => {
                report.undetermined(
                    &supply.id,
                    [format!("`limit` or `protection` of output {} of type `{}`", output.name, kind.name)],
                );
                continue;
            }
        };
        report
            .finding(&supply.id)
            .level(article_411_level(input))
            .message(format!(
                "{message}; an output circuit of low-voltage lighting may have at most {} A",
                plain(CAP_A)
            ))
            .breaks(&broken)
            .work("apparent power at the cap", CAP_A * output.volts, "VA", "25 A x volts of the output")
            .help("split the load over outputs of at most 25 A each")
            .add();
    }
}
