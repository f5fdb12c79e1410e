//! `lintern steps`: what remains to be done, in the order of the work.

use super::{CAUTION, escape};
use lintern_core::steps::{Job, Notice, State, Step};
use serde_json::{Map, Value, json};
use std::fmt::Write as _;

/// The JSON document, with a line end.
pub fn json(file: &str, job: &Job<'_>, steps: &[Step]) -> String {
    let notice = match job.notice {
        Notice::Known { working_days, source } => json!({ "working-days": working_days, "source": source }),
        Notice::Unknown(why) => json!({ "working-days": Value::Null, "unknown": why }),
    };
    let steps: Vec<Value> = steps
        .iter()
        .map(|step| {
            json!({
                "id": step.id, "title": step.title, "state": step.state,
                "date": step.date.map(|date| date.to_string()), "detail": step.detail, "source": step.source,
            })
        })
        .collect();
    let mut summary = Map::new();
    for state in State::ALL {
        let count = steps.iter().filter(|step| step["state"] == state.word()).count();
        summary.insert(state.word().to_owned(), json!(count));
    }
    super::pretty(&json!({
        "format": 1, "file": file, "as-of": job.as_of.to_string(), "notice": notice,
        "working-days-by": job.calendar.map(|calendar| calendar.source), "steps": steps, "summary": summary,
        "caution": CAUTION,
    }))
}

/// The list for people.
pub fn list(file: &str, job: &Job<'_>, steps: &[Step]) -> String {
    let mut out = format!("{file}: steps of the work, as of {}\n\n", job.as_of);
    let width = State::ALL.iter().map(|state| state.word().len()).max().unwrap_or(0);
    for step in steps {
        let date = step.date.map_or_else(String::new, |date| date.to_string());
        let _ = writeln!(out, "  {:width$}  {date:10}  {}", step.state.word(), step.title);
        let _ =
            writeln!(out, "  {:width$}  {:10}  {} [{}]", "", "", step.detail.replace(['\n', '\t'], " "), step.source);
    }
    let _ = writeln!(out, "\nnotice before digging: {}", notice_text(job.notice));
    if let Some(calendar) = job.calendar {
        let _ = writeln!(out, "working days by: {}", calendar.source);
    }
    out.push('\n');
    let present = |state: &State| steps.iter().any(|step| step.state == *state);
    for state in State::ALL.into_iter().filter(present) {
        let _ = writeln!(out, "  {:width$}  {}", state.word(), state.meaning());
    }
    let _ = writeln!(out, "\n{CAUTION}\n{}", counts(steps));
    escape::terminal(&out).into_owned()
}

/// The notice before digging in words.
pub fn notice_text(notice: &Notice) -> String {
    match notice {
        Notice::Known { working_days, source } => format!("{working_days} full working days: {source}"),
        Notice::Unknown(why) => format!("not known: {why}"),
    }
}

/// `12 steps: 5 done, 1 due`.
fn counts(steps: &[Step]) -> String {
    let counted = State::ALL.into_iter().filter_map(|state| {
        let count = steps.iter().filter(|step| step.state == state).count();
        (count > 0).then(|| format!("{count} {}", state.word()))
    });
    format!("{} steps: {}", steps.len(), counted.collect::<Vec<_>>().join(", "))
}
