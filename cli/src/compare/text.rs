//! The comparison for people.

use super::pair::{Change, Moved, PlanChange, Presence, Unjudged};
use super::{Comparison, baseline, counts};
use crate::output::escape;
use crate::output::terminal::{Style, count, measure_text, wrap};
use lintern_core::finding::{Level, Measure};
use std::fmt::Write as _;

/// The whole text.
pub fn render(comparison: &Comparison, style: Style) -> String {
    let mut out = String::new();
    for error in &comparison.errors {
        let _ = writeln!(out, "{}", wrap(&escape::terminal(error), "  ! ", style.width));
    }
    for error in &comparison.old_errors {
        let _ = writeln!(out, "{}", wrap(&escape::terminal(&format!("before: {error}")), "  ! ", style.width));
    }
    for plan in &comparison.plans {
        let _ = writeln!(out, "{}{}", escape::terminal(&plan.file), escape::terminal(&presence(plan)));
        for line in lines(plan) {
            let _ = writeln!(out, "{}", wrap(&escape::terminal(&line), "  ", style.width));
        }
        out.push('\n');
    }
    let s = &comparison.summary;
    let _ = writeln!(
        out,
        "{} to {}: {} of {} changed: {}. As of {}.",
        escape::terminal(&comparison.old.name),
        escape::terminal(&comparison.new.name),
        s.changed,
        count(s.plans, "plan", "plans"),
        counts(s),
        comparison.as_of
    );
    if let Some(line) = baseline(comparison) {
        let _ = writeln!(out, "{}", wrap(&line, "", style.width));
    }
    let _ = writeln!(out, "\n{}", wrap(&comparison.caution, "", style.width));
    out
}

/// What is said beside the name of a plan.
pub fn presence(plan: &PlanChange) -> String {
    let of = match plan.presence {
        Presence::Both => "",
        Presence::Added => " (new plan)",
        Presence::Removed => " (plan removed)",
    };
    let renamed = plan.renamed_from.as_ref().map(|from| format!(" (was {from})")).unwrap_or_default();
    let unchecked = plan.unchecked.map(|when| format!(" (could not be checked {when})")).unwrap_or_default();
    format!("{of}{renamed}{unchecked}")
}

fn lines(plan: &PlanChange) -> Vec<String> {
    let lists = [
        ("new   ", &plan.new),
        ("worse ", &plan.worse),
        ("better", &plan.better),
        ("cured ", &plan.cured),
        ("gone  ", &plan.gone),
        ("waived", &plan.waived),
    ];
    let mut lines: Vec<String> = lists
        .into_iter()
        .flat_map(|(what, list)| list.iter().map(move |change| format!("{what}  {}", sentence(what.trim(), change))))
        .collect();
    lines.extend(plan.unjudged.iter().map(|unjudged| format!("?       {}", less_judged(unjudged))));
    lines.extend(plan.moved.iter().map(|moved| format!("moved   {}", tightest(moved))));
    lines
}

/// What became of a finding: `violation voltage/undervoltage L7: 9.4 V → 8.7 V, limit 9 V: …`.
pub fn sentence(what: &str, change: &Change) -> String {
    let subject = if change.subject.is_empty() { "the plan" } else { &change.subject };
    let level = match change.was_level {
        Some(was) => format!("{} → {}", was.word(), change.level.word()),
        None => change.level.word().to_owned(),
    };
    let mut text = format!("{level} {} {subject}", change.rule);
    if let Some(numbers) = numbers(what, change) {
        let _ = write!(text, ": {numbers}");
    }
    if what == "new" || what == "worse" || what == "waived" {
        let _ = write!(text, ": {}", change.message);
    }
    if what == "gone" {
        text.push_str(" (the rule can't judge it any more)");
    }
    if let Some(reason) = change.was_waived.as_ref().filter(|_| what == "new") {
        let _ = write!(text, " (its waiver is gone: {reason})");
    }
    if let Some(reason) = change.waived.as_ref().filter(|_| what == "waived") {
        let by = change.approved_by.as_deref().map_or("nobody named".to_owned(), |by| format!("by {by}"));
        let _ = write!(text, " (waived {by}: {reason})");
    }
    text
}

/// The numbers before and after.
pub fn numbers(what: &str, change: &Change) -> Option<String> {
    let limit = change.limit.as_ref().map(|limit| format!(", limit {}", measure_text(limit))).unwrap_or_default();
    let passes = |number: &Measure, which: bool| match which {
        true => format!("{} (passes)", measure_text(number)),
        false => measure_text(number),
    };
    let numbers = match (&change.was, &change.now) {
        (Some(was), Some(now)) if was != now => {
            format!("{} → {}", passes(was, change.passed), passes(now, what == "cured"))
        }
        (_, Some(now)) => measure_text(now),
        (Some(was), None) => format!("was {}", measure_text(was)),
        (None, None) => return None,
    };
    Some(format!("{numbers}{limit}"))
}

/// What a rule can no longer judge.
pub fn less_judged(unjudged: &Unjudged) -> String {
    let Unjudged { rule, was, now, missing } = unjudged;
    format!(
        "{rule} can't judge {} ({was} before), for want of {}",
        count(*now as usize, "element", "elements"),
        missing.join("; ")
    )
}

/// How the number that is closest to its limit moved.
pub fn tightest(moved: &Moved) -> String {
    let subject = if moved.subject.is_empty() { "the plan" } else { &moved.subject };
    format!(
        "{}: tightest that passes {} → {} at {subject} ({} {})",
        moved.rule,
        measure_text(&moved.was),
        measure_text(&moved.now),
        moved.name,
        measure_text(&moved.limit)
    )
}

/// The word of a level for a heading.
pub fn plural(level: Level, n: usize) -> String {
    match level {
        Level::Violation => count(n, "violation", "violations"),
        Level::Advice => count(n, "piece of advice", "pieces of advice"),
        Level::Reminder => count(n, "reminder", "reminders"),
    }
}
