//! The topic `feed`: where supplies hang, how the mains reach them, and what supplies and luminaires are listed for.

mod enclosure;
mod place;
mod receptacle;
mod support;

mod grounded_output;
mod low_mounting;
mod missing_gfci;
mod missing_in_use_cover;
mod missing_rcd;
mod non_isolating_supply;
mod unlisted_luminaire;
mod unlisted_supply;
mod unsuitable_enclosure;
mod unsuitable_receptacle;

lintern_rule::rules! {
    name: "feed",
    rules: [
        unsuitable_enclosure::RULE,
        low_mounting::RULE,
        missing_gfci::RULE,
        missing_rcd::RULE,
        missing_in_use_cover::RULE,
        unsuitable_receptacle::RULE,
        non_isolating_supply::RULE,
        grounded_output::RULE,
        unlisted_supply::RULE,
        unlisted_luminaire::RULE,
    ],
}
