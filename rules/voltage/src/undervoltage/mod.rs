//! A luminaire gets less than it needs.

use crate::support::{Cables, LISTING, missing_voltage, practice_window_v};
use lintern_rule::compare::{plain, shown};
use lintern_rule::plan::LuminaireType;
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

/// The least that a type of luminaires needs, with how to say so; `is_dark` of one whose driver is off for want of volts.
fn lowest(kind: &LuminaireType, is_dark: bool) -> (Limit, &'static str) {
    let stated =
        |name, value, key| Limit::stated(name, value, "V", Tighter::Higher, format!("`{key}` of type `{}`", kind.name));
    let cut_out = |volts| (stated("cut-out voltage", volts, "cut-out"), "its driver is off below");
    // It needs both, so the higher one is the limit.
    match (kind.input_min_v, kind.cut_out_v) {
        (Some(min), Some(volts)) if volts > min => cut_out(volts),
        (Some(min), _) => {
            let off = "its driver is off, and its lowest input voltage is";
            let what = if is_dark { off } else { "its lowest input voltage is" };
            (stated("lowest input voltage", min, "input.min"), what)
        }
        (None, Some(volts)) if is_dark => cut_out(volts),
        (None, _) => {
            let (practice_min, _) = practice_window_v(kind);
            let name = "lowest voltage without a stated range";
            let limit = Limit::new(name, practice_min, "V", Tighter::Higher, "common practice");
            (limit, "without a stated range it should get at least")
        }
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let cables = Cables::new(input);
    let types = input.luminaire_types();
    let limits: Vec<[(Limit, &str); 2]> =
        types.iter().map(|kind| [false, true].map(|is_dark| lowest(kind, is_dark))).collect();
    for (index, (luminaire, state)) in input.luminaires().iter().zip(input.judged().luminaires()).enumerate() {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let Some(volts) = state.node.volts else {
            report.undetermined(id, missing_voltage(&state.node));
            continue;
        };
        let dark = (state.lit == Some(false)).then_some(kind.cut_out_v).flatten();
        let (practice_min, _) = practice_window_v(kind);
        let (limit, what) = &limits[luminaire.kind as usize][usize::from(dark.is_some())];
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::MODULE;
    use lintern_rule::facts::{LuminaireState, NodeState};
    use lintern_rule::outcome::{Margin, RuleRequest};
    use lintern_rule::{GivenFacts, blank};

    /// What is told of a dark 12 V luminaire without a stated range, below its cut-out.
    fn margin(cut_out_v: f64) -> Margin {
        let node = NodeState { fed_by: vec![(0, 0)], volts: Some(8.0), feed_volts: Some(12.0), ..blank::node_state() };
        let dark = LuminaireState { node, lit: Some(false), ..blank::luminaire_state() };
        let facts = GivenFacts { luminaires: vec![dark], ..GivenFacts::default() };
        let input = Input::from(Given {
            luminaire_types: vec![LuminaireType { cut_out_v: Some(cut_out_v), ..blank::luminaire_type("well", 5.0) }],
            luminaires: vec![blank::luminaire("L1", 0)],
            judged: facts.clone(),
            soil: facts,
            ..Given::default()
        });
        let request =
            RuleRequest { id: RULE.id.to_owned(), settings: Vec::new(), wants_limits: false, wants_margins: true };
        MODULE.check(&input, &[request]).remove(0).margins.remove(0)
    }

    /// With 9.5 V it would be lit again, and still below the 10.8 V that practice asks for: no length cures it that is
    /// worked out from the cut-out.
    #[test]
    fn a_cut_out_below_the_usual_window_has_no_turning_length() {
        let low = margin(9.0);
        assert!(low.limit == 9.0 && matches!(low.quantity, Quantity::Other), "{low:?}");
        let high = margin(11.0);
        assert!(high.limit == 11.0 && matches!(high.quantity, Quantity::LuminaireVolts(0)), "{high:?}");
    }

    #[test]
    fn of_cut_out_and_lowest_input_the_higher_one_is_the_limit() {
        let of = |min, cut_out| {
            let kind = LuminaireType {
                input_min_v: Some(min),
                cut_out_v: Some(cut_out),
                ..blank::luminaire_type("well", 5.0)
            };
            let (limit, what) = lowest(&kind, true);
            (limit.value(), what)
        };
        let lowest_input = "its driver is off, and its lowest input voltage is";
        assert_eq!(of(9.0, 10.0), (10.0, "its driver is off below"));
        assert_eq!(of(10.0, 9.0), (10.0, lowest_input));
        assert_eq!(of(10.0, 10.0), (10.0, lowest_input));
    }
}
