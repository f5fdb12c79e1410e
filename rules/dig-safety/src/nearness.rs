//! How near the opened ground comes to the lines of others, and where.

use crate::opening::{by_method, luminaire_opens};
use crate::states::{HandDig, Place, State, strictest_zone_in};
use lintern_rule::compare::{below, plain, shown};
use lintern_rule::facts::UtilityDistance;
use lintern_rule::outcome::BasisKind;
use lintern_rule::plan::{DigMethod, Located, Run, Utility, UtilityKind};
use lintern_rule::{Basis, Input, Limit, Point, Report, Setting, Settings, Tighter};

/// Common Ground Alliance Best Practices, practice 5.19: the width of the line and this much on each side.
const CGA_ZONE_IN: f64 = 18.0;
/// The same in millimetres.
const CGA_ZONE_MM: f64 = 457.0;
const CGA_SOURCE: &str = "CGA Best Practices 5.19";
/// The widest that a line or hole is taken to be where the plan does not say: a pass has to hold for it too.
const WIDEST_M: f64 = 0.6096;
const METRES_PER_INCH: f64 = 0.0254;
const METRES_PER_FOOT: f64 = 0.3048;

/// The authority of the zone where no confirmed law gives one.
pub const CGA: Basis =
    Basis { kind: BasisKind::Practice, document: Some("CGA Best Practices"), edition: None, section: Some("5.19") };

/// A run or a hole and a line that it may come near to.
#[derive(Debug, Clone)]
pub struct Pair<'a> {
    /// The run or the luminaire.
    pub id: &'a str,
    pub is_hole: bool,
    pub utility: &'a Utility,
    /// Whether the run crosses the line.
    pub crosses: bool,
    /// Clear distance between the outside edges with the stated widths, in metres; none beyond 30 m.
    clear_m: Option<f64>,
    /// What the clear distance could be too large by, for want of a width.
    slack_m: f64,
    /// Whether the plan does not state the width of the hole.
    hole_width_missing: bool,
    /// The part of the run that is nearest.
    path: &'a [Point],
    /// Where the hole is.
    hole: Option<Point>,
}

/// How the zone of a line is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    Outside,
    Inside,
    /// It turns on a width that the plan does not state.
    Turns,
}

impl Pair<'_> {
    /// Clear distance in a unit of the limit, never below nothing.
    pub fn clear(&self, unit: &str) -> f64 {
        let metres = self.clear_m.unwrap_or(f64::INFINITY).max(0.0);
        if unit == "mm" { metres * 1000.0 } else { metres / METRES_PER_INCH }
    }

    /// The clear distance as findings show it: nothing where they cross.
    pub fn measured(&self, unit: &str) -> f64 {
        if self.crosses { 0.0 } else { self.clear(unit) }
    }

    /// Whether the clear distance keeps a zone, in the unit of the limit.
    pub fn keeps(&self, zone: f64, unit: &str) -> Kept {
        let slack = if unit == "mm" { self.slack_m * 1000.0 } else { self.slack_m / METRES_PER_INCH };
        let clear = self.clear(unit);
        if self.crosses || below(clear, zone) {
            Kept::Inside
        } else if below(clear - slack, zone) {
            Kept::Turns
        } else {
            Kept::Outside
        }
    }

    /// The pair keeps the zone, and where its state does not confirm one, the widest that is known of any.
    pub fn passes(&self, limit: &Limit, unknown: Option<&(String, f64)>, report: &mut Report) {
        let Some(clear_m) = self.clear_m else {
            // Farther than distances look.
            report.limit(self.id, limit);
            return report.checked(self.id);
        };
        let unit = limit.unit();
        let least_m = clear_m - self.slack_m;
        let least = if unit == "mm" { least_m * 1000.0 } else { least_m / METRES_PER_INCH };
        match unknown.filter(|(_, widest)| *widest > limit.value()) {
            None => report.passes(self.id, &limit.compare(least)),
            Some((_, widest)) => {
                let name = "widest tolerance zone that is known";
                let unit = if unit == "mm" { "mm" } else { "in" };
                let widest = Limit::stated(name, *widest, unit, Tighter::Higher, "the table of the states");
                report.passes(self.id, &widest.compare(least));
            }
        }
    }

    /// The widths that the plan does not state.
    pub fn missing(&self) -> impl Iterator<Item = String> {
        let line = self.utility.width.is_none().then(|| format!("`width` of {}", self.utility.id));
        line.into_iter().chain(self.hole_width_missing.then(|| "`excavation.width`".to_owned()))
    }

    /// How they lie to each other, in words, with enough digits to tell the distance from the limit.
    pub fn distance_words(&self, limit: &Limit) -> String {
        let line = &self.utility.id;
        let clear = self.clear(limit.unit());
        if self.crosses {
            return format!("across {line}");
        }
        if clear <= 0.0 {
            return format!("over {line}");
        }
        let tenth = rounded(clear);
        let shown = if tenth == plain(limit.value()) { shown(clear, limit.value()) } else { tenth };
        format!("{shown} {} from the edge of {line}", limit.unit())
    }

    /// What opens the ground.
    pub fn what(&self) -> &'static str {
        if self.is_hole { "the hole of" } else { "the trench of" }
    }

    /// The place of the nearest point in the plan's coordinates, as feet in the United States, else metres.
    pub fn place_words(&self, input: &Input) -> String {
        let feet = matches!(Place::of(input), Place::State(_) | Place::UnitedStates);
        let (scale, unit) = if feet { (METRES_PER_FOOT, "ft") } else { (1.0, "m") };
        let at = if self.crosses { "at" } else { "nearest at" };
        // Worked out for what is told alone.
        let point = self.hole.or_else(|| nearest_point(self.path, &self.utility.path));
        point.map_or_else(String::new, |point| {
            format!(", {at} x {} {unit}, y {} {unit}", rounded(point.x_m / scale), rounded(point.y_m / scale))
        })
    }
}

/// A number to a tenth.
pub fn rounded(value: f64) -> String {
    plain((value * 10.0).round() / 10.0 + 0.0)
}

/// What can't be told of a run or a hole for want of a place or a method.
pub type Unplaced<'a> = (&'a str, String);

/// Every pair of opened ground and line near it, one with a line that is not, where there is any, and what can't be told.
pub fn pairs(input: &Input) -> (Vec<Pair<'_>>, Vec<Unplaced<'_>>) {
    let (mut pairs, mut unplaced) = (Vec::new(), Vec::new());
    for (index, run) in input.runs().iter().enumerate() {
        of_run(input, index, run, &mut pairs, &mut unplaced);
    }
    for (index, luminaire) in input.luminaires().iter().enumerate() {
        match luminaire_opens(luminaire) {
            Some(true) => {}
            Some(false) => continue,
            None => {
                unplaced.push((&luminaire.id, "`placement`".to_owned()));
                continue;
            }
        }
        let Some(place) = input.luminaire_places().get(index).and_then(Option::as_ref) else {
            unplaced.push((&luminaire.id, "`at`".to_owned()));
            continue;
        };
        let width = luminaire.excavation.as_ref().and_then(|hole| hole.width.as_ref());
        let mut near: Vec<(u32, f64)> = place.utilities.iter().map(|near| (near.utility, near.distance_m)).collect();
        near.sort_unstable_by_key(|(number, _)| *number);
        let far = first_far(input, near.iter().map(|(number, _)| *number)).map(|utility| (utility, None));
        let near =
            near.iter().filter_map(|(number, metres)| Some((input.utilities().get(*number as usize)?, Some(*metres))));
        for (utility, distance_m) in near.chain(far) {
            let mut pair = pair(&luminaire.id, utility, distance_m);
            pair.is_hole = true;
            pair.hole = luminaire.at;
            match width {
                Some(width) => pair.clear_m = pair.clear_m.map(|clear| clear - width.metres / 2.0),
                None => {
                    pair.slack_m += WIDEST_M / 2.0;
                    pair.hole_width_missing = true;
                }
            }
            pairs.push(pair);
        }
    }
    (pairs, unplaced)
}

/// The first line that is farther than distances look, where the near ones come in order: what holds for it holds for all
/// of them.
fn first_far(input: &Input, mut near: impl Iterator<Item = u32>) -> Option<&Utility> {
    (0..).zip(input.utilities()).find(|(number, _)| near.next() != Some(*number)).map(|(_, utility)| utility)
}

fn pair<'a>(id: &'a str, utility: &'a Utility, distance_m: Option<f64>) -> Pair<'a> {
    let half_width = utility.width.as_ref().map(|width| width.metres / 2.0);
    Pair {
        id,
        is_hole: false,
        utility,
        crosses: false,
        clear_m: distance_m.map(|distance| distance - half_width.unwrap_or(0.0)),
        slack_m: if half_width.is_none() { WIDEST_M / 2.0 } else { 0.0 },
        hole_width_missing: false,
        path: &[],
        hole: None,
    }
}

/// How near a run comes to a line.
struct Nearest {
    utility: u32,
    distance_m: f64,
    crosses: bool,
    /// The segment that is nearest.
    segment: usize,
}

fn of_run<'a>(
    input: &'a Input,
    index: usize,
    run: &'a Run,
    pairs: &mut Vec<Pair<'a>>,
    unplaced: &mut Vec<Unplaced<'a>>,
) {
    let Some(segments) = input.run_pieces().get(index) else { return };
    let mut nearest: Vec<Nearest> = Vec::new();
    let mut opened = false;
    for (number, pieces) in segments.iter().enumerate() {
        let Some(pieces) = pieces else {
            if by_method(run.method) != Some(false) {
                unplaced.push((&run.id, "a place (`at`) for every node of its route".to_owned()));
            }
            continue;
        };
        for piece in pieces {
            let exception = input.exception(run, &piece.zones).and_then(|(_, entry)| entry.method);
            let method = exception.or(run.method);
            match by_method(method) {
                Some(true) => opened = true,
                Some(false) => continue,
                None => {
                    unplaced.push((&run.id, "`method`".to_owned()));
                    continue;
                }
            }
            for near in &piece.utilities {
                let UtilityDistance { utility, distance_m, crosses } = *near;
                match nearest.binary_search_by_key(&utility, |known| known.utility) {
                    Ok(at) => {
                        let known = &mut nearest[at];
                        known.crosses |= crosses;
                        if distance_m < known.distance_m {
                            (known.distance_m, known.segment) = (distance_m, number);
                        }
                    }
                    Err(at) => nearest.insert(at, Nearest { utility, distance_m, crosses, segment: number }),
                }
            }
        }
    }
    if !opened {
        return;
    }
    pairs.extend(
        first_far(input, nearest.iter().map(|known| known.utility)).map(|utility| pair(&run.id, utility, None)),
    );
    for Nearest { utility, distance_m, crosses, segment } in nearest {
        let Some(utility) = input.utilities().get(utility as usize) else { continue };
        let mut pair = pair(&run.id, utility, Some(distance_m));
        pair.crosses = crosses;
        pair.path = run.segments.get(segment).map_or(&[], |segment| &segment.path);
        pairs.push(pair);
    }
}

/// The point of one path that is nearest to another path.
fn nearest_point(path: &[Point], other: &[Point]) -> Option<Point> {
    let mut best: Option<(f64, Point)> = None;
    let mut offer = |distance: f64, point: Point| {
        if best.as_ref().is_none_or(|(least, _)| distance < *least) {
            best = Some((distance, point));
        }
    };
    for [a, b] in path.array_windows() {
        for [c, d] in other.array_windows() {
            if let Some(point) = crossing(*a, *b, *c, *d) {
                offer(0.0, point);
            }
            for end in [c, d] {
                let foot = foot(*end, *a, *b);
                offer(length(foot, *end), foot);
            }
            for end in [a, b] {
                offer(length(foot(*end, *c, *d), *end), *end);
            }
        }
    }
    best.map(|(_, point)| point)
}

fn length(one: Point, other: Point) -> f64 {
    (one.x_m - other.x_m).hypot(one.y_m - other.y_m)
}

fn along(a: Point, b: Point, share: f64) -> Point {
    Point { x_m: a.x_m + share * (b.x_m - a.x_m), y_m: a.y_m + share * (b.y_m - a.y_m) }
}

/// The point of the stretch a-b that is nearest to a point.
fn foot(point: Point, a: Point, b: Point) -> Point {
    let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let square = dx * dx + dy * dy;
    let share = if square > 0.0 { ((point.x_m - a.x_m) * dx + (point.y_m - a.y_m) * dy) / square } else { 0.0 };
    along(a, b, share.clamp(0.0, 1.0))
}

fn crossing(a: Point, b: Point, c: Point, d: Point) -> Option<Point> {
    let (rx, ry) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let (sx, sy) = (d.x_m - c.x_m, d.y_m - c.y_m);
    let cross = rx * sy - ry * sx;
    if cross == 0.0 {
        return None;
    }
    let (qx, qy) = (c.x_m - a.x_m, c.y_m - a.y_m);
    let (t, u) = ((qx * sy - qy * sx) / cross, (qx * ry - qy * rx) / cross);
    ((0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u)).then(|| along(a, b, t))
}

/// The way in which the ground is opened in the zone of a line.
pub fn method_in_zone(input: &Input) -> Option<DigMethod> {
    let dig = input.dig()?;
    dig.in_tolerance_zone.or(dig.method)
}

/// The settings that [`zone_limit`] reads.
pub const ZONE_SETTINGS: &[Setting] = &[
    Setting::table(
        "tolerance-zone",
        "in",
        Tighter::Higher,
        "zone on each side of a line, from its outside edge, in the United States",
    ),
    Setting::table("tolerance-zone-metric", "mm", Tighter::Higher, "the same in other countries"),
];

/// The zone of the place with its layers: the practice, the state, an amendment, the company.
pub fn zone_limit(place: &Place, settings: &Settings) -> Limit {
    let name = "tolerance zone on each side";
    match place {
        Place::Elsewhere => {
            Limit::new(name, CGA_ZONE_MM, "mm", Tighter::Higher, CGA_SOURCE).given(settings, "tolerance-zone-metric")
        }
        Place::State(State { zone_in, .. }) if zone_in.is_confirmed() => {
            let limit = Limit::new(name, CGA_ZONE_IN, "in", Tighter::Higher, CGA_SOURCE);
            let value = zone_in.confirmed().unwrap_or(CGA_ZONE_IN);
            limit.region(value, zone_in.cited(), zone_in.basis()).given(settings, "tolerance-zone")
        }
        Place::State(_) | Place::UnitedStates | Place::Unknown => {
            Limit::new(name, CGA_ZONE_IN, "in", Tighter::Higher, CGA_SOURCE).given(settings, "tolerance-zone")
        }
    }
}

/// What is missing to know the zone, and the widest one that is known for any state: outside it every state is kept.
pub fn unknown_zone(place: &Place) -> Option<(String, f64)> {
    match place {
        Place::State(state) if !state.zone_in.is_confirmed() => {
            Some((format!("a confirmed tolerance zone of {}", state.name), strictest_zone_in().0))
        }
        Place::UnitedStates => Some(("`project.region`".to_owned(), strictest_zone_in().0)),
        Place::Unknown => Some(("`project.country`".to_owned(), strictest_zone_in().0)),
        Place::State(_) | Place::Elsewhere => None,
    }
}

/// Whether confirmed law keeps machines out of the zone of this line, and how wide that is in inches.
pub fn forbidden_to_machines_in(place: &Place, utility: &Utility) -> Option<f64> {
    let Place::State(state) = place else { return None };
    let duty = match state.hand_dig.confirmed()? {
        HandDig::Required => true,
        HandDig::FuelLines => utility.kind == UtilityKind::Gas,
        HandDig::Care => false,
    };
    state.zone_in.confirmed().filter(|_| duty && utility.located == Some(Located::Marked))
}

#[cfg(test)]
mod tests;
