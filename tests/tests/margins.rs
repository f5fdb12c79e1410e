//! Margins by the real rules: on seeded networks the verdict turns where the critical length says; on the demo plans
//! every element that is held against a number has a margin, and no margin contradicts a finding.

use lintern_core::analysis::network::solve;
use lintern_core::analysis::{Case, site};
use lintern_core::check::{CheckOptions, PlanReport, check};
use lintern_core::engine::{Analysed, Input, RawMargin, RuleOutcome, RuleRequest};
use lintern_core::layout::{Layout, NodeRef};
use lintern_core::margin::{Margin, Turn, margins};
use lintern_core::plan::load;
use lintern_core::plan::quantity::{Current, Power, Voltage};
use lintern_core::plan::scalar::{Date, Rating};
use lintern_core::repository::{self, Repository};
use lintern_tests::circuit::{Circuit, SHAPES};
use lintern_tests::scenario::{AS_OF, modules, plans};
use std::collections::{BTreeMap, BTreeSet};

/// The rules that hold numbers of the network against limits.
const ELECTRICAL: [&str; 5] = [
    "voltage/undervoltage",
    "voltage/overvoltage",
    "voltage/excess-drop",
    "loading/overloaded-supply",
    "loading/exceeded-output-limit",
];

/// What a rule says of a layout.
fn run(layout: &Layout, rule: &str) -> RuleOutcome {
    let (judged, soil) = (solve(layout, Case::Judged), solve(layout, Case::Soil));
    let places = site::SiteFacts::unplaced(layout);
    let analysed =
        Analysed { judged: &judged, soil: &soil, site: &places, as_of: Date(AS_OF), calendar: None, as_built: None };
    let input = Input::new(layout, &analysed);
    let request = RuleRequest { rule: rule.to_owned(), settings: Vec::new(), wants_limits: false, wants_margins: true };
    let module = modules().iter().find(|module| module.rules().iter().any(|own| own.id == rule)).expect("a module");
    let mut outcome = module.check(&input, &[request]);
    assert!(outcome.errors.is_empty(), "{:?}", outcome.errors);
    outcome.results.remove(0)
}

/// A seeded network whose luminaires and supplies state their limits.
fn layout(circuit: &Circuit) -> Layout {
    let (mut w, nodes) = circuit.wiring();
    for node in nodes.into_iter().filter(|node| matches!(node, NodeRef::Luminaire(_))) {
        let kind = w.luminaire_type(node);
        kind.input_min = Some(Voltage::from_si(10.0));
        kind.input_max = Some(Voltage::from_si(11.9));
    }
    for supply in 0..w.layout.supplies.len() {
        let kind = w.supply_type(supply);
        kind.rating = Some(Rating::Real(Power::from_si(100.0)));
        kind.outputs[0].limit = Some(Current::from_si(6.0));
    }
    w.layout
}

/// The verdict of a rule on an element: `None` where it has none.
fn verdict(outcome: &RuleOutcome, margin: &Margin) -> Option<bool> {
    let same =
        |own: &&RawMargin| (&own.subject, &own.field, &own.name) == (&margin.subject, &margin.field, &margin.name);
    outcome.margins.iter().find(same).map(|own| own.passes)
}

#[test]
fn the_rule_turns_where_the_critical_length_says() {
    let mut turned = BTreeMap::new();
    for (number, shape) in SHAPES.into_iter().enumerate() {
        for seed in 0..6 {
            let circuit = Circuit::seeded(shape, 7, 100 * number as u64 + seed, 0.05 + 0.03 * seed as f64);
            let layout = layout(&circuit);
            for rule in ELECTRICAL {
                let outcome = run(&layout, rule);
                let told = outcome.margins.iter().map(|own| (rule.to_owned(), own.clone())).collect();
                for margin in margins(&layout, told, Some(100.0)).list {
                    let Turn::At(critical) = &margin.turn else { continue };
                    let at = |length| {
                        let mut changed = layout.clone();
                        let run = changed.runs.iter_mut().find(|own| own.id.0 == critical.run).expect("the run");
                        run.segments[critical.segment].length_m = length;
                        changed
                    };
                    let what = format!("{shape:?} {seed}: {margin:?}");
                    assert_eq!(critical.unit, "m");
                    assert_eq!(verdict(&run(&at(critical.passes_at), rule), &margin), Some(true), "{what}");
                    let beyond = verdict(&run(&at(critical.fails_at), rule), &margin);
                    let expected = critical.measured_where_it_fails.map(|_| false);
                    assert_eq!(beyond, expected, "{what}");
                    assert_eq!(margin.passes, verdict(&outcome, &margin).expect("told"), "{what}");
                    *turned.entry((rule, margin.passes)).or_insert(0) += 1;
                }
            }
        }
    }
    for rule in ["voltage/undervoltage", "voltage/overvoltage", "voltage/excess-drop", "loading/overloaded-supply"] {
        assert!(turned.get(&(rule, true)).is_some_and(|count| *count >= 5), "{rule}: {turned:?}");
    }
    assert!(turned.get(&("voltage/undervoltage", false)).is_some_and(|count| *count >= 5), "{turned:?}");
}

/// Every demo plan, checked and weighed.
fn demo() -> Vec<PlanReport> {
    let found = repository::find(&[plans()]);
    let modules: Vec<_> = modules().iter().collect();
    let options = CheckOptions { as_of: Date(AS_OF), settings: BTreeMap::new(), amendments: Vec::new() };
    let reports = found.plans.iter().map(|plan| {
        let repository = Repository::of(&plan.path).expect("a repository");
        let mut report = check(load(&repository, &plan.path), &modules, &options);
        report.weigh(Some(5.0));
        report
    });
    reports.collect()
}

#[test]
fn no_margin_of_a_demo_plan_contradicts_its_findings() {
    for report in demo() {
        let file = &report.loaded.file;
        for finding in report.findings.iter().filter(|finding| finding.limit.is_some()) {
            let margin = report.margins.of(finding).unwrap_or_else(|| panic!("{file}: {finding:?} has no margin"));
            assert!(margin.margin <= 0.0, "{file}: {margin:?}");
        }
        let mut failing = BTreeSet::new();
        for margin in &report.margins.list {
            assert!(if margin.passes { margin.margin >= 0.0 } else { margin.margin <= 0.0 }, "{file}: {margin:?}");
            if !margin.passes {
                failing.insert((&margin.rule, &margin.subject));
                let speaks = |f: &&lintern_core::finding::Finding| {
                    f.rule == margin.rule && (f.subject == margin.subject || f.related.contains(&margin.subject))
                };
                assert!(report.findings.iter().any(|f| speaks(&f)), "{file}: {margin:?} has no finding");
            }
        }
        assert_eq!(report.margins.left_out, 0, "{file}");
    }
}

/// The rules that hold the number of each of their elements against a limit in the demo plans, and nothing else: there
/// each checked element has a margin, and nothing else has.
#[test]
fn every_checked_element_has_a_margin() {
    const EACH: [&str; 11] = [
        "voltage/undervoltage",
        "voltage/overvoltage",
        "voltage/excess-drop",
        "voltage/nominal-mismatch",
        "voltage/excess-system-voltage",
        "loading/overloaded-supply",
        "loading/exceeded-rating",
        "loading/exceeded-output-limit",
        "loading/overloaded-conductor",
        "loading/overloaded-branch-circuit",
        "feed/low-mounting",
    ];
    let mut seen = BTreeSet::new();
    for report in demo() {
        for rule in EACH {
            let verdict = &report.verdicts[rule];
            let own = report.margins.list.iter().filter(|margin| margin.rule == rule);
            let subjects: BTreeSet<&str> = own.map(|margin| margin.subject.as_str()).collect();
            assert_eq!(subjects.len(), verdict.checked as usize, "{} {rule}: {subjects:?}", report.loaded.file);
            if verdict.checked > 0 {
                seen.insert(rule);
            }
        }
    }
    assert_eq!(seen.len(), EACH.len(), "{seen:?}");
}

/// What passes by the least tells the length at which it would not.
#[test]
fn the_tightest_of_each_rule_has_a_length_where_the_network_decides() {
    let mut lengths = 0;
    for report in demo() {
        for rule in ["voltage/undervoltage", "voltage/excess-drop", "loading/overloaded-supply"] {
            let Some(tightest) = report.margins.tightest(rule) else { continue };
            assert!(!matches!(tightest.turn, Turn::NotSought | Turn::LeftOut), "{}: {tightest:?}", report.loaded.file);
            lengths += usize::from(matches!(tightest.turn, Turn::At(_)));
        }
    }
    assert!(lengths >= 8, "{lengths} lengths");
}
