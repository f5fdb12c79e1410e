//! A number held against a limit: whether it passes, and what there is between the two.

use crate::compare::{above, below};
use crate::outcome::Margin;
use crate::{Limit, Tighter};
use std::borrow::Cow;

pub use crate::outcome::{Quantity, RunCurrent};

/// Computed numbers are good to better than this share of their limit.
const ROUNDING: f64 = 1e-9;

/// A number and the limit that it is held against. [`Limit::compare`] makes it.
///
/// A rule asks it whether it [`passes`](Self::passes) and hands it to [`Report::passes`](crate::Report::passes) or to
/// [`FindingDraft::breaks`](crate::FindingDraft::breaks), so that verdict, margin and applied limit are one and the same.
#[derive(Debug, Clone)]
pub struct Comparison<'l> {
    limit: &'l Limit,
    measured: f64,
    field: Cow<'static, str>,
    quantity: Quantity,
    /// What a limit that is a share comes to, with its unit.
    comes_to: Option<(f64, Cow<'static, str>)>,
    beyond: bool,
}

impl<'l> Comparison<'l> {
    pub(crate) fn new(limit: &'l Limit, measured: f64) -> Self {
        Self { limit, measured, field: Cow::Borrowed(""), quantity: Quantity::Other, comes_to: None, beyond: false }
    }

    /// Route of the field at fault where it fails, as in [`FindingDraft::field`](crate::FindingDraft::field).
    #[must_use]
    pub fn field(mut self, route: impl Into<Cow<'static, str>>) -> Self {
        self.field = route.into();
        self
    }

    /// What the number is, where the network decides it: lintern then tells which length of cable the verdict turns on.
    #[must_use]
    pub fn of(mut self, quantity: Quantity) -> Self {
        self.quantity = quantity;
        self
    }

    /// What a limit that is a share of something comes to, in the unit of the measured number.
    #[must_use]
    pub fn comes_to(mut self, value: f64, unit: impl Into<Cow<'static, str>>) -> Self {
        self.comes_to = Some((value, unit.into()));
        self
    }

    /// A number that equals the limit fails too: it has to be beyond it.
    #[must_use]
    pub fn beyond(mut self) -> Self {
        self.beyond = true;
        self
    }

    /// Whether the number keeps the limit. One that equals it does, but for [`beyond`](Self::beyond).
    pub fn passes(&self) -> bool {
        let (measured, limit) = (self.measured, self.limit_value());
        match (self.limit.tighter(), self.beyond) {
            (Tighter::Lower, false) => !above(measured, limit),
            (Tighter::Lower, true) => below(measured, limit),
            (Tighter::Higher, false) => !below(measured, limit),
            (Tighter::Higher, true) => above(measured, limit),
            (Tighter::Neither, _) => !above(measured, limit) && !below(measured, limit),
        }
    }

    /// The measured number.
    pub fn measured(&self) -> f64 {
        self.measured
    }

    /// The limit.
    pub fn limit(&self) -> &'l Limit {
        self.limit
    }

    /// The number that it is held against.
    pub fn limit_value(&self) -> f64 {
        self.comes_to.as_ref().map_or_else(|| self.limit.value(), |(value, _)| *value)
    }

    /// The unit of both numbers.
    pub fn unit(&self) -> &str {
        self.comes_to.as_ref().map_or_else(|| self.limit.unit(), |(_, unit)| unit)
    }

    /// Route of the field, empty for the element.
    pub(crate) fn route(&self) -> &str {
        &self.field
    }

    pub(crate) fn margin(&self, subject: String, passes: bool) -> Margin {
        Margin {
            subject,
            field: self.field.as_ref().to_owned(),
            name: self.limit.name().to_owned(),
            measured: self.measured,
            limit: self.limit_value(),
            unit: self.unit().to_owned(),
            source: self.limit.source().to_owned(),
            tighter: self.limit.tighter().describe(),
            passes,
            quantity: self.quantity,
        }
    }
}

/// The room as a share of the limit, %; endless where the limit is 0. What equals its limit but for rounding has none.
pub(crate) fn room_percent(measured: f64, limit: f64) -> f64 {
    let room = (limit - measured).abs();
    match limit.abs() {
        0.0 => f64::INFINITY,
        limit if room <= limit * ROUNDING => 0.0,
        limit => room / limit * 100.0,
    }
}

/// Keeps for each subject, field and name the comparisons that fail, else the one that passes by the least: a run with
/// several stretches has one margin. Sorted by them.
pub(crate) fn tightest(mut margins: Vec<Margin>) -> Vec<Margin> {
    fn key(margin: &Margin) -> (&str, &str, &str) {
        (&margin.subject, &margin.field, &margin.name)
    }
    margins.sort_by(|a, b| key(a).cmp(&key(b)).then(a.passes.cmp(&b.passes)).then(room(a).total_cmp(&room(b))));
    margins.dedup_by(|later, kept| key(later) == key(kept) && later.passes);
    margins
}

/// The room as a share of the limit, or as it is where the limit is 0.
fn room(margin: &Margin) -> f64 {
    let room = (margin.limit - margin.measured).abs();
    if margin.limit == 0.0 { room } else { room / margin.limit.abs() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn most(value: f64) -> Limit {
        Limit::new("most", value, "A", Tighter::Lower, "")
    }

    fn least(value: f64) -> Limit {
        Limit::new("least", value, "V", Tighter::Higher, "")
    }

    #[test]
    fn a_number_at_its_limit_passes_unless_it_has_to_be_beyond() {
        assert!(most(5.0).compare(5.0).passes() && least(5.0).compare(5.0).passes());
        assert!(!most(5.0).compare(5.0).beyond().passes() && !least(5.0).compare(5.0).beyond().passes());
        assert!(!most(5.0).compare(5.1).passes() && !least(5.0).compare(4.9).passes());
        assert!(most(5.0).compare(4.9).beyond().passes() && least(5.0).compare(5.1).beyond().passes());
    }

    #[test]
    fn a_share_is_held_against_what_it_comes_to() {
        // 200 % of a body of 4 in.
        let share = Limit::new("least width", 200.0, "%", Tighter::Higher, "");
        let hole = share.compare(7.0).comes_to(8.0, "in");
        assert!(!hole.passes());
        let margin = hole.margin("L1".to_owned(), hole.passes());
        assert_eq!((margin.limit, margin.unit.as_str()), (8.0, "in"));
    }

    #[test]
    fn of_one_name_the_failing_ones_stay_and_else_the_tightest() {
        let (limit, other) = (most(10.0), most(20.0));
        let of = |limit: &Limit, subject: &str, measured| {
            let compared = limit.compare(measured);
            compared.margin(subject.to_owned(), compared.passes())
        };
        let kept = tightest(vec![
            of(&limit, "b", 5.0),
            of(&other, "b", 9.0),
            of(&limit, "a", 11.0),
            of(&limit, "a", 9.0),
            of(&limit, "a", 12.0),
        ]);
        let kept: Vec<(&str, f64)> = kept.iter().map(|margin| (margin.subject.as_str(), margin.measured)).collect();
        // b: 5 of 10 leaves 50 %, 9 of 20 leaves 55 %.
        assert_eq!(kept, [("a", 11.0), ("a", 12.0), ("b", 5.0)]);
    }
}
