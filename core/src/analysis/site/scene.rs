//! The zones and buried lines of a plan, indexed, and the zones at a point.

use super::work::Work;
use super::{NEAR_M, PlaceFacts, TooIntricate};
use crate::geometry::{Lattice, Probe, edges, side};
use crate::layout::{Layout, PointM};
use crate::plan::model::{Grid, ZoneKind};
use geo::{Coord, Intersects, Line, Orientation, Point};
use rstar::RTree;
use rstar::primitives::{GeomWithData, Rectangle};

/// Edges with the index of what they belong to.
pub(super) type Edges = RTree<GeomWithData<Line<f64>, usize>>;

/// The indexed site.
pub(super) struct Scene {
    pub(super) lattice: Lattice,
    /// How far water and buried lines are looked for, steps, with room for rounding.
    pub(super) reach: f64,
    /// In the order of the layout.
    pub(super) zones: Vec<Shape>,
    /// Boxes of the zones.
    pub(super) boxes: RTree<GeomWithData<Rectangle<Point<f64>>, usize>>,
    /// Edges of the zones of water.
    pub(super) shores: Edges,
    /// Pieces of the buried lines.
    pub(super) lines: Edges,
}

/// One zone.
pub(super) struct Shape {
    /// Its edges.
    pub(super) edges: RTree<Line<f64>>,
    /// Whether it is a pool, spa, fountain or pond.
    pub(super) water: bool,
}

impl Scene {
    pub(super) fn new(layout: &Layout) -> Self {
        // Without a grid a plan has no coordinates.
        let lattice = Lattice::new(layout.grid.unwrap_or(Grid::M));
        let mut zones = Vec::with_capacity(layout.zones.len());
        let mut boxes = Vec::with_capacity(layout.zones.len());
        let mut shores = Vec::new();
        for (index, zone) in layout.zones.iter().enumerate() {
            let ring: Vec<Coord<f64>> =
                zone.outline.iter().chain(zone.outline.first()).map(|&p| lattice.steps(p)).collect();
            let edges = RTree::bulk_load(edges(&ring).collect());
            let water = matches!(zone.kind, ZoneKind::Pool | ZoneKind::Spa | ZoneKind::Fountain | ZoneKind::Pond);
            if edges.size() > 0 {
                let envelope = edges.root().envelope();
                let area = Rectangle::from_corners(envelope.lower(), envelope.upper());
                boxes.push(GeomWithData::new(area, index));
            }
            if water {
                shores.extend(edges.iter().map(|&edge| GeomWithData::new(edge, index)));
            }
            zones.push(Shape { edges, water });
        }
        let mut lines = Vec::new();
        for (index, utility) in layout.utilities.iter().enumerate() {
            let path: Vec<Coord<f64>> = utility.path.iter().map(|&p| lattice.steps(p)).collect();
            lines.extend(edges(&path).map(|edge| GeomWithData::new(edge, index)));
        }
        Self {
            lattice,
            reach: lattice.length(NEAR_M) + 1.0,
            zones,
            boxes: RTree::bulk_load(boxes),
            shores: RTree::bulk_load(shores),
            lines: RTree::bulk_load(lines),
        }
    }

    /// What is at a point and near it.
    pub(super) fn place(&self, at: PointM, work: &mut Work) -> Result<PlaceFacts, TooIntricate> {
        let at = self.lattice.steps(at);
        let zones = self.zones_at(at, work)?;
        let water = self.water_near_point(at, &zones, work)?;
        let utilities = self.utilities_near_point(at, work)?;
        work.keep(9 + zones.len() + 2 * water.len() + 3 * utilities.len())?;
        Ok(PlaceFacts { zones, water, utilities })
    }

    /// The zones that a point is in, ascending.
    pub(super) fn zones_at(&self, at: Coord<f64>, work: &mut Work) -> Result<Vec<usize>, TooIntricate> {
        let probe = Probe::area(at, at, 0.0);
        let mut zones = Vec::new();
        for found in probe.ask(&self.boxes) {
            if self.zones[found.data].holds(at, work)? {
                zones.push(found.data);
            }
        }
        work.look(probe.looked())?;
        zones.sort_unstable();
        Ok(zones)
    }
}

impl Shape {
    /// Whether a point is inside or on the edge: the number of edges that a ray to the right crosses is odd.
    fn holds(&self, at: Coord<f64>, work: &mut Work) -> Result<bool, TooIntricate> {
        let right = self.edges.root().envelope().upper().x().max(at.x);
        let probe = Probe::area(at, Coord { x: right, y: at.y }, 0.0);
        let mut inside = false;
        for edge in probe.ask(&self.edges) {
            if edge.intersects(&at) {
                inside = true;
                work.look(probe.looked())?;
                return Ok(inside);
            }
            // An end on the ray counts with what lies below it, so that a corner is counted once.
            let (low, high) = if edge.start.y < edge.end.y { (edge.start, edge.end) } else { (edge.end, edge.start) };
            if low.y <= at.y && at.y < high.y && side(low, high, at) == Orientation::CounterClockwise {
                inside = !inside;
            }
        }
        work.look(probe.looked())?;
        Ok(inside)
    }
}
