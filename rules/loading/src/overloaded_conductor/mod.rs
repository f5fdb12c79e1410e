//! A conductor carries more than its ampacity allows for a continuous load.

use crate::support::{Duty, is_nec, supplies_of};
use crate::{ampacity, metric};
use lintern_rule::RunCurrent;
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::{CableType, Run};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "loading/overloaded-conductor",
    title: "A conductor carries more current than its size allows",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "210.19(A)(1) and Table 310.15(B)(16)", Confirmed),
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
    /// The tables of IEC 60364 or BS 7671.
    Metric(metric::Capacity),
}

impl Ampacity {
    /// A maker's or designer's figure goes before the table; each code has its own tables.
    fn of(run: &Run, cable: &CableType, code: Code, nec: bool) -> Result<Self, Vec<String>> {
        if let Some(amps) = cable.ampacity_a {
            return Ok(Self::Stated(amps));
        }
        if nec {
            let missing = || vec![format!("`ampacity` of cable type `{}`", cable.name)];
            return ampacity::of(cable).map(Self::Row).ok_or_else(missing);
        }
        metric::capacity(run, cable, code).map(Self::Metric)
    }

    /// What one conductor may carry in any case, A.
    fn at_least_a(&self) -> f64 {
        match self {
            Self::Stated(amps) => *amps,
            Self::Row(row) => row.ampacity_a,
            Self::Metric(capacity) => capacity.at_least_a,
        }
    }

    /// What one conductor may carry at most, A; `None` where that is not known.
    fn at_most_a(&self) -> Option<f64> {
        match self {
            Self::Metric(capacity) => capacity.at_most_a,
            Self::Stated(_) | Self::Row(_) => Some(self.at_least_a()),
        }
    }

    /// Where that stands.
    fn source(&self) -> &str {
        match self {
            Self::Stated(_) => "plan",
            Self::Row(row) if row.is_in_table() => "copper, 60 degC column, 30 degC ambient",
            Self::Row(_) => "small conductors: continuous load at most 80 % of this",
            Self::Metric(capacity) => &capacity.source,
        }
    }

    /// The authority behind it: only what the section says is cited.
    fn basis(&self, code: Code) -> Basis {
        let own = RULE.basis(Some(code));
        let section = match (code, self) {
            (Code::Nec2017 | Code::Nec2020 | Code::Nec2023, Self::Row(row)) if !row.is_in_table() => Some("240.4(D)"),
            (Code::Nec2017 | Code::Nec2020 | Code::Nec2023, Self::Stated(_)) => Some("210.19(A)(1)"),
            _ => own.section,
        };
        Basis { section, ..own }
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let (Some(nec), Some(code)) = (is_nec(input), input.project().code) else {
        for run in input.runs() {
            report.undetermined(&run.id, ["`project.code`"]);
        }
        return;
    };
    for (r, (run, states)) in input.runs().iter().zip(input.judged().segments()).enumerate() {
        let cable = input.cable_type(run);
        let known = states.iter().filter_map(|state| state.amps.map(f64::abs));
        let Some(amps) = known.max_by(f64::total_cmp) else {
            report.undetermined(&run.id, ["the current in the run"]);
            continue;
        };
        let ampacity = match Ampacity::of(run, cable, code, nec) {
            Ok(ampacity) => ampacity,
            Err(missing) => {
                report.undetermined(&run.id, missing);
                continue;
            }
        };
        // NFPA 70 wants 125 % for a continuous load; IEC 60364 and BS 7671 want the design current itself covered.
        let duty = Duty::of(supplies_of(input, run), nec);
        let counted_a = duty.factor * amps;
        let parallel = f64::from(cable.parallel);
        let run_amps = Quantity::RunAmps(RunCurrent { run: r as u32, factor: duty.factor });
        let limit = |each_a: f64| {
            let source = format!("{}, times the conductors in parallel", ampacity.source());
            Limit::new("ampacity of the run", each_a * parallel, "A", Tighter::Lower, source)
        };
        let most = ampacity.at_most_a().map(|each_a| (each_a, limit(each_a)));
        let broken =
            most.as_ref().map(|(each_a, limit)| (*each_a, limit.compare(counted_a).field("cable").of(run_amps)));
        let Some((each_a, compared)) = broken.filter(|(_, compared)| !compared.passes()) else {
            match &ampacity {
                Ampacity::Metric(capacity) if above(counted_a, capacity.at_least_a) => {
                    report.undetermined(&run.id, &capacity.open);
                }
                _ if states.iter().any(|state| state.amps.is_none()) => {
                    report.undetermined(&run.id, ["the current in all of its segments"]);
                }
                _ => {
                    let least = limit(ampacity.at_least_a());
                    report.passes(&run.id, &least.compare(counted_a).field("cable").of(run_amps));
                }
            }
            continue;
        };
        let ampacity_a = each_a * parallel;
        let counted = match duty.factor > 1.0 {
            true => format!("{amps:.2} A, which counts as {} A for a continuous load", shown(counted_a, ampacity_a)),
            false => format!("{} A", shown(counted_a, ampacity_a)),
        };
        let mut help = "use a larger conductor, or split the run so that each carries less".to_owned();
        if duty.assumed && !above(amps, ampacity_a) {
            help.push_str("; or state `control.hours` of the supply, where it is on for less than 3 h a night");
        }
        report
            .finding(&run.id)
            .basis(ampacity.basis(code))
            .message(format!(
                "{} carries {counted}; {} may carry {} A",
                run.id,
                ampacity::conductors(cable),
                plain(ampacity_a)
            ))
            .breaks(&compared)
            .work("largest current in the run", amps, "A", "computed")
            .work("factor on the load", duty.factor, "", duty.source)
            .work("ampacity of one conductor", each_a, "A", ampacity.source())
            .work("conductors in parallel", parallel, "", "plan")
            .help(help)
            .add();
    }
}
