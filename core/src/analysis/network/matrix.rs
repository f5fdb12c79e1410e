//! Solves a resistor network by star-mesh elimination: node after node is replaced by the mesh
//! that is equivalent to it, which is LDLᵀ of the conductance matrix.
//!
//! The factorisation is our own because it keeps apart what a general sparse solver adds up: the
//! conductances between nodes and the conductance from each node to ground. A general solver is
//! given their sum on the diagonal, and a splice of a micro-ohm beside a run of an ohm then costs
//! six of sixteen digits, twelve of sixteen beside a pico-ohm. Kept apart, all sums but those of
//! constant-power loads are of positive terms, and every voltage drop keeps its full relative
//! precision whatever the resistances are (Grassmann, Taksar and Heyman, Operations Research 33,
//! 1985; Alfa, Xue and Ye, Mathematics of Computation 71, 2002).
//!
//! The order of elimination is the approximate minimum degree order of Amestoy, Davis and Duff: it
//! takes the ends of branches first, so that a tree costs time in proportion to its nodes.

use std::sync::Arc;

/// The matrix is not positive definite: a pivot was not positive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NotPositiveDefinite;

/// A symmetric matrix of conductances with a fixed pattern, and its factors.
///
/// Columns are kept in the order of elimination; column `k` holds the rows after `k`. Nodes are numbered with 32 bits, so
/// that a large network keeps to the cache: a plan has no four billion nodes.
#[derive(Debug, Clone)]
pub(super) struct Conductances {
    /// Place in the order of elimination of each node.
    place: Arc<[u32]>,
    /// Where each column starts in `rows`; one more than columns.
    starts: Arc<[usize]>,
    /// Row of each entry, ascending inside a column.
    rows: Arc<[u32]>,
    /// Conductance of the network between column and row, S; zero where elimination fills in.
    between: Vec<f64>,
    /// The same after the columns before were eliminated.
    reduced: Vec<f64>,
    /// Pivots, S.
    pivots: Vec<f64>,
    scratch: Scratch,
}

/// What factoring works with, kept from one time to the next.
#[derive(Debug, Default)]
struct Scratch {
    /// Conductance to ground of each column, S.
    ground: Vec<f64>,
    /// The column that is being made, by row.
    column: Vec<f64>,
    /// Heads the list of the columns whose next entry to be used is in that row.
    waiting: Vec<u32>,
    /// Of each column the next one in its list.
    following: Vec<u32>,
    /// The entry of each column that is used next.
    next_entry: Vec<usize>,
}

/// The end of a list of columns.
const NONE: u32 = u32::MAX;

impl Clone for Scratch {
    /// A copy makes its own.
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl Scratch {
    fn clear(&mut self, nodes: usize) {
        for numbers in [&mut self.ground, &mut self.column] {
            numbers.clear();
            numbers.resize(nodes, 0.0);
        }
        for list in [&mut self.waiting, &mut self.following] {
            list.clear();
            list.resize(nodes, NONE);
        }
        self.next_entry.resize(nodes, 0);
    }
}

impl Conductances {
    /// A network of `nodes` nodes with conductances in S between pairs of different nodes. Several
    /// conductances between the same nodes add up.
    pub(super) fn new(nodes: usize, links: &[(usize, usize, f64)]) -> Self {
        let place = places(nodes, links);
        let mut columns: Vec<Vec<u32>> = vec![Vec::new(); nodes];
        for &(a, b, _) in links {
            let (a, b) = (place[a], place[b]);
            columns[a.min(b) as usize].push(a.max(b));
        }
        // What eliminating a column joins is passed on to the column of its first row alone: the
        // others follow from there, along the elimination tree.
        let (mut starts, mut rows) = (Vec::with_capacity(nodes + 1), Vec::new());
        starts.push(0);
        for column in 0..nodes {
            let mut own = std::mem::take(&mut columns[column]);
            own.sort_unstable();
            own.dedup();
            if let [first, rest @ ..] = own.as_slice() {
                columns[*first as usize].extend_from_slice(rest);
            }
            rows.extend_from_slice(&own);
            starts.push(rows.len());
        }
        let empty = vec![0.0; rows.len()];
        let mut this = Self {
            place: place.into(),
            starts: starts.into(),
            reduced: empty.clone(),
            rows: rows.into(),
            between: empty,
            pivots: vec![0.0; nodes],
            scratch: Scratch::default(),
        };
        this.refill(links);
        this
    }

    /// The same network with other conductances: the same pairs of nodes in any order. The order of elimination and
    /// the pattern of the factors stay.
    pub(super) fn refill(&mut self, links: &[(usize, usize, f64)]) {
        self.between.fill(0.0);
        for &(a, b, siemens) in links {
            let (a, b) = (self.place[a], self.place[b]);
            let (column, row) = (a.min(b) as usize, a.max(b));
            let own = self.starts[column]..self.starts[column + 1];
            if let Ok(at) = self.rows[own.clone()].binary_search(&row) {
                self.between[own.start + at] += siemens;
            }
        }
    }

    /// Factors the network with a conductance to ground at each node, S, which may be negative.
    pub(super) fn factor(&mut self, to_ground: &[f64]) -> Result<(), NotPositiveDefinite> {
        let nodes = self.pivots.len();
        self.scratch.clear(nodes);
        let Scratch { ground, column: work, waiting, following, next_entry } = &mut self.scratch;
        let (starts, rows) = (&*self.starts, &*self.rows);
        for (&place, &siemens) in self.place.iter().zip(to_ground) {
            ground[place as usize] = siemens;
        }
        for column in 0..nodes {
            let own = starts[column]..starts[column + 1];
            for (&row, &between) in rows[own.clone()].iter().zip(&self.between[own.clone()]) {
                work[row as usize] = between;
            }
            let mut next = waiting[column];
            while next != NONE {
                let earlier = next as usize;
                next = following[earlier];
                let entry = next_entry[earlier];
                let share = self.reduced[entry] / self.pivots[earlier];
                ground[column] += share * ground[earlier];
                let further = entry + 1..starts[earlier + 1];
                for (&row, &reduced) in rows[further.clone()].iter().zip(&self.reduced[further.clone()]) {
                    work[row as usize] += share * reduced;
                }
                if !further.is_empty() {
                    next_entry[earlier] = further.start;
                    let row = rows[further.start] as usize;
                    following[earlier] = std::mem::replace(&mut waiting[row], earlier as u32);
                }
            }
            let mut pivot = 0.0;
            for (reduced, &row) in self.reduced[own.clone()].iter_mut().zip(&rows[own.clone()]) {
                *reduced = work[row as usize];
                pivot += *reduced;
            }
            pivot += ground[column];
            // Written so that NaN is refused too.
            if !(pivot > 0.0 && pivot.is_finite()) {
                return Err(NotPositiveDefinite);
            }
            self.pivots[column] = pivot;
            if !own.is_empty() {
                next_entry[column] = own.start;
                let row = rows[own.start] as usize;
                following[column] = std::mem::replace(&mut waiting[row], column as u32);
            }
        }
        Ok(())
    }

    /// Solves with the last factors: currents into the nodes, A, to potentials, V.
    pub(super) fn solve(&self, amps: &[f64]) -> Vec<f64> {
        let nodes = self.pivots.len();
        let mut x = vec![0.0; nodes];
        for (&place, &a) in self.place.iter().zip(amps) {
            x[place as usize] = a;
        }
        for column in 0..nodes {
            let share = x[column] / self.pivots[column];
            for (row, reduced) in self.column(column) {
                x[row] += reduced * share;
            }
        }
        for column in (0..nodes).rev() {
            let mut sum = x[column];
            for (row, reduced) in self.column(column) {
                sum += reduced * x[row];
            }
            x[column] = sum / self.pivots[column];
        }
        self.place.iter().map(|&place| x[place as usize]).collect()
    }

    /// Rows and reduced conductances of a column.
    fn column(&self, column: usize) -> impl Iterator<Item = (usize, f64)> {
        let own = self.starts[column]..self.starts[column + 1];
        let rows = self.rows[own.clone()].iter().map(|row| *row as usize);
        rows.zip(self.reduced[own].iter().copied())
    }
}

/// Place in the order of elimination of each node.
fn places(nodes: usize, links: &[(usize, usize, f64)]) -> Vec<u32> {
    // The ordering takes sorted columns without repeats, with their diagonal.
    let mut ends = vec![1; nodes + 1];
    ends[0] = 0;
    for &(a, b, _) in links {
        ends[a + 1] += 1;
        ends[b + 1] += 1;
    }
    for column in 0..nodes {
        ends[column + 1] += ends[column];
    }
    let mut beside = vec![0_u32; ends[nodes]];
    let mut fill = ends.clone();
    let pairs = links.iter().flat_map(|&(a, b, _)| [(a, b), (b, a)]);
    for (column, row) in (0..nodes).map(|node| (node, node)).chain(pairs) {
        beside[fill[column]] = row as u32;
        fill[column] += 1;
    }
    let (mut starts, mut rows) = (Vec::with_capacity(nodes + 1), Vec::with_capacity(beside.len()));
    starts.push(0_u32);
    for column in 0..nodes {
        let own = &mut beside[ends[column]..ends[column + 1]];
        own.sort_unstable();
        rows.extend(own.iter().enumerate().filter(|(i, row)| *i == 0 || own[i - 1] != **row).map(|(_, row)| *row));
        starts.push(rows.len() as u32);
    }
    match amd::order(nodes as u32, &starts, &rows, &amd::Control::default()) {
        Ok((_, place, _)) => place,
        // Any order is correct; this one is only slower.
        Err(_) => (0..nodes as u32).collect(),
    }
}

#[cfg(test)]
mod tests;
