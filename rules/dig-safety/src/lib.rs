//! The topic `dig-safety`: whether buried lines are located before the ground is opened.
