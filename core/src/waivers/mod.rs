//! Waivers: findings that somebody has accepted, and what is wrong with waivers themselves.
//!
//! What is wrong with a waiver depends on what all rules found, so the rules of this topic are no module: they run here,
//! after the others. Their pages and cases stand in `rules/waivers`, like those of every other topic.

mod judge;
mod rules;

pub use judge::judge;
pub use rules::rules;

use crate::check::CheckOptions;
use crate::engine::RuleDescription;
use crate::finding::{Acceptance, Finding};
use crate::plan::Waiver;
use crate::plan::scalar::Date;

/// The topic of the rules about waivers.
pub const TOPIC: &str = "waivers";

/// Whether plans may waive the findings of a rule: neither the rule nor a configuration forbids it.
pub fn is_waivable(rule: &RuleDescription, options: &CheckOptions) -> bool {
    let set = options.settings.get(&rule.id).and_then(|settings| settings.waivable.as_ref());
    rule.waivable && set.is_none_or(|(waivable, _)| *waivable)
}

/// What the first waiver that covers a finding on that day says.
pub(crate) fn acceptance(waivers: &[Waiver], finding: &Finding, as_of: Date) -> Option<Acceptance> {
    waivers.iter().find_map(|waiver| {
        let reason =
            stated(waiver.reason.as_ref()).filter(|_| is_for(waiver, finding) && is_in_force(waiver, as_of))?;
        Some(Acceptance {
            waiver: waiver.index,
            reason: reason.to_owned(),
            approved_by: stated(waiver.approved_by.as_ref()).map(str::to_owned),
            on: waiver.on,
            until: waiver.until,
        })
    })
}

/// Whether a waiver names the rule and the element of a finding, whatever the day.
fn is_for(waiver: &Waiver, finding: &Finding) -> bool {
    waiver.rule == finding.rule && (waiver.subject.is_empty() || waiver.subject == finding.subject)
}

/// Whether it holds on the day; the first and the last day included.
fn is_in_force(waiver: &Waiver, as_of: Date) -> bool {
    waiver.on.is_none_or(|on| on <= as_of) && waiver.until.is_none_or(|until| as_of <= until)
}

/// A text that says something.
fn stated(text: Option<&String>) -> Option<&str> {
    text.map(|text| text.trim()).filter(|text| !text.is_empty())
}
