//! What a change takes: metres of cable, metres of trench, parts.

use crate::geometry::Lattice;
use crate::layout::{Layout, Run};
use crate::plan::model::Method;
use crate::plan::quantity::METRES_PER_FOOT;
use crate::plan::scalar::Id;
use crate::sizing::trench::union_steps;
use crate::whatif::Change;
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// What a change takes more than the plan as it is. Cures are ranked by it, field by field.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Cost {
    /// Cable that is added, m; below zero where some is saved.
    pub cable_added_m: f64,
    /// Trench that is added, m: cables on one line share it.
    pub trench_added_m: f64,
    /// Elements that are changed, added or taken out.
    pub parts_changed: usize,
    /// Cable that is laid in another type, m.
    pub cable_replaced_m: f64,
    /// Trench that has to be deeper than planned, m of cable in it.
    pub deeper_m: f64,
    /// Cable in another type times the conductor area that it gains, mm2·m: of two sizes the smaller comes first.
    pub copper_added: f64,
}

impl Cost {
    /// Of the changed plan against the plan as it is.
    pub(super) fn of(before: &Layout, after: &Layout, changes: &[Change]) -> Self {
        let (replaced, copper) = replaced(before, after);
        Self {
            cable_added_m: rounded(cable_m(after) - cable_m(before)),
            trench_added_m: rounded(trench_m(after) - trench_m(before)),
            parts_changed: parts(changes),
            cable_replaced_m: rounded(replaced),
            deeper_m: 0.0,
            copper_added: copper,
        }
    }

    /// In words, with lengths in feet or metres, rounded to a tenth.
    pub fn phrase(&self, feet: bool) -> String {
        let (unit, per_m) = if feet { ("ft", METRES_PER_FOOT.recip()) } else { ("m", 1.0) };
        let length = |metres: f64, what: &str| {
            let tenths = (metres * per_m * 10.0).round() / 10.0;
            match tenths {
                t if t > 0.0 => format!("{t} {unit} of {what} more"),
                t if t < 0.0 => format!("{} {unit} of {what} less", -t),
                _ => format!("no more {what}"),
            }
        };
        let parts = if self.parts_changed == 1 { "1 part".to_owned() } else { format!("{} parts", self.parts_changed) };
        let mut text = format!(
            "{}, {}, {parts} changed",
            length(self.cable_added_m, "cable"),
            length(self.trench_added_m, "trench")
        );
        if self.cable_replaced_m > 0.0 {
            let replaced = (self.cable_replaced_m * per_m * 10.0).round() / 10.0;
            text.push_str(&format!(", {replaced} {unit} of cable in another type"));
        }
        if self.deeper_m > 0.0 {
            let deeper = (self.deeper_m * per_m * 10.0).round() / 10.0;
            text.push_str(&format!(", {deeper} {unit} laid deeper"));
        }
        text
    }

    /// The order of the ranking.
    pub fn total_cmp(&self, other: &Self) -> Ordering {
        let by = |f: fn(&Self) -> f64| f(self).total_cmp(&f(other));
        by(|c| c.cable_added_m)
            .then_with(|| by(|c| c.trench_added_m))
            .then_with(|| self.parts_changed.cmp(&other.parts_changed))
            .then_with(|| by(|c| c.copper_added))
            .then_with(|| by(|c| c.cable_replaced_m))
            .then_with(|| by(|c| c.deeper_m))
    }
}

/// To a tenth of a millimetre, so that two sums of the same lengths are equal; never -0.
fn rounded(metres: f64) -> f64 {
    (metres * 1e4).round() / 1e4 + 0.0
}

fn cable_m(layout: &Layout) -> f64 {
    layout.runs.iter().map(length_m).sum()
}

fn length_m(run: &Run) -> f64 {
    run.segments.iter().map(|segment| segment.length_m).sum()
}

/// Trench of a plan, m: the ground over cables in it, once where they lie in one line. A segment without a place has a
/// trench of its own.
fn trench_m(layout: &Layout) -> f64 {
    let buried = || layout.runs.iter().filter(|run| in_ground(run)).flat_map(|run| &run.segments);
    let unplaced: f64 = buried().filter(|segment| segment.path.len() < 2).map(|segment| segment.length_m).sum();
    let Some(grid) = layout.grid else { return unplaced };
    let lattice = Lattice::new(grid);
    let paths = buried().map(|segment| segment.path.as_slice());
    lattice.metres(union_steps(lattice, paths)) + unplaced
}

fn in_ground(run: &Run) -> bool {
    !matches!(run.method, Some(Method::Surface | Method::Aerial))
}

/// Cable of another type than before, m, and the copper it gains, mm2·m.
fn replaced(before: &Layout, after: &Layout) -> (f64, f64) {
    let (mut metres, mut copper) = (0.0, 0.0);
    let same_ends = |a: &crate::layout::Segment, b: &crate::layout::Segment| (a.from, a.to) == (b.from, b.to);
    for run in &after.runs {
        for segment in &run.segments {
            let was = before.runs.iter().find(|old| old.segments.iter().any(|s| same_ends(s, segment)));
            let Some(was) = was.filter(|was| was.cable.name != run.cable.name) else { continue };
            metres += segment.length_m;
            let area = |run: &Run| run.cable.conductor.map_or(0.0, |size| size.square_mm());
            copper += segment.length_m * (area(run) - area(was));
        }
    }
    (metres, copper)
}

/// Elements that changes touch. A run of which some segments get another cable is one part, though the plan then
/// writes it as two; a type in the schedule, and exceptions by zone that go with a run, are no parts.
fn parts(changes: &[Change]) -> usize {
    let mut touched: BTreeSet<&Id> = BTreeSet::new();
    let mut pieces: BTreeSet<&Id> = BTreeSet::new();
    for change in changes {
        if let Change::Split { new, .. } = change {
            pieces.insert(new);
        }
        if !matches!(change, Change::Covers { .. }) {
            touched.extend(change.touches());
        }
    }
    touched.difference(&pieces).count()
}
