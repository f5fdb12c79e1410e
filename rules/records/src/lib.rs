//! The topic `records`: what is to be planned, tested and written down, and whether its days make sense.

mod support;

mod impossible_date;
mod missing_handover_record;
mod missing_mock_up;
mod missing_test_record;
mod overdue_record;

lintern_rule::rules! {
    name: "records",
    rules: [
        missing_mock_up::RULE,
        missing_test_record::RULE,
        missing_handover_record::RULE,
        impossible_date::RULE,
        overdue_record::RULE,
    ],
}
