//! The topic `dig-safety`: whether buried lines are located before the ground is opened.
//!
//! Owners' exemptions are not applied: the plan is a contractor's. Emergency digging is out of scope. No rule of this
//! topic ever says that digging may begin.

mod days;
mod nearness;
mod opening;
mod states;

mod assumed_utility;
mod early_request;
mod expired_ticket;
mod locate_before_digging;
mod machine_in_tolerance_zone;
mod missing_ticket;
mod no_white_lining;
mod private_lines;
mod short_notice;
mod tolerance_zone_crossing;
mod unanswered_request;

lintern_rule::rules! {
    name: "dig-safety",
    rules: [
        missing_ticket::RULE,
        short_notice::RULE,
        early_request::RULE,
        expired_ticket::RULE,
        unanswered_request::RULE,
        no_white_lining::RULE,
        machine_in_tolerance_zone::RULE,
        tolerance_zone_crossing::RULE,
        private_lines::RULE,
        assumed_utility::RULE,
        locate_before_digging::RULE,
    ],
}
