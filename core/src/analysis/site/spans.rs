//! Where a path is inside zones.
//!
//! On a straight leg the places where a zone is entered or left come from the zone's edges that cross the endless line
//! through the leg. Which edges cross is exact, and so is their number; only the positions are rounded, far below
//! [`LEAST`]. Stretches between crossings are told inside from outside by counting, never by a point in the middle
//! that rounding could move across an edge; a stretch along an edge is added as such.

use super::TooIntricate;
use super::scene::{Scene, Shape};
use super::work::Work;
use crate::geometry::{Lattice, Probe, cross};
use crate::layout::PointM;
use geo::{Coord, Euclidean, Intersects, Length, Line};

/// Stretches shorter than this many steps are nothing: coordinates are whole steps, and positions are good to
/// a tenth of a step on the largest site.
pub(super) const LEAST: f64 = 0.5;

/// A drawn path in steps.
pub(super) struct Route<'a> {
    /// As in the layout.
    drawn: &'a [PointM],
    /// In steps.
    pub(super) points: Vec<Coord<f64>>,
    /// Position of each point along the path, steps.
    pub(super) starts: Vec<f64>,
}

/// A stretch of a path inside a zone, by its positions along the path, steps.
pub(super) struct Span {
    pub(super) zone: usize,
    pub(super) from: f64,
    pub(super) to: f64,
}

/// One straight leg of a path.
pub(super) struct Leg {
    /// From bend to bend.
    pub(super) line: Line<f64>,
    /// Its position along the path, steps.
    pub(super) from: f64,
    /// Where it ends along the path, steps.
    pub(super) to: f64,
}

impl<'a> Route<'a> {
    pub(super) fn new(drawn: &'a [PointM], lattice: Lattice) -> Self {
        let points: Vec<Coord<f64>> = drawn.iter().map(|&p| lattice.steps(p)).collect();
        let mut starts = Vec::with_capacity(points.len());
        let mut position = 0.0;
        for (i, &point) in points.iter().enumerate() {
            if i > 0 {
                position += Euclidean.length(&Line::new(points[i - 1], point));
            }
            starts.push(position);
        }
        Self { drawn, points, starts }
    }

    /// Its length, steps.
    pub(super) fn length(&self) -> f64 {
        self.starts.last().copied().unwrap_or(0.0)
    }

    /// Its legs that have a length, from the one at a position on.
    pub(super) fn legs_from(&self, position: f64) -> impl Iterator<Item = Leg> {
        let first = self.starts.partition_point(|&start| start <= position).saturating_sub(1);
        (first + 1..self.points.len()).filter(|&i| self.points[i - 1] != self.points[i]).map(|i| Leg {
            line: Line::new(self.points[i - 1], self.points[i]),
            from: self.starts[i - 1],
            to: self.starts[i],
        })
    }

    /// The point at a position, m: a point of the plan as it stands there, any other rounded.
    pub(super) fn point(&self, position: f64, lattice: Lattice) -> Option<PointM> {
        let i = self.starts.partition_point(|&start| start < position).min(self.drawn.len().checked_sub(1)?);
        if self.starts[i] == position || i == 0 {
            return Some(self.drawn[i]);
        }
        let leg =
            Leg { line: Line::new(self.points[i - 1], self.points[i]), from: self.starts[i - 1], to: self.starts[i] };
        Some(lattice.point(leg.point(position)))
    }
}

impl Leg {
    fn length(&self) -> f64 {
        Euclidean.length(&self.line)
    }

    /// The point at a position of the path; an end of the leg exactly.
    pub(super) fn point(&self, position: f64) -> Coord<f64> {
        if position <= self.from {
            self.line.start
        } else if position >= self.to {
            self.line.end
        } else {
            self.line.start + self.line.delta() * ((position - self.from) / (self.to - self.from))
        }
    }

    /// Where the foot of a point on the endless line through the leg lies, steps from the leg's start.
    fn foot(&self, p: Coord<f64>) -> f64 {
        let d = self.line.delta();
        let e = p - self.line.start;
        (d.x * e.x + d.y * e.y) / self.length()
    }

    /// Where an edge meets the endless line through the leg, steps from the leg's start, given the exact sides of the
    /// edge's ends, which are not the same. One corner gives one number, whichever edge it is an end of.
    fn crossing(&self, edge: &Line<f64>, start: i128, end: i128) -> f64 {
        if start == 0 {
            return self.foot(edge.start);
        }
        if end == 0 {
            return self.foot(edge.end);
        }
        let (from, to) = (self.foot(edge.start), self.foot(edge.end));
        from + (to - from) * (start as f64 / (start - end) as f64)
    }

    /// The stretch of positions along the path at which the leg and an edge meet, if they have a point in common.
    pub(super) fn contact(&self, edge: &Line<f64>) -> Option<(f64, f64)> {
        if !self.line.intersects(edge) {
            return None;
        }
        let (start, end) = (cross(&self.line, edge.start), cross(&self.line, edge.end));
        let (low, high) = if start == 0 && end == 0 {
            let (a, b) = (self.foot(edge.start), self.foot(edge.end));
            (a.min(b).max(0.0), a.max(b).min(self.length()))
        } else {
            let at = self.crossing(edge, start, end);
            (at, at)
        };
        Some((self.from + low, self.from + high))
    }

    /// The position along the path of a place on the leg, steps from the leg's start. Near an end it is the end's.
    fn position(&self, offset: f64) -> f64 {
        if offset <= LEAST {
            self.from
        } else if offset >= self.length() - LEAST {
            self.to
        } else {
            self.from + offset
        }
    }
}

impl Scene {
    /// The stretches of a path inside zones. Those of one zone may touch and overlap.
    pub(super) fn spans(&self, route: &Route, work: &mut Work) -> Result<Vec<Span>, TooIntricate> {
        let mut spans = Vec::new();
        for leg in route.legs_from(0.0) {
            let probe = Probe::along(leg.line);
            for found in probe.ask(&self.boxes) {
                self.zones[found.data].stretches(&leg, work, |from, to| {
                    spans.push(Span { zone: found.data, from, to });
                })?;
            }
            work.look(probe.looked())?;
        }
        Ok(spans)
    }
}

/// Words of memory that one stretch takes until its segment is done.
pub(super) const SPAN_WORDS: usize = 12;

impl Shape {
    /// Gives the stretches of a leg inside the zone.
    fn stretches(&self, leg: &Leg, work: &mut Work, mut give: impl FnMut(f64, f64)) -> Result<(), TooIntricate> {
        let probe = Probe::through(leg.line);
        let mut crossings = Vec::new();
        let mut along = Vec::new();
        for edge in probe.ask(&self.edges) {
            let (start, end) = (cross(&leg.line, edge.start), cross(&leg.line, edge.end));
            if start == 0 && end == 0 {
                let (a, b) = (leg.foot(edge.start), leg.foot(edge.end));
                along.push((a.min(b), a.max(b)));
            } else if (start >= 0) != (end >= 0) {
                // An end on the line counts with what lies to the left of it: the line is thought moved to the right
                // by next to nothing, which changes neither inside nor outside but where it runs along an edge.
                crossings.push(leg.crossing(edge, start, end));
            }
        }
        work.look(probe.looked())?;
        crossings.sort_unstable_by(f64::total_cmp);
        let inside = crossings.chunks_exact(2).map(|pair| (pair[0], pair[1]));
        for (from, to) in inside.chain(along) {
            let (from, to) = (leg.position(from), leg.position(to));
            if from < to {
                work.keep(SPAN_WORDS)?;
                give(from, to);
            }
        }
        Ok(())
    }
}
