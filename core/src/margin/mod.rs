//! By how much each number keeps its limit or breaks it, and at which length of a cable that turns.
//!
//! Rules tell what they held against which limit. [`quantity`] computes such a number again from a solution of the
//! network, [`carriers`] finds the segments that it hangs on, [`search`] solves the network with other lengths until the
//! verdict turns, and [`shown`] rounds that length so that what is printed is true as printed. Work is bounded by
//! counts; what was not computed is said.

mod carriers;
mod quantity;
mod search;
mod shown;
#[cfg(test)]
mod tests;

use crate::engine::{Quantity, RawMargin, Tighter};
use crate::finding::{Finding, WorkLine};
use crate::layout::Layout;
use search::{Budget, Parts, Search};
use std::collections::{BTreeMap, BTreeSet};

/// Computed numbers are good to better than this share of their limit; rules compare with the same tolerance.
const ROUNDING: f64 = 1e-9;

/// A number that was held against a limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Margin {
    /// Id of the rule.
    pub rule: String,
    /// Id of the element; empty for the plan as a whole.
    pub subject: String,
    /// Route of the field, as in the finding that breaks it.
    pub field: String,
    /// What the limit limits.
    pub name: String,
    /// The number.
    pub measured: f64,
    /// The limit.
    pub limit: f64,
    /// Unit of both.
    pub unit: String,
    /// Whether the number keeps the limit, by the rule.
    pub passes: bool,
    /// Room to the limit in the unit; below 0 by how much the number breaks it.
    pub margin: f64,
    /// The same, % of the limit; `None` where the limit is 0.
    pub margin_percent: Option<f64>,
    /// At which length of a segment the verdict turns.
    pub turn: Turn,
    /// Where the limit comes from.
    source: String,
    /// Which direction of the number is stricter.
    tighter: Tighter,
    /// The rating that the number is a share of, with its unit.
    rating: Option<(f64, &'static str)>,
}

impl Margin {
    /// The arithmetic. It is made when it is shown: of ten thousand margins few are.
    pub fn work(&self) -> Vec<WorkLine> {
        let how = match self.tighter {
            Tighter::Lower => "limit - measured",
            Tighter::Higher => "measured - limit",
            Tighter::Neither => "- |limit - measured|",
        };
        let line = |name: &str, value, unit: &str, from: &str| WorkLine {
            name: name.to_owned(),
            value,
            unit: unit.to_owned(),
            from: from.to_owned(),
        };
        let mut work = vec![
            line("measured", self.measured, &self.unit, "by the rule"),
            line(&self.name, self.limit, &self.unit, &self.source),
            line("margin", self.margin, &self.unit, how),
        ];
        if let Some(percent) = self.margin_percent {
            work.push(line("margin as a share of the limit", percent, "%", "margin / limit"));
        }
        if let Some((rating, unit)) = self.rating {
            let (allowed, load) = (rating * self.limit / 100.0, rating * self.measured / 100.0);
            work.push(line("allowed load", allowed, unit, "limit x rating"));
            let name = if self.margin < 0.0 { "load to be moved or spared" } else { "load that may be added" };
            work.push(line(name, (allowed - load).abs(), unit, "allowed load - load, cable loss included"));
        }
        if let Turn::At(critical) = &self.turn {
            work.extend(shown::work(critical, &self.unit));
        }
        work
    }
}

/// What is known of the length at which a verdict turns.
#[derive(Debug, Clone, PartialEq)]
pub enum Turn {
    /// It was not looked for: neither a finding, nor the tightest of its rule, nor asked for.
    NotSought,
    /// No length of cable changes the number.
    NotOfCable,
    /// It turns there.
    At(Box<Critical>),
    /// No length of one segment turns it among those that were tried, from nothing to [`MOST_LENGTH_M`].
    Nowhere,
    /// The work allowed for one plan was used up.
    LeftOut,
}

/// The longest cable that is tried, m.
pub const MOST_LENGTH_M: f64 = 20_000.0;

/// The length of a segment at which a verdict turns, found by solving the network again.
#[derive(Debug, Clone, PartialEq)]
pub struct Critical {
    /// Id of the run.
    pub run: String,
    /// Index of its segment.
    pub segment: usize,
    /// Node at its start.
    pub from: String,
    /// Node at its end.
    pub to: String,
    /// Unit of the lengths: `ft` or `m`.
    pub unit: &'static str,
    /// Its present length of cable.
    pub length: f64,
    /// The last length at which the rule passes, rounded to the safe side; solved with.
    pub passes_at: f64,
    /// The first length at which it does not, one step of the last decimal further; solved with.
    pub fails_at: f64,
    /// Decimals with which both are exact.
    pub decimals: usize,
    /// The number at `passes_at`.
    pub measured_where_it_passes: f64,
    /// The number at `fails_at`; `None` where the network has no answer there.
    pub measured_where_it_fails: Option<f64>,
    /// Whether all other lengths that were tried beyond it say the same.
    pub onward: bool,
}

impl Critical {
    /// Whether longer cable is what fails.
    pub fn fails_longer(&self) -> bool {
        self.fails_at > self.passes_at
    }
}

/// The margins of a plan.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Margins {
    /// By rule, subject, field and name.
    pub list: Vec<Margin>,
    /// How many were to get a critical length and did not, for the work that one plan may take.
    pub left_out: usize,
}

impl Margins {
    /// The margin that a finding rests on; `None` where it rests on no number.
    pub fn of(&self, finding: &Finding) -> Option<&Margin> {
        let (measured, limit) = (finding.measured.as_ref()?, finding.limit.as_ref()?);
        let key = |margin: &Margin| {
            (&margin.rule, &margin.subject, &margin.field).cmp(&(&finding.rule, &finding.subject, &finding.field))
        };
        let first = self.list.partition_point(|margin| key(margin).is_lt());
        let own = self.list.get(first..)?.iter().take_while(|margin| key(margin).is_eq());
        own.into_iter().find(|margin| {
            !margin.passes
                && (margin.measured, margin.limit) == (measured.value, limit.value)
                && (&margin.unit, &margin.unit) == (&measured.unit, &limit.unit)
        })
    }

    /// The passing margin of a rule with the least room, as a share of the limit.
    pub fn tightest(&self, rule: &str) -> Option<&Margin> {
        let first = self.list.partition_point(|margin| margin.rule.as_str() < rule);
        let own = self.list.get(first..)?.iter().take_while(|margin| margin.rule == rule);
        own.filter(|margin| margin.passes).min_by(|a, b| room(a).total_cmp(&room(b)))
    }

    /// The passing margins of at most this many percent of their limit, the closest first.
    pub fn near(&self, percent: f64) -> Vec<&Margin> {
        let mut near: Vec<&Margin> = self.list.iter().filter(|margin| is_near(margin, percent)).collect();
        near.sort_by(|a, b| room(a).total_cmp(&room(b)));
        near
    }
}

fn is_near(margin: &Margin, percent: f64) -> bool {
    margin.passes && margin.margin_percent.is_some_and(|own| own <= percent * (1.0 + ROUNDING))
}

/// What margins are ordered by: a limit of 0 has no share and comes last.
fn room(margin: &Margin) -> f64 {
    margin.margin_percent.unwrap_or(f64::INFINITY)
}

/// The margins of a plan from what its rules told, with critical lengths for what breaks a limit, for the tightest
/// that passes of each rule, and for those within `near_miss_percent`.
pub fn margins(layout: &Layout, told: Vec<(String, RawMargin)>, near_miss_percent: Option<f64>) -> Margins {
    let mut told: Vec<(Margin, Quantity)> = told.into_iter().map(|(rule, raw)| margin(layout, rule, raw)).collect();
    told.sort_by(|(a, _), (b, _)| order(a, b));
    let sought = sought(&told, near_miss_percent);
    let parts = Parts::new(layout, sought.iter().filter_map(|index| told.get(*index)).map(|(_, quantity)| *quantity));
    let search = Search::new(&parts);
    let mut budget = Budget::new();
    let mut left_out = 0;
    for index in sought {
        let Some((margin, quantity)) = told.get_mut(index) else { continue };
        margin.turn = search.turn(margin, *quantity, &mut budget);
        left_out += usize::from(margin.turn == Turn::LeftOut);
    }
    Margins { list: told.into_iter().map(|(margin, _)| margin).collect(), left_out }
}

fn order(a: &Margin, b: &Margin) -> std::cmp::Ordering {
    let key = |margin: &Margin| (margin.limit, margin.measured);
    let ((a_limit, a_measured), (b_limit, b_measured)) = (key(a), key(b));
    (&a.rule, &a.subject, &a.field, &a.name)
        .cmp(&(&b.rule, &b.subject, &b.field, &b.name))
        .then(a_limit.total_cmp(&b_limit))
        .then(a_measured.total_cmp(&b_measured))
}

/// The margins that get a critical length, in the order in which they are worked on: the tightest of each rule, what
/// fails, what is near.
fn sought(told: &[(Margin, Quantity)], near_miss_percent: Option<f64>) -> Vec<usize> {
    let mut tightest: BTreeMap<&str, (f64, usize)> = BTreeMap::new();
    for (index, (margin, _)) in told.iter().enumerate().filter(|(_, (margin, _))| margin.passes) {
        let own = (room(margin), index);
        let known = tightest.entry(&margin.rule).or_insert(own);
        if own.0 < known.0 {
            *known = own;
        }
    }
    let failing = told.iter().enumerate().filter(|(_, (margin, _))| !margin.passes).map(|(index, _)| index);
    let mut near: Vec<(f64, usize)> = told
        .iter()
        .enumerate()
        .filter(|(_, (margin, _))| near_miss_percent.is_some_and(|percent| is_near(margin, percent)))
        .map(|(index, (margin, _))| (room(margin), index))
        .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut known = BTreeSet::new();
    let all = tightest.values().map(|(_, index)| *index).chain(failing).chain(near.into_iter().map(|(_, index)| index));
    all.filter(|index| known.insert(*index)).collect()
}

fn margin(layout: &Layout, rule: String, raw: RawMargin) -> (Margin, Quantity) {
    let room = match raw.tighter {
        Tighter::Lower => raw.limit - raw.measured,
        Tighter::Higher => raw.measured - raw.limit,
        Tighter::Neither => -(raw.limit - raw.measured).abs(),
    };
    // What equals its limit but for rounding has no room and lacks none.
    let room = if room.abs() <= raw.limit.abs() * ROUNDING { 0.0 } else { room };
    let margin = Margin {
        rule,
        subject: raw.subject,
        field: raw.field,
        name: raw.name,
        measured: raw.measured,
        limit: raw.limit,
        unit: raw.unit,
        passes: raw.passes,
        margin: room,
        margin_percent: (raw.limit != 0.0).then(|| room / raw.limit.abs() * 100.0),
        turn: Turn::NotSought,
        source: raw.source,
        tighter: raw.tighter,
        rating: quantity::rating_of(layout, raw.quantity),
    };
    (margin, raw.quantity)
}
