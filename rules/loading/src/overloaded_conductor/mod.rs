//! A conductor carries more than its ampacity allows for a continuous load.

use crate::ampacity;
use crate::support::is_nec;
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::outcome::Confidence::{Confirmed, Memory};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "loading/overloaded-conductor",
    title: "A conductor carries more current than its size allows",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "210.19(A)(1) and Table 310.15(B)(16)", Memory),
        Citation::nec(Code::Nec2020, "210.19(A)(1) and Table 310.16", Confirmed),
        Citation::nec(Code::Nec2023, "210.19(A)(1) and Table 310.16", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-4-43", "2008", "433.1.1")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "433.1.1")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// Where a conductor's ampacity comes from.
enum Ampacity {
    /// Its maker or the designer states it.
    Stated(f64),
    /// A built-in row of NFPA 70.
    Row(&'static ampacity::Row),
}

impl Ampacity {
    /// What one conductor may carry, A, and where that stands.
    fn amps(&self) -> (f64, &'static str) {
        match self {
            Self::Stated(amps) => (*amps, "plan"),
            Self::Row(row) if row.is_in_table() => (row.ampacity_a, "copper, 60 degC column, 30 degC ambient"),
            Self::Row(row) => (row.ampacity_a, "small conductors: continuous load at most 80 % of this"),
        }
    }

    /// The authority behind it: only what the section says is cited.
    fn basis(&self, code: Option<Code>) -> Basis {
        let own = RULE.basis(code);
        let section = match (code, self) {
            (Some(Code::Nec2017 | Code::Nec2020 | Code::Nec2023), Self::Row(row)) if !row.is_in_table() => {
                Some("240.4(D)")
            }
            (Some(Code::Nec2020 | Code::Nec2023), Self::Stated(_)) => Some("210.19(A)(1)"),
            _ => own.section,
        };
        Basis { section, ..own }
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(nec) = is_nec(input) else {
        for run in input.runs() {
            report.undetermined(&run.id, ["`project.code`"]);
        }
        return;
    };
    for (run, states) in input.runs().iter().zip(input.judged().segments()) {
        let cable = input.cable_type(run);
        let known = states.iter().filter_map(|state| state.amps.map(f64::abs));
        let Some(amps) = known.max_by(f64::total_cmp) else {
            report.undetermined(&run.id, ["the current in the run"]);
            continue;
        };
        // A maker's or designer's ampacity goes before the table; of the codes, only NFPA 70's table is built in.
        let from_table = || nec.then(|| ampacity::of(cable)).flatten().map(Ampacity::Row);
        let Some(ampacity) = cable.ampacity_a.map(Ampacity::Stated).or_else(from_table) else {
            report.undetermined(&run.id, [format!("`ampacity` of cable type `{}`", cable.name)]);
            continue;
        };
        let (each_a, source) = ampacity.amps();
        let ampacity_a = each_a * f64::from(cable.parallel);
        // NFPA 70 wants 125 % for a continuous load; IEC 60364 and BS 7671 want the design current itself covered.
        let factor = if nec { 1.25 } else { 1.0 };
        let counted_a = factor * amps;
        if !above(counted_a, ampacity_a) {
            if states.iter().any(|state| state.amps.is_none()) {
                report.undetermined(&run.id, ["the current in all of its segments"]);
            } else {
                report.checked(&run.id);
            }
            continue;
        }
        let counted = match nec {
            true => format!("{amps:.2} A, which counts as {} A for a continuous load", shown(counted_a, ampacity_a)),
            false => format!("{} A", shown(counted_a, ampacity_a)),
        };
        report
            .finding(&run.id)
            .field("cable")
            .basis(ampacity.basis(input.project().code))
            .message(format!(
                "{} carries {counted}; {} may carry {} A",
                run.id,
                ampacity::size(cable),
                plain(ampacity_a)
            ))
            .measured(counted_a, "A")
            .limit(ampacity_a, "A")
            .work("largest current in the run", amps, "A", "computed")
            .work("factor on the continuous load", factor, "", "code")
            .work("ampacity of one conductor", each_a, "A", source)
            .work("conductors in parallel", f64::from(cable.parallel), "", "plan")
            .help("use a larger conductor, or split the run so that each carries less")
            .add();
    }
}
