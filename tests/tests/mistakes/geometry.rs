//! Where runs and elements lie, reckoned apart from the program: in the units of the grid, from the plan's own numbers.

use crate::matrix::pick;
use lintern_tests::scenario::Scenario;
use lintern_tests::seeded::Seeded;
use serde_yaml::Value;

pub type Point = (f64, f64);

/// A coordinate pair.
pub fn point(value: &Value) -> Point {
    (value[0].as_f64().expect("a coordinate"), value[1].as_f64().expect("a coordinate"))
}

/// A coordinate pair as a plan has it, in thousandths.
pub fn written(at: Point) -> Value {
    let round = |v: f64| Value::from((v * 1000.0).round() / 1000.0);
    Value::Sequence(vec![round(at.0), round(at.1)])
}

/// Where a node stands.
pub fn place_of(plan: &mut Scenario, node: &str) -> Point {
    for list in ["supplies", "junctions", "luminaires"] {
        let found = plan.0.get(list).and_then(Value::as_sequence).and_then(|l| l.iter().find(|e| e["id"] == node));
        if let Some(element) = found {
            return point(&element["at"]);
        }
    }
    panic!("{node} has no place")
}

/// Places of everything that stands somewhere.
pub fn standing(plan: &Scenario) -> Vec<Point> {
    let lists = ["supplies", "junctions", "luminaires"].iter().filter_map(|l| plan.0.get(l)?.as_sequence());
    lists.flatten().map(|element| point(&element["at"])).collect()
}

/// The drawn path of a run.
pub fn path_of(plan: &mut Scenario, run: &str) -> Vec<Point> {
    let route = plan.element("runs", run)["route"].as_sequence().expect("a route").clone();
    let node = |value: &Value| value.as_str().map(|name| name.split('/').next().unwrap_or(name).to_owned());
    route.iter().map(|step| node(step).map_or_else(|| point(step), |name| place_of(plan, &name))).collect()
}

/// All runs with their paths.
pub fn paths(plan: &mut Scenario) -> Vec<(String, Vec<Point>)> {
    let ids = plan.ids("runs", |_| true);
    ids.into_iter().map(|id| (id.clone(), path_of(plan, &id))).collect()
}

/// Distance of a point from a segment.
pub fn from_segment(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let along = (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    (p.0 - a.0 - along * dx).hypot(p.1 - a.1 - along * dy)
}

fn side(a: Point, b: Point, p: Point) -> f64 {
    (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)
}

fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// Distance of two paths: none where they cross, else from an end of one to the other.
pub fn apart(one: &[Point], other: &[Point]) -> f64 {
    let mut least = f64::INFINITY;
    for ab in one.windows(2) {
        for cd in other.windows(2) {
            if cross(ab[0], ab[1], cd[0], cd[1]) {
                return 0.0;
            }
            let ends = [from_segment(ab[0], cd[0], cd[1]), from_segment(ab[1], cd[0], cd[1])];
            let others = [from_segment(cd[0], ab[0], ab[1]), from_segment(cd[1], ab[0], ab[1])];
            least = ends.into_iter().chain(others).fold(least, f64::min);
        }
    }
    least
}

/// The closed outline of a zone.
pub fn outline(plan: &mut Scenario, zone: &str) -> Vec<Point> {
    let corners = plan.element("site.zones", zone)["outline"].as_sequence().expect("an outline").clone();
    closed(corners.iter().map(point).collect())
}

fn closed(mut corners: Vec<Point>) -> Vec<Point> {
    corners.push(corners[0]);
    corners
}

/// A rectangle that stands at an angle.
#[derive(Debug, Clone, Copy)]
pub struct Patch {
    centre: Point,
    along: Point,
    half_length: f64,
    half_width: f64,
}

impl Patch {
    /// Around a point, its length in the direction `along` of length 1.
    pub fn new(centre: Point, along: Point, half_length: f64, half_width: f64) -> Self {
        Self { centre, along, half_length, half_width }
    }

    pub fn corners(&self) -> Vec<Point> {
        let (ux, uy) = self.along;
        let corner = |l: f64, w: f64| (self.centre.0 + l * ux - w * uy, self.centre.1 + l * uy + w * ux);
        let (l, w) = (self.half_length, self.half_width);
        vec![corner(l, w), corner(-l, w), corner(-l, -w), corner(l, -w)]
    }

    /// How far a path keeps from it: none where it passes or stands inside.
    pub fn distance(&self, path: &[Point]) -> f64 {
        if path.iter().any(|p| self.holds(*p)) { 0.0 } else { apart(path, &closed(self.corners())) }
    }

    pub fn holds(&self, p: Point) -> bool {
        let (dx, dy) = (p.0 - self.centre.0, p.1 - self.centre.1);
        let (l, w) = (dx * self.along.0 + dy * self.along.1, dy * self.along.0 - dx * self.along.1);
        l.abs() <= self.half_length && w.abs() <= self.half_width
    }

    pub fn zone(&self, id: &str, kind: &str) -> Value {
        let corners = self.corners().into_iter().map(written).collect();
        let mut zone = Value::Mapping(Default::default());
        zone["id"] = id.into();
        zone["kind"] = kind.into();
        zone["outline"] = Value::Sequence(corners);
        zone
    }
}

/// A run, a point on it away from its nodes, and the direction of the run there; not near a zone that a run has an
/// exception of cover for, where other numbers hold.
pub fn spot_on_a_run(plan: &mut Scenario, random: &mut Seeded, runs: &[String]) -> (String, Point, Point) {
    let nodes = standing(plan);
    let excepted: Vec<Value> =
        plan.list("runs").iter().filter_map(|run| run.get("covers")?.as_sequence().cloned()).flatten().collect();
    let zones: Vec<Vec<Point>> = excepted.iter().map(|e| outline(plan, e["zone"].as_str().expect("a zone"))).collect();
    for _ in 0..500 {
        let run = pick(random, runs);
        let path = path_of(plan, &run);
        let leg = random.below(path.len() - 1);
        let (a, b) = (path[leg], path[leg + 1]);
        let length = (b.0 - a.0).hypot(b.1 - a.1);
        let share = 0.2 + 0.6 * random.unit();
        let spot = (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1));
        let along = ((b.0 - a.0) / length, (b.1 - a.1) / length);
        let dot = [spot, spot];
        let crowded = nodes.iter().any(|node| (node.0 - spot.0).hypot(node.1 - spot.1) < 1.5);
        let near_zone =
            zones.iter().any(|z| Patch::new(spot, along, 3.0, 3.0).distance(z) < 0.1 || apart(&dot, z) < 3.0);
        if !crowded && !near_zone {
            return (run, spot, along);
        }
    }
    panic!("no free place on {runs:?}")
}

/// Runs that pass a patch, with the field that a rule underlines there.
pub fn passing(
    plan: &mut Scenario,
    patch: &Patch,
    field: &str,
    condition: impl Fn(&Value) -> bool,
) -> Vec<(String, String)> {
    let mut passing = Vec::new();
    for (id, path) in paths(plan) {
        let run = plan.element("runs", &id);
        if condition(run) && patch.distance(&path) == 0.0 {
            passing.push((id, run[field].as_str().expect("a text").to_owned()));
        }
    }
    passing
}
