//! Mains outdoors without an RCD that protects people, in the terms of IEC 60364 and BS 7671.

use crate::support::{NO_CODE, connection, if_wired_in, is_dwelling, is_nec};
use lintern_rule::compare::{above, plain};
use lintern_rule::plan::{Connection, Feed};
use lintern_rule::prelude::*;

/// BS 7671:2018 and IEC 60364-4-41:2005 with amendment 1 of 2017 number these alike.
const SOURCE: &str = "411.3.3 of socket-outlets, 411.3.4 of luminaires in households";

/// Socket-outlets above this rating are not spoken of.
const SOCKET_CAP_A: f64 = 32.0;

pub const RULE: Rule = Rule {
    id: "feed/missing-rcd",
    title: "No RCD of 30 mA or less protects the feed of a supply",
    level: Level::Violation,
    waivable: true,
    settings: &[Setting::number(
        "maximum-rcd",
        30.0,
        "mA",
        Tighter::Lower,
        "highest rated residual operating current that protects a person",
    )],
    citations: &[
        Citation::confirmed(Code::Bs7671, Basis::code("BS 7671", "2018", "411.3.3")),
        Citation::confirmed(Code::Iec60364, Basis::code("IEC 60364-4-41", "2005 + A1:2017", "411.3.3")),
    ],
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    for supply in input.supplies() {
        let id = &supply.id;
        let Some(code) = input.project().code else {
            report.undetermined(id, NO_CODE);
            continue;
        };
        if is_nec(code) {
            continue;
        }
        let Some(feed) = &supply.feed else {
            report.undetermined(id, [format!("`feed` of {id}")]);
            continue;
        };
        let limit = Limit::new("highest residual operating current", 30.0, "mA", Tighter::Lower, SOURCE)
            .given(settings, "maximum-rcd");
        let rcd_ma = feed.rcd_a.map(|amps| amps * 1000.0);
        let compared = rcd_ma.map(|rcd_ma| limit.compare(rcd_ma).field("feed.rcd"));
        if let Some(compared) = compared.as_ref().filter(|compared| compared.passes()) {
            report.passes(id, compared);
            continue;
        }
        let dwelling = is_dwelling(input);
        let connection = connection(feed);
        let asks_nothing = match connection {
            Some(Connection::Receptacle) => feed.breaker_a.is_some_and(|amps| above(amps, SOCKET_CAP_A)),
            Some(Connection::HardWired) => dwelling == Some(false),
            None => false,
        };
        if asks_nothing {
            report.checked(id);
            continue;
        }
        let mut missing = Vec::new();
        if rcd_ma.is_none() && feed.gfci != Some(false) {
            missing.push(format!("`feed.rcd` of {id}"));
        }
        match connection {
            None => missing.push(format!("`feed.connection` of {id}")),
            Some(Connection::HardWired) if dwelling.is_none() => missing.push("`project.occupancy`".to_owned()),
            Some(Connection::HardWired | Connection::Receptacle) => {}
        }
        if !missing.is_empty() {
            report.undetermined(id, missing);
            continue;
        }
        report.limit(id, &limit);
        find(code, id, feed, compared.as_ref(), &limit, connection == Some(Connection::HardWired), report);
    }
}

fn find(
    code: Code,
    id: &str,
    feed: &Feed,
    compared: Option<&Comparison>,
    limit: &Limit,
    wired_in: bool,
    report: &mut Report,
) {
    let has = compared.map_or("no RCD".to_owned(), |rcd| format!("an RCD of {} mA", plain(rcd.measured())));
    let most = plain(limit.value());
    let finding = report.finding(id);
    let finding = if wired_in {
        finding
            .level(Level::Reminder)
            .basis(luminaires_in_households(code))
            .message(format!(
                "{id} is wired in at a dwelling with {has}; circuits of luminaires in households have one of {most} mA or less"
            ))
            .help(format!(
                "confirm whether the circuit of a safety transformer counts as one of luminaires; an RCBO of {most} mA settles it"
            ))
    } else {
        finding
            .message(format!("the socket-outlet that feeds {id} has {has}; it is to have one of {most} mA or less"))
            .help(format!("feed it through an RCD or RCBO of {most} mA{}", if_wired_in(feed)))
    };
    match compared {
        Some(compared) => finding.breaks(compared).add(),
        None => finding.field("feed.gfci").add(),
    }
}

fn luminaires_in_households(code: Code) -> Basis {
    match code {
        Code::Bs7671 => Basis::code("BS 7671", "2018", "411.3.4"),
        _ => Basis::code("IEC 60364-4-41", "2005 + A1:2017", "411.3.4"),
    }
}
