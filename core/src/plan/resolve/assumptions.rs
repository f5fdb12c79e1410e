//! What the plan leaves out and the loader fills in, in whole sentences.

use super::types::Types;
use crate::layout::Layout;
use crate::plan::scalar::{Conductor, Id};
use std::collections::BTreeSet;

/// The assumptions of one plan.
#[derive(Default)]
pub(super) struct Assumptions {
    without_slack: Vec<Id>,
    sentences: BTreeSet<String>,
}

impl Assumptions {
    /// A run with measured segments has no slack.
    pub(super) fn no_slack(&mut self, run: &Id) {
        self.without_slack.push(run.clone());
    }

    /// Adds what was filled in for the types that are installed, and the conventions of the analysis.
    pub(super) fn of_layout(&mut self, layout: &Layout, types: &Types) {
        let luminaires: BTreeSet<&Id> = layout.luminaires.iter().map(|l| &l.kind.name).collect();
        self.types(&types.load_filled_in, &luminaires, "Luminaire types", "a load model", "constant-power");
        let of = |size: fn(&Conductor) -> bool| -> BTreeSet<&Id> {
            let cables = layout.runs.iter().map(|run| &run.cable);
            cables.filter(|c| c.conductor.as_ref().is_some_and(size)).map(|c| &c.name).collect()
        };
        let (awg, mm2) = (of(|c| matches!(c, Conductor::Awg(_))), of(|c| matches!(c, Conductor::Mm2(_))));
        self.types(&types.stranding_filled_in, &awg, "Cable types in AWG", "a stranding", "stranded");
        self.types(&types.stranding_filled_in, &mm2, "Cable types in mm2", "a stranding", "iec-class-2");
        let unknown_at: BTreeSet<&Id> = layout
            .runs
            .iter()
            .map(|run| &run.cable)
            .filter(|c| c.resistance.is_some() && c.resistance_at.is_none())
            .map(|c| &c.name)
            .collect();
        if !unknown_at.is_empty() {
            self.sentences.insert(format!(
                "Cable types with a maker's resistance but no temperature that it holds for use it unchanged at every temperature: {}.",
                list(unknown_at)
            ));
        }
        if !self.without_slack.is_empty() {
            self.sentences.insert(format!(
                "Runs without slack are taken at their measured length, with a slack of 0 %: {}.",
                list(&self.without_slack)
            ));
        }
        self.temperatures(layout);
    }

    fn temperatures(&mut self, layout: &Layout) {
        if layout.runs.is_empty() {
            return;
        }
        if layout.analysis.conductor_temperature.is_none() {
            let awg = layout.runs.iter().any(|r| matches!(r.cable.conductor, Some(Conductor::Awg(_))));
            let other = layout.runs.iter().any(|r| !matches!(r.cable.conductor, Some(Conductor::Awg(_))));
            let convention = match (awg, other) {
                (true, true) => "75 degC for AWG and 70 degC for other conductors",
                (true, false) => "75 degC",
                (false, _) => "70 degC",
            };
            self.sentences.insert(format!("The judged case takes conductors at {convention}, by convention."));
        }
        if layout.analysis.soil_temperature.is_none() {
            self.sentences.insert("The soil case takes conductors at 30 degC, by convention.".to_owned());
        }
    }

    /// A sentence on those of the types with something filled in that are installed.
    fn types(&mut self, filled_in: &[Id], installed: &BTreeSet<&Id>, what: &str, lack: &str, value: &str) {
        let these: Vec<&Id> = filled_in.iter().filter(|name| installed.contains(name)).collect();
        if !these.is_empty() {
            self.sentences.insert(format!("{what} without {lack} are taken as {value}: {}.", list(these)));
        }
    }

    /// All sentences, sorted, without repeats.
    pub(super) fn into_sentences(self) -> Vec<String> {
        self.sentences.into_iter().collect()
    }
}

/// `R1, R2, R3`, cut after eight names.
fn list<'a>(names: impl IntoIterator<Item = &'a Id>) -> String {
    const SHOWN: usize = 8;
    let names: Vec<&str> = names.into_iter().map(|id| id.0.as_str()).collect();
    match names.len().saturating_sub(SHOWN) {
        0 => names.join(", "),
        rest => format!("{} and {rest} more", names[..SHOWN].join(", ")),
    }
}
