//! `--format markdown`: a comment on a change request from which a reviewer can decide: what is to be cured, by which
//! authority and by how much, what was waived and by whom, what could not be judged, and what the result rests on.

mod page;

pub use page::Page;

use super::escape::{code, markdown};
use super::terminal::{basis_text, count};
use crate::report::document::{Failure, Standing, joined};
use crate::report::{Document, Finding, Plan, shown};
use lintern_core::finding::Level;
use std::fmt::Write as _;

/// Plans that the table lists.
const MOST_ROWS: usize = 60;

/// The whole comment.
pub fn render(document: &Document) -> String {
    let end = end(document);
    let mut page = Page::new(&end);
    let _ = page.add(&head(document));
    let _ = page.add(&table(document));
    page.section("Could not be checked", &errors(document), false);
    let counting = |level| {
        let of = move |finding: &Finding| finding.level == level && shown::counts(document, finding);
        findings(document, &of)
    };
    page.section("To be cured before the work", &counting(Level::Violation), false);
    page.section("Waived", &waived(document), false);
    let advice = counting(Level::Advice);
    page.section(&format!("Advice: {}", document.summary.counting(reviewer(document)).advice), &advice, true);
    let reminders = counting(Level::Reminder);
    page.section(&format!("Reminders: {}", document.summary.counting(reviewer(document)).reminder), &reminders, true);
    page.section("Baseline", &baseline(document), true);
    page.section("Not judged, for want of inputs", &not_judged(document), true);
    page.section("Assumed", &assumed(document), true);
    page.finish(&end)
}

fn reviewer(document: &Document) -> bool {
    document.seal.options.as_reviewer
}

/// The verdict, and the totals.
fn head(document: &Document) -> String {
    let s = &document.summary;
    let verdict = match (s.errors > 0, shown::fails(document)) {
        (true, _) => "could not check everything".to_owned(),
        (false, true) => "not ready".to_owned(),
        (false, false) if s.plans == 0 => "no plan was checked".to_owned(),
        (false, false) => {
            let all_count = reviewer(document);
            let apart = [
                (if all_count { 0 } else { s.waived }, "waived", violations(document, Standing::Waived)),
                (if all_count { 0 } else { s.baseline }, "in the baseline", violations(document, Standing::Known)),
                (s.undetermined, "not judged", 0),
            ];
            let told = |(n, what, violations): (usize, &str, usize)| match violations {
                0 => format!(", {n} {what}"),
                _ => format!(", {n} {what} ({})", count(violations, "violation", "violations")),
            };
            let apart = apart.into_iter().filter(|(n, ..)| *n > 0).map(told);
            format!("nothing that counts stands against it{}", apart.collect::<String>())
        }
    };
    let mut text = format!("## lintern: {verdict}\n\n");
    for line in shown::totals(document).into_iter().chain(shown::baselines(document)) {
        let _ = writeln!(text, "{}\n", markdown(&line));
    }
    text
}

/// Violations that do not count for a reason: they are in the ground all the same.
fn violations(document: &Document, standing: Standing) -> usize {
    let findings = document.plans.iter().flat_map(|plan| &plan.findings);
    findings.filter(|finding| finding.level == Level::Violation && finding.standing() == standing).count()
}

/// A row for each plan that has something, the worst first.
fn table(document: &Document) -> String {
    let mut rows: Vec<(crate::report::document::Summary, &Plan)> = document
        .plans
        .iter()
        .map(|plan| {
            let mut counts = crate::report::document::Summary::default();
            counts.add(plan);
            (counts, plan)
        })
        .collect();
    let key = |c: &crate::report::document::Summary| {
        let open = c.counting(reviewer(document));
        (c.errors, open.violation, open.advice, open.reminder, c.undetermined)
    };
    rows.sort_by_key(|(counts, _)| std::cmp::Reverse(key(counts)));
    let mut text = "| plan | violations | advice | reminders | waived | baseline | not judged | errors |\n|---|--:|--:|--:|--:|--:|--:|--:|\n".to_owned();
    for (counts, plan) in rows.iter().take(MOST_ROWS) {
        let open = counts.counting(reviewer(document));
        let _ = writeln!(
            text,
            "| {}{} | {} | {} | {} | {} | {} | {} | {} |",
            code(&plan.path()),
            plan.project.as_ref().map(|project| format!("<br>{}", markdown(project))).unwrap_or_default(),
            open.violation,
            open.advice,
            open.reminder,
            counts.waived,
            counts.baseline,
            counts.undetermined,
            counts.errors
        );
    }
    if rows.len() > MOST_ROWS {
        let _ = writeln!(text, "\n{} more plans have no more than the last one here.", rows.len() - MOST_ROWS);
    }
    text.push('\n');
    text
}

fn errors(document: &Document) -> Vec<String> {
    let line = |failure: &Failure| {
        let place = failure.place().map(|place| format!("{}: ", code(&place))).unwrap_or_default();
        let help = failure.help.as_ref().map(|help| format!(" ({})", markdown(help))).unwrap_or_default();
        format!("- {place}{}{help}\n", markdown(&failure.message))
    };
    document.errors.iter().chain(document.plans.iter().flat_map(|plan| &plan.errors)).map(line).collect()
}

/// One block a finding, with the file where it changes.
fn findings(document: &Document, wanted: &dyn Fn(&Finding) -> bool) -> Vec<String> {
    let mut blocks = Vec::new();
    for plan in &document.plans {
        let mut heading = Some(format!("{}\n\n", code(&plan.path())));
        for finding in plan.findings.iter().filter(|finding| wanted(finding)) {
            blocks.push(format!("{}{}", heading.take().unwrap_or_default(), block(plan, finding)));
        }
        if heading.is_none()
            && let Some(last) = blocks.last_mut()
        {
            last.push('\n');
        }
    }
    blocks
}

/// What is found, where, by how much, by which authority, and what would cure it.
pub fn block(plan: &Plan, finding: &Finding) -> String {
    let subject = if finding.subject.is_empty() { "the plan" } else { &finding.subject };
    let line = finding.span.as_ref().map(|span| match joined(&plan.repository, &span.file) {
        file if file == plan.path() => format!(" line {}", span.line),
        file => format!(" {} line {}", code(&file), span.line),
    });
    let mut text = format!(
        "- **{}** {}{}: {}",
        markdown(subject),
        code(&finding.rule),
        line.unwrap_or_default(),
        markdown(&finding.message)
    );
    let mut parts = Vec::new();
    parts.extend(shown::numbers(finding));
    parts.push(basis_text(&finding.basis));
    parts.extend(shown::standing(finding));
    let _ = write!(text, "<br>{}", markdown(&parts.join("; ")));
    if !finding.help.is_empty() {
        let _ = write!(text, "<br>→ {}", markdown(&finding.help));
    }
    text.push('\n');
    text
}

fn waived(document: &Document) -> Vec<String> {
    let mut rows = Vec::new();
    for plan in &document.plans {
        for finding in plan.findings.iter().filter(|finding| finding.standing() == Standing::Waived) {
            let waiver = finding.waiver.as_ref();
            let or = |text: Option<&String>, none: &str| text.map_or(none.to_owned(), |text| markdown(text));
            let subject = if finding.subject.is_empty() { "the plan" } else { &finding.subject };
            rows.push(format!(
                "| {} | {} {} | {} | {} | {} | {} |\n",
                code(&plan.path()),
                code(&finding.rule),
                markdown(subject),
                markdown(&finding.message),
                markdown(finding.waived.as_deref().unwrap_or_default()),
                or(waiver.and_then(|w| w.approved_by.as_ref()), "**nobody named**"),
                or(waiver.and_then(|w| w.until.as_ref()), "no end")
            ));
        }
    }
    if let Some(first) = rows.first_mut() {
        first.insert_str(0, "| plan | finding | what | reason | accepted by | until |\n|---|---|---|---|---|---|\n");
    }
    rows
}

fn baseline(document: &Document) -> Vec<String> {
    let mut lines = Vec::new();
    for plan in &document.plans {
        let path = code(&plan.path());
        for finding in plan.findings.iter().filter(|finding| finding.baseline.is_some() && finding.waived.is_none()) {
            let subject = if finding.subject.is_empty() { "the plan" } else { &finding.subject };
            let standing = shown::standing(finding).unwrap_or_default();
            lines.push(format!(
                "- {path} {} {}: {} ({})\n",
                code(&finding.rule),
                markdown(subject),
                markdown(&finding.message),
                markdown(&standing)
            ));
        }
        lines.extend(plan.cured.iter().map(|cured| format!("- {path} {}\n", markdown(&shown::cured(cured)))));
    }
    lines
}

/// Rules by what they miss, over all plans: the same input is mostly missing in many.
fn not_judged(document: &Document) -> Vec<String> {
    let mut by_rule: std::collections::BTreeMap<&str, (u32, usize, std::collections::BTreeSet<&str>)> =
        std::collections::BTreeMap::new();
    for plan in &document.plans {
        for (rule, verdict) in plan.verdicts.iter().filter(|(_, verdict)| verdict.verdict.undetermined > 0) {
            let (elements, plans, missing) = by_rule.entry(rule).or_default();
            *elements += verdict.verdict.undetermined;
            *plans += 1;
            missing.extend(verdict.verdict.missing.iter().map(String::as_str));
        }
    }
    let line = |(rule, (elements, plans, missing)): (&str, (u32, usize, std::collections::BTreeSet<&str>))| {
        let shown: Vec<&str> = missing.iter().copied().take(6).collect();
        let more = missing.len().saturating_sub(6);
        let more = if more > 0 { format!("; and {more} more") } else { String::new() };
        format!(
            "- {} {} in {}, for want of {}{more}\n",
            code(rule),
            count(elements as usize, "element", "elements"),
            count(plans, "plan", "plans"),
            markdown(&shown.join("; "))
        )
    };
    by_rule.into_iter().map(line).collect()
}

/// What was filled in, with the number of plans.
fn assumed(document: &Document) -> Vec<String> {
    let mut by_text: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
    for assumption in document.plans.iter().flat_map(|plan| &plan.assumptions) {
        *by_text.entry(assumption).or_default() += 1;
    }
    let of = |plans: usize| {
        if document.plans.len() > 1 { format!(" ({})", count(plans, "plan", "plans")) } else { String::new() }
    };
    by_text.into_iter().map(|(text, plans)| format!("- {}{}\n", markdown(text), of(plans))).collect()
}

/// The caution, and what the result rests on.
fn end(document: &Document) -> String {
    // No two dashes in a row: they end an HTML comment in some readers.
    let seal = serde_json::to_string(&document.seal).unwrap_or_default();
    let seal = super::escape::json(seal).replace("--", "-\\u002d").replace('>', "\\u003e");
    let files = document.plans.iter().flat_map(|plan| {
        [plan.sha256.as_str()].into_iter().chain(plan.schedules.iter().map(|schedule| schedule.sha256.as_str()))
    });
    let digest = lintern_core::repository::sha256_hex(files.collect::<Vec<_>>().join("\n").as_bytes());
    format!(
        "_{}_\n\n<sub>lintern {}, as of {}; SHA-256 of the digests of all plans and schedules: {digest}</sub>\n<!-- lintern-seal {seal} -->\n",
        markdown(&document.caution),
        document.tool.version,
        document.as_of
    )
}
