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
