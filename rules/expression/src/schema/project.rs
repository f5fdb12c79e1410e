//! The plan as a whole, the job, the dig and the records.

use super::{At, Field, Get, Kind, element, fact, plan, words};
use lintern_rule::Input;
use lintern_rule::plan::{DigPlan, WorkRecord, WorkRecords};

pub const PLAN: &[&[Field]] = &[&[
    plan("grid", "site.grid", "unit of the coordinates", Get::Word(words::GRID, |i, _| i.grid().map(words::grid))),
    plan("soil", "site.soil", "what the ground is made of", Get::Word(words::SOIL, |i, _| i.ground().map(words::soil))),
    plan("dig", "dig", "the locate request", Get::One(Kind::Dig, |i, _| i.dig().map(|_| element(0)))),
    fact(
        "unsolved",
        "",
        "what has no answer in the network: one sentence for each part",
        Get::Texts(|i, _| Some(i.judged().unsolved().iter().map(|part| part.phrase.clone()).collect())),
    ),
]];

pub const PROJECT: &[&[Field]] = &[&[
    plan("name", "project.name", "name of the job", Get::Text(|i, _| i.project().name.as_deref())),
    plan("country", "project.country", "ISO 3166-1 alpha-2", Get::Text(|i, _| i.project().country.as_deref())),
    plan("region", "project.region", "state or province, ISO 3166-2", Get::Text(|i, _| i.project().region.as_deref())),
    plan(
        "authority",
        "project.authority",
        "the authority having jurisdiction",
        Get::Text(|i, _| i.project().authority.as_deref()),
    ),
    plan(
        "code",
        "project.code",
        "electrical code with its edition",
        Get::Word(words::CODE, |i, _| i.project().code.map(words::code)),
    ),
    plan(
        "occupancy",
        "project.occupancy",
        "use of the property",
        Get::Word(words::OCCUPANCY, |i, _| i.project().occupancy.map(words::occupancy)),
    ),
    plan("house", "project.house", "your own data", Get::House(|i, _| &i.project().house)),
]];

fn dig<T>(input: &Input, part: impl FnOnce(&DigPlan) -> Option<T>) -> Option<T> {
    input.dig().and_then(part)
}

pub const DIG: &[&[Field]] = &[&[
    plan(
        "ticket_number",
        "dig.ticket.number",
        "number of the ticket",
        Get::Text(|i, _| i.dig()?.ticket_number.as_deref()),
    ),
    plan("called", "dig.ticket.called", "day of the request", Get::Day(|i, _| i.dig()?.called.as_deref())),
    plan("expires", "dig.ticket.expires", "day on which it ends", Get::Day(|i, _| i.dig()?.expires.as_deref())),
    plan(
        "responses",
        "dig.ticket.responses",
        "which operators have answered",
        Get::Word(words::RESPONSES, |i, _| dig(i, |d| d.responses.map(words::responses))),
    ),
    plan("starts", "dig.starts", "first day of digging", Get::Day(|i, _| i.dig()?.starts.as_deref())),
    plan(
        "method",
        "dig.method",
        "how the ground is opened",
        Get::Word(words::DIG_METHOD, |i, _| dig(i, |d| d.method.map(words::dig_method))),
    ),
    plan(
        "private_lines",
        "dig.private-lines",
        "whether private lines were looked for",
        Get::Word(words::PRIVATE_LINES, |i, _| dig(i, |d| d.private_lines.map(words::private_lines))),
    ),
    plan("white_lined", "dig.white-lined", "marked in white", Get::Flag(|i, _| dig(i, |d| d.white_lined))),
    plan(
        "in_tolerance_zone",
        "dig.in-tolerance-zone",
        "how it is opened in the tolerance zone of a line",
        Get::Word(words::DIG_METHOD, |i, _| dig(i, |d| d.in_tolerance_zone.map(words::dig_method))),
    ),
]];

fn state(record: Option<&WorkRecord>) -> Option<&'static str> {
    record.map(|record| match record {
        WorkRecord::On(_) => "done",
        WorkRecord::Planned => "planned",
    })
}

fn day(record: Option<&WorkRecord>) -> Option<&str> {
    match record {
        Some(WorkRecord::On(day)) => Some(day),
        _ => None,
    }
}

/// Two fields for each record.
macro_rules! record {
    ($field:ident, $name:literal, $key:literal, $doc:literal) => {
        &[
            plan(
                $name,
                concat!("records.", $key),
                concat!($doc, ": done or planned"),
                Get::Word(words::RECORD, |i, _| state(i.records().$field.as_ref())),
            ),
            plan(
                concat!($name, "_on"),
                concat!("records.", $key),
                concat!($doc, ": the day it was done"),
                Get::Day(|i: &Input, _: At| {
                    let records: &WorkRecords = i.records();
                    day(records.$field.as_ref())
                }),
            ),
        ]
    };
}

pub const RECORDS: &[&[Field]] = &[
    record!(mock_up, "mock_up", "mock-up", "mock-up at night"),
    record!(test_before_backfill, "test_before_backfill", "test-before-backfill", "test before backfill"),
    record!(as_built, "as_built", "as-built", "drawing as built"),
    record!(commissioning, "commissioning", "commissioning", "commissioning"),
    record!(labels, "labels", "labels", "labels"),
    record!(cut_sheets, "cut_sheets", "cut-sheets", "cut sheets"),
    record!(maintenance, "maintenance", "maintenance", "maintenance papers"),
];
