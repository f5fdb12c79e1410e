//! A cable in the ground that is not made for it, or conductors in a wet raceway that are not made for water.

use crate::circuit::Circuit;
use crate::edition::{is_nec, section};
use crate::fitness::{self, Fitness};
use crate::stretch::{self, Stretch};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{CableKind, CableType, Listing, Method, Run};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "burial/unsuitable-cable",
    title: "A cable in the ground is not made to lie there",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "310.10(F)", Confirmed),
        Citation::nec(Code::Nec2017, "300.5(B)", Confirmed),
        Citation::nec(Code::Nec2020, "310.10(E)", Confirmed),
        Citation::nec(Code::Nec2020, "300.5(B)", Confirmed),
        Citation::nec(Code::Nec2023, "310.10(E)", Confirmed),
        Citation::nec(Code::Nec2023, "300.5(B)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "522.8.10")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// What is wrong with a cable where it lies.
struct Fault {
    level: Level,
    basis: Basis,
    why: &'static str,
    help: &'static str,
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, run) in input.runs().iter().enumerate() {
        let ways = stretch::ways(input, index);
        if ways.unknown_method {
            report.undetermined(&run.id, ["`method`"]);
        }
        for (method, stretches) in ways.methods(run) {
            let Some(code) = input.project().code else {
                report.undetermined(&run.id, ["`project.code`"]);
                continue;
            };
            let fault =
                if method == Method::DirectBurial { in_earth(input, run, code) } else { in_raceway(input, run, code) };
            match fault {
                Err(missing) => report.undetermined(&run.id, [missing]),
                Ok(None) => report.checked(&run.id),
                Ok(Some(fault)) => add_finding(input, report, run, method, &stretches, fault),
            }
        }
    }
}

/// What is wrong with the cable of a run that lies in the ground without a raceway; the missing input where that is not
/// known.
fn in_earth(input: &Input, run: &Run, code: Code) -> Result<Option<Fault>, String> {
    let cable = input.cable_type(run);
    let nec = is_nec(input) == Some(true);
    if nec && cable.kind == Some(CableKind::Bare) {
        // Bare conductors outdoors are a finding of their own.
        return Ok(None);
    }
    let unfit = match fitness::for_earth(cable, Some(code)) {
        Fitness::Unknown(missing) => return Err(missing),
        Fitness::Unfit(why) => Some(why),
        Fitness::Suits => None,
    };
    let fault = match (code, unfit) {
        (Code::Bs7671, Some(why)) => Some(Fault {
            level: Level::Violation,
            basis: RULE.basis(Some(code)),
            why,
            help: "use an armoured cable, or lay it in a duct that is as strong",
        }),
        (Code::Bs7671, None) => unarmoured(input, run, cable),
        (Code::Iec60364, Some(why)) => Some(Fault {
            level: Level::Advice,
            basis: Basis::PRACTICE,
            why,
            help: "use a cable that its maker offers for the ground, or lay it in a duct",
        }),
        (Code::Iec60364, None) => (cable.kind == Some(CableKind::H07rnF)).then_some(Fault {
            level: Level::Reminder,
            basis: Basis::PRACTICE,
            why: "is flexible rubber cable (H07RN-F), which is commonly laid in a duct when it stays in the ground",
            help: "lay it in a duct, or have its maker confirm in writing that it may stay in the ground",
        }),
        (_, Some(why)) => Some(Fault {
            level: nec_level(code),
            basis: nec_basis(input, run, RULE.basis(Some(code))),
            why,
            help: "use Type UF or another cable that is identified for direct burial, or lay wet-rated conductors in a raceway",
        }),
        (_, None) => None,
    };
    Ok(fault)
}

/// BS 7671 wants an earthed armour or metal sheath on a cable that lies in the ground without a duct. That of an
/// extra-low-voltage system by its maker's instructions is commonly accepted.
fn unarmoured(input: &Input, run: &Run, cable: &CableType) -> Option<Fault> {
    let by_instructions =
        run.instructed_cover.is_some() && Circuit::of(input, run).listing == Some(Listing::LowVoltageLighting);
    (!fitness::is_armoured(cable) && !by_instructions).then(|| Fault {
        level: Level::Advice,
        basis: RULE.basis(Some(Code::Bs7671)),
        why: "has no armour",
        help: "use an armoured cable or a duct that is as strong, or state in `instructed-cover` what the maker of the extra-low-voltage system allows",
    })
}

/// What is wrong with the conductors of a run in a raceway underground, whose inside is a wet location by NFPA 70.
fn in_raceway(input: &Input, run: &Run, code: Code) -> Result<Option<Fault>, String> {
    let cable = input.cable_type(run);
    if is_nec(input) != Some(true) || cable.kind == Some(CableKind::Bare) {
        return Ok(None);
    }
    match fitness::for_wet_raceway(cable) {
        Fitness::Unknown(missing) => Err(missing),
        Fitness::Suits => Ok(None),
        Fitness::Unfit(why) => Ok(Some(Fault {
            level: nec_level(code),
            basis: section(code, "300.5(B)"),
            why,
            help: "use conductors that are listed for wet locations, such as THWN-2",
        })),
    }
}

/// The 2026 edition is not confirmed, so there a person is asked to look.
fn nec_level(code: Code) -> Level {
    if code == Code::Nec2026 { Level::Reminder } else { Level::Violation }
}

/// Article 310 is not that of Class 2 cables; they too must suit where they are.
fn nec_basis(input: &Input, run: &Run, basis: Basis) -> Basis {
    match Circuit::of(input, run).listing {
        Some(Listing::Class2) => Basis { section: None, ..basis },
        _ => basis,
    }
}

fn add_finding(input: &Input, report: &mut Report, run: &Run, method: Method, stretches: &[Stretch<'_>], fault: Fault) {
    let lies = match method {
        Method::DirectBurial => "lies in the ground without a raceway",
        _ => "lies in a raceway underground, which is a wet place",
    };
    let place = match stretches {
        [] => String::new(),
        _ => format!(", {}", stretch::places(input, stretches, stretch::is_metric(input, run))),
    };
    report
        .finding(&run.id)
        .level(fault.level)
        .basis(fault.basis)
        .field("cable")
        .message(format!("{} {lies}{place}; its cable {} {}", run.id, input.cable_type(run).name, fault.why))
        .help(format!("{}; the authority having jurisdiction decides", fault.help))
        .add();
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{chain, judge, plan};
    use lintern_rule::plan::ZoneKind;

    /// A run without a place lies in the ground all the same, and nothing is said of where.
    #[test]
    fn lamp_cord_is_found_wherever_it_lies() {
        let message = |placed| {
            let mut given = plan(&[ZoneKind::Lawn], placed, chain(1, Some(Method::DirectBurial)));
            given.cable_types[0].kind = Some(CableKind::LampCord);
            judge(&RULE, given).findings.remove(0).message
        };
        let fault = "its cable c is lamp cord, which is not made for the ground";
        assert_eq!(message(false), format!("R1 lies in the ground without a raceway; {fault}"));
        assert_eq!(
            message(true),
            format!("R1 lies in the ground without a raceway, from S1/main to J1 (6.6 ft); {fault}")
        );
    }
}
