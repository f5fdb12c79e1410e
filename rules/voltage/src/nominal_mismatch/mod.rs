//! A luminaire on an output of another system voltage.

use crate::support::{LISTING, feed_names};
use lintern_rule::compare::plain;
use lintern_rule::plan::LuminaireType;
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

/// The outputs that serve a type of luminaires, from the lowest to the highest.
struct Limits {
    /// Those of its system.
    system: [Limit; 2],
    /// Those of the input range that its maker states.
    range: Option<[Limit; 2]>,
}

impl Limits {
    fn of(kind: &LuminaireType) -> Self {
        let (lowest, highest) = (SYSTEM.0 * kind.nominal_v, SYSTEM.1 * kind.nominal_v);
        let [of_lowest, of_highest] = ["85 % of nominal, common practice", "125 % of nominal, common practice"];
        let system = [
            Limit::new("lowest output of its system", lowest, "V", Tighter::Higher, of_lowest),
            Limit::new("highest output of its system", highest, "V", Tighter::Lower, of_highest),
        ];
        let range = kind.input_min_v.zip(kind.input_max_v).map(|(min, max)| {
            let source = |key| format!("`{key}` of type `{}`", kind.name);
            [
                Limit::stated("lowest input voltage", min, "V", Tighter::Higher, source("input.min")),
                Limit::stated("highest input voltage", max, "V", Tighter::Lower, source("input.max")),
            ]
        });
        Self { system, range }
    }
}

fn check(input: &Input, _: &Settings, report: &mut Report) {
    let limits: Vec<Limits> = input.luminaire_types().iter().map(Limits::of).collect();
    for (luminaire, state) in input.luminaires().iter().zip(input.judged().luminaires()) {
        let id = &luminaire.id;
        let kind = input.luminaire_type(luminaire);
        let Limits { system, range } = &limits[luminaire.kind as usize];
        let Some(feed) = state.node.feed_volts else {
            report.undetermined(id, ["a feed: no run leads to it from a supply"]);
            continue;
        };
        // The range that the output lies in: that of its system, else the one that the maker states.
        let ranges = [Some(system), range.as_ref()].into_iter().flatten();
        let mut compared = ranges.map(|ends| ends.each_ref().map(|end| end.compare(feed).field("type")));
        if let Some(kept) = compared.find(|ends| ends.iter().all(Comparison::passes)) {
            for end in &kept {
                report.passes(id, end);
            }
            continue;
        }
        let [low, high] = system.each_ref().map(|end| end.compare(feed));
        let broken = if low.passes() { high } else { low };
        let feeds = feed_names(input, &state.node);
        report
            .finding(id)
            .field("type")
            .message(format!(
                "{id} is a {} V luminaire, but {feeds} gives {} V; outputs of {} V to {} V serve it",
                plain(kind.nominal_v),
                plain(feed),
                plain(system[0].value()),
                plain(system[1].value())
            ))
            .breaks(&broken)
            .work("volts of the output without load", feed, "V", "plan")
            .work("nominal voltage of the luminaire", kind.nominal_v, "V", "plan")
            .help("feed it from an output of its own system voltage, or take a type whose stated input range includes this output")
            .add();
    }
}
