//! Finds the operating point of one group: the voltages that are reached continuously when the
//! loads are raised from nothing.
//!
//! The unknowns are drops below the highest EMF, not voltages: a drop is a sum of positive terms, a
//! voltage the difference of two larger numbers. With `V` the voltages, `G` the conductances, `J`
//! the sources and `I(V)` the loads, the network is `F(V) = G·V − J + I(V) = 0`. `G` is a symmetric
//! M-matrix and each load's current is a convex function of its voltage, so that `F` is convex.
//! Hence, from any voltages at or above the operating point, such as those without load:
//!
//! - every step of Newton's method goes down and none goes below the operating point;
//! - the Jacobian `G − diag(P/V²)` stays positive definite on the way there.
//!
//! So a pivot that is not positive, or a load without positive voltage, proves that there is no
//! operating point, and no count of iterations is needed for that verdict.

use super::matrix::Conductances;

/// What a load draws at its full share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Draw {
    /// A constant power, W or VA.
    Power(f64),
    /// A constant current, A.
    Current(f64),
    /// A conductance, S.
    Conductance(f64),
}

impl Draw {
    /// Current at a voltage, A.
    pub(super) fn amps(self, volts: f64) -> f64 {
        match self {
            Self::Power(power) => power / volts,
            Self::Current(amps) => amps,
            Self::Conductance(siemens) => volts * siemens,
        }
    }

    /// How fast that current grows with the voltage, S.
    fn slope(self, volts: f64) -> f64 {
        match self {
            Self::Power(power) => -power / (volts * volts),
            Self::Current(_) => 0.0,
            Self::Conductance(siemens) => siemens,
        }
    }
}

/// A load of the group.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Load {
    /// Index of the luminaire in the layout.
    pub(super) luminaire: usize,
    /// Unknown that its voltage hangs on; `None` where a source without resistance holds it.
    pub(super) unknown: Option<usize>,
    /// Its voltage where that drop is zero, V.
    pub(super) top_volts: f64,
    /// What it draws.
    pub(super) draw: Draw,
    /// Below this it is off, V; 0 where it has no cut-out.
    pub(super) cut_out_volts: f64,
}

impl Load {
    /// Its voltage.
    pub(super) fn volts(&self, drops: &[f64]) -> f64 {
        self.top_volts - self.unknown.map_or(0.0, |u| drops[u])
    }
}

/// The network of one group, its unknown drops numbered from 0.
#[derive(Debug, Clone)]
pub(super) struct System {
    /// Conductances between the unknowns.
    pub(super) conductances: Conductances,
    /// Conductance from each unknown to what the sources hold, S.
    pub(super) to_ground: Vec<f64>,
    /// Current that each unknown would need without a drop, A: what sources below the highest take.
    pub(super) source_amps: Vec<f64>,
    /// Its loads.
    pub(super) loads: Vec<Load>,
    /// Highest EMF, V.
    pub(super) scale_volts: f64,
}

/// There is no operating point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct NoOperatingPoint;

/// More steps than Newton's method can take towards a point that exists. Next to the limit of power
/// the distance halves with each step until rounding hides it after some 50.
const STEPS: usize = 200;

/// More steps than it takes to find where a load has certain volts, unless that is next to the limit of power.
const STEPS_TO_MEET: usize = 30;

impl System {
    /// The drops with every load off.
    pub(super) fn no_load(&mut self) -> Result<Vec<f64>, NoOperatingPoint> {
        self.conductances.factor(&self.to_ground).map_err(|_| NoOperatingPoint)?;
        Ok(self.conductances.solve(&self.source_amps))
    }

    /// The drops where the `lit` loads draw `share` (0 to 1) of what they ask for. `from` must not be below the answer in
    /// voltage: no load, or the answer for a smaller share of the same loads.
    pub(super) fn operate(&mut self, from: &[f64], lit: &[bool], share: f64) -> Result<Vec<f64>, NoOperatingPoint> {
        let mut drops = from.to_vec();
        let mut step_before = f64::INFINITY;
        let curved = self.loads.iter().zip(lit).any(|(load, lit)| *lit && matches!(load.draw, Draw::Power(_)));
        for _ in 0..STEPS {
            let next = self.step(&drops, lit, share)?;
            let step = next.iter().zip(&drops).map(|(n, d)| (n - d).abs()).fold(0.0, f64::max) / self.scale_volts;
            drops = next;
            // Newton's error after a step is of the order of its square. Close to the limit of power
            // rounding alone keeps steps above the first bound; there they stop shrinking.
            if !curved || step <= 1e-12 || (step <= 1e-8 && step >= step_before) {
                let stands = self.loads.iter().zip(lit).all(|(load, lit)| !lit || load.volts(&drops) > 0.0);
                return if stands { Ok(drops) } else { Err(NoOperatingPoint) };
            }
            step_before = step;
        }
        // Within rounding of the limit of power, where there is no telling on which side.
        Err(NoOperatingPoint)
    }

    /// How fast the drops grow with the share of the loads at an operating point, V for a share of 1.
    pub(super) fn slope(&mut self, drops: &[f64], lit: &[bool], share: f64) -> Result<Vec<f64>, NoOperatingPoint> {
        let mut to_ground = self.to_ground.clone();
        let mut amps = vec![0.0; to_ground.len()];
        for (load, _) in self.loads.iter().zip(lit).filter(|(_, lit)| **lit) {
            let Some(u) = load.unknown else { continue };
            let volts = load.volts(drops);
            amps[u] += load.draw.amps(volts);
            to_ground[u] += share * load.draw.slope(volts);
        }
        self.conductances.factor(&to_ground).map_err(|_| NoOperatingPoint)?;
        Ok(self.conductances.solve(&amps))
    }

    /// The share at which a lit load has these volts, with the drops there: Newton's method on both together. `from` is
    /// an operating point of the same lit loads at the share beside it. It need not lead anywhere; where it does, the
    /// Jacobian is positive definite, so that what it leads to is the operating point of that share.
    pub(super) fn meet(
        &mut self,
        load: usize,
        volts: f64,
        from: (&[f64], f64),
        lit: &[bool],
    ) -> Option<(f64, Vec<f64>)> {
        let (unknown, wanted) = (self.loads[load].unknown?, self.loads[load].top_volts - volts);
        let (mut drops, mut share) = (from.0.to_vec(), from.1);
        for _ in 0..STEPS_TO_MEET {
            // The currents of the loads at a share of 1, and what hangs on their tangents.
            let mut amps = vec![0.0; drops.len()];
            let mut rest = self.source_amps.clone();
            let mut to_ground = self.to_ground.clone();
            for (load, _) in self.loads.iter().zip(lit).filter(|(_, lit)| **lit) {
                let volts = load.volts(&drops);
                if volts.is_nan() || volts <= 0.0 {
                    return None;
                }
                let Some(u) = load.unknown else { continue };
                amps[u] += load.draw.amps(volts);
                let tangent = share * load.draw.slope(volts);
                to_ground[u] += tangent;
                rest[u] += tangent * (load.top_volts - volts);
            }
            self.conductances.factor(&to_ground).ok()?;
            let (of_rest, of_loads) = (self.conductances.solve(&rest), self.conductances.solve(&amps));
            let next_share = (wanted - of_rest[unknown]) / of_loads[unknown];
            if !(next_share.is_finite() && next_share > 0.0) {
                return None;
            }
            let next: Vec<f64> = of_rest.iter().zip(&of_loads).map(|(rest, own)| rest + next_share * own).collect();
            let step = next.iter().zip(&drops).map(|(n, d)| (n - d).abs()).fold(0.0, f64::max) / self.scale_volts;
            let stands = step <= 1e-12 && (next_share - share).abs() <= 1e-12 * next_share;
            (drops, share) = (next, next_share);
            if stands {
                return Some((share, drops));
            }
        }
        None
    }

    /// One step of Newton's method: each load is replaced by its tangent at the present voltage.
    fn step(&mut self, drops: &[f64], lit: &[bool], share: f64) -> Result<Vec<f64>, NoOperatingPoint> {
        let mut to_ground = self.to_ground.clone();
        let mut amps = self.source_amps.clone();
        for (load, _) in self.loads.iter().zip(lit).filter(|(_, lit)| **lit) {
            let volts = load.volts(drops);
            if volts.is_nan() || volts <= 0.0 {
                return Err(NoOperatingPoint);
            }
            let Some(u) = load.unknown else { continue };
            match load.draw {
                Draw::Power(power) => {
                    let at_present = share * power / volts;
                    to_ground[u] -= at_present / volts;
                    amps[u] += at_present * (2.0 - load.top_volts / volts);
                }
                Draw::Current(current) => amps[u] += share * current,
                Draw::Conductance(siemens) => {
                    to_ground[u] += share * siemens;
                    amps[u] += share * siemens * load.top_volts;
                }
            }
        }
        self.conductances.factor(&to_ground).map_err(|_| NoOperatingPoint)?;
        Ok(self.conductances.solve(&amps))
    }
}
