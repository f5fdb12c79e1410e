//! A receptacle outdoors that is not made for moist air, in the terms of NFPA 70.

use crate::place::Place;
use crate::receptacle::Provision;
use crate::support::{NO_CODE, if_wired_in, is_nec, level};
use lintern_rule::outcome::Confidence::Confirmed;
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "feed/unsuitable-receptacle",
    title: "A supply is fed from an outdoor receptacle that is not weather-resistant",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: &[
        Citation::nec(Code::Nec2017, "406.9(B)(1)", Confirmed),
        Citation::nec(Code::Nec2020, "406.9(B)(1)", Confirmed),
        Citation::nec(Code::Nec2023, "406.9(B)(1)", Confirmed),
        Citation::unconfirmed(Code::Nec2026, "NFPA 70", Some("2026")),
    ],
    doc: include_str!("doc.md"),
    check,
};

const PROVISION: Provision = Provision { key: "weather-resistant", stated: |feed| feed.weather_resistant };

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (index, supply) in input.supplies().iter().enumerate() {
        let id = &supply.id;
        let Some(code) = input.project().code else {
            report.undetermined(id, NO_CODE);
            continue;
        };
        let place = Place::of(input, index);
        if !is_nec(code) || place == Place::Indoors {
            continue;
        }
        let Some(feed) = PROVISION.lacking(supply, place, report) else { continue };
        let finding = report
            .finding(id)
            .level(level(code, Level::Violation))
            .field("feed.weather-resistant")
            .message(format!(
                "the receptacle that feeds {id} {} is not of the weather-resistant type, which damp and wet places ask for",
                place.phrase()
            ))
            .help(format!("use a receptacle that is listed and marked weather-resistant (WR){}", if_wired_in(feed)));
        match (place, damp_places(code)) {
            (Place::UnderRoof { .. }, Some(basis)) => finding.basis(basis).add(),
            _ => finding.add(),
        }
    }
}

fn damp_places(code: Code) -> Option<Basis> {
    let edition = match code {
        Code::Nec2017 => "2017",
        Code::Nec2020 => "2020",
        Code::Nec2023 => "2023",
        Code::Nec2026 | Code::Iec60364 | Code::Bs7671 => return None,
    };
    Some(Basis::code("NFPA 70", edition, "406.9(A)"))
}
