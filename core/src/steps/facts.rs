//! The days of a plan as the steps compare them.

use super::{Job, State, Step};
use crate::layout::{Dig, Layout, Luminaire, Records, Run};
use crate::plan::model::{Method, Placement};
use crate::plan::scalar::{Date, WorkRecord};

/// What all steps ask of the plan.
pub(super) struct Facts<'a> {
    pub(super) job: &'a Job<'a>,
    pub(super) dig: Dig,
    pub(super) records: Records,
    pub(super) as_of: Date,
    /// The first day of digging by the strictest count of the notice, or why that is not known.
    pub(super) earliest: Result<Date, String>,
    /// Whether every part of the plan is stated to lie or stand above the ground.
    pub(super) opens_no_ground: bool,
}

impl<'a> Facts<'a> {
    pub(super) fn new(job: &'a Job<'a>) -> Self {
        let dig = job.layout.dig.clone().unwrap_or_default();
        let earliest = super::notice::earliest_start(job, dig.called);
        Self {
            opens_no_ground: job.layout.dig.is_none() && opens_no_ground(job.layout),
            dig,
            records: job.layout.records,
            as_of: job.as_of,
            earliest,
            job,
        }
    }

    /// Whether the day on which the ground is opened is before today.
    pub(super) fn is_past_start(&self) -> bool {
        self.dig.starts.is_some_and(|starts| starts < self.as_of)
    }

    /// Whether that day has come.
    pub(super) fn is_started(&self) -> bool {
        self.dig.starts.is_some_and(|starts| starts <= self.as_of)
    }

    /// The day of a record that has come.
    pub(super) fn made(&self, record: Option<WorkRecord>) -> Option<Date> {
        match record {
            Some(WorkRecord::On(day)) if day <= self.as_of => Some(day),
            _ => None,
        }
    }

    /// The first record which shows that the trench has been open, with its day.
    pub(super) fn shows_dug(&self) -> Option<(&'static str, Date)> {
        let shown = [
            ("the test before backfill", self.records.test_before_backfill),
            ("the commissioning", self.records.commissioning),
            ("the as-built record", self.records.as_built),
        ];
        let made = shown.into_iter().filter_map(|(what, record)| Some((what, self.made(record)?)));
        // A record from before the start shows nothing of the dig.
        made.into_iter().find(|(_, day)| self.dig.starts.is_none_or(|starts| starts <= *day))
    }

    /// The first record of finished work, with its day.
    pub(super) fn shows_finished(&self) -> Option<(&'static str, Date)> {
        let shown = [("the commissioning", self.records.commissioning), ("the as-built record", self.records.as_built)];
        shown.into_iter().find_map(|(what, record)| Some((what, self.made(record)?)))
    }
}

/// A step with what is told of it.
pub(super) fn step(
    (id, title, source): (&'static str, &'static str, &'static str),
    state: State,
    date: Option<Date>,
    detail: impl Into<String>,
) -> Step {
    Step { id, title, state, date, detail: detail.into(), source }
}

/// Whether the plan has parts, and says of each that it opens no ground.
fn opens_no_ground(layout: &Layout) -> bool {
    let above = |method: Option<Method>| matches!(method, Some(Method::Surface | Method::Aerial));
    let run =
        |run: &Run| above(run.method) && run.covers.iter().all(|cover| cover.method.is_none() || above(cover.method));
    let luminaire = |luminaire: &Luminaire| {
        luminaire.excavation.is_none()
            && luminaire.placement.is_some_and(|p| !matches!(p, Placement::InGround | Placement::Stake))
    };
    !layout.runs.is_empty() && layout.runs.iter().all(run) && layout.luminaires.iter().all(luminaire)
}
