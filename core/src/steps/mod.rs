//! What remains to be done on a job, in the order of the work, from the records of its plan.
//!
//! A plan records little: a day, `planned`, or nothing. Nothing is called done because the plan is silent; a step is
//! done where the plan records it, on a day that has come and that no other day contradicts.

mod after;
mod before;
mod dig;
mod facts;
mod notice;
#[cfg(test)]
mod tests;

pub use notice::{Notice, notice};

use crate::analysis::calendar::WorkCalendar;
use crate::layout::Layout;
use crate::plan::scalar::Date;
use facts::Facts;
use serde::Serialize;

/// What the steps are told from.
#[derive(Debug, Clone, Copy)]
pub struct Job<'a> {
    /// The plan.
    pub layout: &'a Layout,
    /// Working days around the dates of the plan, where its region is known.
    pub calendar: Option<&'a WorkCalendar>,
    /// The notice before digging.
    pub notice: &'a Notice,
    /// The day that is today.
    pub as_of: Date,
}

/// One step of the work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Its name for programs, such as `white-lining`.
    pub id: &'static str,
    /// Its name for people.
    pub title: &'static str,
    /// How it stands.
    pub state: State,
    /// The day that it was done, is set for, or is wanted by; `detail` says which.
    pub date: Option<Date>,
    /// One or two sentences: what the plan records, what contradicts it, what the step waits for.
    pub detail: String,
    /// The field of the plan that the step is told from.
    pub source: &'static str,
}

/// How a step stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// The plan records it, and no day contradicts that.
    Done,
    /// It can be done now.
    Due,
    /// It is still to be done; its time has not come, or the plan does not say when that is.
    Open,
    /// It can't be done before another step, or before others have answered.
    Waiting,
    /// Its time has passed, and the plan does not record it as done.
    Late,
    /// The plan records it, but on a day that another one contradicts.
    Doubtful,
    /// The plan says nothing of it.
    NotRecorded,
    /// Nothing in the plan asks for it.
    NotNeeded,
}

impl State {
    /// Every state, in the order in which they are counted.
    pub const ALL: [Self; 8] = [
        Self::Done,
        Self::Due,
        Self::Open,
        Self::Waiting,
        Self::Late,
        Self::Doubtful,
        Self::NotRecorded,
        Self::NotNeeded,
    ];

    /// The word of the state.
    pub fn word(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::Due => "due",
            Self::Open => "open",
            Self::Waiting => "waiting",
            Self::Late => "late",
            Self::Doubtful => "doubtful",
            Self::NotRecorded => "not-recorded",
            Self::NotNeeded => "not-needed",
        }
    }

    /// What the word means.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Done => "the plan records it, and no day contradicts that",
            Self::Due => "it can be done now",
            Self::Open => "still to be done; its time has not come, or the plan does not say when that is",
            Self::Waiting => "it can't be done before another step, or before others have answered",
            Self::Late => "its time has passed, and the plan does not record it as done",
            Self::Doubtful => "the plan records it, but on a day that another one contradicts",
            Self::NotRecorded => "the plan says nothing of it",
            Self::NotNeeded => "nothing in the plan asks for it",
        }
    }

    /// Whether nothing is left to do.
    pub fn is_settled(self) -> bool {
        matches!(self, Self::Done | Self::NotNeeded)
    }
}

/// The steps of a job in the order of the work.
pub fn steps(job: &Job<'_>) -> Vec<Step> {
    let facts = Facts::new(job);
    let mut steps = before::steps(&facts);
    let excavation = dig::excavation(&facts, &steps);
    steps.push(excavation);
    steps.extend(after::steps(&facts));
    steps
}
