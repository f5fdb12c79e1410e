//! Which margin belongs to which finding, which is the tightest, what is near.

use super::*;
use crate::check::{CheckOptions, check};
use crate::engine::{Engine, EngineOptions};
use crate::finding::{Basis, BasisKind, Level, Measure};
use crate::plan::field::Span;
use crate::plan::load;
use crate::repository::Repository;
use std::path::Path;

fn told(rule: &str, subject: &str, measured: f64, limit: f64, passes: bool) -> (String, RawMargin) {
    let raw = RawMargin {
        subject: subject.to_owned(),
        field: "f".to_owned(),
        name: "n".to_owned(),
        measured,
        limit,
        unit: "V".to_owned(),
        source: "plan".to_owned(),
        tighter: Tighter::Higher,
        passes,
        quantity: Quantity::Other,
    };
    (rule.to_owned(), raw)
}

fn finding(rule: &str, subject: &str, measured: f64, limit: f64) -> Finding {
    let measure = |value| Some(Measure { value, unit: "V".to_owned() });
    Finding {
        rule: rule.to_owned(),
        level: Level::Advice,
        subject: subject.to_owned(),
        related: Vec::new(),
        field: "f".to_owned(),
        message: String::new(),
        measured: measure(measured),
        limit: measure(limit),
        work: Vec::new(),
        basis: Basis { kind: BasisKind::Practice, document: None, edition: None, section: None },
        help: String::new(),
        span: Span::default(),
        waived: None,
    }
}

fn sample() -> Margins {
    let told = vec![
        told("b/r", "L2", 10.4, 10.0, true),
        told("a/r", "L1", 9.0, 10.0, false),
        told("b/r", "L1", 11.0, 10.0, true),
        told("b/r", "L3", 8.0, 10.0, false),
        told("b/r", "L3", 7.0, 10.0, false),
        told("b/r", "L4", 3.0, 0.0, true),
        told("b/r", "L5", 10.5, 10.0, true),
    ];
    margins(&Layout::default(), told, Some(5.0))
}

#[test]
fn a_finding_has_the_margin_of_its_own_numbers() {
    let margins = sample();
    let of = |rule, subject, measured, limit| margins.of(&finding(rule, subject, measured, limit)).map(|m| m.margin);
    assert_eq!(of("b/r", "L3", 8.0, 10.0), Some(-2.0));
    assert_eq!(of("b/r", "L3", 7.0, 10.0), Some(-3.0));
    assert_eq!(of("a/r", "L1", 9.0, 10.0), Some(-1.0));
    assert_eq!(of("b/r", "L1", 11.0, 10.0), None, "it passes");
    assert_eq!(of("b/r", "L3", 6.0, 10.0), None);
}

#[test]
fn the_tightest_passes_and_has_a_share() {
    let margins = sample();
    assert_eq!(margins.tightest("b/r").map(|margin| margin.subject.as_str()), Some("L2"));
    assert_eq!(margins.tightest("a/r"), None, "nothing of it passes");
    assert_eq!(margins.tightest("c/r"), None);
}

#[test]
fn near_is_what_passes_within_the_share_the_closest_first() {
    let margins = sample();
    // 0.4 of 10 is 4 %, 0.5 is 5 %, 1 is 10 %; a limit of 0 has no share.
    let near: Vec<&str> = margins.near(5.0).iter().map(|margin| margin.subject.as_str()).collect();
    assert_eq!(near, ["L2", "L5"]);
    assert_eq!(margins.near(10.0).len(), 3);
    assert!(margins.near(0.0).is_empty());
}

#[test]
fn the_arithmetic_is_in_the_work() {
    let margins = sample();
    let l2 = margins.tightest("b/r").expect("L2");
    let numbers: Vec<f64> = l2.work().iter().map(|line| line.value).collect();
    // 10.4 - 10, and 0.4 of 10.
    assert_eq!(numbers[..2], [10.4, 10.0]);
    assert!((numbers[2] - 0.4).abs() < 1e-12 && (numbers[3] - 4.0).abs() < 1e-11, "{numbers:?}");
}

#[test]
fn what_was_solved_for_one_number_changes_no_other() {
    let plan = Path::new(env!("CARGO_MANIFEST_DIR")).join("../plans/fernhollow-court/front-garden.yaml");
    let repository = Repository::of(&plan).unwrap();
    let module = Engine::new(EngineOptions::default()).0.load_builtin().unwrap();
    let options =
        CheckOptions { as_of: "2026-03-05".parse().unwrap(), settings: BTreeMap::new(), amendments: Vec::new() };
    let report = check(load(&repository, &plan), &[&module], &options);
    let layout = report.loaded.layout.as_ref().unwrap();
    let of_cable = |quantity| !matches!(quantity, Quantity::Other);
    let told: Vec<_> = report.told.into_iter().filter(|(_, raw)| of_cable(raw.quantity)).take(60).collect();
    let together = margins(layout, told.clone(), Some(1e6));
    assert_eq!(together.left_out, 0);
    let turns = together.list.iter().filter(|margin| matches!(margin.turn, Turn::At(_))).count();
    assert!(turns > 10, "{turns}");
    let mut alone: Vec<Margin> = told.into_iter().flat_map(|one| margins(layout, vec![one], Some(1e6)).list).collect();
    alone.sort_by(order);
    assert_eq!(together.list, alone);
}
