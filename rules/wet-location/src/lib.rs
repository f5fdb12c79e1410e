//! The topic `wet-location`: whether luminaires, joints, cables and supplies stand up to the water, the sun and the
//! wheels of the place they are put in.

mod ip;
mod support;
mod table;

mod exceeded_immersion_depth;
mod insufficient_ip;
mod insufficient_traffic_load;
mod small_excavation;
mod standing_water;
mod sun_exposed_cable;
mod undrained_luminaire;
mod unsuitable_listing;
mod unsuitable_splice;

lintern_rule::rules! {
    name: "wet-location",
    rules: [
        unsuitable_listing::RULE,
        insufficient_ip::RULE,
        exceeded_immersion_depth::RULE,
        unsuitable_splice::RULE,
        sun_exposed_cable::RULE,
        insufficient_traffic_load::RULE,
        undrained_luminaire::RULE,
        small_excavation::RULE,
        standing_water::RULE,
    ],
}
