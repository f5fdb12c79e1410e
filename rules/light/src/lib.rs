//! The topic `light`: what a person sees: how much light, of which white, from where, and how it is dimmed.

mod support;

mod mixed_whites;
mod unfit_dimmer;
mod unshielded_glare;
mod unshielded_uplight;
mod unusual_flux;

lintern_rule::rules! {
    name: "light",
    rules: [
        unusual_flux::RULE,
        mixed_whites::RULE,
        unfit_dimmer::RULE,
        unshielded_glare::RULE,
        unshielded_uplight::RULE,
    ],
}
