//! Steps of made-up jobs; the days are counted by hand on the calendar of 2026, in which 2 March is a Monday.

use super::{Job, Notice, State, Step, steps};
use crate::analysis::calendar::work_calendar;
use crate::layout::{Dig, Layout, Measured, NodeRef, Reading, Readings, Records};
use crate::plan::model::{DigMethod, PrivateLines, Responses};
use crate::plan::quantity::SignedVoltage;
use crate::plan::scalar::{Date, WorkRecord};

fn day(text: &str) -> Date {
    text.parse().unwrap()
}

fn on(text: &str) -> Option<WorkRecord> {
    Some(WorkRecord::On(day(text)))
}

const PLANNED: Option<WorkRecord> = Some(WorkRecord::Planned);

/// A job in a region whose dig is as the test has it.
fn job(region: &str, dig: Dig, records: Records) -> Layout {
    let mut layout = Layout { dig: Some(dig), records, ..Layout::default() };
    layout.project.region = Some(region.to_owned());
    layout
}

/// A dig that is in order: requested on Monday for the Monday after.
fn dig() -> Dig {
    Dig {
        ticket_number: Some("26-0311".to_owned()),
        called: Some(day("2026-03-02")),
        expires: Some(day("2026-03-30")),
        responses: Some(Responses::All),
        starts: Some(day("2026-03-09")),
        method: Some(DigMethod::Hand),
        private_lines: Some(PrivateLines::Located),
        white_lined: Some(true),
        in_tolerance_zone: None,
    }
}

fn two_days() -> Notice {
    Notice::Known { working_days: 2, source: "two full working days".to_owned() }
}

fn told(layout: &Layout, notice: &Notice, as_of: &str) -> Vec<Step> {
    let as_of = day(as_of);
    let calendar = work_calendar(layout, as_of.0);
    steps(&Job { layout, calendar: calendar.as_ref(), notice, as_of })
}

fn find<'a>(steps: &'a [Step], id: &str) -> &'a Step {
    steps.iter().find(|step| step.id == id).unwrap()
}

#[track_caller]
fn assert_step(steps: &[Step], id: &str, state: State, date: Option<&str>, says: &str) {
    let step = find(steps, id);
    assert_eq!((step.state, step.date), (state, date.map(day)), "{step:?}");
    assert!(step.detail.contains(says), "{says}: {step:?}");
}

#[test]
fn the_steps_come_in_the_order_of_the_work() {
    let ids: Vec<_> = told(&Layout::default(), &two_days(), "2026-03-02").iter().map(|step| step.id).collect();
    let order = [
        "mock-up",
        "ticket",
        "white-lining",
        "responses",
        "private-lines",
        "excavation",
        "test-before-backfill",
        "as-built-readings",
        "as-built-record",
        "labels",
        "cut-sheets",
        "maintenance",
    ];
    assert_eq!(ids, order);
}

#[test]
fn nothing_is_done_from_silence_on_any_day() {
    for as_of in ["0001-01-01", "2026-03-02", "9999-12-31"] {
        for dig in [None, Some(Dig::default()), Some(Dig { starts: Some(day("2026-03-09")), ..Dig::default() })] {
            let layout = Layout { dig, ..Layout::default() };
            for step in told(&layout, &Notice::unknown(&layout), as_of) {
                assert!(!step.state.is_settled(), "{as_of}: {step:?}");
            }
        }
    }
}

#[test]
fn a_job_before_the_dig_waits_for_nothing_but_the_day() {
    let records =
        Records { mock_up: on("2026-02-20"), test_before_backfill: PLANNED, labels: PLANNED, ..Records::default() };
    let steps = told(&job("US-OR", dig(), records), &two_days(), "2026-03-06");
    for id in ["mock-up", "ticket", "white-lining", "responses", "private-lines"] {
        assert_eq!(find(&steps, id).state, State::Done, "{:?}", find(&steps, id));
    }
    // Requested on Monday, Tuesday and Wednesday are full days: Thursday.
    assert_step(
        &steps,
        "excavation",
        State::Open,
        Some("2026-03-09"),
        "by hand; by the strictest count the notice is over on 2026-03-05",
    );
    assert_step(&steps, "test-before-backfill", State::Waiting, None, "starts on 2026-03-09");
    assert_step(&steps, "labels", State::Waiting, None, "waits for the test before backfill");
    assert_step(&steps, "as-built-record", State::NotRecorded, None, "says nothing");
}

#[test]
fn after_the_start_the_trench_is_due_until_a_record_shows_it() {
    let planned = Records { mock_up: on("2026-02-20"), test_before_backfill: PLANNED, ..Records::default() };
    let steps = told(&job("US-OR", dig(), planned), &two_days(), "2026-03-10");
    assert_step(&steps, "excavation", State::Due, Some("2026-03-09"), "nothing records yet");
    assert_step(&steps, "test-before-backfill", State::Due, None, "the dig has started on 2026-03-09");
    let tested = Records { test_before_backfill: on("2026-03-10"), as_built: PLANNED, ..planned };
    let steps = told(&job("US-OR", dig(), tested), &two_days(), "2026-03-10");
    assert_step(&steps, "excavation", State::Done, Some("2026-03-09"), "the test before backfill of 2026-03-10");
    assert_step(&steps, "test-before-backfill", State::Done, Some("2026-03-10"), "recorded");
    assert_step(&steps, "as-built-record", State::Due, None, "when the work is finished");
}

#[test]
fn days_that_contradict_each_other_are_doubtful() {
    let early = Records { test_before_backfill: on("2026-03-06"), ..Records::default() };
    let steps = told(&job("US-OR", dig(), early), &two_days(), "2026-03-07");
    assert_step(
        &steps,
        "test-before-backfill",
        State::Doubtful,
        Some("2026-03-06"),
        "before the dig starts on 2026-03-09",
    );
    assert_ne!(find(&steps, "excavation").state, State::Done, "a record from before the start shows no dig");

    let late = Records {
        mock_up: on("2026-03-10"),
        test_before_backfill: on("2026-03-12"),
        commissioning: on("2026-03-11"),
        as_built: on("2026-03-12"),
        ..Records::default()
    };
    let steps = told(&job("US-OR", dig(), late), &two_days(), "2026-03-20");
    assert_step(&steps, "mock-up", State::Doubtful, Some("2026-03-10"), "after the dig starts on 2026-03-09");
    assert_step(
        &steps,
        "test-before-backfill",
        State::Doubtful,
        Some("2026-03-12"),
        "after the commissioning of 2026-03-11",
    );
    assert_step(
        &steps,
        "as-built-readings",
        State::Doubtful,
        Some("2026-03-11"),
        "before the test before backfill of 2026-03-12",
    );
    assert_step(&steps, "as-built-record", State::Done, Some("2026-03-12"), "recorded");

    let after = Dig { starts: Some(day("2026-02-27")), ..dig() };
    let steps = told(&job("US-OR", after, Records::default()), &two_days(), "2026-03-20");
    assert_step(&steps, "ticket", State::Doubtful, Some("2026-03-02"), "after the dig starts on 2026-02-27");
    assert_step(&steps, "excavation", State::Doubtful, Some("2026-02-27"), "before the locate request of 2026-03-02");
    assert_step(&steps, "responses", State::Doubtful, None, "no request that holds");
}

#[test]
fn a_start_within_the_notice_is_doubtful() {
    // Friday for Monday: Monday and Tuesday are the full days, Wednesday is the first.
    let short = Dig { called: Some(day("2026-03-06")), ..dig() };
    let steps = told(&job("US-OR", short, Records::default()), &two_days(), "2026-03-06");
    assert_step(&steps, "excavation", State::Doubtful, Some("2026-03-09"), "over on 2026-03-11");
}

#[test]
fn the_strictest_count_of_the_notice() {
    for (region, called, first) in [
        // Saturday counts as Monday.
        ("US-OR", "2026-03-07", "2026-03-12"),
        // Memorial Day on the Monday after.
        ("US-OR", "2026-05-21", "2026-05-27"),
        // Columbus Day may be a holiday of the one-call law of New York: it is not worked.
        ("US-NY", "2026-10-09", "2026-10-15"),
    ] {
        let asked = Dig { called: Some(day(called)), responses: Some(Responses::None), starts: None, ..Dig::default() };
        let steps = told(&job(region, asked, Records::default()), &two_days(), called);
        assert_step(&steps, "responses", State::Waiting, Some(first), "no operator has answered");
    }
}

#[test]
fn a_request_is_wanted_in_time_for_the_start() {
    for (starts, last) in [("2026-03-09", "2026-03-04"), ("2026-05-27", "2026-05-21")] {
        let layout = job("US-OR", Dig { starts: Some(day(starts)), ..Dig::default() }, Records::default());
        assert_step(&told(&layout, &two_days(), last), "ticket", State::NotRecorded, Some(last), "wanted by");
        let next = Date(day(last).0.tomorrow().unwrap());
        assert_step(
            &told(&layout, &two_days(), &next.to_string()),
            "ticket",
            State::Late,
            Some(last),
            "move the start",
        );
    }
}

#[test]
fn an_unknown_notice_is_said_and_no_day_is_guessed() {
    let mut layout = job("US-OR", Dig { responses: Some(Responses::Some), ..dig() }, Records::default());
    layout.project.region = None;
    let notice = Notice::unknown(&layout);
    let steps = told(&layout, &notice, "2026-03-03");
    assert_step(
        &steps,
        "responses",
        State::Waiting,
        None,
        "the notice is not known: the plan does not state `project.region`",
    );
    layout.project.country = Some("GB".to_owned());
    let steps = told(&layout, &Notice::unknown(&layout), "2026-03-03");
    assert_step(&steps, "responses", State::Waiting, None, "none is on file for GB");
    layout.dig = Some(Dig { starts: Some(day("2026-03-09")), ..Dig::default() });
    let steps = told(&layout, &Notice::unknown(&layout), "2026-03-03");
    assert_step(&steps, "ticket", State::NotRecorded, Some("2026-03-09"), "the notice is not known");
}

#[test]
fn an_expired_ticket_is_late_until_the_trench_was_open() {
    let layout = job("US-OR", dig(), Records::default());
    assert_step(
        &told(&layout, &two_days(), "2026-03-30"),
        "ticket",
        State::Done,
        Some("2026-03-02"),
        "expires on 2026-03-30",
    );
    assert_step(&told(&layout, &two_days(), "2026-03-31"), "ticket", State::Late, Some("2026-03-30"), "renew it first");
    let tested = job("US-OR", dig(), Records { test_before_backfill: on("2026-03-12"), ..Records::default() });
    assert_eq!(find(&told(&tested, &two_days(), "2026-03-31"), "ticket").state, State::Done);
    let short = job("US-OR", Dig { expires: Some(day("2026-03-08")), ..dig() }, Records::default());
    assert_step(
        &told(&short, &two_days(), "2026-03-03"),
        "ticket",
        State::Doubtful,
        Some("2026-03-08"),
        "renew it in time",
    );
}

#[test]
fn what_is_silent_after_the_start_is_late() {
    let bare = Dig { called: Some(day("2026-03-02")), starts: Some(day("2026-03-09")), ..Dig::default() };
    let layout = job("US-OR", bare, Records { as_built: on("2026-03-12"), ..Records::default() });
    let steps = told(&layout, &two_days(), "2026-03-12");
    for id in ["mock-up", "white-lining", "responses", "private-lines"] {
        assert_eq!(find(&steps, id).state, State::Late, "{:?}", find(&steps, id));
    }
    assert_step(&steps, "test-before-backfill", State::Late, Some("2026-03-12"), "although the as-built record");
}

#[test]
fn days_to_come_are_not_done() {
    let records = Records {
        mock_up: on("2026-03-04"),
        test_before_backfill: on("2026-03-10"),
        as_built: on("2026-03-12"),
        labels: on("2026-03-12"),
        maintenance: on("2026-09-01"),
        ..Records::default()
    };
    let layout = job("US-OR", Dig { called: Some(day("2026-03-04")), ..dig() }, records);
    let steps = told(&layout, &two_days(), "2026-03-03");
    for id in ["mock-up", "ticket", "test-before-backfill", "as-built-record", "labels", "maintenance"] {
        assert_eq!(find(&steps, id).state, State::Open, "{:?}", find(&steps, id));
    }
    assert_step(&told(&layout, &two_days(), "2026-09-01"), "maintenance", State::Due, Some("2026-09-01"), "today");
    assert_step(
        &told(&layout, &two_days(), "2026-09-02"),
        "maintenance",
        State::Late,
        Some("2026-09-01"),
        "the next one",
    );
}

#[test]
fn readings_record_the_commissioning_by_themselves() {
    let volts = SignedVoltage::new(11.6, "V").unwrap();
    let reading = Reading { entry: 0, measured: Measured::Volts { node: NodeRef::Junction(0), volts } };
    let readings = |on: Option<Date>| Readings {
        on,
        volts_tolerance: None,
        amps_tolerance: None,
        conductor_temperature: None,
        taken: vec![reading],
    };
    let mut layout = job("US-OR", dig(), Records::default());
    layout.readings = Some(readings(Some(day("2026-03-12"))));
    let at = |layout: &Layout| told(layout, &two_days(), "2026-03-20");
    assert_step(&at(&layout), "as-built-readings", State::Done, Some("2026-03-12"), "1 reading of 2026-03-12");
    layout.readings = Some(readings(Some(day("2026-03-06"))));
    assert_step(&at(&layout), "as-built-readings", State::Doubtful, Some("2026-03-06"), "before the dig starts");
    layout.readings = Some(readings(None));
    assert_step(&at(&layout), "as-built-readings", State::Done, None, "without a day");
    layout.records.commissioning = PLANNED;
    assert_step(&at(&layout), "as-built-readings", State::Doubtful, None, "still planned, although");
}
