//! The topic `loading`: whether supplies, outputs, conductors and branch circuits carry no more than they may.

mod ampacity;
mod metric;
mod support;

mod exceeded_output_limit;
mod exceeded_rating;
mod excess_class_2;
mod excess_output_current;
mod overloaded_branch_circuit;
mod overloaded_conductor;
mod overloaded_supply;
mod oversized_branch_circuit;
mod paralleled_conductors;
mod unprotected_conductor;

lintern_rule::rules! {
    name: "loading",
    rules: [
        overloaded_supply::RULE,
        exceeded_rating::RULE,
        exceeded_output_limit::RULE,
        excess_output_current::RULE,
        excess_class_2::RULE,
        oversized_branch_circuit::RULE,
        overloaded_branch_circuit::RULE,
        overloaded_conductor::RULE,
        unprotected_conductor::RULE,
        paralleled_conductors::RULE,
    ],
}
