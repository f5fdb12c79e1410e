//! A luminaire in the garden of a dwelling gives far more or far less light than what it lights usually gets.

use crate::support::{PRACTICE, ids, lit};
use lintern_rule::compare::plain;
use lintern_rule::plan::{Lights, Luminaire, Occupancy};
use lintern_rule::prelude::*;
use std::collections::BTreeMap;

/// What is usual for one kind of thing that is lit in the garden of a dwelling. Common practice, no source: the figures are wide on purpose, so
/// that only what an experienced designer would look at twice is outside.
struct Band {
    least: &'static str,
    least_lm: f64,
    most: &'static str,
    most_lm: f64,
}

const PATH: Band = Band { least: "path-least", least_lm: 50.0, most: "path-most", most_lm: 300.0 };
const STEPS: Band = Band { least: "steps-least", least_lm: 15.0, most: "steps-most", most_lm: 150.0 };
const TREE: Band = Band { least: "tree-least", least_lm: 100.0, most: "tree-most", most_lm: 2000.0 };
const FACADE: Band = Band { least: "facade-least", least_lm: 80.0, most: "facade-most", most_lm: 2000.0 };
const ENTRY: Band = Band { least: "entry-least", least_lm: 100.0, most: "entry-most", most_lm: 1000.0 };
const WATER: Band = Band { least: "water-least", least_lm: 50.0, most: "water-most", most_lm: 1500.0 };
const AREA: Band = Band { least: "area-least", least_lm: 100.0, most: "area-most", most_lm: 4000.0 };

const fn least(band: &Band, summary: &'static str) -> Setting {
    Setting::number(band.least, band.least_lm, "lm", Tighter::Higher, summary)
}

const fn most(band: &Band, summary: &'static str) -> Setting {
    Setting::number(band.most, band.most_lm, "lm", Tighter::Lower, summary)
}

pub const RULE: Rule = Rule {
    id: "light/unusual-flux",
    title: "A luminaire gives much more or much less light than is usual for what it lights",
    level: Level::Advice,
    waivable: true,
    settings: &[
        least(&PATH, "least luminous flux of a luminaire that lights a path"),
        most(&PATH, "greatest luminous flux of a luminaire that lights a path"),
        least(&STEPS, "least luminous flux of a luminaire that lights steps"),
        most(&STEPS, "greatest luminous flux of a luminaire that lights steps"),
        least(&TREE, "least luminous flux of a luminaire that lights a tree"),
        most(&TREE, "greatest luminous flux of a luminaire that lights a tree"),
        least(&FACADE, "least luminous flux of a luminaire that lights a facade"),
        most(&FACADE, "greatest luminous flux of a luminaire that lights a facade"),
        least(&ENTRY, "least luminous flux of a luminaire that lights an entry"),
        most(&ENTRY, "greatest luminous flux of a luminaire that lights an entry"),
        least(&WATER, "least luminous flux of a luminaire that lights water"),
        most(&WATER, "greatest luminous flux of a luminaire that lights water"),
        least(&AREA, "least luminous flux of a luminaire that lights an area"),
        most(&AREA, "greatest luminous flux of a luminaire that lights an area"),
    ],
    citations: &[],
    doc: include_str!("doc.md"),
    check,
};

impl Band {
    fn of(lights: Lights) -> &'static Self {
        match lights {
            Lights::Path => &PATH,
            Lights::Steps => &STEPS,
            Lights::Tree => &TREE,
            Lights::Facade => &FACADE,
            Lights::Entry => &ENTRY,
            Lights::Water => &WATER,
            Lights::Area => &AREA,
        }
    }

    /// The least and the greatest flux, as a company has set them.
    fn limits(&self, settings: &Settings, lights: Lights) -> (Limit, Limit) {
        let name = |which: &str| format!("{which} flux that is usual for {}", lit(lights));
        (
            Limit::new(name("least"), self.least_lm, "lm", Tighter::Higher, PRACTICE).given(settings, self.least),
            Limit::new(name("greatest"), self.most_lm, "lm", Tighter::Lower, PRACTICE).given(settings, self.most),
        )
    }
}

fn check(input: &Input, settings: &Settings, report: &mut Report) {
    let is_dwelling = match input.project().occupancy {
        None => false,
        Some(Occupancy::OneFamilyDwelling | Occupancy::TwoFamilyDwelling) => true,
        // Public and commercial sites are lit by calculation to another level.
        Some(Occupancy::Multifamily | Occupancy::Commercial | Occupancy::Public) => return,
    };
    // One finding for the luminaires of one type that light the same kind of thing.
    let mut groups: BTreeMap<(u32, u8), (Lights, f64, Vec<&Luminaire>)> = BTreeMap::new();
    for luminaire in input.luminaires() {
        let Some(lights) = luminaire.lights else { continue };
        let kind = input.luminaire_type(luminaire);
        match kind.flux_lm {
            None => report.undetermined(&luminaire.id, [format!("`flux` of type `{}`", kind.name)]),
            Some(flux_lm) => {
                report.checked(&luminaire.id);
                let group = groups.entry((luminaire.kind, lights as u8)).or_insert((lights, flux_lm, Vec::new()));
                group.2.push(luminaire);
            }
        }
    }
    for (lights, flux_lm, members) in groups.values() {
        let Some((first, others)) = members.split_first() else { continue };
        let (least, most) = Band::of(*lights).limits(settings, *lights);
        for luminaire in members {
            report.limit(&luminaire.id, &least);
            report.limit(&luminaire.id, &most);
        }
        let [of_least, of_most] = [&least, &most].map(|limit| limit.compare(*flux_lm).field("type.flux"));
        let (level, broken, help) = if !of_most.passes() {
            let help = "take a smaller lamp or dim it, and judge it at the mock-up: what is too bright makes all that \
                        is beside it look dark";
            (Level::Advice, of_most, help)
        } else if !of_least.passes() {
            let help = "judge at the mock-up whether it is seen beside its neighbours; else take a larger lamp";
            (Level::Reminder, of_least, help)
        } else {
            for luminaire in members {
                report.passes(&luminaire.id, &of_least);
                report.passes(&luminaire.id, &of_most);
            }
            continue;
        };
        if !is_dwelling {
            for luminaire in members {
                report.undetermined(&luminaire.id, ["`project.occupancy`"]);
            }
            continue;
        }
        for other in others {
            report.also_breaks(&other.id, &broken);
        }
        report
            .finding(&first.id)
            .level(level)
            .related(others.iter().map(|luminaire| luminaire.id.as_str()))
            .message(format!(
                "{} gives {} lm on {}, where {} to {} lm is usual",
                ids(members),
                plain(*flux_lm),
                lit(*lights),
                plain(least.value()),
                plain(most.value())
            ))
            .work("luminous flux of the type", *flux_lm, "lm", "plan")
            .breaks(&broken)
            .help(help)
            .add();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The page names every band with the figures that the rule uses, and no other.
    #[test]
    fn the_page_has_the_bands() {
        let bands = [&PATH, &STEPS, &TREE, &FACADE, &ENTRY, &WATER, &AREA];
        let rows: Vec<String> = bands
            .iter()
            .map(|band| {
                let what = band.least.trim_end_matches("-least");
                assert_eq!(band.most, format!("{what}-most"));
                assert!(band.least_lm < band.most_lm, "{what}");
                format!("| {what} | {} to {} |", plain(band.least_lm), plain(band.most_lm))
            })
            .collect();
        let table = RULE.doc.lines().filter(|line| line.starts_with("| ") && line.contains(" to "));
        assert_eq!(table.collect::<Vec<_>>(), rows);
        assert_eq!(RULE.settings.len(), 2 * bands.len());
    }
}
