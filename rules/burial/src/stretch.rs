//! The stretches of a run that lie in the ground, each with the method, the cover and the rest that hold there.

use crate::touch;
use lintern_rule::facts::Piece;
use lintern_rule::plan::{Backfill, Method, Run, Segment, Zone, ZoneCover, ZoneKind};
use lintern_rule::{Input, Length, NodeRef, Point};
use std::borrow::Cow;
use std::collections::BTreeMap;

/// Feet in a metre, for messages of plans in inches.
const FEET_PER_METRE: f64 = 1.0 / 0.3048;
/// Ends of a piece that are nearer to a node than this are at the node, m.
const AT_NODE_M: f64 = 1e-6;
/// Places that a message lists before it counts the rest.
const LISTED: usize = 3;

/// A segment without a place in a plan without zones: all of it lies in open ground, wherever it is.
static OPEN_GROUND: Piece = Piece {
    from_m: 0.0,
    to_m: 0.0,
    begin: Point { x_m: 0.0, y_m: 0.0 },
    end: Point { x_m: 0.0, y_m: 0.0 },
    zones: Vec::new(),
    water: Vec::new(),
    utilities: Vec::new(),
};

/// A stretch of a run on which zones, method and cover do not change.
#[derive(Debug, Clone, Copy)]
pub struct Stretch<'a> {
    pub run: &'a Run,
    pub segment: &'a Segment,
    pub piece: &'a Piece,
    /// The entry of `covers` that holds here, with its place in the list.
    pub exception: Option<(usize, &'a ZoneCover)>,
    /// Whether it begins and ends at the nodes of its segment.
    at_start: bool,
    at_end: bool,
}

/// What is known of the ways of a run.
#[derive(Debug)]
pub struct Ways<'a> {
    /// In the ground, in the order of the run. Stretches in water are not: they are judged as crossings of water.
    pub buried: Vec<Stretch<'a>>,
    /// Stretches outside water whose method the plan does not say.
    pub unknown_method: bool,
    /// Segments with an end that has no place, where the plan has zones that they may lie in, as missing inputs.
    pub unplaced: Vec<String>,
}

/// The ways of a run, by its index.
pub fn ways(input: &Input, index: usize) -> Ways<'_> {
    let run = &input.runs()[index];
    let mut ways = Ways { buried: Vec::new(), unknown_method: false, unplaced: Vec::new() };
    for (segment, pieces) in run.segments.iter().zip(&input.run_pieces()[index]) {
        let pieces = match pieces {
            Some(pieces) => pieces.as_slice(),
            None if input.zones().is_empty() => std::slice::from_ref(&OPEN_GROUND),
            None => &[],
        };
        if pieces.is_empty() {
            // An unplaced stretch matters where it may lie in the ground: not where the whole run is above it.
            if run.method.is_none_or(is_buried) || run.covers.iter().any(|entry| entry.method.is_some_and(is_buried)) {
                ways.unplaced.extend(unplaced_ends(input, segment));
                ways.unknown_method |= run.method.is_none();
            }
            continue;
        }
        let last = pieces.last().map_or(0.0, |piece| piece.to_m);
        for piece in pieces {
            let stretch = Stretch {
                run,
                segment,
                piece,
                exception: input.exception(run, &piece.zones),
                at_start: piece.from_m <= AT_NODE_M,
                at_end: piece.to_m >= last - AT_NODE_M,
            };
            if stretch.zones(input).any(|zone| is_water(zone.kind)) {
                continue;
            }
            match stretch.method() {
                Some(method) if is_buried(method) => ways.buried.push(stretch),
                Some(_) => {}
                None => ways.unknown_method = true,
            }
        }
    }
    ways.unplaced.sort_unstable();
    ways.unplaced.dedup();
    ways
}

impl<'a> Ways<'a> {
    /// The methods by which it lies in the ground, each with the stretches where it does. An unplaced segment is laid as
    /// the run as a whole is.
    pub fn methods(&self, run: &Run) -> Vec<(Method, Vec<Stretch<'a>>)> {
        let of = |method| -> Vec<Stretch<'a>> {
            self.buried.iter().filter(|stretch| stretch.method() == Some(method)).copied().collect()
        };
        let all =
            [Method::DirectBurial, Method::PvcConduit, Method::RigidMetalConduit].map(|method| (method, of(method)));
        let unplaced = |method| !self.unplaced.is_empty() && run.method == Some(method);
        all.into_iter().filter(|(method, stretches)| !stretches.is_empty() || unplaced(*method)).collect()
    }
}

/// Whether a method lies in the ground.
pub fn is_buried(method: Method) -> bool {
    matches!(method, Method::DirectBurial | Method::PvcConduit | Method::RigidMetalConduit)
}

/// Whether vehicles drive there.
pub fn has_vehicles(kind: ZoneKind) -> bool {
    matches!(kind, ZoneKind::Driveway | ZoneKind::Parking | ZoneKind::Road)
}

fn edge_counts(kind: ZoneKind) -> bool {
    !is_water(kind) && !matches!(kind, ZoneKind::Building | ZoneKind::Slab | ZoneKind::Walk)
}

fn is_water(kind: ZoneKind) -> bool {
    matches!(kind, ZoneKind::Pool | ZoneKind::Spa | ZoneKind::Fountain | ZoneKind::Pond)
}

/// The ends of a run's segments that have no place, as missing inputs.
pub fn unplaced(input: &Input, run: &Run, index: usize) -> Vec<String> {
    let segments = run.segments.iter().zip(&input.run_pieces()[index]);
    let unplaced = segments.filter(|(_, pieces)| pieces.is_none());
    unplaced.flat_map(|(segment, _)| unplaced_ends(input, segment)).collect()
}

fn unplaced_ends(input: &Input, segment: &Segment) -> Vec<String> {
    let ends = [segment.start, segment.end].into_iter();
    ends.filter_map(|end| match end {
        NodeRef::Output((supply, _)) => {
            let supply = &input.supplies()[supply as usize];
            supply.at.is_none().then_some(&supply.id)
        }
        NodeRef::Junction(junction) => {
            let junction = &input.junctions()[junction as usize];
            junction.at.is_none().then_some(&junction.id)
        }
        NodeRef::Luminaire(luminaire) => {
            let luminaire = &input.luminaires()[luminaire as usize];
            luminaire.at.is_none().then_some(&luminaire.id)
        }
    })
    .map(|id| format!("`at` of {id}"))
    .collect()
}

impl<'a> Stretch<'a> {
    /// How it is laid.
    pub fn method(&self) -> Option<Method> {
        self.exception.and_then(|(_, entry)| entry.method).or(self.run.method)
    }

    /// The route of the field that says how it is laid.
    pub fn method_field(&self) -> String {
        match self.exception {
            Some((index, entry)) if entry.method.is_some() => format!("covers.{index}.method"),
            _ => "method".to_owned(),
        }
    }

    /// Its cover, with the route of the field that says so.
    pub fn cover(&self) -> Option<(&'a Length, Cow<'static, str>)> {
        let own = self.exception.and_then(|(index, entry)| Some((entry.cover.as_ref()?, index)));
        match own {
            Some((cover, index)) => Some((cover, format!("covers.{index}.cover").into())),
            None => self.run.cover.as_ref().map(|cover| (cover, "cover".into())),
        }
    }

    /// Concrete over it.
    pub fn concrete(&self) -> Option<&'a Length> {
        self.exception.and_then(|(_, entry)| entry.concrete.as_ref()).or(self.run.concrete.as_ref())
    }

    /// What it is filled with, and the route of the field that says so.
    pub fn backfill(&self) -> Option<(Backfill, Cow<'static, str>)> {
        let own = self.exception.and_then(|(index, entry)| {
            let field = |backfill| (backfill, format!("covers.{index}.backfill").into());
            entry.backfill.map(field)
        });
        own.or(self.run.backfill.map(|backfill| (backfill, "backfill".into())))
    }

    /// Whether it lies in a raceway.
    pub fn is_in_raceway(&self) -> bool {
        matches!(self.method(), Some(Method::PvcConduit | Method::RigidMetalConduit))
    }

    /// The zones that hold for it.
    pub fn zones<'i>(&self, input: &'i Input) -> impl Iterator<Item = &'i Zone> + use<'i, 'a> {
        self.zone_indices(input).map(|index| &input.zones()[index as usize])
    }

    /// Zones whose edge makes nothing stricter hold only inside: a cable along the wall of a building is not under the
    /// building.
    fn zone_indices<'i>(&self, input: &'i Input) -> impl Iterator<Item = u32> + use<'i, 'a> {
        let Self { segment, piece, .. } = *self;
        let mut path: Option<Vec<Point>> = None;
        piece.zones.iter().copied().filter(move |index| {
            let zone = &input.zones()[*index as usize];
            edge_counts(zone.kind) || {
                let path = path.get_or_insert_with(|| touch::part(&segment.path, piece.from_m, piece.to_m));
                touch::goes_inside(path, &zone.outline)
            }
        })
    }

    /// The node where it begins or ends; none where it does neither.
    pub fn nodes(&self) -> impl Iterator<Item = NodeRef> {
        let start = self.at_start.then_some(self.segment.start);
        start.into_iter().chain(self.at_end.then_some(self.segment.end))
    }

    /// Whether another stretch goes on where this one ends.
    fn goes_on_with(&self, next: &Self) -> bool {
        std::ptr::eq(self.segment, next.segment) && (next.piece.from_m - self.piece.to_m).abs() <= AT_NODE_M
    }
}

/// Stretches that go on from one another, as one.
struct Reach<'a> {
    first: Stretch<'a>,
    last: Stretch<'a>,
}

impl Reach<'_> {
    fn length_m(&self) -> f64 {
        self.last.piece.to_m - self.first.piece.from_m
    }

    /// Where it is: `from J1 to L2 (12 ft)`, without the length where it has no place, `the first 4.5 ft from J1 to L2`, or `4.5 ft to 16.5 ft from J1 towards L2
    /// (12 ft)`.
    fn place(&self, input: &Input, metric: bool) -> String {
        let segment = self.first.segment;
        let (start, end) = (input.node_name(segment.start), input.node_name(segment.end));
        let long = distance(self.length_m(), metric);
        match (self.first.at_start, self.last.at_end) {
            (true, true) if self.length_m() == 0.0 => format!("from {start} to {end}"),
            (true, true) => format!("from {start} to {end} ({long})"),
            (true, false) => format!("the first {long} from {start} to {end}"),
            (false, true) => format!("the last {long} from {start} to {end}"),
            (false, false) => {
                let ends = [self.first.piece.from_m, self.last.piece.to_m];
                let [from, to] = ends.map(|metres| distance(metres, metric));
                format!("{from} to {to} from {start} towards {end} ({long})")
            }
        }
    }
}

/// Stretches by the zones of some kinds that hold for them, in the order of the plan's zones.
pub fn by_zone<'i, 'a>(
    input: &'i Input,
    stretches: impl Iterator<Item = Stretch<'a>>,
    counts: impl Fn(ZoneKind) -> bool,
) -> Vec<(&'i Zone, Vec<Stretch<'a>>)> {
    let mut found: BTreeMap<u32, Vec<Stretch<'a>>> = BTreeMap::new();
    for stretch in stretches {
        for index in stretch.zone_indices(input).filter(|index| counts(input.zones()[*index as usize].kind)) {
            found.entry(index).or_default().push(stretch);
        }
    }
    found.into_iter().map(|(index, stretches)| (&input.zones()[index as usize], stretches)).collect()
}

/// Where stretches of one run are, for a message.
pub fn places(input: &Input, stretches: &[Stretch<'_>], metric: bool) -> String {
    let mut reaches: Vec<Reach<'_>> = Vec::new();
    for stretch in stretches {
        match reaches.last_mut() {
            Some(reach) if reach.last.goes_on_with(stretch) => reach.last = *stretch,
            _ => reaches.push(Reach { first: *stretch, last: *stretch }),
        }
    }
    let shown = if reaches.len() > LISTED + 1 { LISTED } else { reaches.len() };
    let listed: Vec<String> = reaches.iter().take(shown).map(|reach| reach.place(input, metric)).collect();
    if reaches.len() > shown {
        let total_m: f64 = reaches.iter().map(Reach::length_m).sum();
        let total = if total_m > 0.0 { format!(", {} in all", distance(total_m, metric)) } else { String::new() };
        return format!("{} and {} more places{total}", listed.join(", "), reaches.len() - shown);
    }
    match listed.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => listed.concat(),
    }
}

/// A distance along the ground in feet or metres, to a tenth.
fn distance(metres: f64, metric: bool) -> String {
    let (value, unit) = if metric { (metres, "m") } else { (metres * FEET_PER_METRE, "ft") };
    let text = format!("{value:.1}");
    format!("{} {unit}", text.strip_suffix(".0").unwrap_or(&text))
}

/// Whether a run is described in metric units, as far as can be seen: by its covers, else by the country's habit.
pub fn is_metric(input: &Input, run: &Run) -> bool {
    let covers = run.covers.iter().filter_map(|entry| entry.cover.as_ref()).chain(run.cover.as_ref());
    covers.map(Length::is_metric).next().unwrap_or(crate::edition::is_nec(input) == Some(false))
}

#[cfg(test)]
mod tests;
