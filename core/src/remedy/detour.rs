//! Another route: around the zones that a run crosses or comes too near to.
//!
//! The shortest way in the plane that keeps its distance to some polygons bends at their corners alone. So the corners,
//! moved out by the distance, are the bends that a route may have, and the shortest way over those that see each other
//! is searched.

use super::desk::Desk;
use super::feed::{place, run_doc};
use super::{Proposal, Sort, line};
use crate::finding::Finding;
use crate::layout::{NodeRef, Zone};
use crate::plan::model::Grid;
use crate::plan::quantity::{Length, METRES_PER_FOOT};
use crate::plan::scalar::{Point, RouteStep};
use crate::whatif::Change;
use geo::{Contains, Coord, Distance, Euclidean, Line, LineString, Polygon};

/// Corners of all zones that a route is searched around; more are not.
const MOST_CORNERS: usize = 64;
/// A trench that is led around a zone stays this far from it, m: common practice, no source.
const BESIDE_M: f64 = 0.3048;
/// Bends around each corner. Eight of them keep a circle to within 8 %.
const AROUND: usize = 8;

/// Proposes routes around the zones that a finding on a run names.
pub(super) fn propose(desk: &Desk, finding: &Finding, proposals: &mut Vec<Proposal>) {
    let Some(grid) = desk.layout.grid else { return };
    let named: Vec<usize> =
        (0..desk.layout.zones.len()).filter(|zone| finding.related.contains(&desk.layout.zones[*zone].id.0)).collect();
    if named.is_empty() {
        return;
    }
    let unit_m = match grid {
        Grid::Ft => METRES_PER_FOOT,
        Grid::M => 1.0,
    };
    let keep = distance(finding, unit_m).max(BESIDE_M / unit_m);
    let Some(run) = desk.layout.runs.iter().position(|run| run.id.0 == finding.subject) else {
        let zones = named.iter().map(|zone| Obstacle::new(&desk.layout.zones[*zone], unit_m, keep));
        proposals.extend(zones.filter_map(|zone| moved_away(desk, finding, &zone, step(grid))));
        return;
    };
    // With the zones alone that the finding names, and with all that the run does not enter now.
    let others: Vec<usize> = (0..desk.layout.zones.len()).filter(|zone| !enters(desk, run, *zone)).collect();
    let mut tried: Vec<Vec<RouteStep>> = Vec::new();
    for around in [Vec::new(), others] {
        let mut obstacles: Vec<Obstacle> =
            named.iter().map(|zone| Obstacle::new(&desk.layout.zones[*zone], unit_m, keep)).collect();
        let rest = around.iter().filter(|zone| !named.contains(zone));
        obstacles.extend(rest.map(|zone| Obstacle::new(&desk.layout.zones[*zone], unit_m, 0.0)));
        for obstacle in &mut obstacles[named.len()..] {
            obstacle.stand_off(desk, run, step(grid));
        }
        let Some(route) = route_around(desk, run, &obstacles, step(grid)) else { continue };
        if !tried.contains(&route) {
            proposals.extend(rerouted(desk, run, finding, &route, keep * unit_m));
            tried.push(route);
        }
    }
}

/// The element of a finding on its place, straight away from a zone as far as it has to be.
fn moved_away(desk: &Desk, finding: &Finding, zone: &Obstacle, step: f64) -> Option<Proposal> {
    let place_of = |id: &str| {
        let junction = desk.layout.junctions.iter().position(|j| j.id.0 == id).map(NodeRef::Junction);
        let luminaire = desk.layout.luminaires.iter().position(|l| l.id.0 == id).map(NodeRef::Luminaire);
        let supply = desk.layout.supplies.iter().position(|s| s.id.0 == id);
        let supply = supply.map(|supply| NodeRef::Output { supply, output: 0 });
        place(desk, junction.or(luminaire).or(supply)?)
    };
    if finding.field != "at" {
        return None;
    }
    let at = coord(place_of(&finding.subject)?);
    let edge = zone.polygon.exterior().lines().map(|line| nearest_on(&line, at));
    let edge = edge.min_by(|a, b| Euclidean.distance(at, *a).total_cmp(&Euclidean.distance(at, *b)))?;
    let away = if zone.polygon.contains(&at) { edge - at } else { at - edge };
    let length = away.x.hypot(away.y);
    if length == 0.0 {
        return None;
    }
    // From the distance on in steps, until the rounded place keeps it.
    let to = (0..4).find_map(|more| {
        let radius = zone.keep + f64::from(more) * step;
        let on_step = |x: f64| (x / step).round() * step;
        let to = Coord { x: on_step(edge.x + away.x / length * radius), y: on_step(edge.y + away.y / length * radius) };
        zone.is_clear_of(&Line::new(to, to)).then_some(to)
    })?;
    let value = crate::whatif::point_text(Point { x: to.x, y: to.y });
    let id = crate::plan::scalar::Id(finding.subject.clone());
    let summary = format!("move {id} away from {} to {value}", finding.related.join(" and "));
    let change = Change::Value { element: id, field: "at".to_owned(), value };
    desk.proposal(Sort::Place, summary, vec![change], None, Vec::new())
}

/// The point of a stretch that is nearest to another point.
fn nearest_on(line: &Line, at: Coord) -> Coord {
    let d = line.delta();
    let squared = d.x * d.x + d.y * d.y;
    let share = if squared == 0.0 { 0.0 } else { ((at - line.start).x * d.x + (at - line.start).y * d.y) / squared };
    line.start + d * share.clamp(0.0, 1.0)
}

/// The finest step of a bend, grid units: what a crew can set out.
fn step(grid: Grid) -> f64 {
    match grid {
        Grid::Ft => 0.25,
        Grid::M => 0.1,
    }
}

/// How far to stay away, grid units: the limit where it is a distance to the zone, else none.
fn distance(finding: &Finding, unit_m: f64) -> f64 {
    let limit = finding.limit.as_ref().filter(|_| finding.rule.starts_with("clearance/"));
    let metres = limit.and_then(|limit| Length::new(limit.value, &limit.unit)).map_or(0.0, |length| length.si());
    metres / unit_m
}

fn enters(desk: &Desk, run: usize, zone: usize) -> bool {
    desk.site.runs[run].iter().any(|segment| match segment {
        crate::analysis::site::SegmentPlaces::Unplaced => true,
        crate::analysis::site::SegmentPlaces::Pieces(pieces) => pieces.iter().any(|p| p.zones.contains(&zone)),
    })
}

fn rerouted(desk: &Desk, run: usize, finding: &Finding, route: &[RouteStep], keep_m: f64) -> Option<Proposal> {
    let id = &desk.layout.runs[run].id;
    let bends = route.iter().filter(|step| matches!(step, RouteStep::Bend(_))).count();
    let steps: Vec<String> = route.iter().map(crate::whatif::step_text).collect();
    let zones = finding.related.join(" and ");
    let over = match bends {
        0 => "straight, away from".to_owned(),
        1 => "by 1 bend around".to_owned(),
        _ => format!("by {bends} bends around"),
    };
    let summary = format!("lead {id} {over} {zones}: [{}]", steps.join(", "));
    let changes = vec![Change::Route { run: id.clone(), route: route.to_vec() }];
    let mut proposal = desk.proposal(Sort::Place, summary, changes, None, Vec::new())?;
    proposal.work.push(line("distance that is kept at least", keep_m, "m", "limit"));
    proposal.work.push(line("cable added", proposal.cost.cable_added_m, "m", "after the change - now"));
    Some(proposal)
}

/// The route of a run that keeps clear of the obstacles; `None` where there is none, or none is needed.
fn route_around(desk: &Desk, run: usize, obstacles: &[Obstacle], step: f64) -> Option<Vec<RouteStep>> {
    if obstacles.iter().map(|o| o.corners.len()).sum::<usize>() > MOST_CORNERS {
        return None;
    }
    let cable = &desk.layout.runs[run];
    let doc = run_doc(desk, &cable.id)?;
    // A stated length can't follow another route.
    if !doc.length.is_absent() || !doc.lengths.is_absent() {
        return None;
    }
    let steps: Vec<RouteStep> = doc.route.get()?.iter().map(|step| step.cloned()).collect::<Option<_>>()?;
    let mut route = vec![steps.first()?.clone()];
    let mut changed = false;
    let mut rest = steps[1..].split_inclusive(|step| !matches!(step, RouteStep::Bend(_)));
    for segment in &cable.segments {
        let own = rest.next()?;
        let (from, to) = (coord(place(desk, segment.from)?), coord(place(desk, segment.to)?));
        let bends = own.iter().filter_map(|step| match step {
            RouteStep::Bend(point) => Some(coord(*point)),
            RouteStep::Node(_) | RouteStep::Output(..) => None,
        });
        let points: Vec<Coord> = std::iter::once(from).chain(bends).chain([to]).collect();
        if points.windows(2).all(|pair| clear(obstacles, pair[0], pair[1])) {
            route.extend_from_slice(own);
            continue;
        }
        changed = true;
        let bends = shortest(obstacles, from, to, step)?;
        route.extend(bends.into_iter().map(|at| RouteStep::Bend(Point { x: at.x, y: at.y })));
        route.push(own.last()?.clone());
    }
    changed.then_some(route)
}

fn coord(point: Point) -> Coord {
    Coord { x: point.x, y: point.y }
}

/// A zone to stay clear of, in grid units.
#[derive(Clone)]
struct Obstacle {
    corners: Vec<Coord>,
    polygon: Polygon,
    keep: f64,
}

impl Obstacle {
    fn new(zone: &Zone, unit_m: f64, keep: f64) -> Self {
        // As the plan writes them: whole millionths of the grid unit.
        let written = |metres: f64| (metres / unit_m * 1e6).round() / 1e6;
        let corners: Vec<Coord> = zone.outline.iter().map(|p| Coord { x: written(p.x_m), y: written(p.y_m) }).collect();
        let polygon = Polygon::new(LineString::new(corners.clone()), Vec::new());
        Self { corners, polygon, keep }
    }

    /// Keeps a distance, unless an end of a segment of the run is nearer.
    fn stand_off(&mut self, desk: &Desk, run: usize, keep: f64) {
        let nodes = desk.layout.runs[run].segments.iter().flat_map(|segment| [segment.from, segment.to]);
        let near = |at: Coord| !Self { keep, ..self.clone() }.is_clear_of(&Line::new(at, at));
        if !nodes.filter_map(|node| place(desk, node)).any(|at| near(coord(at))) {
            self.keep = keep;
        }
    }

    /// Whether a straight stretch stays outside, at the distance.
    fn is_clear_of(&self, stretch: &Line) -> bool {
        let edges = self.polygon.exterior().lines();
        let nearest = edges.map(|edge| Euclidean.distance(stretch, &edge)).fold(f64::INFINITY, f64::min);
        // An edge counts as inside, so that a distance of nothing is none.
        nearest >= self.keep && nearest > 0.0 && !self.polygon.contains(&stretch.start)
    }
}

fn clear(obstacles: &[Obstacle], from: Coord, to: Coord) -> bool {
    obstacles.iter().all(|obstacle| obstacle.is_clear_of(&Line::new(from, to)))
}

/// The bends of the shortest clear way between two points (Dijkstra over the bends that see each other).
fn shortest(obstacles: &[Obstacle], from: Coord, to: Coord, step: f64) -> Option<Vec<Coord>> {
    let mut points = vec![from, to];
    for obstacle in obstacles {
        // The corner of an octagon around a circle stands off by 1/cos(22.5 deg); rounding to a step takes one at most.
        let radius = obstacle.keep / (std::f64::consts::PI / AROUND as f64).cos() + step;
        for corner in &obstacle.corners {
            for turn in 0..AROUND {
                let angle = std::f64::consts::TAU * (turn as f64 + 0.5) / AROUND as f64;
                let on_step = |x: f64| (x / step).round() * step;
                let at =
                    Coord { x: on_step(corner.x + radius * angle.cos()), y: on_step(corner.y + radius * angle.sin()) };
                if clear(obstacles, at, at) && !points.contains(&at) {
                    points.push(at);
                }
            }
        }
    }
    let mut length = vec![f64::INFINITY; points.len()];
    let mut before = vec![usize::MAX; points.len()];
    let mut done = vec![false; points.len()];
    length[0] = 0.0;
    loop {
        let open = (0..points.len()).filter(|i| !done[*i] && length[*i].is_finite());
        let here = open.min_by(|a, b| length[*a].total_cmp(&length[*b]))?;
        if here == 1 {
            break;
        }
        done[here] = true;
        for next in 0..points.len() {
            let reached = length[here] + Euclidean.distance(points[here], points[next]);
            if !done[next] && reached < length[next] && clear(obstacles, points[here], points[next]) {
                length[next] = reached;
                before[next] = here;
            }
        }
    }
    let mut bends = Vec::new();
    let mut at = before[1];
    while at != 0 {
        bends.push(points[at]);
        at = before[at];
    }
    bends.reverse();
    Some(bends)
}
