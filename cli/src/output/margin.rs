//! Margins in words and in JSON: by how much a number keeps or breaks its limit, and at which length of cable that turns.

use super::terminal::number;
use lintern_core::finding::{Measure, WorkLine};
use lintern_core::margin::{Critical, Margin, Margins, Turn};
use serde::Serialize;

/// What is said of the margin of a finding: `fails by 0.3 V; passes if R2 from J1 to L3 is 22 ft or shorter (35 ft now)`.
pub fn of_finding(margin: &Margin) -> String {
    format!("{}{}", by(margin), turn(margin))
}

/// What is said of a number beside its element: `11.6 V, lowest input 9 V: passes by 2.6 V (28.9 %)`.
pub fn of_number(margin: &Margin) -> String {
    let (measured, limit) = (with_unit(margin.measured, &margin.unit), with_unit(margin.limit, &margin.unit));
    format!("{measured}, {} {limit}: {}{}", margin.name, by(margin), turn(margin))
}

/// Lines for what passes by at most some percent of its limit, the closest first; equal ones of one rule are one line.
pub fn near(margins: &Margins, percent: f64) -> Vec<String> {
    let mut groups: Vec<(&Margin, usize)> = Vec::new();
    for margin in margins.near(percent) {
        match groups.last_mut() {
            Some((first, more)) if is_same(first, margin) => *more += 1,
            _ => groups.push((margin, 0)),
        }
    }
    if groups.is_empty() {
        return vec![format!("nothing passes by {} % of its limit or less", number(percent))];
    }
    groups.into_iter().map(|(margin, more)| near_line(margin, more)).collect()
}

fn is_same(a: &Margin, b: &Margin) -> bool {
    (&a.rule, &a.name, a.measured, a.limit, &a.turn) == (&b.rule, &b.name, b.measured, b.limit, &b.turn)
}

fn near_line(margin: &Margin, more: usize) -> String {
    let subject = if margin.subject.is_empty() { "the plan" } else { &margin.subject };
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    format!(
        "{} {subject}{more}: {}, {} {}: {}{}",
        margin.rule,
        with_unit(margin.measured, &margin.unit),
        margin.name,
        with_unit(margin.limit, &margin.unit),
        by(margin),
        turn(margin)
    )
}

fn by(margin: &Margin) -> String {
    let verb = if margin.passes { "passes" } else { "fails" };
    let share = match (margin.passes, margin.margin_percent) {
        (true, Some(percent)) if margin.unit == "%" => format!(" ({} % of the limit)", number(percent)),
        (true, Some(percent)) => format!(" ({} %)", number(percent)),
        _ => String::new(),
    };
    format!("{verb} by {}{share}", with_unit(margin.margin.abs(), &margin.unit))
}

fn with_unit(value: f64, unit: &str) -> String {
    let space = if unit.is_empty() { "" } else { " " };
    format!("{}{space}{unit}", number(value))
}

fn turn(margin: &Margin) -> String {
    match &margin.turn {
        Turn::At(critical) => format!("; {}", at(critical, margin.passes)),
        Turn::Nowhere if !margin.passes => "; no length of one segment cures it, as far as was tried".to_owned(),
        Turn::LeftOut => "; at which length of cable that turns was not computed".to_owned(),
        Turn::Nowhere | Turn::NotSought | Turn::NotOfCable => String::new(),
    }
}

/// `fails if R1 from S1 to J1 is longer than 41.2 ft (35 ft now)`, or what would pass.
fn at(critical: &Critical, passes: bool) -> String {
    let Critical { run, from, to, unit, .. } = critical;
    let length = |length: f64| format!("{length:.*} {unit}", critical.decimals);
    let now = format!("{:.*}", critical.decimals.max(2), critical.length);
    let now = format!("({} {unit} now)", now.trim_end_matches('0').trim_end_matches('.'));
    let segment = format!("{run} from {from} to {to} is");
    let (passes_at, fails_at) = (length(critical.passes_at), length(critical.fails_at));
    let beyond = match critical.measured_where_it_fails {
        Some(_) => "fails",
        None => "has no answer",
    };
    match (passes, critical.onward, critical.fails_longer()) {
        (true, true, true) => format!("{beyond} if {segment} longer than {passes_at} {now}"),
        (true, true, false) => format!("{beyond} if {segment} shorter than {passes_at} {now}"),
        // In a loop, or where drivers cut out, a length farther on may have the other verdict again.
        (true, false, _) => format!("{beyond} if {segment} {fails_at} {now}"),
        (false, true, true) => format!("passes if {segment} {passes_at} or shorter {now}"),
        (false, true, false) => format!("passes if {segment} {passes_at} or longer {now}"),
        (false, false, _) => format!("passes if {segment} {passes_at} {now}"),
    }
}

/// The margin of a finding.
#[derive(Serialize)]
pub struct JsonOfFinding<'a> {
    value: f64,
    unit: &'a str,
    percent: Option<f64>,
    critical: Option<JsonCritical<'a>>,
    /// Why there is no critical length, or that there is one.
    turn: &'static str,
    work: Vec<WorkLine>,
}

/// The tightest margin that passes of a rule.
#[derive(Serialize)]
pub struct JsonTightest<'a> {
    subject: &'a str,
    name: &'a str,
    measured: f64,
    limit: f64,
    unit: &'a str,
    margin: f64,
    percent: Option<f64>,
    critical: Option<JsonCritical<'a>>,
    turn: &'static str,
}

/// A margin in full.
#[derive(Serialize)]
pub struct JsonMargin<'a> {
    rule: &'a str,
    subject: &'a str,
    field: &'a str,
    name: &'a str,
    measured: f64,
    limit: f64,
    unit: &'a str,
    passes: bool,
    margin: f64,
    percent: Option<f64>,
    critical: Option<JsonCritical<'a>>,
    turn: &'static str,
    work: Vec<WorkLine>,
}

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct JsonCritical<'a> {
    run: &'a str,
    segment: usize,
    from: &'a str,
    to: &'a str,
    length: Measure,
    passes_at: Measure,
    fails_at: Measure,
    measured_where_it_passes: f64,
    measured_where_it_fails: Option<f64>,
    onward: bool,
}

impl<'a> JsonOfFinding<'a> {
    pub fn of(margin: &'a Margin) -> Self {
        let (critical, turn) = json_turn(margin);
        let (value, unit, percent) = (margin.margin, margin.unit.as_str(), margin.margin_percent);
        Self { value, unit, percent, critical, turn, work: margin.work() }
    }
}

impl<'a> JsonTightest<'a> {
    pub fn of(margin: &'a Margin) -> Self {
        let (critical, turn) = json_turn(margin);
        let Margin { subject, name, measured, limit, unit, margin, margin_percent: percent, .. } = margin;
        let (measured, limit, margin, percent) = (*measured, *limit, *margin, *percent);
        Self { subject, name, measured, limit, unit, margin, percent, critical, turn }
    }
}

impl<'a> JsonMargin<'a> {
    pub fn of(margin: &'a Margin) -> Self {
        let (critical, turn) = json_turn(margin);
        Self {
            rule: &margin.rule,
            subject: &margin.subject,
            field: &margin.field,
            name: &margin.name,
            measured: margin.measured,
            limit: margin.limit,
            unit: &margin.unit,
            passes: margin.passes,
            margin: margin.margin,
            percent: margin.margin_percent,
            critical,
            turn,
            work: margin.work(),
        }
    }
}

fn json_turn(margin: &Margin) -> (Option<JsonCritical<'_>>, &'static str) {
    let critical = match &margin.turn {
        Turn::NotSought => return (None, "not-sought"),
        Turn::NotOfCable => return (None, "not-of-cable"),
        Turn::Nowhere => return (None, "nowhere"),
        Turn::LeftOut => return (None, "left-out"),
        Turn::At(critical) => critical,
    };
    let length = |value: f64| Measure { value, unit: critical.unit.to_owned() };
    let critical = JsonCritical {
        run: &critical.run,
        segment: critical.segment,
        from: &critical.from,
        to: &critical.to,
        length: length(critical.length),
        passes_at: length(critical.passes_at),
        fails_at: length(critical.fails_at),
        measured_where_it_passes: critical.measured_where_it_passes,
        measured_where_it_fails: critical.measured_where_it_fails,
        onward: critical.onward,
    };
    (Some(critical), "at")
}
