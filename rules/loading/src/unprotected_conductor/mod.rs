//! A conductor that the overcurrent device of its output does not protect.

use crate::ampacity;
use crate::support::{fed_by, is_nec, outputs};
use lintern_rule::compare::{above, plain};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{CableType, Listing};
use lintern_rule::prelude::*;

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
    for (s, o, supply, output) in outputs(input) {
        let kind = input.supply_type(supply);
        if kind.listing == Some(Listing::Class2) {
            // Class 2 sources are limited as such; their conductors need no device.
            continue;
        }
        let name = input.output_name((s, o));
        for run in input.runs() {
            let touches =
                run.segments.iter().any(|seg| fed_by(input, seg.start, (s, o)) || fed_by(input, seg.end, (s, o)));
            if !touches {
                continue;
            }
            let Some(nec) = nec else {
                report.undetermined(&run.id, ["`project.code`"]);
                continue;
            };
            let cable = input.cable_type(run);
            let Some((cap_a, basis)) = largest_device(input, cable, nec) else {
                report.undetermined(&run.id, [format!("`ampacity` of cable type `{}`", cable.name)]);
                continue;
            };
            // An output that can't deliver more than the cap protects the conductor without a device.
            let limited = output.limit_a.is_some_and(|limit| !above(limit, cap_a));
            match output.protection_a {
                Some(device_a) if above(device_a, cap_a) && !limited => report
                    .finding(&run.id)
                    .field("cable")
                    .basis(basis)
                    .related([supply.id.as_str()])
                    .message(format!(
                        "{name} is protected at {} A; {} in {} may have a device of at most {} A",
                        plain(device_a),
                        ampacity::size(cable),
                        run.id,
                        plain(cap_a)
                    ))
                    .measured(device_a, "A")
                    .limit(cap_a, "A")
                    .work(format!("overcurrent device of {name}"), device_a, "A", "plan")
                    .help(format!(
                        "fuse the run at {} A where it leaves the output, or use a larger conductor",
                        plain(cap_a)
                    ))
                    .add(),
                None if !limited => report
                    .undetermined(&run.id, [format!("`protection` of output {} of type `{}`", output.name, kind.name)]),
                Some(_) | None => report.checked(&run.id),
            }
        }
    }
}

/// The largest overcurrent device for a cable, A, and the authority behind it; `None` when its ampacity is not known.
fn largest_device(input: &Input, cable: &CableType, nec: bool) -> Option<(f64, Basis)> {
    let own = RULE.basis(input.project().code);
    let parallel = f64::from(cable.parallel);
    if !nec {
        return cable.ampacity_a.map(|amps| (amps * parallel, own));
    }
    let row = ampacity::of(cable);
    let small = row.and_then(|row| row.small_conductor_device_a);
    let ampacity_a = cable.ampacity_a.or(row.map(|row| row.ampacity_a));
    let by_ampacity = ampacity_a.map(|amps| ampacity::next_standard_device_a(amps * parallel));
    match (small, by_ampacity) {
        (Some(small), by_ampacity) if by_ampacity.is_none_or(|device| device >= small) => Some((small, own)),
        // The size is not among the small conductors, or a lower ampacity is stated: 240.4(D) is not what is broken.
        (_, by_ampacity) => by_ampacity.map(|device| (device, Basis { section: None, ..own })),
    }
}
