//! Low-voltage conductors in one raceway or cable with power conductors that they are not insulated for.

use crate::support::{Family, NO_FEED, family, level, run_feeds, supplies};
use lintern_rule::compare::{plain, shown};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::plan::{Listing, Run, SharedWith};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "clearance/mixed-systems",
    title: "Low-voltage and power conductors share a raceway or cable that they may not share",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "300.3(C)(1)", Confirmed),
        Citation::nec(Code::Nec2020, "300.3(C)(1)", Confirmed),
        Citation::nec(Code::Nec2023, "300.3(C)(1)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "528.1")),
        Citation { code: Code::Iec60364, basis: Basis::code("IEC 60364-5-52", "2009", "528.1"), confidence: Memory },
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for run in input.runs() {
        if run.shared_with != Some(SharedWith::Power) {
            continue;
        }
        if input.project().code.is_none() {
            report.undetermined(&run.id, ["`project.code`"]);
            continue;
        }
        report.checked(&run.id);
        if run.barrier == Some(true) {
            continue;
        }
        let outputs = run_feeds(input, run);
        if outputs.is_empty() {
            report.undetermined(&run.id, [NO_FEED]);
            continue;
        }
        judge(input, run, &supplies(&outputs), report);
    }
}

fn judge(input: &Input, run: &Run, supplies: &[u32], report: &mut Report) {
    let cable = input.cable_type(run);
    let mut missing: Vec<String> = Vec::new();
    let mut highest: Option<(f64, &str)> = None;
    for &index in supplies {
        let supply = &input.supplies()[index as usize];
        let kind = input.supply_type(supply);
        if family(input) == Some(Family::Nec) {
            match kind.listing {
                // Insulation does not help a Class 2 circuit: only a barrier or another raceway does.
                Some(Listing::Class2) => {
                    class_2(input, run, &supply.id, report);
                    return;
                }
                Some(_) => {}
                None => missing.push(format!("`listing` of supply type `{}`", kind.name)),
            }
        }
        match kind.input_v {
            Some(volts) if highest.is_none_or(|(known, _)| volts > known) => highest = Some((volts, &supply.id)),
            Some(_) => {}
            None => missing.push(format!("`input-volts` of supply type `{}`", kind.name)),
        }
    }
    let Some(rating_v) = cable.voltage_rating_v else {
        missing.push(format!("`voltage-rating` of cable type `{}`", cable.name));
        report.undetermined(&run.id, missing);
        return;
    };
    let highest = highest.map(|(volts, supply)| {
        let source = format!("taken as the input of {supply}");
        (Limit::stated("volts of the power conductors", volts, "V", Tighter::Higher, source), supply)
    });
    let compared = highest.as_ref().map(|(limit, supply)| (limit.compare(rating_v).field("shared-with"), *supply));
    match compared {
        Some((compared, supply)) if !compared.passes() => report
            .finding(&run.id)
            .level(level(input, Level::Violation))
            .related([supply])
            .message(format!(
                "{} shares a raceway or cable with power conductors and its insulation is rated {} V, less than their {} V",
                run.id,
                shown(rating_v, compared.limit_value()),
                plain(compared.limit_value())
            ))
            .work(format!("voltage rating of cable type {}", cable.name), rating_v, "V", "plan")
            .breaks(&compared)
            .help("lay it in a raceway of its own, behind a permanent barrier, or with conductors insulated for the power voltage; the authority decides")
            .add(),
        Some((compared, _)) if missing.is_empty() => report.passes(&run.id, &compared),
        None if missing.is_empty() => {}
        _ => report.undetermined(&run.id, missing),
    }
}

fn class_2(input: &Input, run: &Run, supply: &str, report: &mut Report) {
    if run.barrier.is_none() {
        report.undetermined(&run.id, [format!("`barrier` of {}", run.id)]);
        return;
    }
    let basis = match input.project().code {
        Some(Code::Nec2017) => Basis::code("NFPA 70", "2017", "725.136(A)"),
        Some(Code::Nec2020) => Basis::code("NFPA 70", "2020", "725.136(A)"),
        Some(Code::Nec2026) => Basis { section: None, ..Basis::code("NFPA 70", "2026", "") },
        _ => Basis::code("NFPA 70", "2023", "725.136(A)"),
    };
    report
        .finding(&run.id)
        .level(level(input, Level::Violation))
        .field("shared-with")
        .basis(basis)
        .related([supply])
        .message(format!(
            "{} is a Class 2 circuit of {supply} and shares a raceway, cable or enclosure with power conductors without a barrier",
            run.id
        ))
        .help("lay it in a raceway of its own or behind a permanent barrier; a higher insulation does not cure it, and the authority decides")
        .add();
}
