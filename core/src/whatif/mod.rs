//! The same plan with changes: another conductor, output, supply, route, an added feed, a split.
//!
//! A change is made in the text of the plan, and what comes of it is read from that text. So there is one way to make
//! a change, what has been tried is to the byte what can be written, and comments and layout of the rest stay. For
//! changes of numbers alone, hundreds at a time, [`crate::analysis::network::Bench`] solves the network again without
//! a text.

mod text;

use crate::layout::{Layout, PointM, Run, Segment};
use crate::plan::scalar::{Conductor, Id, Point, Rating, RouteStep};
use crate::plan::{Loaded, load_text};
use crate::repository::Repository;
use std::collections::BTreeSet;

/// One change to a plan. Elements and types are named as the plan names them.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Another cable type for a run.
    Cable {
        /// The run.
        run: Id,
        /// The type.
        cable: Id,
    },
    /// A cable type like another one in another size, in the plan's own schedule. What the maker states of the other
    /// size (resistance, ampacity) does not go with it.
    CableType {
        /// Its name.
        name: Id,
        /// The type it is like.
        like: Id,
        /// Size of one conductor.
        conductor: Conductor,
    },
    /// Another node at an end of a run.
    End {
        /// The run.
        run: Id,
        /// Whether it is the last node of the route, else the first.
        last: bool,
        /// The node.
        node: RouteStep,
    },
    /// A run becomes two at a node of its route; the second is the new one.
    Split {
        /// The run.
        run: Id,
        /// Number of segments that stay with it.
        segments: usize,
        /// The run that takes the others.
        new: Id,
    },
    /// A run ends earlier: its last segments are not laid.
    Shorten {
        /// The run.
        run: Id,
        /// Number of segments that stay.
        segments: usize,
    },
    /// A run is not laid at all.
    Remove {
        /// The run.
        run: Id,
    },
    /// Another route for a run, measured.
    Route {
        /// The run.
        run: Id,
        /// Nodes and bends.
        route: Vec<RouteStep>,
    },
    /// A new run like another one.
    Run {
        /// Its id.
        new: Id,
        /// The run it is like.
        like: Id,
        /// Nodes and bends.
        route: Vec<RouteStep>,
        /// Length of each segment, m, where it is not measured.
        lengths_m: Option<Vec<f64>>,
    },
    /// Only these exceptions by zone stay with a run.
    Covers {
        /// The run.
        run: Id,
        /// Their indices, ascending.
        keep: Vec<usize>,
    },
    /// One more exception by zone.
    Cover {
        /// The run.
        run: Id,
        /// The entry as YAML, such as `{ zone: drive, cover: 18 in }`.
        entry: String,
    },
    /// A supply type like another one with another rating, in the plan's own schedule.
    SupplyType {
        /// Its name.
        name: Id,
        /// The type it is like.
        like: Id,
        /// What it may give in all.
        rating: Rating,
    },
    /// Another type for a supply.
    Supply {
        /// The supply.
        supply: Id,
        /// The type.
        kind: Id,
    },
    /// A second supply beside another one, of its type and on its circuit.
    SupplyBeside {
        /// Its id.
        new: Id,
        /// The supply that it stands beside.
        like: Id,
    },
    /// Another value of a field of an element: the route of keys and indices from it, and the value as YAML.
    Value {
        /// The element.
        element: Id,
        /// The field, such as `cover` or `covers.1.cover`.
        field: String,
        /// What it becomes.
        value: String,
    },
}

/// Why a plan with changes could not be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotMade {
    /// The plan has no place for the change, or writes the thing in a way that can't be edited in place.
    #[error("the plan's text has no place for the change")]
    NoPlace,
    /// The changed text is no plan without errors.
    #[error("the changed plan can't be read")]
    Unreadable,
    /// Something else would change too, as where two elements share one text by an alias.
    #[error("the change would alter `{0}` too")]
    AltersMore(&'static str),
}

/// The text of a plan after the changes, one after the other.
pub fn changed_text(loaded: &Loaded, changes: &[Change]) -> Result<String, NotMade> {
    text::write(loaded, changes).ok_or(NotMade::NoPlace)
}

/// The plan after the changes, read from its changed text. Everything that the changes do not name is as before.
pub fn with_changes(repository: &Repository, loaded: &Loaded, changes: &[Change]) -> Result<Loaded, NotMade> {
    let text = changed_text(loaded, changes)?;
    let changed = load_text(repository, &repository.root().join(&loaded.file), text.as_bytes());
    match (&loaded.layout, &changed.layout) {
        (Some(before), Some(after)) => {
            alters_only(before, after, changes)?;
            Ok(changed)
        }
        _ => Err(NotMade::Unreadable),
    }
}

impl Change {
    /// Elements that the change names: those that may differ afterwards.
    pub(crate) fn touches(&self) -> Vec<&Id> {
        match self {
            Self::Cable { run, .. }
            | Self::End { run, .. }
            | Self::Shorten { run, .. }
            | Self::Remove { run }
            | Self::Route { run, .. }
            | Self::Covers { run, .. }
            | Self::Cover { run, .. } => vec![run],
            Self::Split { run, new, .. } => vec![run, new],
            Self::Run { new, .. } | Self::SupplyBeside { new, .. } => vec![new],
            Self::Supply { supply, .. } => vec![supply],
            Self::Value { element, .. } => vec![element],
            Self::CableType { .. } | Self::SupplyType { .. } => Vec::new(),
        }
    }
}

/// Refuses a change that reached more than it names.
fn alters_only(before: &Layout, after: &Layout, changes: &[Change]) -> Result<(), NotMade> {
    let touched: BTreeSet<&Id> = changes.iter().flat_map(Change::touches).collect();
    macro_rules! same {
        ($list:ident) => {{
            let named = |id: &Id| !touched.contains(id);
            let rest = |layout: &Layout| layout.$list.iter().filter(|e| named(&e.id)).cloned().collect::<Vec<_>>();
            if rest(before) != rest(after) {
                return Err(NotMade::AltersMore(stringify!($list)));
            }
        }};
    }
    same!(supplies);
    same!(junctions);
    same!(luminaires);
    same!(zones);
    same!(utilities);
    let runs = |layout: &Layout| -> Vec<_> {
        layout
            .runs
            .iter()
            .filter(|run| !touched.contains(&run.id))
            .map(|run| untouched(layout, run, &touched))
            .collect()
    };
    if runs(before) != runs(after) {
        return Err(NotMade::AltersMore("runs"));
    }
    let others = |layout: &Layout| {
        let site = (layout.grid, layout.north, layout.origin, layout.soil);
        (layout.project.clone(), layout.analysis, site, layout.dig.clone(), layout.records)
    };
    if others(before) != others(after) { Err(NotMade::AltersMore("project")) } else { Ok(()) }
}

/// What must stay of a run: by the names of its nodes, which stand in the layout as indices, and without the path and
/// length of a segment that leads to an element which may have moved.
fn untouched(layout: &Layout, run: &Run, touched: &BTreeSet<&Id>) -> (Run, Vec<Untouched>) {
    let may_move = |name: &str| touched.iter().any(|id| name.split('/').next() == Some(id.0.as_str()));
    let segment = |s: &Segment| {
        let (from, to) = (layout.node_name(s.from), layout.node_name(s.to));
        let drawn = (!may_move(&from) && !may_move(&to)).then(|| (s.path.clone(), s.length_m));
        (from, to, s.added_ohms, drawn)
    };
    (Run { segments: Vec::new(), ..run.clone() }, run.segments.iter().map(segment).collect())
}

/// Of a segment: the names of its nodes, its added resistance, and how it is drawn where its nodes stay.
type Untouched = (String, String, f64, Option<Drawn>);

/// Path and length of a segment, m.
type Drawn = (Vec<PointM>, f64);

/// A point of the plan as it is written.
pub(crate) fn point_text(point: Point) -> String {
    format!("[{}, {}]", point.x, point.y)
}

/// A step of a route as it is written.
pub(crate) fn step_text(step: &RouteStep) -> String {
    match step {
        RouteStep::Node(id) => id.0.clone(),
        RouteStep::Output(supply, output) => format!("{supply}/{output}"),
        RouteStep::Bend(point) => point_text(*point),
    }
}

#[cfg(test)]
mod tests;
