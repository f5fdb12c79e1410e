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

/// The matrix is not positive definite: a pivot was not positive.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NotPositiveDefinite;

/// A symmetric matrix of conductances with a fixed pattern, and its factors.
///
/// Columns are kept in the order of elimination; column `k` holds the rows after `k`.
#[derive(Debug, Clone)]
pub(super) struct Conductances {
    /// Place in the order of elimination of each node.
    place: Vec<usize>,
    /// Where each column starts in `rows`; one more than columns.
    starts: Vec<usize>,
    /// Row of each entry, ascending inside a column.
    rows: Vec<usize>,
    /// Conductance of the network between column and row, S; zero where elimination fills in.
    between: Vec<f64>,
    /// The same after the columns before were eliminated.
    reduced: Vec<f64>,
    /// Pivots, S.
    pivots: Vec<f64>,
}

impl Conductances {
    /// A network of `nodes` nodes with conductances in S between pairs of different nodes. Several
    /// conductances between the same nodes add up.
    pub(super) fn new(nodes: usize, links: &[(usize, usize, f64)]) -> Self {
        let place = places(nodes, links);
        let mut columns: Vec<Vec<usize>> = vec![Vec::new(); nodes];
        let ends = |&(a, b, _): &(usize, usize, f64)| {
            let (a, b) = (place[a], place[b]);
            (a.min(b), a.max(b))
        };
        for link in links {
            let (column, row) = ends(link);
            columns[column].push(row);
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
                columns[*first].extend_from_slice(rest);
            }
            rows.extend_from_slice(&own);
            starts.push(rows.len());
        }
        let empty = vec![0.0; rows.len()];
        let mut this = Self { place, starts, reduced: empty.clone(), rows, between: empty, pivots: vec![0.0; nodes] };
        this.refill(links);
        this
    }

    /// The same network with other conductances: the same pairs of nodes in any order. The order of elimination and
    /// the pattern of the factors stay.
    pub(super) fn refill(&mut self, links: &[(usize, usize, f64)]) {
        self.between.fill(0.0);
        for &(a, b, siemens) in links {
            let (a, b) = (self.place[a], self.place[b]);
            let (column, row) = (a.min(b), a.max(b));
            let own = self.starts[column]..self.starts[column + 1];
            if let Ok(at) = self.rows[own.clone()].binary_search(&row) {
                self.between[own.start + at] += siemens;
            }
        }
    }

    /// Factors the network with a conductance to ground at each node, S, which may be negative.
    pub(super) fn factor(&mut self, to_ground: &[f64]) -> Result<(), NotPositiveDefinite> {
        let nodes = self.pivots.len();
        let mut ground = vec![0.0; nodes];
        for (node, &siemens) in to_ground.iter().enumerate() {
            ground[self.place[node]] = siemens;
        }
        // `waiting[row]` heads the list of the columns whose next entry to be used is in that row.
        const NONE: usize = usize::MAX;
        let mut waiting = vec![NONE; nodes];
        let mut following = vec![NONE; nodes];
        let mut next_entry = vec![0; nodes];
        let mut work = vec![0.0; nodes];
        for column in 0..nodes {
            let own = self.starts[column]..self.starts[column + 1];
            for entry in own.clone() {
                work[self.rows[entry]] = self.between[entry];
            }
            let mut earlier = waiting[column];
            while earlier != NONE {
                let after = following[earlier];
                let entry = next_entry[earlier];
                let share = self.reduced[entry] / self.pivots[earlier];
                ground[column] += share * ground[earlier];
                let end = self.starts[earlier + 1];
                for entry in entry + 1..end {
                    work[self.rows[entry]] += share * self.reduced[entry];
                }
                if entry + 1 < end {
                    next_entry[earlier] = entry + 1;
                    let row = self.rows[entry + 1];
                    following[earlier] = std::mem::replace(&mut waiting[row], earlier);
                }
                earlier = after;
            }
            let mut pivot = 0.0;
            for entry in own.clone() {
                self.reduced[entry] = work[self.rows[entry]];
                pivot += self.reduced[entry];
            }
            pivot += ground[column];
            // Written so that NaN is refused too.
            if !(pivot > 0.0 && pivot.is_finite()) {
                return Err(NotPositiveDefinite);
            }
            self.pivots[column] = pivot;
            if !own.is_empty() {
                next_entry[column] = own.start;
                let row = self.rows[own.start];
                following[column] = std::mem::replace(&mut waiting[row], column);
            }
        }
        Ok(())
    }

    /// Solves with the last factors: currents into the nodes, A, to potentials, V.
    pub(super) fn solve(&self, amps: &[f64]) -> Vec<f64> {
        let nodes = self.pivots.len();
        let mut x = vec![0.0; nodes];
        for (node, &a) in amps.iter().enumerate() {
            x[self.place[node]] = a;
        }
        for column in 0..nodes {
            let share = x[column] / self.pivots[column];
            for entry in self.starts[column]..self.starts[column + 1] {
                x[self.rows[entry]] += self.reduced[entry] * share;
            }
        }
        for column in (0..nodes).rev() {
            let mut sum = x[column];
            for entry in self.starts[column]..self.starts[column + 1] {
                sum += self.reduced[entry] * x[self.rows[entry]];
            }
            x[column] = sum / self.pivots[column];
        }
        self.place.iter().map(|&place| x[place]).collect()
    }
}

/// Place in the order of elimination of each node.
fn places(nodes: usize, links: &[(usize, usize, f64)]) -> Vec<usize> {
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
    let mut beside = vec![0; ends[nodes]];
    let mut fill = ends.clone();
    let pairs = links.iter().flat_map(|&(a, b, _)| [(a, b), (b, a)]);
    for (column, row) in (0..nodes).map(|node| (node, node)).chain(pairs) {
        beside[fill[column]] = row;
        fill[column] += 1;
    }
    let (mut starts, mut rows) = (Vec::with_capacity(nodes + 1), Vec::with_capacity(beside.len()));
    starts.push(0);
    for column in 0..nodes {
        let own = &mut beside[ends[column]..ends[column + 1]];
        own.sort_unstable();
        rows.extend(own.iter().enumerate().filter(|(i, row)| *i == 0 || own[i - 1] != **row).map(|(_, row)| *row));
        starts.push(rows.len());
    }
    match amd::order(nodes, &starts, &rows, &amd::Control::default()) {
        Ok((_, place, _)) => place,
        // Any order is correct; this one is only slower.
        Err(_) => (0..nodes).collect(),
    }
}

#[cfg(test)]
mod tests;
