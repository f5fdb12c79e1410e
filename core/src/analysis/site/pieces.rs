//! The pieces of a segment: longest stretches of its path in one set of zones.

use super::scene::Scene;
use super::spans::{LEAST, Route, SPAN_WORDS, Span};
use super::work::Work;
use super::{Piece, PlaceFacts, TooIntricate};
use crate::layout::PointM;
use std::collections::BTreeMap;

/// A stretch of a path with the zones that it lies in.
struct Stretch {
    from: f64,
    to: f64,
    zones: Vec<usize>,
}

impl Scene {
    /// The pieces of a path in order.
    pub(super) fn pieces(&self, path: &[PointM], work: &mut Work) -> Result<Vec<Piece>, TooIntricate> {
        let route = Route::new(path, self.lattice);
        let Some(&first) = path.first() else { return Ok(Vec::new()) };
        if route.length() == 0.0 {
            work.keep(16)?;
            let PlaceFacts { zones, water, utilities } = self.place(first, work)?;
            return Ok(vec![Piece { from_m: 0.0, to_m: 0.0, start: first, end: first, zones, water, utilities }]);
        }
        let spans = self.spans(&route, work)?;
        let stretches = stretches(&spans, route.length(), work)?;
        work.release(SPAN_WORDS * spans.len());
        drop(spans);
        let piece = |Stretch { from, to, zones }| {
            let (water, utilities) = self.near_stretch(&route, from, to, &zones, work)?;
            work.keep(16 + 2 * water.len() + 3 * utilities.len())?;
            Ok(Piece {
                from_m: self.lattice.metres(from),
                to_m: self.lattice.metres(to),
                start: route.point(from, self.lattice).unwrap_or(first),
                end: route.point(to, self.lattice).unwrap_or(first),
                zones,
                water,
                utilities,
            })
        };
        stretches.into_iter().map(piece).collect()
    }
}

/// Joins the stretches in single zones to stretches with sets of zones, from 0 to `length` without gaps.
fn stretches(spans: &[Span], length: f64, work: &mut Work) -> Result<Vec<Stretch>, TooIntricate> {
    let mut positions: Vec<f64> = spans.iter().flat_map(|span| [span.from, span.to]).chain([length]).collect();
    positions.sort_unstable_by(f64::total_cmp);
    // Positions that differ by next to nothing are one cut.
    let mut cuts = vec![0.0];
    for position in positions {
        if cuts.last().is_some_and(|last| position - last > LEAST) {
            cuts.push(position);
        }
    }
    let cut_at = |position: f64| cuts.partition_point(|&cut| cut <= position).saturating_sub(1);
    let mut changes = Vec::with_capacity(2 * spans.len());
    for span in spans {
        let (from, to) = (cut_at(span.from), cut_at(span.to));
        if from < to {
            changes.push((from, span.zone, 1_i64));
            changes.push((to, span.zone, -1));
        }
    }
    changes.sort_unstable();
    let mut changes = changes.into_iter().peekable();
    let mut depths: BTreeMap<usize, i64> = BTreeMap::new();
    let mut out: Vec<Stretch> = Vec::new();
    for (cut, ends) in cuts.windows(2).enumerate() {
        while let Some((_, zone, change)) = changes.next_if(|&(at, ..)| at <= cut) {
            let depth = depths.entry(zone).or_default();
            *depth += change;
            if *depth == 0 {
                depths.remove(&zone);
            }
        }
        work.look(depths.len() as u64 + 1)?;
        match out.last_mut() {
            Some(last) if last.zones.iter().eq(depths.keys()) => last.to = ends[1],
            _ => {
                // The list of a stretch and its head.
                work.keep(5 + depths.len())?;
                out.push(Stretch { from: ends[0], to: ends[1], zones: depths.keys().copied().collect() });
            }
        }
    }
    Ok(out)
}
