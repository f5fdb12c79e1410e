//! The thread for what takes longer than a check: margins with the lengths at which verdicts turn, and cures.

use super::Event;
use super::check::Checked;
use lintern_core::finding::Finding;
use lintern_core::margin::margins;
use lintern_core::remedy::{Effort, Remedies, search_for};
use lsp_server::RequestId;
use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender};

/// How far to look for cures of the few findings at one place: as `lintern remedy` does, in less work.
const EFFORT: Effort = Effort { each_sort: true, checks: 80 };

/// What the thread is told.
pub enum Job {
    /// Margins are wanted.
    Weigh(Arc<Checked>),
    /// Cures are wanted.
    Cure(Wish),
    /// A cure is no longer wanted.
    Cancel(RequestId),
}

/// Cures that somebody asks for.
pub struct Wish {
    /// The request.
    pub id: RequestId,
    /// What was found.
    pub checked: Arc<Checked>,
    /// The findings, by their place in the report.
    pub findings: Vec<usize>,
}

/// Works until nobody asks any more. Cures come first: somebody waits for them.
pub fn run(jobs: &Receiver<Job>, events: &Sender<Event>) {
    let mut wishes: Vec<Wish> = Vec::new();
    let mut weights: BTreeMap<PathBuf, Arc<Checked>> = BTreeMap::new();
    loop {
        let idle = wishes.is_empty() && weights.is_empty();
        let first = match idle.then(|| jobs.recv()) {
            Some(Ok(job)) => Some(job),
            Some(Err(_)) => return,
            None => None,
        };
        for job in first.into_iter().chain(jobs.try_iter()) {
            match job {
                Job::Cure(wish) => wishes.push(wish),
                Job::Cancel(id) => wishes.retain(|wish| wish.id != id),
                Job::Weigh(checked) => {
                    weights.insert(checked.path.clone(), checked);
                }
            }
        }
        let event = if wishes.is_empty() {
            let Some((_, checked)) = weights.pop_first() else { continue };
            let Some(layout) = &checked.report.loaded.layout else { continue };
            let margins = margins(layout, checked.report.told.clone(), None);
            Event::Weighed { checked, margins }
        } else {
            let Wish { id, checked, findings } = wishes.remove(0);
            let remedies = cures(&checked, &findings);
            Event::Cured { id, checked, remedies }
        };
        if events.send(event).is_err() {
            return;
        }
    }
}

fn cures(checked: &Checked, findings: &[usize]) -> Remedies {
    let modules = checked.book.setup.modules(&checked.book.rulebook);
    let wanted: Vec<&Finding> = findings.iter().filter_map(|index| checked.report.findings.get(*index)).collect();
    let is_wanted = |finding: &Finding| wanted.iter().any(|own| std::ptr::eq(*own, finding));
    search_for(&checked.repository, &checked.report, &modules, &checked.options, EFFORT, &is_wanted)
}
