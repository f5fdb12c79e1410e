//! The conditions under which low-voltage lighting may be near a pool: what its output gives, what its supply is
//! listed for, and how its output is kept from ground (NFPA 70 680.22(B)(6) and 680.23(A)(2)).

use crate::support::{NO_FEED, current, output, sentence_list, supplies};
use lintern_rule::compare::{above, plain, shown};
use lintern_rule::plan::{LuminaireType, OutputCurrent};
use lintern_rule::prelude::*;

/// Low-voltage contact limit of NFPA 70 for sinusoidal AC, V.
pub const CONTACT_LIMIT_AC_V: f64 = 15.0;
/// Low-voltage contact limit of NFPA 70 for continuous DC, V.
pub const CONTACT_LIMIT_DC_V: f64 = 30.0;

/// The contact limit for a kind of current, V.
pub fn contact_limit_v(current: OutputCurrent) -> f64 {
    match current {
        OutputCurrent::Ac => CONTACT_LIMIT_AC_V,
        OutputCurrent::Dc => CONTACT_LIMIT_DC_V,
    }
}

/// Conditions that are broken, in words, and what the plan leaves out of the others.
///
/// The distance is the rule and these conditions are the way around it, so a plan has to show them: what it leaves out
/// does not count as met.
#[derive(Debug, Default)]
pub struct Conditions {
    pub broken: Vec<String>,
    pub missing: Vec<String>,
    /// Nothing feeds the element, so its voltage and its supply are not known.
    unfed: bool,
}

impl Conditions {
    /// Whether nothing is broken and it is not known what feeds the element.
    pub fn is_open(&self) -> bool {
        self.unfed && self.broken.is_empty()
    }

    /// Why the element may not be near the water, in words; `None` where all conditions are shown to hold.
    pub fn why_not(&self) -> Option<String> {
        match (&self.broken[..], &self.missing[..]) {
            ([], []) => None,
            ([], missing) => {
                Some(format!("the plan does not show that it is: it leaves out {}", sentence_list(missing)))
            }
            (broken, _) => Some(sentence_list(broken)),
        }
    }

    /// What the outputs behind an element have to give and be.
    pub fn of_feeds(input: &Input, outputs: &[(u32, u32)]) -> Self {
        let mut conditions = Self::of_supplies(input, &supplies(outputs));
        if outputs.is_empty() {
            conditions.missing.push(NO_FEED.to_owned());
            conditions.unfed = true;
        }
        let over = outputs_above_contact_limit(input, outputs);
        conditions.broken.splice(0..0, over);
        conditions
    }

    /// What supplies have to be: listed for pools, with an isolated and ungrounded output.
    pub fn of_supplies(input: &Input, supplies: &[u32]) -> Self {
        let mut conditions = Self::default();
        for &index in supplies {
            let supply = &input.supplies()[index as usize];
            let kind = input.supply_type(supply);
            let field = |name: &str| format!("`{name}` of supply type `{}`", kind.name);
            conditions.take(kind.pool_listed, "pool-listed", field, || {
                format!("supply {} is not listed for pool and spa use", supply.id)
            });
            conditions.take(kind.isolating, "isolating", field, || {
                format!("supply {} has no isolating transformer", supply.id)
            });
            conditions.take(kind.grounded_output.map(|grounded| !grounded), "grounded-output", field, || {
                format!("the output of supply {} is grounded", supply.id)
            });
        }
        conditions
    }

    /// What a luminaire of this type has to be beside the water.
    pub fn of_type(&mut self, kind: &LuminaireType) {
        let field = |name: &str| format!("`{name}` of type `{}`", kind.name);
        self.take(kind.listed, "listed", field, || format!("type {} is not listed", kind.name));
        self.take(kind.grounding_required.map(|required| !required), "grounding-required", field, || {
            format!("type {} has to be grounded", kind.name)
        });
    }

    fn take(&mut self, holds: Option<bool>, name: &str, field: impl Fn(&str) -> String, broken: impl Fn() -> String) {
        match holds {
            Some(true) => {}
            Some(false) => self.broken.push(broken()),
            None => self.missing.push(field(name)),
        }
    }
}

/// The outputs that give more than the contact limit, in words.
pub fn outputs_above_contact_limit(input: &Input, outputs: &[(u32, u32)]) -> Vec<String> {
    let over = outputs.iter().filter_map(|&own| {
        let (volts, kind) = output(input, own);
        let limit_v = contact_limit_v(kind.current);
        above(volts, limit_v).then(|| {
            format!(
                "output {} gives {} V {}, above the low-voltage contact limit of {} V",
                input.output_name(own),
                shown(volts, limit_v),
                current(kind),
                plain(limit_v)
            )
        })
    });
    over.collect()
}
