//! What is wrong with the waivers of a plan, once all rules have answered.

use super::rules::Defect;
use super::{is_for, is_in_force, is_waivable, stated};
use crate::check::{CheckOptions, PlanReport};
use crate::engine::RuleDescription;
use crate::finding::{Basis, BasisKind, Finding, Level, Verdict, WorkLine};
use crate::plan::scalar::Date;
use crate::plan::{Waiver, elide};
use crate::settings::near_rule;
use std::collections::{BTreeMap, BTreeSet};

/// Judges the waivers of a report whose findings are complete. `rules` are all that ran.
pub fn judge(report: &mut PlanReport, rules: &[&RuleDescription], options: &CheckOptions) {
    if report.loaded.layout.is_none() {
        return;
    }
    let mut tallies: BTreeMap<Defect, Tally> = Defect::ALL.into_iter().map(|d| (d, Tally::default())).collect();
    let used = report.findings.iter().filter_map(|finding| Some(finding.waived.as_ref()?.waiver)).collect();
    let desk = Desk { report, rules, options, used };
    let mut found = Vec::new();
    for waiver in &report.loaded.waivers {
        for (defect, tally) in &mut tallies {
            tally.checked += 1;
            match desk.answer(waiver, *defect) {
                Answer::Right => {}
                Answer::Wrong(told) => {
                    tally.failed += 1;
                    found.extend(desk.finding(waiver, *defect, told));
                }
                Answer::Unsure(missing) => {
                    tally.checked -= 1;
                    tally.undetermined += 1;
                    tally.missing.insert(missing);
                }
            }
        }
    }
    for (defect, tally) in tallies {
        let missing = tally.missing.into_iter().collect();
        let verdict = Verdict::from_counts(tally.checked, tally.failed, tally.undetermined, missing);
        report.verdicts.insert(defect.rule(), verdict);
    }
    report.findings.extend(found);
    report.sort();
}

#[derive(Default)]
struct Tally {
    checked: u32,
    failed: u32,
    undetermined: u32,
    missing: BTreeSet<String>,
}

/// What a rule says of a waiver.
enum Answer {
    Right,
    Wrong(Told),
    Unsure(String),
}

/// What a finding on a waiver says.
struct Told {
    /// The key of the waiver that is at fault; empty for the whole.
    key: &'static str,
    message: String,
    help: String,
    work: Vec<WorkLine>,
}

/// A finding without arithmetic.
fn wrong(key: &'static str, message: String, help: impl Into<String>) -> Answer {
    Answer::Wrong(Told { key, message, help: help.into(), work: Vec::new() })
}

struct Desk<'a> {
    report: &'a PlanReport,
    rules: &'a [&'a RuleDescription],
    options: &'a CheckOptions,
    /// The waivers that a finding is waived by.
    used: BTreeSet<usize>,
}

impl Desk<'_> {
    fn answer(&self, waiver: &Waiver, defect: Defect) -> Answer {
        let as_of = self.options.as_of;
        let name = name(waiver);
        match defect {
            Defect::Expired => match waiver.until.filter(|until| *until < as_of) {
                Some(until) if self.findings(waiver) > 0 => expired(&name, until, as_of, self.findings(waiver)),
                Some(_) | None => Answer::Right,
            },
            Defect::Premature => match waiver.on.filter(|on| as_of < *on) {
                Some(on) => wrong(
                    "on",
                    format!("{name} holds from {on}, and the plan is judged as of {as_of}"),
                    "put in the day on which it was accepted, or wait for that day; until then the finding counts",
                ),
                None => Answer::Right,
            },
            Defect::Unreasoned => match stated(waiver.reason.as_ref()) {
                Some(_) => Answer::Right,
                None => wrong(
                    "reason",
                    format!("{name} gives no reason, so it waives nothing"),
                    "add `reason:`, why the finding is acceptable here; every output shows it",
                ),
            },
            Defect::Unapproved => match stated(waiver.approved_by.as_ref()) {
                Some(_) => Answer::Right,
                None => wrong(
                    "approved-by",
                    format!("{name} does not say who accepted the finding"),
                    "add `approved-by:`, who may accept it: for a code requirement the authority having jurisdiction",
                ),
            },
            Defect::Forbidden => match self.rule(waiver) {
                Some(rule) if !is_waivable(rule, self.options) => wrong(
                    "rule",
                    format!("{name}: findings of this rule can't be waived"),
                    match rule.waivable {
                        true => "cure the finding; `lintern config` shows who says that it can't be waived",
                        false => "cure the finding",
                    },
                ),
                _ => Answer::Right,
            },
            Defect::Unused => self.unused(waiver, &name),
        }
    }

    fn unused(&self, waiver: &Waiver, name: &str) -> Answer {
        let Some(rule) = self.rule(waiver) else {
            let near = near_rule(&waiver.rule, self.rules);
            let help = near.map_or_else(
                || "`lintern rules` lists the rules; remove the waiver".to_owned(),
                |near| format!("did you mean `{near}`?"),
            );
            return wrong("rule", format!("{name} waives nothing: there is no rule `{}`", elide(&waiver.rule)), help);
        };
        if self.used.contains(&waiver.index) || !is_waivable(rule, self.options) {
            return Answer::Right;
        }
        match self.findings(waiver) {
            // It waives nothing for another reason, which is told.
            1.. if stated(waiver.reason.as_ref()).is_none() || !is_in_force(waiver, self.options.as_of) => {
                Answer::Right
            }
            1.. => wrong(
                "",
                format!("{name} waives nothing: another waiver covers what it is for"),
                "remove one of the two",
            ),
            0 => match self.report.verdicts.get(&waiver.rule) {
                Some(verdict) if verdict.undetermined == 0 => wrong(
                    "",
                    format!("{name} waives nothing: the rule finds nothing there"),
                    "remove the waiver; should the finding come back, it is to be seen",
                ),
                Some(_) => Answer::Unsure(format!("the whole answer of {}", waiver.rule)),
                None => Answer::Unsure(format!("the answer of {}, which failed", waiver.rule)),
            },
        }
    }

    /// How many findings it is for.
    fn findings(&self, waiver: &Waiver) -> usize {
        self.report.findings.iter().filter(|finding| is_for(waiver, finding)).count()
    }

    fn rule(&self, waiver: &Waiver) -> Option<&RuleDescription> {
        self.rules.iter().find(|rule| rule.id == waiver.rule).copied()
    }

    fn finding(&self, waiver: &Waiver, defect: Defect, told: Told) -> Option<Finding> {
        let route = format!("waivers.{}", waiver.index);
        let field = if told.key.is_empty() { route } else { format!("{route}.{}", told.key) };
        let rule = defect.rule();
        let set = self.options.settings.get(&rule).and_then(|settings| settings.level.as_ref());
        let level: Level = set.map_or(defect.level(), |(level, _)| *level);
        Some(Finding {
            level,
            subject: waiver.subject.clone(),
            related: Vec::new(),
            span: self.report.loaded.locate(&waiver.subject, &field)?,
            field,
            message: told.message,
            measured: None,
            limit: None,
            work: told.work,
            basis: Basis { kind: BasisKind::Practice, document: None, edition: None, section: None },
            help: told.help,
            waived: None,
            rule,
        })
    }
}

fn expired(name: &str, until: Date, as_of: Date, findings: usize) -> Answer {
    // Dates of a plan are at most some thousand years apart.
    let days = until.0.until(as_of.0).map_or(0, |span| span.get_days());
    let counts = if findings == 1 { "the finding counts" } else { "the findings count" };
    Answer::Wrong(Told {
        key: "until",
        message: format!("{name} ended on {until}; {counts} again as of {as_of}"),
        help: "cure the finding, or have it accepted anew and put in the new last day".to_owned(),
        work: vec![WorkLine {
            name: "days since it ended".to_owned(),
            value: f64::from(days),
            unit: "days".to_owned(),
            from: format!("{as_of} minus {until}"),
        }],
    })
}

/// How a waiver is called in a sentence.
fn name(waiver: &Waiver) -> String {
    let rule = elide(&waiver.rule);
    match waiver.subject.as_str() {
        "" => format!("the waiver of {rule} for the whole plan"),
        subject => format!("the waiver of {rule} for {subject}"),
    }
}
