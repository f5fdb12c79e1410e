//! Where everything is: the zones at each node and along each run, and the distances to water and to buried lines.
//!
//! Whether a point is in a zone is decided exactly (see [`crate::geometry`]): a zone includes its edge, so a point
//! written on an edge is inside, and a point on an edge that two zones share is in both. Distances and the places
//! where a path enters a zone are rounded in the last digits of an `f64`.
//! Zones are read by the even-odd rule; what [`crate::plan::load`] accepts has no crossing edges.

mod near;
mod pieces;
mod scene;
mod spans;
#[cfg(test)]
mod tests;
mod work;

use crate::layout::{Layout, NodeRef, PointM, Run};
use scene::Scene;
use work::Work;

/// How far water and buried lines are looked for, m, horizontally; what is at this distance is included.
pub const NEAR_M: f64 = 30.0;

/// Where everything of a plan is. Lists are in the order of the layout; a node without a place has `None`.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SiteFacts {
    /// Supplies.
    pub supplies: Vec<Option<PlaceFacts>>,
    /// Junctions.
    pub junctions: Vec<Option<PlaceFacts>>,
    /// Luminaires.
    pub luminaires: Vec<Option<PlaceFacts>>,
    /// For each run its segments.
    pub runs: Vec<Vec<SegmentPlaces>>,
}

/// What is at a point and near it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlaceFacts {
    /// Zones that the point is in, as indices into [`Layout::zones`], ascending.
    pub zones: Vec<usize>,
    /// Zones of water within [`NEAR_M`], ascending.
    pub water: Vec<WaterDistance>,
    /// Buried lines within [`NEAR_M`], ascending.
    pub utilities: Vec<UtilityDistance>,
}

/// How far a pool, spa, fountain or pond is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterDistance {
    /// Index into [`Layout::zones`].
    pub zone: usize,
    /// Horizontal distance to its nearest point, m; 0 inside and on the edge.
    pub distance_m: f64,
}

/// How far a buried line of others is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UtilityDistance {
    /// Index into [`Layout::utilities`].
    pub utility: usize,
    /// Horizontal distance to the nearest point of the line as drawn (its centre line), m. The width of the line, or
    /// of a hole that is dug at the place, is not taken off.
    pub distance_m: f64,
    /// Whether the line and the place have a point in common.
    pub crosses: bool,
}

/// Where a segment lies.
#[derive(Debug, Clone, PartialEq)]
pub enum SegmentPlaces {
    /// One of its ends has no place.
    Unplaced,
    /// Its pieces in order, at least one; each begins where the one before it ends.
    Pieces(Vec<Piece>),
}

/// A longest stretch of a segment's drawn path, over bends, on which the set of zones does not change. A place where
/// the path only touches a zone, without length, makes no piece; nor does a stretch shorter than half a millionth of
/// the grid unit. A segment of no length has one piece.
///
/// A piece includes its ends: one that begins at the edge of a pool is 0 m from it.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// Where it begins, along the drawn path, m.
    pub from_m: f64,
    /// Where it ends, along the drawn path, m.
    pub to_m: f64,
    /// The point where it begins.
    pub start: PointM,
    /// The point where it ends.
    pub end: PointM,
    /// Zones that it lies in, as indices into [`Layout::zones`], ascending.
    pub zones: Vec<usize>,
    /// Zones of water within [`NEAR_M`] of this piece, ascending.
    pub water: Vec<WaterDistance>,
    /// Buried lines within [`NEAR_M`] of this piece, ascending.
    pub utilities: Vec<UtilityDistance>,
}

/// The site asks for more work or memory than any real one: see [`locate`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the site is too intricate: too many zones, edges and buried lines meet too many lamps and runs")]
pub struct TooIntricate;

/// Locates every node and segment of a plan.
///
/// # Errors
/// [`TooIntricate`] where the search would look at more than 100 million boxes of the spatial index (some seconds)
/// or the facts would fill more than 8 million words of 8 bytes, list overhead aside. A site of ten thousand
/// luminaires in a thousand zones takes a few hundredths of that.
pub fn locate(layout: &Layout) -> Result<SiteFacts, TooIntricate> {
    let scene = Scene::new(layout);
    let mut work = Work::new();
    let mut place = |at: Option<PointM>| at.map(|at| scene.place(at, &mut work)).transpose();
    let supplies = layout.supplies.iter().map(|s| place(s.at)).collect::<Result<_, _>>()?;
    let junctions = layout.junctions.iter().map(|j| place(j.at)).collect::<Result<_, _>>()?;
    let luminaires = layout.luminaires.iter().map(|l| place(l.at)).collect::<Result<_, _>>()?;
    let mut segments = |run: &Run| {
        let places = |segment: &crate::layout::Segment| {
            if placed(layout, segment.from) && placed(layout, segment.to) {
                scene.pieces(&segment.path, &mut work).map(SegmentPlaces::Pieces)
            } else {
                Ok(SegmentPlaces::Unplaced)
            }
        };
        run.segments.iter().map(places).collect::<Result<_, _>>()
    };
    let runs = layout.runs.iter().map(&mut segments).collect::<Result<_, _>>()?;
    Ok(SiteFacts { supplies, junctions, luminaires, runs })
}

impl SiteFacts {
    /// Facts of a plan that gives no place to anything.
    pub fn unplaced(layout: &Layout) -> Self {
        let segments = |run: &Run| vec![SegmentPlaces::Unplaced; run.segments.len()];
        Self {
            supplies: vec![None; layout.supplies.len()],
            junctions: vec![None; layout.junctions.len()],
            luminaires: vec![None; layout.luminaires.len()],
            runs: layout.runs.iter().map(segments).collect(),
        }
    }
}

fn placed(layout: &Layout, node: NodeRef) -> bool {
    match node {
        NodeRef::Output { supply, .. } => layout.supplies.get(supply).is_some_and(|s| s.at.is_some()),
        NodeRef::Junction(j) => layout.junctions.get(j).is_some_and(|j| j.at.is_some()),
        NodeRef::Luminaire(l) => layout.luminaires.get(l).is_some_and(|l| l.at.is_some()),
    }
}
