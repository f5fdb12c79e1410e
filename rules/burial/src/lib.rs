//! The topic `burial`: whether cable lies deep enough, in a way that it is made for.

mod circuit;
mod edition;
mod fitness;
mod practice;
#[cfg(test)]
mod sample;
mod stretch;
mod table;
mod touch;

mod bare_conductor;
mod cable_under_building;
mod shallow_cover;
mod unguarded_emergence;
mod unmarked_cable;
mod unsleeved_crossing;
mod unsuitable_backfill;
mod unsuitable_cable;
mod unused_cover;

lintern_rule::rules! {
    name: "burial",
    rules: [
        shallow_cover::RULE,
        unused_cover::RULE,
        unsuitable_cable::RULE,
        bare_conductor::RULE,
        cable_under_building::RULE,
        unsleeved_crossing::RULE,
        unguarded_emergence::RULE,
        unsuitable_backfill::RULE,
        unmarked_cable::RULE,
    ],
}
