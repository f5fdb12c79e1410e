//! A number of the plan that is set to its limit (deeper cover, a higher mount, a thicker base), on the whole run or
//! in the zone alone; and conduit, on the whole run or in the zone alone.

use super::desk::Desk;
use super::{Proposal, Sort, line};
use crate::analysis::site::SegmentPlaces;
use crate::finding::{Finding, WorkLine};
use crate::plan::scalar::Id;
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

/// Proposes the limit of the finding as the value of its field, or conduit.
pub(super) fn propose(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    number(desk, finding, proposals);
    let last = finding.field.rsplit('.').next().unwrap_or("");
    let by_water = matches!(finding.rule.as_str(), "clearance/wiring-near-pool" | "clearance/unsuited-wiring-by-pool");
    if let Some(run) = desk.layout.runs.iter().position(|run| run.id.0 == finding.subject)
        && (last == "method" || by_water)
        // Under a pool no conduit helps.
        && !(by_water && desk.has_finding("clearance/wiring-under-pool", &finding.subject))
    {
        conduit(desk, run, finding, proposals);
    }
}

fn number(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let (Some(measured), Some(limit)) = (&finding.measured, &finding.limit) else { return };
    let last = finding.field.rsplit('.').next().unwrap_or("");
    let in_a_zone = finding.field.starts_with("covers.") && matches!(last, "cover" | "concrete");
    let chosen = CHOSEN.contains(&finding.field.as_str()) || in_a_zone;
    if !chosen || finding.subject.is_empty() || measured.unit != limit.unit {
        return;
    }
    let value = format!("{} {}", limit.value, limit.unit);
    let work = vec![
        line("value now", measured.value, &measured.unit, "plan"),
        line("value then", limit.value, &limit.unit, "limit"),
    ];
    let element = Id(finding.subject.clone());
    let run = desk.layout.runs.iter().position(|run| run.id == element);
    let change = Change::Value { element: element.clone(), field: finding.field.clone(), value: value.clone() };
    let summary =
        format!("give {element} `{}: {value}` instead of {} {}", finding.field, measured.value, measured.unit);
    let whole = desk.proposal(Sort::Number, summary, vec![change], None, work.clone());
    let length_m = |run: usize| desk.layout.runs[run].segments.iter().map(|s| s.length_m).sum();
    let deeper = run.filter(|_| last == "cover" && !in_a_zone);
    proposals.extend(whole.map(|whole| dug_deeper(whole, deeper.map_or(0.0, length_m))));
    // Deeper in the zone alone that asks for it.
    for (zone, metres) in deeper.map_or_else(Vec::new, |run| zones_on(desk, run, finding)) {
        let entry = format!("{{ zone: {zone}, cover: {value} }}");
        let summary = format!("give {element} `cover: {value}` in {zone} alone, by an entry of `covers`");
        let changes = vec![Change::Cover { run: element.clone(), entry }];
        let proposal = desk.proposal(Sort::Number, summary, changes, None, work.clone());
        proposals.extend(proposal.map(|proposal| dug_deeper(proposal, metres)));
    }
}

fn dug_deeper(mut proposal: Proposal, metres: f64) -> Proposal {
    proposal.cost.deeper_m = metres;
    proposal
}

/// Zones that a finding names and the run crosses without an exception, with the metres in each.
fn zones_on(desk: &Desk, run: usize, finding: &Finding) -> Vec<(Id, f64)> {
    let mut zones = Vec::new();
    for (index, zone) in desk.layout.zones.iter().enumerate().filter(|(_, zone)| finding.related.contains(&zone.id.0)) {
        let pieces = desk.site.runs[run].iter().flat_map(|segment| match segment {
            SegmentPlaces::Pieces(pieces) => pieces.as_slice(),
            SegmentPlaces::Unplaced => &[],
        });
        let metres: f64 = pieces.filter(|p| p.zones.contains(&index)).map(|p| p.to_m - p.from_m).sum();
        if metres > 0.0 && desk.layout.runs[run].covers.iter().all(|cover| cover.zone != index) {
            zones.push((zone.id.clone(), metres));
        }
    }
    zones
}

/// Rigid PVC conduit, at the planned cover and at 18 in or 450 mm, which is what NFPA 70 Table 300.5, column 3, asks for
/// it in most places; the rules of the plan's code judge both.
fn conduit(desk: &Desk, run: usize, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let cable = &desk.layout.runs[run];
    let length_m: f64 = cable.segments.iter().map(|s| s.length_m).sum();
    let deep = if desk.layout.is_in_feet() { "18 in" } else { "450 mm" };
    let note = |value: &str| -> Vec<WorkLine> {
        let number = value.split(' ').next().and_then(|n| n.parse().ok());
        let unit = if desk.layout.is_in_feet() { "in" } else { "mm" };
        number.map(|number| line("cover then", number, unit, "tried")).into_iter().collect()
    };
    for (zone, metres) in zones_on(desk, run, finding) {
        for (cover, metres) in [(None, 0.0), (Some(deep), metres)] {
            let depth = cover.map(|cover| format!(", cover: {cover}")).unwrap_or_default();
            let entry = format!("{{ zone: {zone}, method: pvc-conduit{depth} }}");
            let summary = format!("lay {} in rigid PVC conduit in {zone}, by an entry `{entry}` of `covers`", cable.id);
            let changes = vec![Change::Cover { run: cable.id.clone(), entry }];
            let proposal = desk.proposal(Sort::Conduit, summary, changes, None, cover.map_or_else(Vec::new, note));
            proposals.extend(proposal.map(|proposal| dug_deeper(proposal, metres)));
        }
    }
    for (cover, metres) in [(None, 0.0), (Some(deep), length_m)] {
        let value = |field: &str, value: &str| Change::Value {
            element: cable.id.clone(),
            field: field.to_owned(),
            value: value.to_owned(),
        };
        let mut changes = vec![value("method", "pvc-conduit")];
        changes.extend(cover.map(|cover| value("cover", cover)));
        let depth = cover.map(|cover| format!(", at a cover of {cover}")).unwrap_or_default();
        let summary = format!("lay the whole of {} in rigid PVC conduit{depth}", cable.id);
        let proposal = desk.proposal(Sort::Conduit, summary, changes, None, cover.map_or_else(Vec::new, note));
        proposals.extend(proposal.map(|proposal| dug_deeper(proposal, metres)));
    }
}
