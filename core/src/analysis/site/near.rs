//! Distances to water and to buried lines.

use super::scene::{Edges, Scene};
use super::spans::{LEAST, Leg, Route};
use super::work::Work;
use super::{NEAR_M, TooIntricate, UtilityDistance, WaterDistance};
use crate::geometry::Probe;
use geo::{Coord, Distance, Euclidean, Intersects, Line};
use std::collections::BTreeMap;

/// The shortest distance so far, steps, by zone or utility; 0 exactly where there is a point in common.
type Nearest = BTreeMap<usize, Gap>;

#[derive(Clone, Copy)]
struct Gap {
    steps: f64,
    meets: bool,
}

impl Scene {
    /// Zones of water near a point that is in the given zones.
    pub(super) fn water_near_point(
        &self,
        at: Coord<f64>,
        zones: &[usize],
        work: &mut Work,
    ) -> Result<Vec<WaterDistance>, TooIntricate> {
        let mut nearest = Nearest::new();
        self.near_point(&self.shores, at, &mut nearest, work)?;
        Ok(self.water(nearest, zones))
    }

    /// Buried lines near a point.
    pub(super) fn utilities_near_point(
        &self,
        at: Coord<f64>,
        work: &mut Work,
    ) -> Result<Vec<UtilityDistance>, TooIntricate> {
        let mut nearest = Nearest::new();
        self.near_point(&self.lines, at, &mut nearest, work)?;
        Ok(self.utilities(nearest))
    }

    /// Water and buried lines near a stretch of a path that lies in the given zones.
    pub(super) fn near_stretch(
        &self,
        route: &Route,
        from: f64,
        to: f64,
        zones: &[usize],
        work: &mut Work,
    ) -> Result<(Vec<WaterDistance>, Vec<UtilityDistance>), TooIntricate> {
        let (mut water, mut utilities) = (Nearest::new(), Nearest::new());
        for leg in route.legs_from(from).take_while(|leg| leg.from < to) {
            let part = Part::new(leg, from, to);
            self.near_part(&self.shores, &part, &mut water, work)?;
            self.near_part(&self.lines, &part, &mut utilities, work)?;
        }
        Ok((self.water(water, zones), self.utilities(utilities)))
    }

    fn near_point(
        &self,
        edges: &Edges,
        at: Coord<f64>,
        nearest: &mut Nearest,
        work: &mut Work,
    ) -> Result<(), TooIntricate> {
        let (meets, distance) = (|e: &Line<f64>| e.intersects(&at), |e: &Line<f64>| Euclidean.distance(at, e));
        self.near(edges, (at, at), nearest, work, meets, distance)
    }

    fn near_part(
        &self,
        edges: &Edges,
        part: &Part,
        nearest: &mut Nearest,
        work: &mut Work,
    ) -> Result<(), TooIntricate> {
        let ends = (part.line.start, part.line.end);
        self.near(edges, ends, nearest, work, |e| part.meets(e), |e| part.distance(e))
    }

    /// Notes what is near a place between two ends. Of an edge that the distance of its box rules out nothing is
    /// computed.
    fn near(
        &self,
        edges: &Edges,
        (a, b): (Coord<f64>, Coord<f64>),
        nearest: &mut Nearest,
        work: &mut Work,
        meets: impl Fn(&Line<f64>) -> bool,
        distance: impl Fn(&Line<f64>) -> f64,
    ) -> Result<(), TooIntricate> {
        let probe = Probe::area(a, b, self.reach);
        for found in probe.ask(edges) {
            let edge = found.geom();
            let least =
                between((a.x, b.x), (edge.start.x, edge.end.x)).hypot(between((a.y, b.y), (edge.start.y, edge.end.y)));
            if least > self.reach {
                continue;
            }
            let gap = nearest.entry(found.data).or_insert(Gap { steps: f64::INFINITY, meets: false });
            if gap.meets || least > gap.steps {
                continue;
            }
            // Ends of a place are rounded by less than a step in each direction.
            if least <= 2.0 && meets(edge) {
                *gap = Gap { steps: 0.0, meets: true };
            } else {
                gap.steps = gap.steps.min(distance(edge));
            }
        }
        work.look(probe.looked())
    }

    /// The distances to water; 0 for the zones that the place is in.
    fn water(&self, mut nearest: Nearest, zones: &[usize]) -> Vec<WaterDistance> {
        for &zone in zones.iter().filter(|&&zone| self.zones[zone].water) {
            nearest.insert(zone, Gap { steps: 0.0, meets: true });
        }
        let distances = nearest.into_iter().map(|(zone, gap)| WaterDistance { zone, distance_m: self.metres(gap) });
        distances.filter(|water| water.distance_m <= NEAR_M).collect()
    }

    fn utilities(&self, nearest: Nearest) -> Vec<UtilityDistance> {
        let distances = nearest.into_iter().map(|(utility, gap)| UtilityDistance {
            utility,
            distance_m: self.metres(gap),
            crosses: gap.meets,
        });
        distances.filter(|utility| utility.distance_m <= NEAR_M).collect()
    }

    fn metres(&self, gap: Gap) -> f64 {
        self.lattice.metres(gap.steps)
    }
}

/// The distance between two ranges whose ends stand in either order.
fn between(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0.min(a.1) - b.0.max(b.1)).max(b.0.min(b.1) - a.0.max(a.1)).max(0.0)
}

/// The part of a leg that belongs to a stretch.
struct Part {
    leg: Leg,
    /// Positions along the path, steps.
    from: f64,
    to: f64,
    /// Its ends are rounded unless they are ends of the leg.
    line: Line<f64>,
}

impl Part {
    fn new(leg: Leg, from: f64, to: f64) -> Self {
        let (from, to) = (from.max(leg.from), to.min(leg.to));
        let line = Line::new(leg.point(from), leg.point(to));
        Self { leg, from, to, line }
    }

    /// Whether the part and an edge have a point in common: that the leg and the edge have one is exact, where it
    /// lies along the leg is rounded, a cut by up to [`LEAST`], and a stretch includes its ends.
    fn meets(&self, edge: &Line<f64>) -> bool {
        self.leg
            .contact(edge)
            .is_some_and(|(low, high)| low <= self.to + 2.0 * LEAST && high >= self.from - 2.0 * LEAST)
    }

    /// Distance to an edge that it does not meet, steps: from an end of one to the other.
    fn distance(&self, edge: &Line<f64>) -> f64 {
        let ends = [
            Euclidean.distance(self.line.start, edge),
            Euclidean.distance(self.line.end, edge),
            Euclidean.distance(edge.start, &self.line),
            Euclidean.distance(edge.end, &self.line),
        ];
        ends.into_iter().fold(f64::INFINITY, f64::min)
    }
}
