//! A reading that differs from the plan by more than the instrument may be off by.

use crate::support::{NO_ANSWER, unit};
use lintern_rule::compare::shown;
use lintern_rule::facts::{ReadingComparison, ReadingQuantity};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "as-built/unexpected-reading",
    title: "A reading on the finished work is not what the plan gives",
    level: Level::Advice,
    waivable: true,
    settings: &[],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let Some(readings) = input.readings() else { return };
    for reading in &readings.comparisons {
        match reading.computed {
            None => report.undetermined(&reading.subject, [NO_ANSWER]),
            Some(computed) if reading.quantity == ReadingQuantity::Lit => seen(report, reading, computed),
            Some(computed) => number(report, reading, computed),
        }
    }
}

fn seen(report: &mut Report, reading: &ReadingComparison, computed: f64) {
    if !reading.outside {
        report.checked(&reading.subject);
        return;
    }
    let word = |value: f64| if value > 0.5 { "lit" } else { "dark" };
    report
        .finding(&reading.subject)
        .field(reading.field.clone())
        .message(format!("{} was seen {} and should be {}", reading.place, word(reading.read), word(computed)))
        .help("look at its lamp, its driver and its leads, and read the volts there")
        .add();
}

fn number(report: &mut Report, reading: &ReadingComparison, computed: f64) {
    let (place, unit) = (&reading.place, unit(reading.quantity));
    let difference = (reading.read - computed).abs();
    let source = "tolerance of the instrument, and what the mains may add";
    let limit = Limit::stated("allowed difference", reading.allowed, unit, Tighter::Lower, source);
    let compared = limit.compare(difference).field(reading.field.clone());
    if compared.passes() {
        report.passes(&reading.subject, &compared);
        return;
    }
    let against = match reading.quantity {
        ReadingQuantity::InputVolts => "nominal is",
        _ => "the plan gives",
    };
    report
        .finding(&reading.subject)
        .breaks(&compared)
        .message(format!(
            "{place} reads {} {unit}; {against} {} {unit}, {} {unit} apart, and {} {unit} is allowed",
            shown(reading.read, computed),
            shown(computed, reading.read),
            shown(difference, reading.allowed),
            shown(reading.allowed, difference)
        ))
        .work("as read", reading.read, unit, "reading")
        .work("as computed", computed, unit, "plan, conductors at the temperature of the readings, mains as read")
        .work("difference", reading.read - computed, unit, "as read - as computed")
        .work("instrument", reading.tolerance, unit, "tolerance of the reading")
        .help("`lintern readings` names what would explain it; correct the plan where the work was meant to be so")
        .add();
}
