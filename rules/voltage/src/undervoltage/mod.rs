//! A luminaire gets less than it needs.

use crate::support::{Cables, LISTING, missing_voltage, practice_window_v};
use lintern_rule::compare::{plain, shown};
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
        let stated = |name: &str, value, key: &str| {
            Limit::stated(name, value, "V", Tighter::Higher, format!("`{key}` of type `{}`", kind.name))
        };
        let cut_out = |volts| (stated("cut-out voltage", volts, "cut-out"), "its driver is off below".to_owned());
        // It needs both, so the higher one is the limit.
        let (limit, what) = match (kind.input_min_v, kind.cut_out_v) {
            (Some(min), Some(volts)) if volts > min => cut_out(volts),
            (Some(min), _) => {
                let off = if dark.is_some() { "its driver is off, and its" } else { "its" };
                (stated("lowest input voltage", min, "input.min"), format!("{off} lowest input voltage is"))
            }
            (None, Some(volts)) if dark.is_some() => cut_out(volts),
            (None, _) => {
                let name = "lowest voltage without a stated range";
                let limit = Limit::new(name, practice_min, "V", Tighter::Higher, "common practice");
                (limit, "without a stated range it should get at least".to_owned())
            }
        };
        let (level, basis) = match (dark, kind.input_min_v) {
            (None, None) => (Level::Advice, Some(Basis::PRACTICE)),
            _ => (Level::Violation, None),
        };
        // Lit again, one without a stated range would still be held against the practice.
        let both = dark.is_some_and(|cut_out| kind.input_min_v.is_none() && cut_out < practice_min);
        let quantity = if both { Quantity::Other } else { Quantity::LuminaireVolts(index as u32) };
        let compared = limit.compare(volts).of(quantity);
        if dark.is_none() && compared.passes() {
            match kind.input_min_v {
                Some(_) => report.passes(id, &compared),
                None => report.undetermined(id, [format!("`input.min` of type `{}`", kind.name)]),
            }
            continue;
        }
        let feed = state.node.feed_volts.unwrap_or(volts);
        let mut draft = report
            .finding(id)
            .level(level)
            .message(format!("{id} gets {} V; {what} {} V", shown(volts, limit.value()), plain(limit.value())))
            .breaks(&compared)
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
