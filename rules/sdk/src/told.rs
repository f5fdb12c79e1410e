//! What a rule tells of its comparisons with limits: nothing, what is decisive, or everything.
//!
//! lintern asks for margins without limits where a reader of findings is all that it serves. Of what passes, it then shows
//! the closest of each rule; the others would be made, copied out of the module and dropped, for each element and rule.

use crate::comparison::{Comparison, room_percent, tightest};
use crate::outcome::{Margin, RuleRequest};

/// What passes by the least is kept this many times, since a margin that fails on the same field goes before it.
const KEPT: usize = 4;

/// The comparisons of one rule, as far as they are wanted.
#[derive(Debug)]
pub(crate) enum Told {
    Nothing,
    Decisive(Decisive),
    All(Vec<Margin>),
}

/// What breaks a limit, and what passes with the least room.
#[derive(Debug, Default)]
pub(crate) struct Decisive {
    failing: Vec<Margin>,
    /// The closest with their room, by room, subject, field and name.
    closest: Vec<(f64, Margin)>,
    /// Whether something that passes was left out.
    dropped: bool,
}

impl Told {
    /// As a request wants it.
    pub fn wanted(request: &RuleRequest) -> Self {
        match (request.wants_margins, request.wants_limits) {
            (false, _) => Self::Nothing,
            (true, false) => Self::Decisive(Decisive::default()),
            (true, true) => Self::All(Vec::new()),
        }
    }

    /// Whether a comparison that fails has to be told.
    pub fn wants_failing(&self) -> bool {
        !matches!(self, Self::Nothing)
    }

    /// A comparison that the element breaks.
    pub fn fails(&mut self, margin: impl FnOnce() -> Margin) {
        match self {
            Self::Nothing => {}
            Self::Decisive(decisive) => decisive.failing.push(margin()),
            Self::All(margins) => margins.push(margin()),
        }
    }

    /// A comparison that the element keeps.
    pub fn passes(&mut self, subject: &str, comparison: &Comparison) {
        match self {
            Self::Nothing => {}
            Self::Decisive(decisive) => decisive.passes(subject, comparison),
            Self::All(margins) => margins.push(comparison.margin(subject.to_owned(), true)),
        }
    }

    /// What is told; `None` where what was left out would be needed.
    pub fn finish(self) -> Option<Vec<Margin>> {
        match self {
            Self::Nothing => Some(Vec::new()),
            Self::All(margins) => Some(tightest(margins)),
            Self::Decisive(Decisive { failing, closest, dropped }) => {
                let mut margins = tightest(failing);
                let same = |a: &Margin, b: &Margin| (&a.subject, &a.field, &a.name) == (&b.subject, &b.field, &b.name);
                let known = |margin: &Margin| margins.iter().any(|failing| same(failing, margin));
                match closest.into_iter().map(|(_, margin)| margin).find(|margin| !known(margin)) {
                    Some(margin) => margins.push(margin),
                    None if dropped => return None,
                    None => {}
                }
                Some(margins)
            }
        }
    }
}

/// What is decisive of all margins: what fails, and the first of what passes with the least room.
pub(crate) fn decisive(mut margins: Vec<Margin>) -> Vec<Margin> {
    let room = |margin: &Margin| room_percent(margin.measured, margin.limit);
    let passing = margins.iter().enumerate().filter(|(_, margin)| margin.passes);
    let closest = passing.min_by(|(_, a), (_, b)| room(a).total_cmp(&room(b))).map(|(index, _)| index);
    let closest = closest.map(|index| margins.remove(index));
    margins.retain(|margin| !margin.passes);
    margins.extend(closest);
    margins
}

impl Decisive {
    fn passes(&mut self, subject: &str, comparison: &Comparison) {
        let room = room_percent(comparison.measured(), comparison.limit_value());
        let is_before = |(known, margin): &(f64, Margin)| {
            let key = (margin.subject.as_str(), margin.field.as_str(), margin.name.as_str());
            let own = || (subject, comparison.route(), comparison.limit().name());
            let numbers = || {
                (margin.limit.total_cmp(&comparison.limit_value()), margin.measured.total_cmp(&comparison.measured()))
            };
            known
                .total_cmp(&room)
                .then_with(|| key.cmp(&own()))
                .then_with(|| numbers().0)
                .then_with(|| numbers().1)
                .is_le()
        };
        if self.closest.len() == KEPT {
            self.dropped = true;
            // Most of what passes has more room than all that are kept.
            if self.closest.last().is_some_and(is_before) {
                return;
            }
            self.closest.truncate(KEPT - 1);
        }
        let place = self.closest.partition_point(is_before);
        self.closest.insert(place, (room, comparison.margin(subject.to_owned(), true)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Limit, Tighter};

    fn told(measured: &[(&str, f64)]) -> Option<Vec<(String, f64)>> {
        let limit = Limit::new("most", 10.0, "A", Tighter::Lower, "");
        let mut told = Told::Decisive(Decisive::default());
        for (subject, measured) in measured {
            let compared = limit.compare(*measured);
            if compared.passes() {
                told.passes(subject, &compared);
            } else {
                told.fails(|| compared.margin((*subject).to_owned(), false));
            }
        }
        Some(told.finish()?.into_iter().map(|margin| (margin.subject, margin.measured)).collect())
    }

    fn owned(list: &[(&str, f64)]) -> Option<Vec<(String, f64)>> {
        Some(list.iter().map(|(subject, measured)| ((*subject).to_owned(), *measured)).collect())
    }

    #[test]
    fn the_closest_and_what_fails_is_told() {
        let all = [("a", 5.0), ("b", 9.0), ("c", 11.0), ("d", 9.0), ("e", 2.0), ("f", 12.0), ("g", 8.0), ("h", 1.0)];
        assert_eq!(told(&all), owned(&[("c", 11.0), ("f", 12.0), ("b", 9.0)]));
        let backwards: Vec<(&str, f64)> = all.into_iter().rev().collect();
        assert_eq!(told(&backwards), owned(&[("c", 11.0), ("f", 12.0), ("b", 9.0)]));
    }

    #[test]
    fn what_passes_beside_a_failure_of_the_same_is_not_the_closest() {
        assert_eq!(told(&[("a", 9.9), ("b", 5.0), ("a", 11.0)]), owned(&[("a", 11.0), ("b", 5.0)]));
        // Room for four, all of them fail elsewhere, and a fifth was left out.
        let close = ["a", "b", "c", "d"];
        let mut all: Vec<(&str, f64)> = close.iter().map(|subject| (*subject, 9.9)).collect();
        all.push(("e", 5.0));
        all.extend(close.iter().map(|subject| (*subject, 11.0)));
        assert_eq!(told(&all), None);
    }
}
