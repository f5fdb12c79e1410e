//! What a site drawing does not show, in sentences below it.

use super::site::View;
use lintern_core::analysis::site::SegmentPlaces;
use lintern_core::layout::{Layout, NodeRef};
use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, PointDistance as _, RTree};
use std::collections::BTreeSet;

/// What is not in the drawing.
pub fn of(view: &View<'_>, cut: bool) -> Vec<String> {
    let layout = view.layout;
    let mut notes = Vec::new();
    let supplies = layout.supplies.iter().filter(|s| s.at.is_none()).map(|s| &s.id);
    let junctions = layout.junctions.iter().filter(|j| j.at.is_none()).map(|j| &j.id);
    let luminaires = layout.luminaires.iter().filter(|l| l.at.is_none()).map(|l| &l.id);
    let unplaced: Vec<&str> = supplies.chain(junctions).chain(luminaires).map(|id| id.0.as_str()).collect();
    if !unplaced.is_empty() {
        notes.push(format!("Not drawn, since the plan gives no place: {}.", unplaced.join(", ")));
    }
    let is_unplaced = |segments: &Vec<SegmentPlaces>| segments.contains(&SegmentPlaces::Unplaced);
    let runs: Vec<&str> = (layout.runs.iter().zip(&view.places.runs))
        .filter(|(_, segments)| is_unplaced(segments))
        .map(|(run, _)| run.id.0.as_str())
        .collect();
    if !runs.is_empty() {
        notes.push(format!(
            "Runs not drawn or drawn in part, since one of their ends has no place: {}.",
            runs.join(", ")
        ));
    }
    let passed = passed(layout);
    if !passed.is_empty() {
        const MOST: usize = 12;
        let more = if passed.len() > MOST { format!(" and {} more", passed.len() - MOST) } else { String::new() };
        let shown = passed.iter().take(MOST).cloned().collect::<Vec<_>>().join(", ");
        notes.push(format!(
            "Drawn through a place that it is not joined to, as in a shared trench: {shown}{more}. The one-line diagrams \
             tell what is joined."
        ));
    }
    if layout.north.is_none() {
        notes.push("The plan does not state north (`site: north`).".to_owned());
    }
    if cut {
        notes.push("Zones and buried lines that reach far beyond the installation are cut off at the edge.".to_owned());
    }
    notes
}

/// Runs that pass through the place of a node that is none of theirs, as `R1 at L2`.
fn passed(layout: &Layout) -> Vec<String> {
    /// Nearer than this the lines can't be told apart on paper.
    const TOUCH_M: f64 = 0.05;
    let nodes = (layout.junctions.iter().enumerate().map(|(j, node)| (NodeRef::Junction(j), node.at, &node.id)))
        .chain(layout.luminaires.iter().enumerate().map(|(l, node)| (NodeRef::Luminaire(l), node.at, &node.id)));
    let nodes: Vec<_> = nodes
        .filter_map(|(node, at, id)| Some(GeomWithData::new(at.map(|at| [at.x_m, at.y_m])?, (node, id))))
        .collect();
    let nodes = RTree::bulk_load(nodes);
    let mut passed = BTreeSet::new();
    for run in &layout.runs {
        let own: BTreeSet<NodeRef> = run.segments.iter().flat_map(|segment| [segment.from, segment.to]).collect();
        for pair in run.segments.iter().flat_map(|segment| segment.path.windows(2)) {
            let [a, b] = [[pair[0].x_m, pair[0].y_m], [pair[1].x_m, pair[1].y_m]];
            let line = Line::new(a, b);
            let low = [a[0].min(b[0]) - TOUCH_M, a[1].min(b[1]) - TOUCH_M];
            let high = [a[0].max(b[0]) + TOUCH_M, a[1].max(b[1]) + TOUCH_M];
            for near in nodes.locate_in_envelope(&AABB::from_corners(low, high)) {
                let (node, id) = near.data;
                if !own.contains(&node) && line.distance_2(near.geom()) <= TOUCH_M * TOUCH_M {
                    passed.insert(format!("{} at {id}", run.id));
                }
            }
        }
    }
    passed.into_iter().collect()
}
