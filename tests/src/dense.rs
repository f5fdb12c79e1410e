//! A reference for the network solver that shares nothing with it: all node voltages as unknowns of one
//! full matrix, Gaussian elimination with pivoting, and substitution of the loads' currents while the loads
//! are raised in steps. Slow, and good only well away from the limit of power.

use crate::circuit::{Circuit, Point};
use lintern_core::plan::model::LoadModel;

/// The inverse of a circuit's conductance matrix.
#[derive(Debug, Clone)]
pub struct Dense {
    inverse: Vec<Vec<f64>>,
    source_amps: Vec<f64>,
}

impl Dense {
    /// Of a circuit, its loads left out.
    pub fn new(circuit: &Circuit) -> Self {
        let nodes = circuit.nodes.len();
        // Terminals of sources with resistance are unknowns too, after the nodes.
        let unknown = |p: Point| match p {
            Point::Node(i) => Some(i),
            Point::Source(i) => (circuit.sources[i].1 > 0.0).then_some(nodes + i),
        };
        let size = nodes + circuit.sources.len();
        let mut matrix = vec![vec![0.0; size]; size];
        let mut source_amps = vec![0.0; size];
        for &(a, b, ohms) in &circuit.links {
            for (here, there) in [(a, b), (b, a)] {
                let Some(i) = unknown(here) else { continue };
                matrix[i][i] += 1.0 / ohms;
                match (unknown(there), there) {
                    (Some(j), _) => matrix[i][j] -= 1.0 / ohms,
                    (None, Point::Source(s)) => source_amps[i] += circuit.sources[s].0 / ohms,
                    (None, Point::Node(_)) => unreachable!("every node is an unknown"),
                }
            }
        }
        for (s, &(volts, ohms)) in circuit.sources.iter().enumerate() {
            let i = nodes + s;
            // One without resistance is no unknown; its row keeps the matrix whole.
            let siemens = if ohms > 0.0 { 1.0 / ohms } else { 1.0 };
            matrix[i][i] += siemens;
            source_amps[i] += volts * siemens;
        }
        Self { inverse: inverse(matrix), source_amps }
    }

    /// Voltages of the nodes when this current is drawn at each.
    pub fn volts(&self, drawn_amps: &[f64]) -> Vec<f64> {
        let nodes = drawn_amps.len();
        let amps = |i: usize| self.source_amps[i] - drawn_amps.get(i).copied().unwrap_or(0.0);
        self.inverse[..nodes].iter().map(|row| row.iter().enumerate().map(|(i, x)| x * amps(i)).sum()).collect()
    }
}

/// Voltages of the nodes of a circuit.
///
/// # Panics
/// When it has no operating point, or is too close to its limit of power.
pub fn solve(circuit: &Circuit) -> Vec<f64> {
    let dense = Dense::new(circuit);
    volts_at(circuit, &dense, 1.0, &vec![false; circuit.nodes.len()]).expect("the circuit has an operating point")
}

/// Voltages where the loads draw this share of what they ask for and the `dark` ones nothing; `None` when
/// putting the loads' currents in again and again, from no load on, does not settle above nothing.
pub fn volts_at(circuit: &Circuit, dense: &Dense, share: f64, dark: &[bool]) -> Option<Vec<f64>> {
    let mut volts = dense.volts(&vec![0.0; circuit.nodes.len()]);
    for _ in 0..20_000 {
        let drawn: Vec<f64> = (0..volts.len())
            .map(|i| match circuit.nodes[i] {
                Some(load) if !dark[i] => {
                    share
                        * match load.model {
                            LoadModel::ConstantPower => load.watts / volts[i],
                            LoadModel::ConstantCurrent => load.watts / load.nominal_volts,
                            LoadModel::Resistive => volts[i] * load.watts / (load.nominal_volts * load.nominal_volts),
                        }
                }
                _ => 0.0,
            })
            .collect();
        let next = dense.volts(&drawn);
        if (0..next.len()).any(|i| circuit.nodes[i].is_some() && !dark[i] && next[i] <= 0.0) {
            return None;
        }
        let change = next.iter().zip(&volts).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        volts = next;
        if change < 1e-14 {
            return Some(volts);
        }
    }
    None
}

/// Gauss and Jordan, with the largest pivot of each column.
fn inverse(mut matrix: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    let size = matrix.len();
    let mut inverse: Vec<Vec<f64>> =
        (0..size).map(|i| (0..size).map(|j| if i == j { 1.0 } else { 0.0 }).collect()).collect();
    for column in 0..size {
        let mut pivot = column;
        for row in column + 1..size {
            if matrix[row][column].abs() > matrix[pivot][column].abs() {
                pivot = row;
            }
        }
        matrix.swap(column, pivot);
        inverse.swap(column, pivot);
        let scale = matrix[column][column];
        for j in 0..size {
            matrix[column][j] /= scale;
            inverse[column][j] /= scale;
        }
        for row in (0..size).filter(|row| *row != column) {
            let factor = matrix[row][column];
            if factor != 0.0 {
                for j in 0..size {
                    matrix[row][j] -= factor * matrix[column][j];
                    inverse[row][j] -= factor * inverse[column][j];
                }
            }
        }
    }
    inverse
}
