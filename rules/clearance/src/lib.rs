//! The topic `clearance`: whether the lighting keeps its distance from water, from other lines and from other circuits.

mod barrier;
mod distance;
mod methods;
mod pool_system;
mod support;
mod table;
mod underwater;
mod water;
mod zones;

mod captive_fountain_luminaire;
mod close_gas_line;
mod excess_zone_voltage;
mod hot_lamp_near_plants;
mod junction_in_pool_zone;
mod lighting_by_pond;
mod long_fountain_cord;
mod low_ip_in_pool_zone;
mod luminaire_near_pool;
mod mixed_systems;
mod receptacle_near_pool;
mod shallow_pool_luminaire;
mod supply_in_pool_zone;
mod supply_near_pool;
mod tree_span;
mod unsafe_underwater_supply;
mod unsuited_wiring_by_pool;
mod wiring_near_pool;
mod wiring_under_pool;

lintern_rule::rules! {
    name: "clearance",
    rules: [
        luminaire_near_pool::RULE,
        wiring_near_pool::RULE,
        supply_near_pool::RULE,
        receptacle_near_pool::RULE,
        unsuited_wiring_by_pool::RULE,
        wiring_under_pool::RULE,
        shallow_pool_luminaire::RULE,
        unsafe_underwater_supply::RULE,
        long_fountain_cord::RULE,
        captive_fountain_luminaire::RULE,
        lighting_by_pond::RULE,
        excess_zone_voltage::RULE,
        supply_in_pool_zone::RULE,
        low_ip_in_pool_zone::RULE,
        junction_in_pool_zone::RULE,
        close_gas_line::RULE,
        mixed_systems::RULE,
        tree_span::RULE,
        hot_lamp_near_plants::RULE,
    ],
}
