//! The comparison as a comment on a change request.

use super::pair::{Change, PlanChange};
use super::text::{less_judged, numbers, plural, presence, tightest};
use super::{Comparison, baseline, counts};
use crate::output::escape::{code, markdown};
use crate::output::markdown::Page;
use crate::output::terminal::{basis_text, count};
use lintern_core::finding::Level;
use std::fmt::Write as _;

/// The whole comment.
pub fn render(comparison: &Comparison) -> String {
    let end = format!(
        "_{}_\n\n<sub>lintern {}, as of {}</sub>\n",
        markdown(&comparison.caution),
        comparison.tool.version,
        comparison.as_of
    );
    let mut page = Page::new(&end);
    let _ = page.add(&head(comparison));
    let errors: Vec<String> = comparison.errors.iter().map(|error| format!("- {}\n", markdown(error))).collect();
    page.section("Could not be checked", &errors, false);
    let before: Vec<String> = comparison.old_errors.iter().map(|error| format!("- {}\n", markdown(error))).collect();
    page.section("Could not be checked before, so what stands below as new may be old", &before, false);
    type Of = fn(&PlanChange) -> &Vec<Change>;
    let sections: [(&str, &str, Of, bool); 6] = [
        ("New", "new", |plan| &plan.new, false),
        ("Worse", "worse", |plan| &plan.worse, false),
        ("Waived in this change, or worse under a waiver", "waived", |plan| &plan.waived, false),
        ("Gone, because they can't be judged any more", "gone", |plan| &plan.gone, false),
        ("Cured", "cured", |plan| &plan.cured, true),
        ("Better, and still there", "better", |plan| &plan.better, true),
    ];
    for (heading, what, of, folded) in sections {
        let blocks = blocks(comparison, &|plan| of(plan).iter().map(|change| block(what, change)).collect());
        let total: usize = comparison.plans.iter().map(|plan| of(plan).len()).sum();
        let heading = if folded { format!("{heading}: {total}") } else { heading.to_owned() };
        page.section(&heading, &blocks, folded);
    }
    let unjudged = blocks(comparison, &|plan| {
        plan.unjudged.iter().map(|u| format!("- {}\n", markdown(&less_judged(u)))).collect()
    });
    page.section("Can be judged less than before", &unjudged, false);
    let moved =
        blocks(comparison, &|plan| plan.moved.iter().map(|m| format!("- {}\n", markdown(&tightest(m)))).collect());
    page.section("What passes, and how much room it has now", &moved, true);
    page.finish(&end)
}

fn head(comparison: &Comparison) -> String {
    let s = &comparison.summary;
    let named = |named: &super::Named| match &named.commit {
        Some(commit) => format!("{} ({})", code(&named.name), &commit[..commit.len().min(10)]),
        None => code(&named.name),
    };
    let verdict = if s.errors > 0 {
        "could not check everything".to_owned()
    } else if s.new + s.worse > 0 {
        let level = |level| {
            let changes = comparison.plans.iter().flat_map(|plan| plan.new.iter().chain(&plan.worse));
            changes.filter(|change| change.level == level).count()
        };
        let parts = [Level::Violation, Level::Advice, Level::Reminder].map(|l| (level(l), l));
        let parts = parts.into_iter().filter(|(n, _)| *n > 0).map(|(n, level)| plural(level, n));
        format!("this change adds or worsens {}", parts.collect::<Vec<_>>().join(", "))
    } else if s.unjudged + s.gone > 0 {
        "this change adds nothing that is found, but less can be judged".to_owned()
    } else {
        "this change makes nothing worse".to_owned()
    };
    let mut text = format!("## lintern: {verdict}\n\n");
    let _ = writeln!(
        text,
        "{} → {}: {} of {} changed. {}.\n",
        named(&comparison.old),
        named(&comparison.new),
        s.changed,
        count(s.plans, "plan", "plans"),
        counts(s)
    );
    if let Some(line) = baseline(comparison) {
        let _ = writeln!(text, "{}\n", markdown(&line));
    }
    text
}

/// Lists by plan, each under its name.
fn blocks(comparison: &Comparison, of: &dyn Fn(&PlanChange) -> Vec<String>) -> Vec<String> {
    let mut blocks = Vec::new();
    for plan in &comparison.plans {
        let mut list = of(plan);
        let (Some(first), heading) =
            (list.first_mut(), format!("{}{}\n\n", code(&plan.file), markdown(&presence(plan))))
        else {
            continue;
        };
        first.insert_str(0, &heading);
        if let Some(last) = list.last_mut() {
            last.push('\n');
        }
        blocks.extend(list);
    }
    blocks
}

fn block(what: &str, change: &Change) -> String {
    let subject = if change.subject.is_empty() { "the plan" } else { &change.subject };
    let level = change
        .was_level
        .map_or(change.level.word().to_owned(), |was| format!("{} → {}", was.word(), change.level.word()));
    let line = change.span.as_ref().map(|span| format!(" line {}", span.line)).unwrap_or_default();
    let mut text = format!("- **{}** {}{line}, {level}", markdown(subject), code(&change.rule));
    if let Some(numbers) = numbers(what, change) {
        let _ = write!(text, ": **{}**", markdown(&numbers));
    }
    if what == "cured" || what == "gone" {
        text.push('\n');
        return text;
    }
    let _ = write!(text, "<br>{}; {}", markdown(&change.message), markdown(&basis_text(&change.basis)));
    if let Some(reason) = change.waived.as_ref().filter(|_| what == "waived") {
        let by =
            change.approved_by.as_deref().map_or("**nobody named**".to_owned(), |by| format!("by {}", markdown(by)));
        let _ = write!(text, "<br>waived {by}: {}", markdown(reason));
    } else if let Some(reason) = change.was_waived.as_ref().filter(|_| what == "new") {
        let _ = write!(text, "<br>its waiver is gone: {}", markdown(reason));
    } else if !change.help.is_empty() {
        let _ = write!(text, "<br>→ {}", markdown(&change.help));
    }
    text.push('\n');
    text
}
