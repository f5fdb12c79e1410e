//! Outlines of zones that enclose nothing, or that nobody can tell the inside of.

use crate::geometry::{Lattice, Probe, side};
use crate::layout::PointM;
use crate::plan::diagnostic::{Diagnostic, Diagnostics};
use crate::plan::field::{Field, Span};
use crate::plan::model::Grid;
use crate::plan::scalar::Point;
use geo::{Coord, Intersects, Line, Orientation};
use rstar::RTree;
use rstar::primitives::GeomWithData;

/// Checks the outlines of one plan.
///
/// What users may write: corners in either direction, and the first corner once more at the end, as map files do.
/// A corner that repeats the one before it is refused: in a list that was typed in it is most often a corner that was
/// meant to be another. Edges must have nothing in common but the corners at which neighbours join: where they
/// cross, touch or lie on each other the inside is a matter of opinion.
pub(super) struct Outlines {
    lattice: Option<Lattice>,
    /// Boxes of the index that may still be looked at, for all outlines of the plan.
    looks: u64,
}

impl Outlines {
    /// More than a hundred for each corner that the largest plan file can hold in outlines of a real site; what
    /// takes more is a pattern of very many long edges side by side.
    const LOOKS: u64 = 50_000_000;

    /// Without a grid, which has been reported, nothing is checked.
    pub(super) fn new(grid: Option<Grid>) -> Self {
        Self { lattice: grid.map(Lattice::new), looks: Self::LOOKS }
    }

    /// The number of corners without the repeated first one; `None` where the outline is wrong, which is reported.
    pub(super) fn check(
        &mut self,
        span: Option<Span>,
        corners: &[Field<Point>],
        points: &[PointM],
        errors: &mut Diagnostics,
    ) -> Option<usize> {
        let mut ring: Vec<Coord<f64>> =
            points.iter().map(|&p| self.lattice.map(|l| l.steps(p))).collect::<Option<_>>()?;
        let closed = ring.len() > 1 && ring.first() == ring.last();
        if closed {
            ring.pop();
        }
        if ring.len() < 3 {
            let which = if closed { "different corners" } else { "corners" };
            errors.push(|| {
                Diagnostic::new(span, format!("an outline needs at least 3 {which}, this has {}", ring.len()))
                    .help("give the corners in order; the last joins the first")
            });
            return None;
        }
        let edges = Edges { corners, ring: &ring };
        if let Some(again) = (1..ring.len()).find(|&i| ring[i] == ring[i - 1]) {
            errors.push(|| {
                Diagnostic::new(corners[again].span, "this corner repeats the one before it")
                    .help("leave one of the two out, or give the corner that was meant")
            });
            return None;
        }
        if ring.iter().all(|&p| side(ring[0], ring[1], p) == Orientation::Collinear) {
            errors.push(|| {
                Diagnostic::new(span, "the outline encloses no area: all of its corners are on one line")
                    .help("give the corners in order; the last joins the first")
            });
            return None;
        }
        match edges.clash(&mut self.looks) {
            Ok(None) => Some(ring.len()),
            Ok(Some((first, later))) => {
                errors.push(|| edges.diagnostic(first, later));
                None
            }
            Err(TooMany) => {
                errors.push(|| {
                    Diagnostic::new(span, "too many long edges lie close together to check the outline")
                        .help("give the outline with fewer corners")
                });
                None
            }
        }
    }
}

/// The check was stopped.
struct TooMany;

/// The edges of an outline: edge `i` joins corner `i` and the next.
struct Edges<'a> {
    corners: &'a [Field<Point>],
    ring: &'a [Coord<f64>],
}

impl Edges<'_> {
    fn edge(&self, i: usize) -> Line<f64> {
        Line::new(self.ring[i], self.ring[self.after(i)])
    }

    fn after(&self, i: usize) -> usize {
        (i + 1) % self.ring.len()
    }

    /// The first edge in the order of the outline that has something in common with an earlier one that it should
    /// not have, and the first such earlier one, as (earlier, later).
    fn clash(&self, looks: &mut u64) -> Result<Option<(usize, usize)>, TooMany> {
        let count = self.ring.len();
        let tree = RTree::bulk_load((0..count).map(|i| GeomWithData::new(self.edge(i), i)).collect());
        for later in 1..count {
            let probe = Probe::along(self.edge(later));
            let clashing = |&earlier: &usize| earlier < later && self.clashes(earlier, later);
            let first = probe.ask(&tree).map(|found| found.data).filter(clashing).min();
            *looks = looks.checked_sub(probe.looked()).ok_or(TooMany)?;
            if let Some(first) = first {
                return Ok(Some((first, later)));
            }
        }
        Ok(None)
    }

    fn clashes(&self, earlier: usize, later: usize) -> bool {
        let (a, b) = (self.edge(earlier), self.edge(later));
        if self.after(earlier) == later {
            runs_back(a.start, a.end, b.end)
        } else if self.after(later) == earlier {
            runs_back(b.start, b.end, a.end)
        } else {
            a.intersects(&b)
        }
    }

    fn diagnostic(&self, first: usize, later: usize) -> Diagnostic {
        let (a, b) = (self.edge(first), self.edge(later));
        let sides = [side(a.start, a.end, b.start), side(a.start, a.end, b.end)];
        let back = [side(b.start, b.end, a.start), side(b.start, b.end, a.end)];
        let (what, does) = if sides == [Orientation::Collinear; 2] {
            ("runs back over itself", "lies on")
        } else if sides.contains(&Orientation::Collinear) || back.contains(&Orientation::Collinear) {
            ("touches itself", "touches")
        } else {
            ("crosses itself", "crosses")
        };
        let (name, other) = (self.name(later), self.name(first));
        let message = format!("the outline {what}: the edge from {name} {does} the edge from {other}");
        let mut diagnostic = Diagnostic::new(self.corners[later].span, message)
            .label("this edge starts here")
            .help("give the corners in order along the border of the zone; a zone in two parts is two zones");
        if let Some(span) = self.corners[first].span {
            diagnostic = diagnostic.also(span, "the other edge starts here");
        }
        diagnostic
    }

    /// `[x, y] to [x, y]` in the plan's own coordinates.
    fn name(&self, edge: usize) -> String {
        let corner = |i: usize| self.corners[i].get().map_or_else(String::new, |p| format!("[{}, {}]", p.x, p.y));
        format!("{} to {}", corner(edge), corner(self.after(edge)))
    }
}

/// Whether the way from `a` over `b` to `c` turns back on itself.
fn runs_back(a: Coord<f64>, b: Coord<f64>, c: Coord<f64>) -> bool {
    // On one line, the signs of the differences are those of the directions.
    let ahead =
        (b.x - a.x).signum() * (c.x - b.x).signum() >= 0.0 && (b.y - a.y).signum() * (c.y - b.y).signum() >= 0.0;
    side(a, b, c) == Orientation::Collinear && !ahead
}
