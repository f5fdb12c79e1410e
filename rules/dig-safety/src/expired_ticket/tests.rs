//! Tickets of unstated expiry, and the law that stands behind a finding.

use super::RULE;
use crate::MODULE;
use crate::days::tests::days;
use lintern_rule::facts::WorkCalendar;
use lintern_rule::outcome::{RuleRequest, RuleResult};
use lintern_rule::plan::{DigPlan, WorkRecord, WorkRecords};
use lintern_rule::{Given, Level, blank};

/// A ticket of Monday, 2 March 2026 for a start on Thursday, checked on a day; `built` is when the work was done.
fn check(region: &str, expires: Option<&str>, starts: &str, as_of: &str, built: Option<&str>) -> RuleResult {
    let dig = DigPlan {
        called: Some("2026-03-02".to_owned()),
        starts: Some(starts.to_owned()),
        expires: expires.map(str::to_owned),
        ..blank::dig_plan()
    };
    let as_built = built.map(|day| WorkRecord::On(day.to_owned()));
    let mut given = Given {
        dig: Some(dig),
        calendar: Some(WorkCalendar { days: days(&[], &[]), source: String::new() }),
        records: WorkRecords { as_built, ..blank::work_records() },
        as_of: as_of.to_owned(),
        ..Given::default()
    };
    given.project.region = Some(region.to_owned());
    let request =
        RuleRequest { id: RULE.id.to_owned(), settings: Vec::new(), wants_limits: false, wants_margins: false };
    MODULE.check(&given.into(), &[request]).remove(0)
}

/// 28 days from 2 March are 30 March, by Cal. Gov. Code 4216.2.
#[test]
fn a_ticket_of_unstated_expiry_ends_before_the_work_does() {
    let found = |as_of, built| {
        let result = check("US-CA", None, "2026-03-05", as_of, built);
        let found = result.findings.into_iter().map(|finding| (finding.level, finding.message)).next();
        (result.checked, found)
    };
    let (_, finding) = found("2026-03-31", None);
    let (level, message) = finding.expect("the work goes on without a ticket");
    assert_eq!(level, Some(Level::Reminder));
    assert!(
        message.ends_with("expired on 2026-03-30 at the latest, and on 2026-03-31 the work is not recorded as done")
    );
    assert_eq!(found("2026-03-30", None), (1, None));
    assert_eq!(found("2026-03-31", Some("2026-03-20")), (1, None));
    // Work of tomorrow is not done.
    assert!(found("2026-03-31", Some("2026-04-01")).1.is_some());
}

/// How long a ticket of Indiana lasts is not confirmed, and that digging takes one is: Ind. Code 8-1-26-16.
#[test]
fn a_ticket_that_is_over_breaks_the_law_that_asks_for_one() {
    let finding = check("US-IN", Some("2026-03-10"), "2026-03-11", "2026-03-01", None).findings.remove(0);
    assert_eq!(finding.level, Some(Level::Violation));
    assert_eq!(finding.basis.section.as_deref(), Some("8-1-26-16"));
    let finding = check("US-CA", Some("2026-03-10"), "2026-03-11", "2026-03-01", None).findings.remove(0);
    assert_eq!(finding.basis.section.as_deref(), Some("4216.2"));
}
