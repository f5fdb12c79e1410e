//! Readings of finished work with a fault in it: the fault is among what is named, and alone where the readings suffice.

mod closed_forms;
mod faults;
mod networks;
mod seeded;
mod told;
