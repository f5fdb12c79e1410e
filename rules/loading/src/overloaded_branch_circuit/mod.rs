//! The branch circuit that feeds the supplies is loaded above what it may carry.

use crate::support::{Duty, Load, is_nec};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::plan::OutputCurrent;
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

/// A transformer's or driver's smallest usual efficiency: it may draw this much more than it gives. Common practice,
/// no source. It only decides whether a near miss can be called a pass.
const LEAST_EFFICIENCY: f64 = 0.85;

/// A DC supply's smallest usual power factor at its input, for the same purpose. Common practice, no source.
const LEAST_POWER_FACTOR: f64 = 0.9;

pub const RULE: Rule = Rule {
    id: "loading/overloaded-branch-circuit",
    title: "A branch circuit carries more than its overcurrent device allows for a continuous load",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "210.20(A)", Confirmed),
        Citation::nec(Code::Nec2020, "210.20(A)", Confirmed),
        Citation::nec(Code::Nec2023, "210.20(A)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-4-43", "2008", "433.1.1")),
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "433.1.1")),
    ],
    doc: include_str!("doc.md"),
    check,
};

/// A branch circuit with what the plan puts on it.
#[derive(Default)]
struct Circuit<'a> {
    supplies: Vec<&'a str>,
    /// What the supplies give, VA: the least that the circuit carries for them.
    load_va: f64,
    /// The same as the code counts it: 125 % where it is continuous.
    counted_va: f64,
    /// The most that the supplies may take, VA, counted so: unstated power factors at 0.9, losses counted.
    most_va: f64,
    /// How each supply's load was counted.
    duties: Vec<(&'a str, Duty)>,
    other_va: Option<f64>,
    input_v: Option<f64>,
    breaker_a: Option<f64>,
    /// What is missing for any verdict.
    missing: Vec<String>,
    /// What is missing for a pass.
    open: Vec<String>,
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let nec = is_nec(input);
    for ((name, _), mut circuit) in circuits(input, nec == Some(true)) {
        let Some(first) = circuit.supplies.first().copied() else { continue };
        let (Some(input_v), Some(breaker_a), [], Some(nec)) =
            (circuit.input_v, circuit.breaker_a, &circuit.missing[..], nec)
        else {
            if nec.is_none() {
                circuit.missing.push("`project.code`".to_owned());
            }
            undetermined(&circuit.supplies, &circuit.missing, report);
            continue;
        };
        // Whether the other load is continuous is not known: for a finding it is not, for a pass it is.
        let other_a = circuit.other_va.unwrap_or(0.0) / input_v;
        let counted_a = circuit.counted_va / input_v + other_a;
        let breaker =
            Limit::stated("overcurrent device of the circuit", breaker_a, "A", Tighter::Lower, "`feed.breaker`");
        let compared = breaker.compare(counted_a).field("feed.breaker");
        if !compared.passes() {
            let who = name.map_or_else(|| format!("the circuit of {first}"), |name| format!("circuit {name}"));
            let continuous = circuit.duties.iter().filter(|(_, duty)| duty.factor > 1.0).count();
            let share = match continuous {
                0 => "",
                all if all == circuit.duties.len() => " with the lighting counted at 125 %",
                _ => " with the continuous lighting counted at 125 %",
            };
            let plain_a = circuit.load_va / input_v + other_a;
            let mut help = "move a supply or the other load to another circuit".to_owned();
            if circuit.duties.iter().any(|(_, duty)| duty.assumed) && !above(plain_a, breaker_a) {
                help.push_str(
                    "; or state `control.hours` of the supplies, where they are on for less than 3 h a night",
                );
            }
            let mut finding = report
                .finding(first)
                .related(circuit.supplies[1..].iter().copied())
                .message(format!(
                    "{who} carries {} A{share}; its overcurrent device is {} A",
                    shown(counted_a, breaker_a),
                    plain(breaker_a)
                ))
                .breaks(&compared)
                .work("load of its supplies", circuit.load_va, "VA", "computed; losses of the supplies not counted");
            for (supply, duty) in circuit.duties {
                finding = finding.work(format!("factor on the load of {supply}"), duty.factor, "", duty.source);
            }
            finding
                .work("lighting as counted", circuit.counted_va, "VA", "sum of load x factor")
                .work("other load", circuit.other_va.unwrap_or(0.0), "VA", "plan")
                .work("voltage of the circuit", input_v, "V", "plan")
                .help(help)
                .add();
            for supply in &circuit.supplies[1..] {
                report.also_breaks(*supply, &compared);
            }
            continue;
        }
        if circuit.other_va.is_none() {
            circuit.open.push(format!("`feed.other-load` of {first}"));
        }
        let other_factor = if nec { 1.25 } else { 1.0 };
        if above(circuit.most_va / input_v + other_factor * other_a, breaker_a) {
            circuit.open.push("the input current of the supplies: the circuit is near its limit".to_owned());
        }
        if circuit.open.is_empty() {
            for supply in circuit.supplies {
                report.passes(supply, &compared);
            }
        } else {
            undetermined(&circuit.supplies, &circuit.open, report);
        }
    }
}

fn undetermined(supplies: &[&str], missing: &[String], report: &mut Report) {
    for supply in supplies {
        report.undetermined(*supply, missing);
    }
}

/// The circuits of the plan by name; a supply without a circuit name has one of its own.
fn circuits(input: &Input, nec: bool) -> BTreeMap<(Option<String>, &str), Circuit<'_>> {
    let mut circuits: BTreeMap<(Option<String>, &str), Circuit> = BTreeMap::new();
    for (supply, state) in input.supplies().iter().zip(input.judged().supplies()) {
        let id = supply.id.as_str();
        let kind = input.supply_type(supply);
        let feed = supply.feed.as_ref();
        let name = feed.and_then(|f| f.circuit.clone());
        let own = if name.is_some() { "" } else { id };
        let named = name.is_some();
        let circuit = circuits.entry((name, own)).or_default();
        circuit.supplies.push(id);
        if !named && input.supplies().len() > 1 {
            circuit.open.push(format!("`feed.circuit` of {id}"));
        }
        match kind.input_v {
            None => circuit.missing.push(format!("`input-volts` of type `{}`", kind.name)),
            Some(volts) if circuit.input_v.is_some_and(|other| other != volts) => {
                circuit
                    .missing
                    .push("one voltage of the circuit: its supplies state different `input-volts`".to_owned());
            }
            some => circuit.input_v = some,
        }
        match feed.and_then(|f| f.breaker_a) {
            None => circuit.missing.push(format!("`feed.breaker` of {id}")),
            // The smallest device stated for a circuit is the one that trips.
            Some(amps) => circuit.breaker_a = Some(circuit.breaker_a.map_or(amps, |other| other.min(amps))),
        }
        match Load::of(state) {
            Some(load) => {
                // A DC supply rectifies: its input draws more apparent power than it gives real power.
                let power_factor = if kind.current == OutputCurrent::Dc { LEAST_POWER_FACTOR } else { 1.0 };
                let duty = Duty::of([supply], nec);
                circuit.load_va += load.va;
                circuit.counted_va += duty.factor * load.va;
                circuit.most_va += duty.factor * load.va_at_pf_90 / LEAST_EFFICIENCY / power_factor;
                circuit.duties.push((id, duty));
                if !load.complete {
                    circuit.open.push(format!("an operating point of the circuits of {id}"));
                }
            }
            None => circuit.open.push(format!("the load of {id}")),
        }
        // Each supply states the other load of the same circuit: the largest statement counts, once.
        let other_va = feed.and_then(|f| f.other_load_va);
        circuit.other_va = circuit.other_va.into_iter().chain(other_va).max_by(f64::total_cmp);
    }
    circuits
}
