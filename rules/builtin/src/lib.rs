//! The module of the built-in rules: those of every topic.

lintern_rule::module! {
    name: "builtin",
    of: [
        lintern_as_built::MODULE,
        lintern_burial::MODULE,
        lintern_clearance::MODULE,
        lintern_dig_safety::MODULE,
        lintern_feed::MODULE,
        lintern_light::MODULE,
        lintern_loading::MODULE,
        lintern_records::MODULE,
        lintern_voltage::MODULE,
        lintern_wet_location::MODULE,
    ],
}
