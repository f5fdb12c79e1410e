//! Raises the loads of a group together and drops those that fall below their cut-out.
//!
//! With the same loads lit, every voltage falls as the share of the loads rises. So "the operating
//! point exists and no lit load is below its cut-out" holds up to one share and not beyond it, and
//! the load that fails first is the one to drop. It is found by solving for the share at which a load
//! is at its cut-out, until none is below its own there. Where that leads nowhere, the share is
//! bracketed: once a bracket holds the failure of one load only, that load is the next to go.

use super::super::Unsolved;
use super::newton::System;

/// A load this close to its cut-out, relative to it, counts as at it.
const AT_CUT_OUT: f64 = 1e-9;
/// Loads that reach their cut-outs within this are dropped in the order of their ids, V.
const TIE_VOLTS: f64 = 1e-9;
/// A bracket narrower than this holds the limit of power and no cut-out before it.
const NARROWEST: f64 = 1e-15;

/// From here on, as a share of the share, voltages fall towards the limit of power by its square-root law.
const NEAR_THE_LIMIT: f64 = 1e-3;
/// How many times the fall of that law a cut-out has to be away.
const SAFELY: f64 = 10.0;

/// Work that one group may take: operating points sought, times the loads in it. Each load that is dropped costs
/// some operating points, so a hostile plan of many loads that all fall could go on for days. This allows 10,000 loads
/// several drops each.
pub(super) const MOST_WORK: usize = 1_000_000_000;

/// A group that can't carry this share of its loads can't carry any.
const LEAST: f64 = 1e-30;

/// Where a group ends up.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct EndState {
    /// Its drops, V.
    pub(super) drops: Vec<f64>,
    /// Its drops with every load off, V.
    pub(super) no_load_drops: Vec<f64>,
    /// Whether each load draws.
    pub(super) lit: Vec<bool>,
}

/// Raises the loads of the group from nothing to what they ask for, with so much work at most ([`MOST_WORK`]).
pub(super) fn raise(system: &mut System, most_work: usize) -> Result<EndState, Unsolved> {
    let no_load_drops = system.no_load().map_err(|_| Unsolved::NoOperatingPoint)?;
    let mut lit: Vec<bool> = margins(system, &no_load_drops).map(|margin| margin >= 0.0).collect();
    let mut low = Bracket { share: 0.0, drops: no_load_drops.clone() };
    // Shares that failed with more loads lit, the lowest on top; each is tried again in turn.
    let mut failed = vec![1.0];
    // Narrowing by the slope of the voltages alone can creep; every second time it is by half.
    let mut halve = false;
    // Whether the share at which the next load goes may be solved for: not once that has led nowhere for the same loads.
    let mut solve = true;
    let mut work = 0_usize;
    while let Some(&share) = failed.last() {
        work = work.saturating_add(system.loads.len());
        if work > most_work {
            return Err(Unsolved::TooManyCutOuts);
        }
        let next = match system.operate(&low.drops, &lit, share) {
            Ok(drops) => {
                let high = Bracket { share, drops };
                match next_to_go(system, &lit, &low, &high) {
                    Next::AllStand => {
                        failed.pop();
                        low = high;
                        continue;
                    }
                    Next::Goes(load) => {
                        lit[load] = false;
                        low = without_dropped(system, &lit, low.share, &no_load_drops);
                        (halve, solve) = (false, true);
                        continue;
                    }
                    Next::Between(guess) => Some(guess),
                }
            }
            Err(_) if share - low.share <= NARROWEST * share || share < LEAST || !any_can_fall(system, &lit) => {
                return Err(Unsolved::NoOperatingPoint);
            }
            Err(_) => None,
        };
        if solve {
            work = work.saturating_add(system.loads.len());
            if let Some((load, at)) = first_to_fall(system, &lit, &low, share) {
                lit[load] = false;
                low = without_dropped(system, &lit, at, &no_load_drops);
                halve = false;
                continue;
            }
            solve = false;
        }
        if next.is_none() && all_stand_to_the_limit(system, &lit, &low, share) {
            return Err(Unsolved::NoOperatingPoint);
        }
        let middle = low.share + (share - low.share) / 2.0;
        match next {
            Some(guess) => {
                failed.push(if halve { middle } else { guess });
                halve = !halve;
            }
            None => failed.push(middle),
        }
    }
    let dark_stay_dark = margins(system, &low.drops).zip(&lit).all(|(margin, lit)| *lit || margin < 0.0);
    if dark_stay_dark { Ok(EndState { drops: low.drops, no_load_drops, lit }) } else { Err(Unsolved::NoSteadyState) }
}

/// Whether a load that is lit has a cut-out: where none has, no share fails for another reason than the limit of power.
fn any_can_fall(system: &System, lit: &[bool]) -> bool {
    system.loads.iter().zip(lit).any(|(load, lit)| *lit && load.cut_out_volts > 0.0)
}

/// The operating point at a share once a load is dropped: all others stand there, with higher voltages. It is sought from
/// no load, since what was computed with the load is below it, where the Jacobian need not be positive definite.
fn without_dropped(system: &mut System, lit: &[bool], share: f64, no_load_drops: &[f64]) -> Bracket {
    match system.operate(no_load_drops, lit, share) {
        Ok(drops) => Bracket { share, drops },
        // Only by rounding.
        Err(_) => Bracket { share: 0.0, drops: no_load_drops.to_vec() },
    }
}

/// Loads that are tried as the first to fall between two shares.
const MOST_TRIED: usize = 8;

/// The load that falls first above the bracket, with the share at which it is at its cut-out; `None` where solving for
/// that leads to no share up to `most`. There all lit loads stand, so they do at every smaller share.
fn first_to_fall(system: &mut System, lit: &[bool], low: &Bracket, most: f64) -> Option<(usize, f64)> {
    let slope = system.slope(&low.drops, lit, low.share).ok()?;
    let above: Vec<f64> = margins(system, &low.drops).collect();
    let falling = |load: &usize| lit[*load] && system.loads[*load].cut_out_volts > 0.0;
    let reached = |load: usize| system.loads[load].unknown.map_or(f64::INFINITY, |own| above[load] / slope[own]);
    let mut load = (0..lit.len()).filter(falling).min_by(|a, b| reached(*a).total_cmp(&reached(*b)))?;
    for _ in 0..MOST_TRIED {
        let at_cut_out = system.loads[load].cut_out_volts * (1.0 - AT_CUT_OUT);
        let (share, drops) = system.meet(load, at_cut_out, (&low.drops, low.share), lit)?;
        if share > most {
            return None;
        }
        let there: Vec<(usize, f64)> = margins(system, &drops).enumerate().filter(|(own, _)| lit[*own]).collect();
        let (lowest, below) = there.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))?;
        if below >= -TIE_VOLTS {
            let (first, _) = there.iter().find(|(own, margin)| *own == load || *margin < TIE_VOLTS)?;
            return Some((*first, share));
        }
        load = lowest;
    }
    None
}

/// Whether no lit load reaches its cut-out before the limit of power, which is between the bracket and `failed`.
///
/// The limit is a fold: F is convex and the loads that bend it all bend it one way, so at a distance `d` from the limit
/// the drops are those of the limit less a multiple of the square root of `d`. What is still to fall is therefore
/// twice `d` times the slope, or less where a drop grows evenly.
fn all_stand_to_the_limit(system: &mut System, lit: &[bool], low: &Bracket, failed: f64) -> bool {
    if failed - low.share > NEAR_THE_LIMIT * failed {
        return false;
    }
    let Ok(slope) = system.slope(&low.drops, lit, low.share) else { return false };
    let reach = SAFELY * 2.0 * (failed - low.share);
    let still_to_fall = |unknown: Option<usize>| unknown.map_or(0.0, |unknown| reach * slope[unknown].abs());
    let mut lit_loads = system.loads.iter().zip(margins(system, &low.drops)).zip(lit).filter(|(_, lit)| **lit);
    lit_loads.all(|((load, margin), _)| load.cut_out_volts == 0.0 || margin > still_to_fall(load.unknown))
}

/// An end of the bracket: a share of the loads and the drops there.
struct Bracket {
    share: f64,
    drops: Vec<f64>,
}

/// What is known of the loads between two shares.
enum Next {
    /// No lit load is below its cut-out at the upper share.
    AllStand,
    /// This load is the first to fall below its cut-out.
    Goes(usize),
    /// Several fall; the first of them probably before this share and the second after it.
    Between(f64),
}

fn next_to_go(system: &System, lit: &[bool], low: &Bracket, high: &Bracket) -> Next {
    let mut fallen = false;
    // Share where each candidate reaches its cut-out if its voltage falls in a straight line.
    let mut candidates: Vec<(usize, f64)> = Vec::new();
    let mut fall_volts: f64 = 0.0;
    for (index, (above, below)) in margins(system, &low.drops).zip(margins(system, &high.drops)).enumerate() {
        if lit[index] && below < TIE_VOLTS {
            fallen |= below < 0.0;
            let reached = if above > below { above / (above - below) } else { 1.0 };
            candidates.push((index, low.share + reached.clamp(0.0, 1.0) * (high.share - low.share)));
            fall_volts = fall_volts.max(above - below);
        }
    }
    match candidates.as_slice() {
        _ if !fallen => Next::AllStand,
        [(only, _)] => Next::Goes(*only),
        // All of them are within the tie, or the shares are neighbouring numbers.
        [(first, _), ..] if fall_volts <= TIE_VOLTS || high.share - low.share <= NARROWEST * high.share => {
            Next::Goes(*first)
        }
        _ => {
            candidates.sort_by(|a, b| a.1.total_cmp(&b.1));
            Next::Between(
                f64::midpoint(candidates[0].1, candidates[1].1)
                    .clamp(low.share + (high.share - low.share) / 64.0, high.share - (high.share - low.share) / 64.0),
            )
        }
    }
}

/// How far each load is above its cut-out, V; within [`AT_CUT_OUT`] it is not below.
fn margins<'a>(system: &'a System, drops: &'a [f64]) -> impl Iterator<Item = f64> + 'a {
    system.loads.iter().map(|load| load.volts(drops) - load.cut_out_volts * (1.0 - AT_CUT_OUT))
}

#[cfg(test)]
mod tests {
    use super::super::matrix::Conductances;
    use super::super::newton::{Draw, Load};
    use super::*;
    use proptest::prelude::*;

    /// Three loads of 1 A on 12 V behind 1 ohm, with these cut-outs.
    fn three_loads(cut_outs: [f64; 3]) -> System {
        let load = |(luminaire, cut_out_volts)| Load {
            luminaire,
            unknown: Some(0),
            top_volts: 12.0,
            draw: Draw::Current(1.0),
            cut_out_volts,
        };
        System {
            conductances: Conductances::new(1, &[]),
            to_ground: vec![1.0],
            source_amps: vec![0.0],
            loads: cut_outs.into_iter().enumerate().map(load).collect(),
            scale_volts: 12.0,
        }
    }

    #[test]
    fn work_is_one_operating_point_for_each_load_and_has_an_end() {
        // 9 V with all three: one operating point.
        assert_eq!(raise(&mut three_loads([8.0; 3]), 3).map(|end| end.drops), Ok(vec![3.0]));
        assert_eq!(raise(&mut three_loads([8.0; 3]), 2), Err(Unsolved::TooManyCutOuts));
        // The last one falls and leaves 10 V: a second operating point.
        let end = raise(&mut three_loads([8.0, 8.0, 11.0]), 6).unwrap();
        assert_eq!((end.drops, end.no_load_drops, end.lit), (vec![2.0], vec![0.0], vec![true, true, false]));
        assert_eq!(raise(&mut three_loads([8.0, 8.0, 11.0]), 5), Err(Unsolved::TooManyCutOuts));
    }

    /// The same search without the law of the fold: every failure is bracketed down to neighbouring numbers.
    fn raise_by_halves(system: &mut System) -> Result<(Vec<f64>, Vec<bool>), Unsolved> {
        let no_load_drops = system.no_load().map_err(|_| Unsolved::NoOperatingPoint)?;
        let mut lit: Vec<bool> = margins(system, &no_load_drops).map(|margin| margin >= 0.0).collect();
        let no_load = || Bracket { share: 0.0, drops: no_load_drops.clone() };
        let mut low = no_load();
        let mut failed = vec![1.0];
        while let Some(&share) = failed.last() {
            let middle = low.share + (share - low.share) / 2.0;
            match system.operate(&low.drops, &lit, share) {
                Err(_) if share - low.share <= NARROWEST * share => return Err(Unsolved::NoOperatingPoint),
                Err(_) => failed.push(middle),
                Ok(drops) => match next_to_go(system, &lit, &low, &Bracket { share, drops: drops.clone() }) {
                    Next::AllStand => {
                        failed.pop();
                        low = Bracket { share, drops };
                    }
                    Next::Goes(load) => {
                        lit[load] = false;
                        low = no_load();
                    }
                    Next::Between(_) => failed.push(middle),
                },
            }
        }
        let dark_stay_dark = margins(system, &low.drops).zip(&lit).all(|(margin, lit)| *lit || margin < 0.0);
        if dark_stay_dark { Ok((low.drops, lit)) } else { Err(Unsolved::NoSteadyState) }
    }

    /// Loads along one cable from a source of 12 V.
    fn chain(ohms: &[f64], loads: &[(Draw, f64)]) -> System {
        let siemens: Vec<f64> = ohms.iter().map(|ohms| 1.0 / ohms).collect();
        let between: Vec<(usize, usize, f64)> = (1..ohms.len()).map(|node| (node - 1, node, siemens[node])).collect();
        let mut to_ground = vec![0.0; ohms.len()];
        to_ground[0] = siemens[0];
        let load = |(unknown, &(draw, cut_out_volts))| Load {
            luminaire: unknown,
            unknown: Some(unknown),
            top_volts: 12.0,
            draw,
            cut_out_volts,
        };
        System {
            conductances: Conductances::new(ohms.len(), &between),
            to_ground,
            source_amps: vec![0.0; ohms.len()],
            loads: loads.iter().enumerate().map(load).collect(),
            scale_volts: 12.0,
        }
    }

    fn draw() -> impl Strategy<Value = Draw> {
        prop_oneof![
            4 => (0.2..40.0).prop_map(Draw::Power),
            1 => (0.05..3.0).prop_map(Draw::Current),
            1 => (0.02..0.5).prop_map(Draw::Conductance),
        ]
    }

    /// None, or anywhere: the voltage at the limit of power is about half of that of the source.
    fn cut_out() -> impl Strategy<Value = f64> {
        prop_oneof![2 => Just(0.0), 3 => 4.0..8.0, 1 => 0.5..11.5]
    }

    /// Six loads of 6 W behind 3 ohm, of which one can stand: five go, each by one operating point that fails and one
    /// that is solved for, and one point is left to find. By brackets it takes several for each, as they fall together.
    #[test]
    fn what_goes_next_is_solved_for() {
        let ohms = [3.0, 0.05, 0.05, 0.05, 0.05, 0.05];
        let loads = [(Draw::Power(6.0), 8.0); 6];
        assert_eq!(raise(&mut chain(&ohms, &loads), 6 * (5 * 2 + 1)), Err(Unsolved::NoSteadyState));
    }

    /// 12 V, 1.66 ohm to 20.5 W, 0.58 ohm more to a lamp of 0.22 S that goes out below 4.42 V. With V for the volts at the
    /// first and s for the share, V (12 - V) = 1.66 (20.5 s + V^2 s 0.22 / (1 + 0.58 s 0.22)), which ends at s = 0.83. The
    /// lamp is at 4.42 V at 0.829, before that, and without it the first gets 6 + sqrt(36 - 1.66 x 20.5) = 7.4 V in the end:
    /// enough to light the lamp again.
    #[test]
    fn a_lamp_that_goes_out_may_be_what_kept_the_others_from_the_limit_of_power() {
        let ohms = [1.66, 0.58];
        let loads = [(Draw::Power(20.5), 0.0), (Draw::Conductance(0.22), 4.42)];
        assert_eq!(raise(&mut chain(&ohms, &loads), MOST_WORK), Err(Unsolved::NoSteadyState));
        assert_eq!(raise_by_halves(&mut chain(&ohms, &loads)), Err(Unsolved::NoSteadyState));
        let alone = raise(&mut chain(&ohms[..1], &loads[..1]), MOST_WORK).unwrap();
        assert!((alone.drops[0] - (6.0 - (36.0 - 1.66 * 20.5_f64).sqrt())).abs() < 1e-9, "{alone:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 3_000, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn the_law_of_the_fold_ends_no_search_that_would_find_a_load_to_drop(
            links in prop::collection::vec((0.05..2.0, draw(), cut_out()), 1..7)
        ) {
            let ohms: Vec<f64> = links.iter().map(|(ohms, ..)| *ohms).collect();
            let loads: Vec<(Draw, f64)> = links.iter().map(|(_, draw, cut_out)| (*draw, *cut_out)).collect();
            let by_law = raise(&mut chain(&ohms, &loads), MOST_WORK);
            let by_halves = raise_by_halves(&mut chain(&ohms, &loads));
            match (by_law, by_halves) {
                (Ok(end), Ok((drops, lit))) => {
                    prop_assert_eq!(&end.lit, &lit);
                    for (one, other) in end.drops.iter().zip(&drops) {
                        prop_assert!((one - other).abs() <= 1e-8, "{:?} and {:?}", end.drops, drops);
                    }
                }
                (one, other) => prop_assert_eq!(one.err(), other.err()),
            }
        }
    }
}
