//! A conductor that the overcurrent device of its output does not protect.

use crate::support::{is_nec, outputs, runs_by_output};
use crate::{ampacity, metric};
use lintern_rule::compare::{above, plain};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{CableType, Listing, Run};
use lintern_rule::prelude::*;
use std::borrow::Cow;

pub const RULE: Rule = Rule {
    id: "loading/unprotected-conductor",
    title: "The overcurrent device of an output is too large for a conductor behind it",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "240.4(D)", Confirmed),
        Citation::nec(Code::Nec2020, "240.4(D)", Confirmed),
        Citation::nec(Code::Nec2023, "240.4(D)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-4-43", "2008", "433.1.1")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "433.1.1")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    let by_output = runs_by_output(input);
    for (s, o, supply, output) in outputs(input) {
        let kind = input.supply_type(supply);
        if kind.listing == Some(Listing::Class2) {
            // Class 2 sources are limited as such; their conductors need no device.
            continue;
        }
        let name = input.output_name((s, o));
        for run in by_output.get(&(s, o)).into_iter().flatten().map(|index| &input.runs()[*index]) {
            let (Some(nec), Some(code)) = (nec, input.project().code) else {
                report.undetermined(&run.id, ["`project.code`"]);
                continue;
            };
            let cable = input.cable_type(run);
            let cap = match if nec { Cap::nec(cable, code) } else { Cap::metric(run, cable, code) } {
                Ok(cap) => cap,
                Err(missing) => {
                    report.undetermined(&run.id, missing);
                    continue;
                }
            };
            // An output that can't deliver more than the cap protects the conductor without a device.
            let device =
                |amps| Limit::new("largest device for the conductor", amps, "A", Tighter::Lower, cap.source.clone());
            let least = device(cap.at_least_a);
            let limited = output.limit_a.map(|limit| least.compare(limit).field("cable")).filter(Comparison::passes);
            if let Some(limited) = limited {
                report.passes(&run.id, &limited);
                continue;
            }
            match (output.protection_a, cap.at_most_a) {
                (None, _) => report
                    .undetermined(&run.id, [format!("`protection` of output {} of type `{}`", output.name, kind.name)]),
                (Some(device_a), Some(cap_a)) if above(device_a, cap_a) => {
                    let within = output.limit_a.is_some_and(|limit| !above(limit, cap_a));
                    if within {
                        report.undetermined(&run.id, &cap.open);
                        continue;
                    }
                    report
                        .finding(&run.id)
                        .basis(cap.basis)
                        .related([supply.id.as_str()])
                        .message(format!(
                            "{name} is protected at {} A; {} in {} may have a device of at most {} A",
                            plain(device_a),
                            ampacity::conductors(cable),
                            run.id,
                            plain(cap_a)
                        ))
                        .work(format!("overcurrent device of {name}"), device_a, "A", "plan")
                        .breaks(&device(cap_a).compare(device_a).field("cable"))
                        .help(format!(
                            "fuse the run at {} A or less where it leaves the output, or use a larger conductor",
                            plain(cap_a)
                        ))
                        .add();
                }
                (Some(device_a), _) if above(device_a, cap.at_least_a) => report.undetermined(&run.id, &cap.open),
                (Some(device_a), _) => report.passes(&run.id, &least.compare(device_a).field("cable")),
            }
        }
    }
}

/// The largest overcurrent device for a conductor as far as the plan tells, and the authority behind it.
struct Cap {
    at_least_a: f64,
    /// `None` where the tables have no value.
    at_most_a: Option<f64>,
    source: Cow<'static, str>,
    basis: Basis,
    /// What is missing to say which it is between the two.
    open: Vec<String>,
}

impl Cap {
    /// By NFPA 70: that of 240.4(D), or the next standard rating at or above the ampacity.
    fn nec(cable: &CableType, code: Code) -> Result<Self, Vec<String>> {
        let own = RULE.basis(Some(code));
        let row = ampacity::of(cable);
        let small = row.and_then(|row| row.small_conductor_device_a);
        let ampacity_a = cable.ampacity_a.or(row.map(|row| row.ampacity_a));
        let parallel = f64::from(cable.parallel);
        let by_ampacity = ampacity_a.map(|amps| ampacity::next_standard_device_a(amps * parallel));
        let cap = |amps: f64, source: &'static str, basis| Self {
            at_least_a: amps,
            at_most_a: Some(amps),
            source: source.into(),
            basis,
            open: Vec::new(),
        };
        match (small, by_ampacity) {
            (Some(small), by_ampacity) if by_ampacity.is_none_or(|device| device >= small) => {
                Ok(cap(small, "small conductors", own))
            }
            // The size is not among the small conductors, or a lower ampacity is stated.
            (_, Some(device)) => {
                let section = own.section.filter(|_| !ampacity::is_other_than_wire(cable)).map(|_| "240.4(B)");
                Ok(cap(device, "next standard rating at or above the ampacity", Basis { section, ..own }))
            }
            (_, None) => Err(vec![format!("`ampacity` of cable type `{}`", cable.name)]),
        }
    }

    /// By IEC 60364 and BS 7671: what the conductor may carry.
    fn metric(run: &Run, cable: &CableType, code: Code) -> Result<Self, Vec<String>> {
        let basis = RULE.basis(Some(code));
        if let Some(amps) = cable.ampacity_a {
            let amps = amps * f64::from(cable.parallel);
            let source = "ampacity of the cable type, plan".into();
            return Ok(Self { at_least_a: amps, at_most_a: Some(amps), source, basis, open: Vec::new() });
        }
        let metric::Capacity { at_least_a, at_most_a, source, open } = metric::capacity(run, cable, code)?;
        Ok(Self { at_least_a, at_most_a, source: source.into(), basis, open })
    }
}
