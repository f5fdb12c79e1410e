//! House rules on the lights along a path.

mod uneven_spacing;

lintern_rule::module! { name: "pathway", rules: [uneven_spacing::RULE] }
