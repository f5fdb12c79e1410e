//! A luminaire on an output of another system voltage.

use crate::support::{LISTING, feed_names};
use lintern_rule::compare::{above, below, plain};
use lintern_rule::prelude::*;

/// Outputs from the first to the second share of a luminaire's nominal voltage belong to its system: 11 V to 15 V taps serve
/// 12 V luminaires. Common practice, no source.
const SYSTEM: (f64, f64) = (0.85, 1.25);

pub const RULE: Rule = Rule {
    id: "voltage/nominal-mismatch",
    title: "A luminaire is fed from an output of another system voltage",
    level: Level::Violation,
    waivable: true,
    settings: &[],
    citations: LISTING,
    doc: include_str!("doc.md"),
    check,
};

fn check(input: &Input, _: &Settings, report: &mut Report) {
    for (luminaire, state) in input.luminaires().iter().zip(input.judged().luminaires()) {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let Some(feed) = state.node.feed_volts else {
            report.undetermined(id, ["a feed: no run leads to it from a supply"]);
            continue;
        };
        let (lowest, highest) = (SYSTEM.0 * kind.nominal_v, SYSTEM.1 * kind.nominal_v);
        let in_system = !below(feed, lowest) && !above(feed, highest);
        let in_range = kind.input_min_v.is_some_and(|min| !below(feed, min))
            && kind.input_max_v.is_some_and(|max| !above(feed, max));
        if in_system || in_range {
            report.checked(id);
            continue;
        }
        let feeds = feed_names(input, &state.node);
        report
            .finding(id)
            .field("type")
            .message(format!(
                "{id} is a {} V luminaire, but {feeds} gives {} V; outputs of {} V to {} V serve it",
                plain(kind.nominal_v),
                plain(feed),
                plain(lowest),
                plain(highest)
            ))
            .measured(feed, "V")
            .limit(if feed > highest { highest } else { lowest }, "V")
            .work("volts of the output without load", feed, "V", "plan")
            .work("nominal voltage of the luminaire", kind.nominal_v, "V", "plan")
            .work("lowest output of its system", lowest, "V", "85 % of nominal, common practice")
            .work("highest output of its system", highest, "V", "125 % of nominal, common practice")
            .help("feed it from an output of its own system voltage, or take a type whose stated input range includes this output")
            .add();
    }
}
