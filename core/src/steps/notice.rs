//! The notice before digging that holds for a plan, and its count by the strictest reading.

use super::Job;
use crate::analysis::calendar::{DayKind, WorkCalendar};
use crate::check::{CheckOptions, applied_limits};
use crate::engine::{Layer, Module};
use crate::layout::Layout;
use crate::plan::scalar::Date;

/// The rule that knows the notice of each state.
const RULE: &str = "dig-safety/short-notice";
/// A longer notice is a slip of the pen.
const MOST_DAYS: f64 = 366.0;

/// The least time between the locate request and the digging.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// So many full working days between the two days, neither counted.
    Known {
        /// Working days.
        working_days: u32,
        /// The law, the amendment or the company's setting that asks for it.
        source: String,
    },
    /// It is not known, for this reason.
    Unknown(String),
}

impl Notice {
    /// The notice where nobody can be asked: not known, with what the plan itself lacks.
    pub fn unknown(layout: &Layout) -> Self {
        let project = &layout.project;
        Self::Unknown(match (project.country.as_deref(), project.region.as_deref()) {
            (None | Some("US"), None) => "the plan does not state `project.region`".to_owned(),
            (None, Some(region)) if !region.starts_with("US-") => format!("none is on file for {region}"),
            (Some(country), _) if country != "US" => format!("none is on file for {country}"),
            (_, region) => format!("none that is confirmed is on file for {}", region.unwrap_or("US")),
        })
    }
}

/// The notice that the rule about it applies to a plan: that of the state, a local amendment, or the company's.
/// `modules` are those of the plan's repository. Errors are those of the module.
pub fn notice(layout: &Layout, modules: &[&Module], options: &CheckOptions) -> Result<Notice, String> {
    let Some(module) = modules.iter().find(|module| module.rules().iter().any(|rule| rule.id == RULE)) else {
        return Ok(Notice::unknown(layout));
    };
    // The rule applies its limit to plans with a request and a start.
    let mut asked = layout.clone();
    let dig = asked.dig.get_or_insert_default();
    dig.called.get_or_insert(options.as_of);
    dig.starts.get_or_insert(options.as_of);
    let applied = applied_limits(&asked, module, RULE, options)?;
    let layers = applied.iter().filter(|limit| limit.settings.iter().any(|name| name == "notice"));
    let governing = layers.filter_map(|limit| limit.layers.get(limit.governing)).next();
    Ok(match governing {
        // The rule's own number is common practice, and no law.
        Some((Layer::Region | Layer::Local | Layer::House, days, source)) if (0.0..=MOST_DAYS).contains(days) => {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "days of a year")]
            let working_days = days.ceil() as u32;
            Notice::Known { working_days, source: source.clone() }
        }
        _ => Notice::unknown(layout),
    })
}

/// The first day of digging after a request by the strictest count, or why it is not known.
pub(super) fn earliest_start(job: &Job<'_>, called: Option<Date>) -> Result<Date, String> {
    let days = working_days(job)?;
    let called = called.ok_or("the plan does not state `dig.ticket.called`")?;
    job.calendar
        .and_then(|calendar| first_start(calendar, called, days))
        .ok_or_else(|| "no calendar covers the days of `dig`".to_owned())
}

/// The last day of a request for a start, by the same count.
pub(super) fn last_request(job: &Job<'_>, starts: Date) -> Option<Date> {
    let days = working_days(job).ok()?;
    let calendar = job.calendar?;
    let before = calendar.days.iter().rev().map(|day| Date(day.date)).filter(|day| *day < starts);
    before.into_iter().find(|day| first_start(calendar, *day, days).is_some_and(|first| first <= starts))
}

fn working_days(job: &Job<'_>) -> Result<usize, String> {
    match job.notice {
        Notice::Known { working_days, .. } => Ok(*working_days as usize),
        Notice::Unknown(why) => Err(format!("the notice is not known: {why}")),
    }
}

/// Strictly: days that may be holidays are not worked, a request on a day off is one of the next working day, and the
/// start is on a working day.
fn first_start(calendar: &WorkCalendar, called: Date, full_days: usize) -> Option<Date> {
    let at = calendar.days.binary_search_by_key(&called.0, |day| day.date).ok()?;
    let worked = calendar.days.get(at..)?.iter().filter(|day| day.kind == DayKind::Working);
    // The first is the day of the request, then the full days between, then the start.
    worked.map(|day| Date(day.date)).nth(full_days + 1)
}
