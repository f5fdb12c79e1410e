//! Luminaires to circuits and circuits to supplies, so that no output and no supply carries more than it may.

use super::catalogue::SupplyChoice;
use super::group::Group;
use super::limits::{Limits, above};
use super::path;
use crate::layout::PointM;

/// Most supplies of one group.
const MOST_SUPPLIES: usize = 64;

/// Luminaires on one output.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Circuit {
    /// Indices into the lamps of its group.
    pub(super) lamps: Vec<usize>,
    /// Index into the supplies of the split.
    pub(super) supply: usize,
    /// Index into the outputs of that supply's type.
    pub(super) output: usize,
}

/// A group of luminaires on its supplies.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Split {
    /// For each supply the index of its type among the group's choices.
    pub(super) supplies: Vec<usize>,
    pub(super) circuits: Vec<Circuit>,
}

/// What is asked of a split.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wish {
    pub(super) limits: Limits,
    /// Factor on loads and currents for what cables add; 1 at first.
    pub(super) allowance: f64,
    /// Circuits more than loads need.
    pub(super) more_circuits: usize,
}

/// Splits a group: the smallest type that takes all of it alone, else as few of the largest as will do, the last of
/// them no larger than need be. `Err` is a sentence.
pub(super) fn split(group: &Group, start: PointM, wish: Wish) -> Result<Split, String> {
    let places: Vec<PointM> = group.lamps.iter().map(|lamp| lamp.at).collect();
    let order = path::sweep(start, &places);
    for (index, choice) in group.supplies.iter().enumerate() {
        if let Some(circuits) = circuits(group, &order, choice, &choice.circuit_a, wish)
            && fits(group, choice, &circuits, wish)
        {
            return Ok(assemble(&[(index, circuits)], group));
        }
    }
    let largest = |choice: &SupplyChoice| {
        let by_outputs = choice.circuit_a.iter().sum::<f64>() * choice.volts;
        by_outputs.min(choice.rating_va * wish.limits.loading_percent / 100.0)
    };
    let most = (0..group.supplies.len())
        .max_by(|&a, &b| largest(&group.supplies[a]).total_cmp(&largest(&group.supplies[b])).then(b.cmp(&a)));
    let too_large = || {
        let lamp_va = group.lamps.iter().map(|lamp| lamp.design_va).fold(0.0, f64::max);
        format!(
            "no output of {} V can carry a single luminaire of {lamp_va:.0} VA; the schedule needs a larger supply or a higher voltage",
            group.volts
        )
    };
    let most = most.ok_or_else(too_large)?;
    let all = circuits(group, &order, &group.supplies[most], &shared(&group.supplies[most], wish), wish);
    let all = all.ok_or_else(too_large)?;
    let mut taken: Vec<(usize, Vec<Vec<usize>>)> = Vec::new();
    for circuit in all {
        if let Some((_, last)) = taken.last_mut() {
            last.push(circuit);
            if fits(group, &group.supplies[most], last, wish) {
                continue;
            }
            let moved = last.pop();
            taken.push((most, moved.into_iter().collect()));
        } else {
            taken.push((most, vec![circuit]));
        }
    }
    if taken.len() > MOST_SUPPLIES {
        return Err(format!("the load asks for {} supplies; at most {MOST_SUPPLIES} are proposed", taken.len()));
    }
    for (kind, circuits) in &mut taken {
        let smallest = (0..group.supplies.len()).find(|&index| fits(group, &group.supplies[index], circuits, wish));
        *kind = smallest.ok_or_else(too_large)?;
    }
    Ok(assemble(&taken, group))
}

/// What the outputs of one of several supplies can carry, A. Where they are unequal, the later ones get what the earlier
/// ones leave of the rating, so that the circuits of a supply fit together and the next supply begins with its largest.
fn shared(choice: &SupplyChoice, wish: Wish) -> Vec<f64> {
    if choice.circuit_a.windows(2).all(|pair| pair[0] == pair[1]) {
        return choice.circuit_a.clone();
    }
    let mut left_a = choice.rating_va * wish.limits.loading_percent / 100.0 / choice.volts;
    let share = |amps: &f64| {
        let own_a = amps.min(left_a);
        left_a -= own_a;
        own_a
    };
    choice.circuit_a.iter().map(share).collect()
}

/// The circuits that a type's outputs ask for, one for each output in turn, empty where an output is too small for the
/// next luminaire; `None` where one luminaire alone is too much for any of them.
fn circuits(
    group: &Group,
    order: &[usize],
    choice: &SupplyChoice,
    outputs_a: &[f64],
    wish: Wish,
) -> Option<Vec<Vec<usize>>> {
    let by_rating = choice.rating_va * wish.limits.loading_percent / 100.0 / choice.volts;
    let most: Vec<f64> = outputs_a.iter().map(|amps| amps.min(by_rating) / wish.allowance).collect();
    let amps: Vec<f64> =
        order.iter().map(|&lamp| group.lamps[lamp].amps.max(group.lamps[lamp].design_va / group.volts)).collect();
    let least = path::cut(&amps, &most, 1)?.len();
    let ends = path::cut(&amps, &most, least + wish.more_circuits)?;
    let mut from = 0;
    let mut circuits = Vec::with_capacity(ends.len());
    for to in ends {
        circuits.push(order[from..to].to_vec());
        from = to;
    }
    Some(circuits)
}

/// Whether a supply of a type takes these circuits.
fn fits(group: &Group, choice: &SupplyChoice, circuits: &[Vec<usize>], wish: Wish) -> bool {
    let sum = |lamps: &[usize], of: fn(&super::group::Lamp) -> f64| -> f64 {
        lamps.iter().map(|&lamp| of(&group.lamps[lamp])).sum::<f64>() * wish.allowance
    };
    let amps = |lamps: &[usize]| sum(lamps, |lamp| lamp.amps);
    let drawn_va: f64 = circuits.iter().map(|lamps| amps(lamps) * group.volts).sum();
    let nameplate_va: f64 = circuits.iter().map(|lamps| sum(lamps, |lamp| lamp.design_va)).sum();
    circuits.len() <= choice.outputs.len()
        && circuits.iter().zip(&choice.circuit_a).all(|(lamps, most)| !above(amps(lamps), *most))
        && !above(drawn_va.max(nameplate_va), choice.rating_va * wish.limits.loading_percent / 100.0)
}

fn assemble(taken: &[(usize, Vec<Vec<usize>>)], group: &Group) -> Split {
    let mut split = Split { supplies: Vec::new(), circuits: Vec::new() };
    for (supply, (kind, circuits)) in taken.iter().enumerate() {
        split.supplies.push(*kind);
        let used = circuits.iter().zip(&group.supplies[*kind].outputs).filter(|(lamps, _)| !lamps.is_empty());
        for (lamps, output) in used {
            split.circuits.push(Circuit { lamps: lamps.clone(), supply, output: *output });
        }
    }
    split
}
