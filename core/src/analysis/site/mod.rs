//! Where nodes and stretches of cable are: their zones, and their distances to water and to buried lines.

use crate::layout::{Layout, PointM};

/// Waters and lines farther than this are left out, m.
pub const NEAR_M: f64 = 30.0;

/// Where everything is, in the order of the layout.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SiteFacts {
    /// Places of the supplies; `None` where the plan gives none.
    pub supplies: Vec<Option<PlaceFacts>>,
    /// Places of the junctions.
    pub junctions: Vec<Option<PlaceFacts>>,
    /// Places of the luminaires.
    pub luminaires: Vec<Option<PlaceFacts>>,
    /// For each run, its segments.
    pub runs: Vec<Vec<SegmentPlaces>>,
}

/// Where a node is.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PlaceFacts {
    /// Zones that it lies in or on the edge of, indices into [`Layout::zones`].
    pub zones: Vec<usize>,
    /// Waters nearby.
    pub water: Vec<WaterDistance>,
    /// Buried lines nearby.
    pub utilities: Vec<UtilityDistance>,
}

/// Horizontal distance to the water of a pool, spa, fountain or pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterDistance {
    /// Index into [`Layout::zones`].
    pub zone: usize,
    /// 0 inside and on the edge, m.
    pub distance_m: f64,
}

/// Horizontal distance to the drawn line of a utility.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UtilityDistance {
    /// Index into [`Layout::utilities`].
    pub utility: usize,
    /// From the drawn line, m.
    pub distance_m: f64,
    /// Whether the two have a point in common.
    pub crosses: bool,
}

/// Where a segment is.
#[derive(Debug, Clone, PartialEq)]
pub enum SegmentPlaces {
    /// An end has no place.
    Unplaced,
    /// Its pieces in order.
    Pieces(Vec<Piece>),
}

/// A stretch of the drawn path of a segment on which the zones do not change.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// From the start of the segment along the drawn path, m.
    pub from_m: f64,
    /// To, likewise, m.
    pub to_m: f64,
    /// Where it starts.
    pub start: PointM,
    /// Where it ends.
    pub end: PointM,
    /// Zones that it lies in or on the edge of.
    pub zones: Vec<usize>,
    /// Waters nearby.
    pub water: Vec<WaterDistance>,
    /// Buried lines nearby.
    pub utilities: Vec<UtilityDistance>,
}

/// Where everything is.
pub fn locate(layout: &Layout) -> SiteFacts {
    SiteFacts {
        supplies: vec![None; layout.supplies.len()],
        junctions: vec![None; layout.junctions.len()],
        luminaires: vec![None; layout.luminaires.len()],
        runs: layout.runs.iter().map(|run| vec![SegmentPlaces::Unplaced; run.segments.len()]).collect(),
    }
}
