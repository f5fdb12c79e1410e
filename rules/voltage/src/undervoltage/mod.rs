//! A luminaire gets less than it needs.

use crate::support::{Cables, LISTING, missing_voltage, practice_window_v};
use lintern_rule::compare::{below, plain, shown};
use lintern_rule::prelude::*;

pub const RULE: Rule = Rule {
    id: "voltage/undervoltage",
    title: "A luminaire gets less than its lowest input voltage",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let cables = Cables::new(input);
    for (index, (luminaire, state)) in input.luminaires().iter().zip(input.judged().luminaires()).enumerate() {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let Some(volts) = state.node.volts else {
            report.undetermined(id, missing_voltage(&state.node));
            continue;
        };
        let dark = (state.lit == Some(false)).then_some(kind.cut_out_v).flatten();
        let (practice_min, _) = practice_window_v(kind);
        let (limit, what, level, basis) = match (dark, kind.input_min_v) {
            (Some(cut_out), _) => (cut_out, "its driver is off below", Level::Violation, None),
            (None, Some(min)) => (min, "its lowest input voltage is", Level::Violation, None),
            (None, None) => {
                (practice_min, "without a stated range it should get at least", Level::Advice, Some(Basis::PRACTICE))
            }
        };
        if dark.is_none() && !below(volts, limit) {
            match kind.input_min_v {
                Some(_) => report.checked(id),
                None => report.undetermined(id, [format!("`input.min` of type `{}`", kind.name)]),
            }
            continue;
        }
        let feed = state.node.feed_volts.unwrap_or(volts);
        let mut draft = report
            .finding(id)
            .level(level)
            .message(format!("{id} gets {} V; {what} {} V", shown(volts, limit), plain(limit)))
            .measured(volts, "V")
            .limit(limit, "V")
            .help(format!(
                "{:.2} V of {} V are lost on the way: use a thicker cable, a shorter route, fewer luminaires on it, or an output of more volts that suits every luminaire it feeds",
                feed - volts,
                plain(feed)
            ));
        if let Some(basis) = basis {
            draft = draft.basis(basis);
        }
        cables.work(draft, index, state).add();
    }
}
