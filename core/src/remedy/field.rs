//! A number of the plan that is set to its limit: deeper cover, a higher mount, a thicker base.

use super::desk::Desk;
use super::{Proposal, Sort, line};
use crate::finding::Finding;
use crate::whatif::Change;

/// Fields that the designer chooses. What a maker states of a type, and what is a fact of the place, is no choice.
const CHOSEN: [&str; 8] = [
    "feed.breaker",
    "cover",
    "concrete",
    "mount-height",
    "excavation.depth",
    "excavation.width",
    "excavation.base-depth",
    "slab-beyond",
];

/// Proposes the limit of the finding as the value of its field.
pub(super) fn propose(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let (Some(measured), Some(limit)) = (&finding.measured, &finding.limit) else { return };
    let last = finding.field.rsplit('.').next().unwrap_or("");
    let in_a_zone = finding.field.starts_with("covers.") && matches!(last, "cover" | "concrete");
    let chosen = CHOSEN.contains(&finding.field.as_str()) || in_a_zone;
    if !chosen || finding.subject.is_empty() || measured.unit != limit.unit {
        return;
    }
    let value = format!("{} {}", limit.value, limit.unit);
    let change = Change::Value {
        element: crate::plan::scalar::Id(finding.subject.clone()),
        field: finding.field.clone(),
        value: value.clone(),
    };
    let summary = format!(
        "give {} `{}: {value}` instead of {} {}",
        finding.subject, finding.field, measured.value, measured.unit
    );
    let work = vec![
        line("value now", measured.value, &measured.unit, "plan"),
        line("value then", limit.value, &limit.unit, "limit"),
    ];
    proposals.extend(desk.proposal(Sort::Number, summary, vec![change], None, work));
}
