//! The circuit that a run belongs to: its voltage and how its supplies are listed.

use lintern_rule::plan::{Listing, Run};
use lintern_rule::{Input, NodeRef};
use std::collections::BTreeSet;

/// What feeds a run.
#[derive(Debug)]
pub struct Circuit {
    /// The highest stated volts of its outputs; none where nothing feeds it.
    pub volts: Option<f64>,
    /// The listing of its supplies, where the plan states one and the same for all.
    pub listing: Option<Listing>,
    /// The types of its supplies that state no listing, as missing inputs.
    pub listing_not_stated: Vec<String>,
}

impl Circuit {
    /// The circuit of a run.
    pub fn of(input: &Input, run: &Run) -> Self {
        let mut outputs: BTreeSet<(u32, u32)> = BTreeSet::new();
        for node in run.segments.iter().flat_map(|segment| [segment.start, segment.end]) {
            match node {
                NodeRef::Output(output) => {
                    outputs.insert(output);
                }
                other => {
                    outputs.extend(input.judged().node(other).iter().flat_map(|state| state.fed_by.iter().copied()))
                }
            }
        }
        let supplies = outputs.iter().map(|(supply, output)| {
            let kind = input.supply_type(&input.supplies()[*supply as usize]);
            (kind, kind.outputs[*output as usize].volts)
        });
        let volts = supplies.clone().map(|(_, volts)| volts).reduce(f64::max);
        let mut listings = supplies.clone().map(|(kind, _)| kind.listing);
        let first = listings.next().flatten();
        let listing = first.filter(|first| listings.all(|listing| listing == Some(*first)));
        let listing_not_stated: BTreeSet<String> = supplies
            .filter(|(kind, _)| kind.listing.is_none())
            .map(|(kind, _)| format!("`listing` of supply type `{}`", kind.name))
            .collect();
        Self { volts, listing, listing_not_stated: listing_not_stated.into_iter().collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lintern_rule::plan::{Segment, SupplyType};
    use lintern_rule::{Given, GivenFacts, blank, facts};

    /// The circuit of a run between two junctions that two supplies feed, at 12 V and at 24 V.
    fn circuit(listings: [Option<Listing>; 2]) -> Circuit {
        let kinds = [("small", 12.0, listings[0]), ("large", 24.0, listings[1])].map(|(name, volts, listing)| {
            SupplyType { listing, ..blank::supply_type(name, vec![blank::output("main", volts)]) }
        });
        let fed = facts::NodeState { fed_by: vec![(0, 0), (1, 0)], ..blank::node_state() };
        let (start, end) = (NodeRef::Junction(0), NodeRef::Junction(1));
        let input = Input::from(Given {
            supply_types: kinds.to_vec(),
            supplies: vec![blank::supply("S1", 0), blank::supply("S2", 1)],
            junctions: vec![blank::junction("J1"), blank::junction("J2")],
            judged: GivenFacts { junctions: vec![fed; 2], ..GivenFacts::default() },
            runs: vec![Run {
                segments: vec![Segment { start, end, length_m: 2.0, path: Vec::new() }],
                ..blank::run("R1", 0)
            }],
            ..Given::default()
        });
        Circuit::of(&input, &input.runs()[0])
    }

    /// Instructions of a listed system, and what Class 2 is spared, hold where both supplies are so listed.
    #[test]
    fn supplies_of_two_listings_have_none_together() {
        let (lighting, class_2) = (Some(Listing::LowVoltageLighting), Some(Listing::Class2));
        assert_eq!(circuit([lighting, lighting]).listing, lighting);
        assert_eq!(circuit([class_2, lighting]).listing, None);
        assert_eq!(circuit([class_2, None]).listing, None);
        assert_eq!(circuit([class_2, None]).listing_not_stated, ["`listing` of supply type `large`"]);
        assert_eq!(circuit([lighting, lighting]).volts, Some(24.0));
    }
}
