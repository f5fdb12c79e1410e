//! The topic `voltage`: whether every luminaire gets a voltage that it is made for.

mod support;

mod current_mismatch;
mod excess_drop;
mod excess_system_voltage;
mod joined_supplies;
mod no_load_overvoltage;
mod no_operating_point;
mod nominal_mismatch;
mod overvoltage;
mod tied_outputs;
mod undervoltage;
mod uneven_scene;
mod unfed_luminaire;

lintern_rule::rules! {
    name: "voltage",
    rules: [
        undervoltage::RULE,
        overvoltage::RULE,
        no_load_overvoltage::RULE,
        excess_drop::RULE,
        uneven_scene::RULE,
        no_operating_point::RULE,
        current_mismatch::RULE,
        nominal_mismatch::RULE,
        tied_outputs::RULE,
        joined_supplies::RULE,
        unfed_luminaire::RULE,
        excess_system_voltage::RULE,
    ],
}
