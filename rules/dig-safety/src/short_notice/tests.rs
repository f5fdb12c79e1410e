//! The layers of the notice.

use crate::MODULE;
use crate::days::tests::days;
use lintern_rule::facts::WorkCalendar;
use lintern_rule::outcome::{self, BasisKind, Layer, RuleRequest, RuleResult, SettingGiven, SettingValue};
use lintern_rule::plan::DigPlan;
use lintern_rule::{Given, Level, blank};

/// A request of Monday, 2 March 2026 in a state, and a start.
fn check(region: &str, starts: &str, settings: &[(Layer, f64, bool)]) -> RuleResult {
    let dig = DigPlan { called: Some("2026-03-02".to_owned()), starts: Some(starts.to_owned()), ..blank::dig_plan() };
    let calendar = WorkCalendar { days: days(&[], &[]), source: String::new() };
    let mut given = Given { dig: Some(dig), calendar: Some(calendar), ..Given::default() };
    given.project.region = Some(region.to_owned());
    let settings = settings.iter().map(|&(layer, value, replaces)| {
        let kind = if layer == Layer::Local { BasisKind::Code } else { BasisKind::Practice };
        SettingGiven {
            name: "notice".to_owned(),
            value: SettingValue::Number(value),
            layer,
            source: "x".to_owned(),
            replaces,
            basis: outcome::Basis { kind, document: None, edition: None, section: None },
        }
    });
    let id = "dig-safety/short-notice".to_owned();
    let request = RuleRequest { id, settings: settings.collect(), wants_limits: true, wants_margins: false };
    MODULE.check(&given.into(), &[request]).remove(0)
}

fn level(result: &RuleResult) -> Option<Level> {
    result.findings.first().map(|finding| finding.level.expect("the rule sets it"))
}

#[test]
fn the_notice_has_its_layers() {
    let result = check("US-CA", "2026-03-09", &[(Layer::Local, 3.0, true), (Layer::House, 4.0, false)]);
    let layers: Vec<(Layer, f64)> = result.limits[0].layers.iter().map(|layer| (layer.layer, layer.value)).collect();
    assert_eq!(layers, [(Layer::Code, 2.0), (Layer::Region, 2.0), (Layer::Local, 3.0), (Layer::House, 4.0)]);
    // Tuesday to Friday are four full days before Monday, 9 March.
    assert_eq!((result.checked, level(&result)), (1, None));
}

#[test]
fn the_level_says_whose_notice_is_broken() {
    // Thursday keeps the two days of California and not three of the company or of an amendment.
    let thursday = |settings: &[_]| level(&check("US-CA", "2026-03-05", settings));
    assert_eq!(thursday(&[]), None);
    assert_eq!(thursday(&[(Layer::House, 3.0, false)]), Some(Level::Advice));
    assert_eq!(thursday(&[(Layer::Local, 3.0, true)]), Some(Level::Violation));
    // Wednesday breaks the law, whatever the company asks for.
    let wednesday = |settings: &[_]| level(&check("US-CA", "2026-03-04", settings));
    assert_eq!(wednesday(&[(Layer::House, 3.0, false)]), Some(Level::Violation));
    // A start before the request is no notice at all.
    assert_eq!(level(&check("US-CA", "2026-02-27", &[])), Some(Level::Violation));
}

#[test]
fn a_notice_that_is_not_confirmed_is_told_beside_what_it_turns_on() {
    // Two days from Monday to Wednesday, which turn on the hour; a secondary source has 48 hours for Vermont.
    let missing = |region| {
        let undetermined = check(region, "2026-03-04", &[]).undetermined;
        undetermined.into_iter().flat_map(|element| element.missing).collect::<Vec<_>>()
    };
    let hours = "the time of day of `dig.ticket.called` and of `dig.starts`";
    assert_eq!(missing("US-OH"), [hours]);
    assert_eq!(missing("US-VT"), ["a confirmed notice of Vermont", hours]);
}
