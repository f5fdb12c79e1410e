//! Each mistake of the trade, planted at random places of the clean demo plans: the rule that is meant says it there,
//! and no rule says anything else.

mod burial;
mod digging;
mod electrical;
mod feed;
mod geometry;
mod matrix;
mod papers;
mod plain_plan;
mod quarry_lane;
mod water;
mod wet_location;
