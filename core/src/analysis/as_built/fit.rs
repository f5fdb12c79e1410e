//! Fits faults to readings: weighted least squares by Gauss and Newton on solves of the real network, then, where
//! that leaves a reading outside its tolerance, a search for numbers that bring all of them inside.
//!
//! A tolerance is the limit of an instrument, within which every error is as likely as any other. So:
//!
//! - a fault *explains* the readings when some numbers bring every one of them within its tolerance. The true fault
//!   always does, whatever the errors are, as long as the instruments keep their limits;
//! - the weight of a reading is that of a rectangular distribution, whose standard uncertainty is its half width
//!   over √3 (JCGM 100:2008 (GUM), 4.3.7). Uncertainties are given at two standard deviations, about 95 %.

use super::bench::{Bench, Put, lit, predicted};
use super::fault::Fault;
use super::observe::{Mains, Observed};
use crate::analysis::Solution;
use crate::layout::{Measured, NodeRef};

/// Rounds of least squares; it takes three or four.
const ROUNDS: usize = 12;
/// Halvings of a step that makes things worse or leads where the network has no answer.
const HALVINGS: usize = 12;
/// Rounds of the search for numbers that bring all readings inside.
const INSIDE_ROUNDS: usize = 4;
/// Points on the way to the best fit from which that search begins.
const PASSED: usize = 6;
/// No number of a fault is searched beyond this, ohm, siemens or a share: it is a break, a dead short, or nonsense.
const LARGEST: f64 = 1e4;

/// Faults with the numbers that suit the readings best.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Fit {
    pub(super) faults: Vec<Fault>,
    /// The number of each fault; 0 where it leaves none open.
    pub(super) values: Vec<f64>,
    /// Two standard deviations of each number; `None` where it leaves none open or the readings do not bound it.
    pub(super) uncertainties: Vec<Option<f64>>,
    /// Share of their nominal volts of the mains that were read.
    pub(super) mains: Vec<f64>,
    /// What each observation would read.
    pub(super) predictions: Vec<f64>,
    pub(super) chi_square: f64,
    pub(super) degrees: usize,
    /// Whether every reading is within its tolerance, and everything seen as it was.
    pub(super) explains: bool,
}

impl Fit {
    /// The faults with their numbers.
    pub(super) fn put(&self) -> Vec<(Fault, f64)> {
        self.faults.iter().copied().zip(self.values.iter().copied()).collect()
    }
}

/// The readings that faults are fitted to.
pub(super) struct Readings<'a> {
    pub(super) observed: &'a Observed,
    /// A reading that was not taken: what it would be, and what it may be off by.
    pub(super) further: Option<(Measured, f64, f64)>,
    /// Whether a fault has to explain all readings alone: then it is given up as soon as it can't.
    pub(super) alone: bool,
}

/// Fits faults; `None` where they can't explain the readings or the work is used up.
pub(super) fn fit(bench: &mut Bench, readings: &Readings<'_>, faults: &[Fault]) -> Option<Fit> {
    Search::new(bench, readings, faults).run()
}

/// Whether a fault with a given number explains all readings.
pub(super) fn explains_with(bench: &mut Bench, readings: &Readings<'_>, fault: Fault, value: f64) -> bool {
    let faults = [fault];
    let mut search = Search::new(bench, readings, &faults);
    search.open.clear();
    search.steps.clear();
    search.fixed = vec![value];
    search.run().is_some_and(|fit| fit.explains)
}

/// One search.
struct Search<'a> {
    bench: &'a mut Bench,
    readings: &'a Readings<'a>,
    faults: &'a [Fault],
    /// Index of the fault of each number.
    open: Vec<usize>,
    steps: Vec<f64>,
    /// Numbers of the faults where none is open.
    fixed: Vec<f64>,
    mains: Vec<Mains>,
    /// Read values, observations first, then mains, then the further reading.
    read: Vec<f64>,
    tolerance: Vec<f64>,
    reversed: Vec<NodeRef>,
}

/// A point of the search: the numbers of the faults, then the shares of the mains.
#[derive(Clone)]
struct Point {
    numbers: Vec<f64>,
    predictions: Vec<f64>,
    chi_square: f64,
    seen_right: bool,
}

impl<'a> Search<'a> {
    fn new(bench: &'a mut Bench, readings: &'a Readings<'a>, faults: &'a [Fault]) -> Self {
        let observed = readings.observed;
        let layout = bench.layout();
        let parameters: Vec<_> = faults.iter().map(|fault| fault.parameter(layout)).collect();
        let open = parameters.iter().enumerate().filter(|(_, p)| p.is_some()).map(|(index, _)| index).collect();
        let steps = parameters.iter().flatten().map(|parameter| parameter.step).collect();
        let reversed = faults.iter().flat_map(|fault| fault.reversed_nodes(layout)).collect();
        let further = readings.further.iter();
        Self {
            faults,
            open,
            steps,
            fixed: vec![0.0; faults.len()],
            mains: observed.mains.clone(),
            read: (observed.observations.iter().map(|o| o.read))
                .chain(observed.mains.iter().map(|mains| mains.read_volts))
                .chain(further.clone().map(|(_, read, _)| *read))
                .collect(),
            tolerance: (observed.observations.iter().map(|o| o.tolerance))
                .chain(observed.mains.iter().map(|mains| mains.tolerance_volts))
                .chain(further.map(|(_, _, tolerance)| *tolerance))
                .collect(),
            reversed,
            bench,
            readings,
        }
    }

    fn run(mut self) -> Option<Fit> {
        let layout = self.bench.layout();
        let parameters: Vec<_> = self.faults.iter().map(|fault| fault.parameter(layout)).collect();
        let all_open = self.open.len() == self.faults.len();
        let as_planned = all_open && parameters.iter().all(|p| p.is_some_and(|p| p.starts_as_planned));
        let open = self.open.iter().filter_map(|index| parameters[*index]);
        let mut numbers: Vec<f64> = open.map(|parameter| parameter.start).collect();
        numbers.extend(self.mains.iter().map(Mains::share));
        let start = match as_planned.then(|| self.planned(&numbers)).flatten() {
            Some(point) => point,
            None => self.evaluate(&numbers)?,
        };
        let mut best = start;
        let mut passed = vec![best.clone()];
        let mut slopes = None;
        for round in 0..ROUNDS {
            if numbers.is_empty() {
                break;
            }
            let here = self.slopes(&best)?;
            if round == 0 && self.readings.alone && self.misses_what_is_wrong(&here) {
                return None;
            }
            let (next, shift) = self.improve(&best, &here)?;
            slopes = Some(here);
            let Some(next) = next else { break };
            let gain = best.chi_square - next.chi_square;
            best = next;
            passed.push(best.clone());
            if shift < 0.01 || gain <= 1e-6 * best.chi_square {
                break;
            }
        }
        let mut explains = self.is_inside(&best);
        let least_squares = best.clone();
        if !explains && !numbers.is_empty() && self.may_be_inside(&least_squares) {
            // The best fit may lie far out along a valley where the numbers that bring all inside are on its way.
            for point in passed.iter().rev().take(PASSED) {
                if let Some(inside) = self.bring_inside(point)? {
                    explains = true;
                    best = inside;
                    break;
                }
            }
        }
        Some(self.take(&least_squares, &best, slopes.as_deref(), explains))
    }

    /// The point of the plan as drawn, which has been solved.
    fn planned(&self, numbers: &[f64]) -> Option<Point> {
        if self.readings.further.is_some() {
            return None;
        }
        let mut predictions: Vec<f64> = self.readings.observed.observations.iter().map(|o| o.planned).collect();
        predictions.extend(self.mains.iter().map(|mains| mains.read_volts));
        let chi_square = self.chi_square(&predictions);
        Some(Point { numbers: numbers.to_vec(), predictions, chi_square, seen_right: false })
    }

    /// Solves at some numbers; `None` where the network has no answer there.
    fn evaluate(&mut self, numbers: &[f64]) -> Option<Point> {
        if self.bench.is_exhausted() {
            return None;
        }
        let put = self.put(numbers);
        let shares: Vec<(usize, f64)> =
            self.mains.iter().zip(&numbers[self.open.len()..]).map(|(mains, share)| (mains.supply, *share)).collect();
        let solution = self.bench.solve(&put, &shares);
        let predictions = self.predictions(&solution, &put, &shares)?;
        let chi_square = self.chi_square(&predictions);
        let seen_right = self.seen_right(&solution, &put);
        Some(Point { numbers: numbers.to_vec(), predictions, chi_square, seen_right })
    }

    fn put(&self, numbers: &[f64]) -> Vec<(Fault, f64)> {
        let mut put: Vec<(Fault, f64)> = self.faults.iter().copied().zip(self.fixed.iter().copied()).collect();
        for (&index, &number) in self.open.iter().zip(numbers) {
            put[index].1 = number;
        }
        put
    }

    fn predictions(&self, solution: &Solution, put: Put<'_>, shares: &[(usize, f64)]) -> Option<Vec<f64>> {
        let layout = self.bench.layout();
        let signed = |measured: &Measured| {
            let value = predicted(layout, solution, measured)?;
            let reversed = matches!(measured, Measured::Volts { node, .. } if self.reversed.contains(node));
            Some(if reversed { -value } else { value })
        };
        let mut all = Vec::with_capacity(self.read.len());
        for observation in &self.readings.observed.observations {
            all.push(signed(&observation.measured)?);
        }
        all.extend(self.mains.iter().zip(shares).map(|(mains, (_, share))| mains.nominal_volts * share));
        if let Some((measured, _, _)) = &self.readings.further {
            all.push(match measured {
                Measured::InputVolts { supply, .. } => input_volts(layout, put, *supply)?,
                other => signed(other)?,
            });
        }
        Some(all)
    }

    fn seen_right(&self, solution: &Solution, put: Put<'_>) -> bool {
        let layout = self.bench.layout();
        let told: Vec<(usize, Option<bool>)> =
            put.iter().flat_map(|(fault, value)| fault.lit(layout, *value)).collect();
        self.readings.observed.seen.iter().all(|&(luminaire, seen)| {
            let told = told.iter().find(|(of, _)| *of == luminaire).map(|(_, lit)| *lit);
            told.unwrap_or_else(|| lit(layout, solution, luminaire)).is_none_or(|lit| lit == seen)
        })
    }

    fn weight(&self, index: usize) -> f64 {
        3.0 / self.tolerance[index].powi(2)
    }

    fn chi_square(&self, predictions: &[f64]) -> f64 {
        let square = |(index, (read, value)): (usize, (&f64, &f64))| self.weight(index) * (read - value).powi(2);
        self.read.iter().zip(predictions).enumerate().map(square).sum()
    }

    /// How each prediction moves with each number.
    fn slopes(&mut self, at: &Point) -> Option<Vec<Vec<f64>>> {
        let mut columns = Vec::with_capacity(at.numbers.len());
        for index in 0..self.open.len() {
            let step = self.steps[index].abs().max(at.numbers[index].abs() * 1e-3) * self.steps[index].signum();
            let moved = [step, -step].into_iter().find_map(|step| {
                let mut numbers = at.numbers.clone();
                numbers[index] += step;
                (numbers[index] >= 0.0).then(|| self.evaluate(&numbers)).flatten().map(|point| (point, step))
            });
            let (moved, step) = moved?;
            columns.push(moved.predictions.iter().zip(&at.predictions).map(|(m, p)| (m - p) / step).collect());
        }
        for (index, mains) in self.mains.iter().enumerate() {
            // What a fault turns round or cuts off, the mains move the other way or not at all.
            let share = |planned: f64, now: f64| {
                if now * planned < 0.0 {
                    -1.0
                } else if now.abs() <= 1e-6 * planned.abs() {
                    0.0
                } else {
                    1.0
                }
            };
            let observations = self.readings.observed.observations.iter().zip(&at.predictions);
            let mut column: Vec<f64> =
                observations.map(|(o, now)| o.mains_slopes[index] * share(o.planned, *now)).collect();
            column.resize(self.read.len(), 0.0);
            column[self.readings.observed.observations.len() + index] = mains.nominal_volts;
            columns.push(column);
        }
        Some(columns)
    }

    /// Whether a reading outside its tolerance does not move with the faults at all, nor with the mains.
    fn misses_what_is_wrong(&self, slopes: &[Vec<f64>]) -> bool {
        let mut outside = self.readings.observed.observations.iter().enumerate().filter(|(_, o)| o.outside);
        !self.open.is_empty()
            && self.open.len() == self.faults.len()
            && outside.any(|(row, o)| {
                let moves = slopes[..self.open.len()].iter().zip(&self.steps).any(|(column, step)| {
                    // What ten thousand steps move by less than a hundredth of the tolerance.
                    (column[row] * step * 1e4).abs() > 0.01 * o.tolerance
                });
                !moves
            })
    }

    /// A step of least squares, shortened until it helps; also its length in standard deviations.
    fn improve(&mut self, at: &Point, slopes: &[Vec<f64>]) -> Option<(Option<Point>, f64)> {
        let weights: Vec<f64> = (0..self.read.len()).map(|index| self.weight(index)).collect();
        let residuals: Vec<f64> = self.read.iter().zip(&at.predictions).map(|(r, p)| r - p).collect();
        let step = self.bounded_step(at, slopes, &weights, &residuals);
        let mut share = 1.0;
        for _ in 0..HALVINGS {
            let numbers: Vec<f64> =
                at.numbers.iter().zip(&step).map(|(n, s)| (n + share * s).clamp(0.0, LARGEST)).collect();
            let shift: f64 = numbers
                .iter()
                .zip(&at.numbers)
                .zip(slopes)
                .map(|((new, old), column)| {
                    let information: f64 = column.iter().zip(&weights).map(|(c, w)| w * c * c).sum();
                    (new - old).abs() * information.sqrt()
                })
                .fold(0.0, f64::max);
            if shift == 0.0 {
                return Some((None, 0.0));
            }
            match self.evaluate(&numbers) {
                Some(point) if point.chi_square <= at.chi_square => return Some((Some(point), shift)),
                _ if self.bench.is_exhausted() => return None,
                _ => share /= 2.0,
            }
        }
        Some((None, 0.0))
    }

    /// The step to the least sum of squares of the linear model, with no number of a fault below zero.
    fn bounded_step(&self, at: &Point, slopes: &[Vec<f64>], weights: &[f64], residuals: &[f64]) -> Vec<f64> {
        let mut free: Vec<bool> = vec![true; slopes.len()];
        loop {
            let step = solve_normal(slopes, weights, residuals, &free);
            let blocked = (0..self.open.len()).find(|&i| free[i] && at.numbers[i] <= 0.0 && step[i] < 0.0);
            match blocked {
                Some(index) => free[index] = false,
                None => return step,
            }
        }
    }

    fn is_inside(&self, at: &Point) -> bool {
        self.worst(&at.predictions) <= 1.0 && at.seen_right
    }

    /// Whether any numbers can bring all readings inside, by the least chi-square that there is: a reading at its
    /// tolerance adds 3 to it.
    fn may_be_inside(&self, least_squares: &Point) -> bool {
        least_squares.chi_square <= 3.0 * self.read.len() as f64
    }

    /// Largest residual over its tolerance.
    fn worst(&self, predictions: &[f64]) -> f64 {
        let share = |((read, value), tolerance): ((&f64, &f64), &f64)| (read - value).abs() / tolerance;
        self.read.iter().zip(predictions).zip(&self.tolerance).map(share).fold(0.0, f64::max)
    }

    /// Looks for numbers near the least squares that bring every reading within its tolerance. `None` when the work
    /// is used up.
    fn bring_inside(&mut self, from: &Point) -> Option<Option<Point>> {
        let mut at = from.clone();
        for _ in 0..INSIDE_ROUNDS {
            let Some(slopes) = self.slopes(&at) else { return Some(None) };
            let residuals: Vec<f64> = self.read.iter().zip(&at.predictions).map(|(r, p)| r - p).collect();
            let step = self.step_inside(&at, &slopes, &residuals);
            let numbers: Vec<f64> = at.numbers.iter().zip(&step).map(|(n, s)| (n + s).clamp(0.0, LARGEST)).collect();
            match self.evaluate(&numbers) {
                Some(next) if self.is_inside(&next) => return Some(Some(next)),
                Some(next) => at = next,
                None if self.bench.is_exhausted() => return None,
                None => return Some(None),
            }
        }
        Some(None)
    }

    /// The step that makes the largest residual of the linear model smallest, by least squares of rising weight on
    /// what is farthest out (Lawson's method).
    fn step_inside(&self, at: &Point, slopes: &[Vec<f64>], residuals: &[f64]) -> Vec<f64> {
        const ROUNDS: usize = 300;
        let mut emphasis = vec![1.0; residuals.len()];
        let mut best: (f64, Vec<f64>) = (f64::INFINITY, vec![0.0; slopes.len()]);
        for _ in 0..ROUNDS {
            let weights: Vec<f64> = emphasis
                .iter()
                .zip(&self.tolerance)
                .map(|(emphasis, tolerance)| emphasis / tolerance.powi(2))
                .collect();
            let step = self.bounded_step(at, slopes, &weights, residuals);
            let left: Vec<f64> = residuals
                .iter()
                .enumerate()
                .map(|(row, r)| {
                    let moved: f64 = slopes.iter().zip(&step).map(|(column, s)| column[row] * s).sum();
                    (r - moved).abs() / self.tolerance[row]
                })
                .collect();
            let worst = left.iter().copied().fold(0.0, f64::max);
            if worst < best.0 {
                best = (worst, step);
            }
            // Well inside: what is left of curvature fits in.
            if worst <= 0.9 || worst == 0.0 {
                break;
            }
            for (emphasis, left) in emphasis.iter_mut().zip(&left) {
                *emphasis *= (0.05 + left / worst).clamp(0.05, 1.05);
            }
            let sum: f64 = emphasis.iter().sum();
            for emphasis in &mut emphasis {
                *emphasis = (*emphasis / sum).max(1e-12);
            }
        }
        best.1
    }

    fn take(&self, least_squares: &Point, best: &Point, slopes: Option<&[Vec<f64>]>, explains: bool) -> Fit {
        let weights: Vec<f64> = (0..self.read.len()).map(|index| self.weight(index)).collect();
        let mut values = vec![0.0; self.faults.len()];
        let mut uncertainties = vec![None; self.faults.len()];
        for (number, &index) in self.open.iter().enumerate() {
            values[index] = best.numbers[number];
            uncertainties[index] = slopes.and_then(|slopes| variance(slopes, &weights, number)).map(|v| 2.0 * v.sqrt());
        }
        Fit {
            faults: self.faults.to_vec(),
            values,
            uncertainties,
            mains: best.numbers[self.open.len()..].to_vec(),
            predictions: best.predictions[..self.readings.observed.observations.len()].to_vec(),
            chi_square: least_squares.chi_square,
            degrees: self.read.len().saturating_sub(best.numbers.len()),
            explains,
        }
    }
}

/// The mains that a fault speaks of: those of a supply with low volts, else nominal. `None` without nominal volts.
pub(super) fn input_volts(layout: &crate::layout::Layout, put: Put<'_>, supply: usize) -> Option<f64> {
    let nominal = layout.supplies.get(supply)?.kind.input_volts?.si();
    let of = |(fault, value): &(Fault, f64)| match fault {
        Fault::SupplyVolts { supply: of } if *of == supply => Some(*value),
        _ => None,
    };
    Some(nominal * put.iter().find_map(of).unwrap_or(1.0))
}

/// Weighted normal equations of the free columns; 0 for the others and for what nothing bounds.
fn solve_normal(slopes: &[Vec<f64>], weights: &[f64], residuals: &[f64], free: &[bool]) -> Vec<f64> {
    let columns: Vec<usize> = (0..slopes.len()).filter(|&i| free[i]).collect();
    let product = |a: &[f64], b: &[f64]| a.iter().zip(b).zip(weights).map(|((a, b), w)| w * a * b).sum::<f64>();
    let mut matrix: Vec<Vec<f64>> =
        columns.iter().map(|&i| columns.iter().map(|&j| product(&slopes[i], &slopes[j])).collect()).collect();
    let mut right: Vec<f64> = columns.iter().map(|&i| product(&slopes[i], residuals)).collect();
    let solved = eliminate(&mut matrix, &mut right);
    let mut step = vec![0.0; slopes.len()];
    for (&column, value) in columns.iter().zip(solved) {
        step[column] = value;
    }
    step
}

/// Variance of one number: the diagonal of the inverse of the normal matrix; `None` where nothing bounds it.
fn variance(slopes: &[Vec<f64>], weights: &[f64], number: usize) -> Option<f64> {
    let product = |a: &[f64], b: &[f64]| a.iter().zip(b).zip(weights).map(|((a, b), w)| w * a * b).sum::<f64>();
    let mut matrix: Vec<Vec<f64>> = slopes.iter().map(|a| slopes.iter().map(|b| product(a, b)).collect()).collect();
    let mut right: Vec<f64> = (0..slopes.len()).map(|i| if i == number { 1.0 } else { 0.0 }).collect();
    let value = eliminate(&mut matrix, &mut right).get(number).copied()?;
    (value > 0.0 && value.is_finite()).then_some(value)
}

/// Gauss's elimination of a small symmetric system, its diagonal scaled to 1; numbers that nothing bounds stay 0.
fn eliminate(matrix: &mut [Vec<f64>], right: &mut [f64]) -> Vec<f64> {
    let count = right.len();
    let scale: Vec<f64> =
        (0..count).map(|i| if matrix[i][i] > 0.0 { matrix[i][i].sqrt().recip() } else { 0.0 }).collect();
    for ((row, value), own) in matrix.iter_mut().zip(right.iter_mut()).zip(&scale) {
        *value *= own;
        for (entry, other) in row.iter_mut().zip(&scale) {
            *entry *= own * other;
        }
    }
    let mut used = Vec::with_capacity(count);
    for pivot in 0..count {
        // What is left of a unit diagonal when the number follows from the others.
        used.push(matrix[pivot][pivot] > 1e-9);
        if !used[pivot] {
            continue;
        }
        for row in (0..count).filter(|row| *row != pivot) {
            let share = matrix[row][pivot] / matrix[pivot][pivot];
            let taken: Vec<f64> = matrix[pivot].iter().map(|entry| share * entry).collect();
            for (entry, taken) in matrix[row].iter_mut().zip(taken) {
                *entry -= taken;
            }
            right[row] -= share * right[pivot];
        }
    }
    (0..count).map(|i| if used[i] { right[i] / matrix[i][i] * scale[i] } else { 0.0 }).collect()
}
