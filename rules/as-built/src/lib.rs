//! The topic `as-built`: what was read on the finished work, beside what the plan gives.

mod support;

mod located_fault;
mod undetermined_fault;
mod unexpected_reading;
mod voltage_out_of_range;

lintern_rule::rules! {
    name: "as-built",
    rules: [
        unexpected_reading::RULE,
        voltage_out_of_range::RULE,
        located_fault::RULE,
        undetermined_fault::RULE,
    ],
}
