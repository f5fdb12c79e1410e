//! The length of a segment at which a verdict turns: outward in steps to the first length with the other verdict, then
//! halving between the two.
//!
//! In a loop, or where a driver cuts out, a voltage need not fall all the way as a cable gets longer. So the nearest
//! turn among the steps is taken, it is verified by solving with the lengths that are shown, and whether all lengths
//! beyond agree is found out and said.

use super::carriers::{Place, carriers};
use super::quantity::{Reading, Sought, read};
use super::{Critical, MOST_LENGTH_M, Margin, Turn, shown};
use crate::analysis::network::{Bench, Tweak};
use crate::analysis::{Case, Solution};
use crate::engine::{Quantity, Tighter};
use crate::layout::{Circuit, Circuits, Layout, Member};
use std::cell::{Cell, OnceCell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Work that one plan may take: each solve counts as the nodes and segments that it runs over, with a floor for what
/// does not depend on them.
const WORK_PER_PLAN: u64 = 1_000_000;
/// What a solve counts at least.
const LEAST_WORK: u64 = 100;
/// The first step outward, m; each further one is twice as far.
const FIRST_STEP_M: f64 = 0.25;
/// Steps from the present length down to nothing.
const STEPS_DOWN: u32 = 8;
/// Segments that are tried with other lengths for one number.
const MOST_SEGMENTS: usize = 32;
/// The first of them are tried in steps, the others only at the end of the scale while nothing has turned.
const IN_STEPS: usize = 4;
/// The turn is found to this share of the length where the decimals of a first look do not show it.
const PRECISION: f64 = 1e-9;
/// The first look is this much finer than the last decimal that is shown.
const FINER: f64 = 4.0;
/// Tries at most: every third is by halves, which is enough for [`PRECISION`] over [`MOST_LENGTH_M`].
const HALVINGS: u32 = 200;

/// Solutions that are kept for other numbers of the same circuit, counted as the nodes and segments in them.
const MOST_KEPT: usize = 200_000;

/// How much work is left.
#[derive(Debug)]
pub struct Budget {
    left: u64,
    of_a_solve: u64,
}

/// The work allowed for a plan is used up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UsedUp;

impl Budget {
    /// The work allowed for a plan.
    pub fn new() -> Self {
        Self { left: WORK_PER_PLAN, of_a_solve: LEAST_WORK }
    }

    /// What a solve counts from here on, for a network of this size.
    fn solves(&mut self, size: usize) {
        self.of_a_solve = LEAST_WORK.max(size as u64);
    }

    fn take(&mut self) -> Result<(), UsedUp> {
        self.left = self.left.checked_sub(self.of_a_solve).ok_or(UsedUp)?;
        Ok(())
    }
}

/// Which way a length is changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// More cable.
    Longer,
    /// Less cable.
    Shorter,
}

/// The circuits that numbers belong to, each taken out of the layout when it is first needed.
pub struct Parts<'a> {
    layout: &'a Layout,
    circuits: Circuits,
    taken: BTreeMap<usize, OnceCell<Circuit>>,
}

impl<'a> Parts<'a> {
    /// Of a layout, for these numbers.
    pub fn new(layout: &'a Layout, quantities: impl Iterator<Item = Quantity>) -> Self {
        let circuits = Circuits::new(layout);
        let names = quantities.filter_map(|quantity| circuits.name_of(member(quantity)?));
        let taken = names.map(|name| (name, OnceCell::new())).collect();
        Self { layout, circuits, taken }
    }

    fn circuit(&self, name: usize) -> Option<&Circuit> {
        Some(self.taken.get(&name)?.get_or_init(|| self.circuits.part(self.layout, name)))
    }
}

/// Where lengths are tried, in the case that is judged: only the part of the network that a number belongs to is solved
/// again, and what was solved for one number serves the others of that part.
pub struct Search<'a> {
    parts: &'a Parts<'a>,
    known: BTreeMap<usize, OnceCell<Known<'a>>>,
    kept: Cell<usize>,
}

/// A circuit with what was solved of it.
struct Known<'a> {
    circuit: &'a Circuit,
    bench: Bench<'a>,
    /// By segment and the bits of its length.
    solutions: RefCell<BTreeMap<(Place, u64), Rc<Solution>>>,
}

impl<'a> Search<'a> {
    /// Of circuits.
    pub fn new(parts: &'a Parts<'a>) -> Self {
        let known = parts.taken.keys().map(|name| (*name, OnceCell::new())).collect();
        Self { parts, known, kept: Cell::new(0) }
    }

    /// At which length the verdict on a number turns.
    pub fn turn(&self, margin: &Margin, quantity: Quantity, budget: &mut Budget) -> Turn {
        let Some(member) = member(quantity) else { return Turn::NotOfCable };
        let Some(name) = self.parts.circuits.name_of(member) else { return Turn::NotOfCable };
        let (Some(circuit), Some(known)) = (self.parts.circuit(name), self.known.get(&name)) else {
            return Turn::NotOfCable;
        };
        let Some(index) = circuit.index(member) else { return Turn::NotOfCable };
        let Margin { limit, tighter, .. } = *margin;
        let sought = Sought { quantity: moved(quantity, index), limit, tighter };
        budget.solves(circuit.size());
        // Solving it as it is, where that is not done, and finding the segments that count.
        if known.get().map_or_else(|| budget.take(), |_| Ok(())).and_then(|()| budget.take()).is_err() {
            return Turn::LeftOut;
        }
        let known = known.get_or_init(|| Known {
            circuit,
            bench: Bench::new(&circuit.layout, Case::Judged),
            solutions: RefCell::default(),
        });
        let base = read(&circuit.layout, known.bench.base(), sought);
        // The number of the rule, or this is not what it compared.
        let same = base.value.is_some_and(|value| (value - margin.measured).abs() <= value.abs() * PRECISION);
        let places = carriers(&circuit.layout, known.bench.base(), sought.quantity);
        if !same || base.passes != margin.passes || places.is_empty() {
            return Turn::NotOfCable;
        }
        let trial = Trial { known, kept: &self.kept, sought, passes_now: margin.passes };
        for way in ways(sought, margin.passes) {
            match trial.nearest(&trial.ranked(&places, way), way, budget) {
                Err(UsedUp) => return Turn::LeftOut,
                Ok(Some(critical)) => return Turn::At(Box::new(critical)),
                Ok(None) => {}
            }
        }
        Turn::Nowhere
    }
}

/// The element that a number is of; none where the network does not decide it.
fn member(quantity: Quantity) -> Option<Member> {
    match quantity {
        Quantity::Other => None,
        Quantity::LuminaireVolts(luminaire)
        | Quantity::LuminaireNoLoadVolts(luminaire)
        | Quantity::LuminaireDropPercent(luminaire) => Some(Member::Luminaire(luminaire)),
        Quantity::SupplyLoad(supply) | Quantity::SupplyLoadingPercent(supply) | Quantity::OutputAmps { supply, .. } => {
            Some(Member::Supply(supply))
        }
        Quantity::RunAmps { run, .. } => Some(Member::Run(run)),
    }
}

/// The same number of the element with another index.
fn moved(quantity: Quantity, index: usize) -> Quantity {
    match quantity {
        Quantity::Other => Quantity::Other,
        Quantity::LuminaireVolts(_) => Quantity::LuminaireVolts(index),
        Quantity::LuminaireNoLoadVolts(_) => Quantity::LuminaireNoLoadVolts(index),
        Quantity::LuminaireDropPercent(_) => Quantity::LuminaireDropPercent(index),
        Quantity::SupplyLoad(_) => Quantity::SupplyLoad(index),
        Quantity::SupplyLoadingPercent(_) => Quantity::SupplyLoadingPercent(index),
        Quantity::OutputAmps { output, .. } => Quantity::OutputAmps { supply: index, output },
        Quantity::RunAmps { factor, .. } => Quantity::RunAmps { run: index, factor },
    }
}

/// The ways in which a length may turn a verdict, the likely one first. More cable lowers volts and raises the currents of
/// loads of constant power; for currents and loads the other way is tried too, since resistive loads draw less.
fn ways(sought: Sought, passes: bool) -> Vec<Way> {
    let worse = match (sought.quantity, sought.tighter) {
        (Quantity::LuminaireVolts(_), Tighter::Lower) => Way::Shorter,
        _ => Way::Longer,
    };
    let better = if worse == Way::Longer { Way::Shorter } else { Way::Longer };
    let first = if passes { worse } else { better };
    match sought.quantity {
        Quantity::LuminaireVolts(_) | Quantity::LuminaireDropPercent(_) => vec![first],
        _ => vec![first, if passes { better } else { worse }],
    }
}

/// One number, tried with other lengths.
pub struct Trial<'a> {
    known: &'a Known<'a>,
    /// What is kept of all circuits.
    kept: &'a Cell<usize>,
    sought: Sought,
    passes_now: bool,
}

/// A segment with the change of its length at which the verdict turns, between the two.
#[derive(Debug, Clone, Copy)]
struct Bracket {
    place: Place,
    /// The verdict is the present one.
    near_m: f64,
    /// It is the other one.
    far_m: f64,
}

impl Trial<'_> {
    /// The number with another length of a segment.
    pub fn at(&self, (run, segment): Place, length_m: f64, budget: &mut Budget) -> Result<Reading, UsedUp> {
        let key = ((run, segment), length_m.to_bits());
        let solved = self.known.solutions.borrow().get(&key).cloned();
        let solution = match solved {
            Some(solution) => solution,
            None => {
                budget.take()?;
                let solution = Rc::new(self.known.bench.solve(&[Tweak::Length { run, segment, length_m }]));
                let kept = self.kept.get() + self.known.circuit.size();
                if kept <= MOST_KEPT {
                    self.kept.set(kept);
                    self.known.solutions.borrow_mut().insert(key, solution.clone());
                }
                solution
            }
        };
        Ok(read(self.layout(), &solution, self.sought))
    }

    /// Whether the rule passes as the layout is.
    pub fn passes_now(&self) -> bool {
        self.passes_now
    }

    /// The layout.
    pub fn layout(&self) -> &Layout {
        &self.known.circuit.layout
    }

    /// The present length of a segment, m.
    pub fn length_m(&self, (run, segment): Place) -> f64 {
        self.layout().runs.get(run).and_then(|run| run.segments.get(segment)).map_or(0.0, |own| own.length_m)
    }

    /// The segments that are tried, those first that promise most: by the metre where cable is added, in all where it is
    /// taken away.
    fn ranked(&self, places: &[(f64, Place)], way: Way) -> Vec<Place> {
        let mut ranked = places.to_vec();
        if way == Way::Shorter {
            let in_all = |&(weight, place): &(f64, Place)| weight * self.length_m(place);
            ranked.sort_by(|a, b| in_all(b).total_cmp(&in_all(a)).then(a.1.cmp(&b.1)));
        }
        ranked.into_iter().take(MOST_SEGMENTS).map(|(_, place)| place).collect()
    }

    /// The segment that turns the verdict with the least change of its length.
    fn nearest(&self, places: &[Place], way: Way, budget: &mut Budget) -> Result<Option<Critical>, UsedUp> {
        let mut best: Option<Bracket> = None;
        for (number, &place) in places.iter().enumerate() {
            let bracket = match &best {
                None if number < IN_STEPS => self.first_step(place, way, self.steps_m(place, way), budget)?,
                None => self.first_step(place, way, vec![self.most_change_m(place, way)], budget)?,
                // Worth a look only when less change of this one turns it too.
                Some(known) => {
                    let change_m = known.near_m.min(self.most_change_m(place, way));
                    let turned = change_m > 0.0 && self.is_turned(place, way, change_m, budget)?;
                    turned.then_some(Bracket { place, near_m: 0.0, far_m: change_m })
                }
            };
            if let Some(bracket) = bracket {
                best = Some(self.close_in(bracket, way, self.as_shown_m(bracket, way), budget)?);
            }
        }
        let Some(best) = best else { return Ok(None) };
        let onward = self.agrees_onward(best, way, budget)?;
        let ends_m = |bracket: Bracket| [bracket.near_m, bracket.far_m].map(|m| self.changed_m(bracket.place, way, m));
        if let Some(critical) = shown::rounded(self, best.place, way, ends_m(best), onward, budget)? {
            return Ok(Some(critical));
        }
        let finest_m = PRECISION * self.changed_m(best.place, way, best.far_m).max(FIRST_STEP_M);
        let best = self.close_in(best, way, finest_m, budget)?;
        shown::rounded(self, best.place, way, ends_m(best), onward, budget)
    }

    /// What is fine enough to show the turn in a bracket.
    fn as_shown_m(&self, bracket: Bracket, way: Way) -> f64 {
        let ends_m = [bracket.near_m, bracket.far_m].map(|change_m| self.changed_m(bracket.place, way, change_m));
        shown::last_decimal_m(self.layout(), bracket.place.0, ends_m[0].min(ends_m[1])) / FINER
    }

    /// The length of a segment after a change.
    fn changed_m(&self, place: Place, way: Way, change_m: f64) -> f64 {
        match way {
            Way::Longer => self.length_m(place) + change_m,
            Way::Shorter => (self.length_m(place) - change_m).max(0.0),
        }
    }

    fn most_change_m(&self, place: Place, way: Way) -> f64 {
        match way {
            Way::Longer => (MOST_LENGTH_M - self.length_m(place)).max(0.0),
            Way::Shorter => self.length_m(place),
        }
    }

    fn is_turned(&self, place: Place, way: Way, change_m: f64, budget: &mut Budget) -> Result<bool, UsedUp> {
        Ok(self.reading(place, way, change_m, budget)?.passes != self.passes_now)
    }

    /// The changes that are tried, outward.
    fn steps_m(&self, place: Place, way: Way) -> Vec<f64> {
        let most_m = self.most_change_m(place, way);
        match way {
            Way::Longer => {
                let doubled = std::iter::successors(Some(FIRST_STEP_M), |step_m| Some(step_m * 2.0));
                doubled.take_while(|step_m| *step_m < most_m).chain([most_m]).collect()
            }
            Way::Shorter => (1..=STEPS_DOWN).map(|step| most_m * f64::from(step) / f64::from(STEPS_DOWN)).collect(),
        }
    }

    fn first_step(
        &self,
        place: Place,
        way: Way,
        steps_m: Vec<f64>,
        budget: &mut Budget,
    ) -> Result<Option<Bracket>, UsedUp> {
        let mut near_m = 0.0;
        for far_m in steps_m {
            if far_m > near_m && self.is_turned(place, way, far_m, budget)? {
                return Ok(Some(Bracket { place, near_m, far_m }));
            }
            near_m = far_m;
        }
        Ok(None)
    }

    /// Closes in on the turn, by the straight line between the two ends where both have a number, else by halves.
    fn close_in(
        &self,
        mut bracket: Bracket,
        way: Way,
        tolerance_m: f64,
        budget: &mut Budget,
    ) -> Result<Bracket, UsedUp> {
        let place = bracket.place;
        let mut near = self.reading(place, way, bracket.near_m, budget)?.room;
        let mut far = self.reading(place, way, bracket.far_m, budget)?.room;
        for round in 0..HALVINGS {
            let width_m = bracket.far_m - bracket.near_m;
            if width_m <= tolerance_m {
                break;
            }
            let at_m = match near.zip(far) {
                // Every third time by halves, so that a bent curve does not hold it up.
                Some((near, far)) if round % 3 != 2 && near != far => {
                    let line_m = bracket.near_m + width_m * near / (near - far);
                    // A little beyond the line's zero, on the side of the far end: then both ends move.
                    let inside = bracket.near_m + 0.25 * tolerance_m..=bracket.far_m - 0.25 * tolerance_m;
                    let towards = if near.abs() < far.abs() { 0.5 } else { -0.5 } * tolerance_m;
                    (line_m + towards).clamp(*inside.start(), *inside.end())
                }
                _ => f64::midpoint(bracket.near_m, bracket.far_m),
            };
            let reading = self.reading(place, way, at_m, budget)?;
            if reading.passes == self.passes_now {
                (bracket.near_m, near) = (at_m, reading.room);
            } else {
                (bracket.far_m, far) = (at_m, reading.room);
            }
        }
        Ok(bracket)
    }

    fn reading(&self, place: Place, way: Way, change_m: f64, budget: &mut Budget) -> Result<Reading, UsedUp> {
        self.at(place, self.changed_m(place, way, change_m), budget)
    }

    /// Whether all further steps have the other verdict too.
    fn agrees_onward(&self, bracket: Bracket, way: Way, budget: &mut Budget) -> Result<bool, UsedUp> {
        for step_m in self.steps_m(bracket.place, way).into_iter().filter(|step_m| *step_m > bracket.far_m) {
            if !self.is_turned(bracket.place, way, step_m, budget)? {
                return Ok(false);
            }
        }
        Ok(true)
    }
}
